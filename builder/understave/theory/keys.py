"""Where a chord lives: the musical keys that hold all of its tones, and its Roman numeral in each."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from understave.theory.chords import Chord
from understave.theory.house_style import print_suffix
from understave.theory.tones import Degree, Tone, parse_degree

MAJOR_SCALE = tuple(map(parse_degree, ("1", "2", "3", "4", "5", "6", "7")))
MINOR_SCALE = tuple(map(parse_degree, ("1", "2", "b3", "4", "5", "b6", "b7")))
RAISED_SEVENTH = parse_degree("7")

NUMERALS = ("I", "II", "III", "IV", "V", "VI", "VII")


@dataclass(frozen=True)
class Key:
    """A musical key: its ``tonic`` and whether it is ``minor``."""

    tonic: Tone
    minor: bool

    @cached_property
    def signature(self) -> int:
        """The number of sharps (above 0) or flats (below 0) at the start of the staff."""
        fifths = {"F": -1, "C": 0, "G": 1, "D": 2, "A": 3, "E": 4, "B": 5}[self.tonic.letter]
        return fifths + 7 * self.tonic.alteration - (3 if self.minor else 0)

    @cached_property
    def tones(self) -> frozenset[Tone]:
        """The tones of the scale; a minor key's is the natural one."""
        return frozenset(self.tonic.at(degree) for degree in (MINOR_SCALE if self.minor else MAJOR_SCALE))


@dataclass(frozen=True)
class Home:
    """A chord in a key: its Roman ``numeral`` (ASCII), and whether it needs the raised 7 of a minor key."""

    key: Key
    numeral: str
    raised: bool = False


KEYS = tuple(
    key
    for minor in (False, True)
    for tonic in (Tone(letter, alteration) for letter in "CDEFGAB" for alteration in (-1, 0, 1))
    if abs((key := Key(tonic, minor)).signature) <= 7
)
"""The 15 major and the 15 minor keys that have a key signature."""


def homes(chord: Chord) -> tuple[Home, ...]:
    """Return the keys that hold all of the chord's tones, nearest to no accidentals first, major before minor.

    In minor the natural scale counts, and the raised 7 for chords on the fifth and the seventh (common practice).
    """
    tones = set(chord.tones)
    found = []
    for key in KEYS:
        if tones <= key.tones:
            found.append(Home(key, numeral(chord, key)))
        elif key.minor and _fits_raised(chord, tones, key):
            found.append(Home(key, numeral(chord, key), raised=True))
    return tuple(sorted(found, key=lambda home: (home.key.minor, abs(home.key.signature), home.key.signature)))


def _fits_raised(chord: Chord, tones: set[Tone], key: Key) -> bool:
    leading = key.tonic.at(RAISED_SEVENTH)
    on_fifth_or_seventh = chord.root in (key.tonic.at(parse_degree("5")), leading)
    return (
        on_fifth_or_seventh
        and leading in tones
        and tones <= (key.tones - {key.tonic.at(parse_degree("b7"))}) | {leading}
    )


def numeral(chord: Chord, key: Key) -> str:
    """Return the Roman numeral: large for a major third, small for a minor one, then what the symbol adds.

    In minor the numerals count the natural scale, so that a chord on the raised 7 is written #vii.
    """
    scale = MINOR_SCALE if key.minor else MAJOR_SCALE
    degree = key.tonic.degree_of(chord.root)
    sign = "#" if degree.alteration > scale[degree.number - 1].alteration else ""
    roman = NUMERALS[degree.number - 1]
    small = parse_degree("b3") in chord.degrees
    return sign + (roman.lower() if small else roman) + _numeral_suffix(chord.degrees, small)


def _numeral_suffix(degrees: tuple[Degree, ...], small: bool) -> str:
    suffix = print_suffix(degrees)
    if suffix.endswith("b5") and suffix.startswith("m"):
        return "ø" + suffix[1:-2]
    if suffix.startswith("dim"):
        return "°" + suffix[3:]
    if suffix == "aug":
        return "+"
    return suffix[1:] if small and suffix.startswith("m") else suffix
