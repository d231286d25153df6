"""Where a chord lives: the musical keys that hold all of its tones, and its Roman numeral in each."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from understave.theory.chords import FLAT_THIRD, THIRD, Chord, has_number
from understave.theory.house_style import print_suffix
from understave.theory.tones import Degree, SpellingError, Tone, parse_degree, parse_tone

MAJOR_SCALE = tuple(map(parse_degree, ("1", "2", "3", "4", "5", "6", "7")))
MINOR_SCALE = tuple(map(parse_degree, ("1", "2", "b3", "4", "5", "b6", "b7")))
HARMONIC_SCALE = tuple(map(parse_degree, ("1", "2", "b3", "4", "5", "b6", "7")))
MELODIC_SCALE = tuple(map(parse_degree, ("1", "2", "b3", "4", "5", "6", "7")))
"""A minor key's scale with the raised 7, and its melodic form going up (common practice)."""

NUMERALS = ("I", "II", "III", "IV", "V", "VI", "VII")

SECOND, FIFTH, SEVENTH = MAJOR_SCALE[1], MAJOR_SCALE[4], MAJOR_SCALE[6]

FOURTH = MAJOR_SCALE[3]


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
        return self.scale(MINOR_SCALE if self.minor else MAJOR_SCALE)

    @cached_property
    def harmonic(self) -> frozenset[Tone]:
        """The tones of a minor key with the raised 7."""
        return self.scale(HARMONIC_SCALE)

    @cached_property
    def melodic(self) -> frozenset[Tone]:
        """The tones of a minor key's melodic form going up."""
        return self.scale(MELODIC_SCALE)

    @cached_property
    def leading_tone(self) -> Tone:
        """The half step below the tonic, raised in minor."""
        return self.tonic.at(SEVENTH)

    @cached_property
    def cores(self) -> tuple[frozenset[Tone], ...]:
        """The tones of V and of vii°, with the raised 7 in minor."""
        return tuple(self.scale(degrees) for degrees in ((FIFTH, SEVENTH, SECOND), (SEVENTH, SECOND, FOURTH)))

    def scale(self, degrees: Iterable[Degree]) -> frozenset[Tone]:
        """Return the tones at ``degrees`` above the tonic."""
        return frozenset(self.tonic.at(degree) for degree in degrees)


Form = Literal["own", "raised-seventh", "melodic", "secondary"]
"""How a key holds a chord: in its own scale (in minor the natural one), with a minor key's raised 7, in its melodic
form going up; or not at all, as V or vii° of another degree."""


@dataclass(frozen=True)
class Home:
    """A chord in a key: its Roman ``numeral`` (ASCII, but for ° and ø), and the ``form`` of the key that holds it."""

    key: Key
    numeral: str
    form: Form = "own"


TARGETS = {
    False: {"2": "ii", "3": "iii", "4": "IV", "5": "V", "6": "vi"},
    True: {"b3": "III", "4": "iv", "5": "V", "b6": "VI", "b7": "VII"},
}
"""The degrees of a major and (True) of a minor key that a secondary dominant leads to, with their triads' numerals."""

KEYS = tuple(
    key
    for minor in (False, True)
    for tonic in (Tone(letter, alteration) for letter in "CDEFGAB" for alteration in (-1, 0, 1))
    if abs((key := Key(tonic, minor)).signature) <= 7
)
"""The 15 major and the 15 minor keys that have a key signature."""


def homes(chord: Chord) -> tuple[Home, ...]:
    """Return the keys that hold all of the chord's tones, nearest to no accidentals first, major before minor.

    In minor the natural scale counts; the raised 7 for chords on the fifth and the seventh and for those that hold
    V or vii°; and, marked as such, the melodic form going up (common practice).
    """
    return _in_order(Home(key, numeral(chord, key), form) for key in KEYS if (form := _form(chord, key)))


def parse_key(text: str) -> Key:
    """Read F major or e minor. Raises SpellingError for anything else."""
    name, _, mode = text.strip().partition(" ")
    if mode not in ("major", "minor"):
        raise SpellingError(f"the key {text!r}; expected one such as F major or E minor")
    return Key(parse_tone(name[:1].upper() + name[1:]), mode == "minor")


def numeral_in(chord: Chord, key: Key) -> str:
    """Return a chord's Roman numeral in a key (V7, V7/ii), an empty text for one that the key doesn't explain."""
    plain = Chord(chord.root, chord.degrees)
    if _form(plain, key):
        return numeral(plain, key)
    return next((home.numeral for home in secondary_dominants(plain) if home.key == key), "")


def secondary_dominants(chord: Chord) -> tuple[Home, ...]:
    """Return the keys in which the chord is V or vii° of a degree beside the tonic (V7/ii), in the order of `homes`.

    Triads and chords with a seventh count; a chord of the key's own tones is none there, nor is one over the raised
    7. A major degree takes the chords of its minor key as well: vii°7/V (common practice).
    """
    if len(chord.degrees) != 3 and not has_number(chord.degrees, 7):
        return ()
    found = []
    for on in (FIFTH, SEVENTH):
        tonic = chord.root.down(on.interval)
        in_major, in_minor = _is_dominant(chord, Key(tonic, False)), _is_dominant(chord, Key(tonic, True))
        if not (in_major or in_minor):
            continue
        for key in KEYS:
            target = TARGETS[key.minor].get(str(key.tonic.degree_of(tonic)), "")
            reached = in_minor or (in_major and target.isupper())
            if target and reached and _form(chord, key) not in ("own", "raised-seventh"):
                found.append(Home(key, f"{numeral(chord, Key(tonic, False))}/{target}", "secondary"))
    return _in_order(found)


def _in_order(found: Iterable[Home]) -> tuple[Home, ...]:
    return tuple(sorted(found, key=lambda home: (home.key.minor, abs(home.key.signature), home.key.signature)))


def distance(chord: Chord, key: Key) -> int:
    """Return how far a chord lies from a key, in four steps (common practice).

    0 on the tonic, 1 on the fourth, the fifth or the leading tone, 2 on another degree, 3 with a tone outside.
    """
    if _form(chord, key) not in ("own", "raised-seventh"):
        return 3
    if chord.root == key.tonic:
        return 0
    return 1 if chord.root in (key.tonic.at(FOURTH), key.tonic.at(FIFTH), key.leading_tone) else 2


def _form(chord: Chord, key: Key) -> Form | None:
    """Return which form of the key holds the chord, if any."""
    tones = frozenset(chord.tones)
    if tones <= key.tones:
        return "own"
    if not key.minor:
        return None
    if _is_dominant(chord, key) or (tones <= key.harmonic and any(core <= tones for core in key.cores)):
        return "raised-seventh"
    return "melodic" if tones <= key.melodic else None


def _is_dominant(chord: Chord, key: Key) -> bool:
    """Tell whether a chord stands on the key's fifth or its leading tone, has that tone, and keeps to the key."""
    tones = frozenset(chord.tones)
    return (
        chord.root in (key.tonic.at(FIFTH), key.leading_tone)
        and key.leading_tone in tones
        and tones <= (key.harmonic if key.minor else key.tones)
    )


def numeral(chord: Chord, key: Key) -> str:
    """Return the Roman numeral: large for a major third, small for a minor one, then what the symbol adds.

    A chord without a third is written as the key's own triad on its root, V in minor too. In minor vii° stands on the
    raised 7 and VII on the natural one, as the size of the letters tells (common practice).
    """
    degree = key.tonic.degree_of(chord.root)
    roman = NUMERALS[degree.number - 1]
    small = FLAT_THIRD in chord.degrees
    if not small and THIRD not in chord.degrees and degree != FIFTH:
        small = chord.root.at(FLAT_THIRD) in key.tones
    return (roman.lower() if small else roman) + _numeral_suffix(chord.degrees)


def _numeral_suffix(degrees: tuple[Degree, ...]) -> str:
    """Return what follows the letters: as after a root, but that a bare 5 or 6 there is a figure of the bass."""
    suffix = print_suffix(degrees)
    if suffix.startswith("m") and suffix.endswith("b5"):
        return "ø" + suffix[1:-2]
    for written, meant in (("dim", "°"), ("aug", "+"), ("5", "(no3)"), ("maj7#5", "+maj7"), ("maj9#5", "+maj9")):
        if suffix.startswith(written):
            return meant + suffix.removeprefix(written)
    if FLAT_THIRD in degrees:
        suffix = suffix.removeprefix("m")
    return {"6": "(add6)"}.get(suffix, suffix)
