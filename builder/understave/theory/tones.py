"""Tones, pitches, degrees and intervals: everything is spelled by letter and counted exactly.

The letter of a tone comes from the number of a degree, its accidental from the degree's size (common practice).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cached_property, lru_cache

LETTERS = "CDEFGAB"
"""The seven letters, in the order in which octaves are numbered."""

NATURAL_KEYS = (0, 2, 4, 5, 7, 9, 11)
"""Semitones from C up to each natural letter; also from a root up to each degree of its major scale."""

LINE_OF_FIFTHS = "FCGDAEB"
"""The seven letters by rising fifths; a sharp is seven fifths further on, a flat seven back."""

_TONE = re.compile(r"([A-G])(#{0,7}|b{0,7})")
_PITCH = re.compile(r"([A-G](?:#{0,7}|b{0,7}))(-?[0-9])")
_DEGREE = re.compile(r"(#{0,2}|b{0,3})([1-9][0-9]?)")


class SpellingError(ValueError):
    """A text is no tone, pitch or degree."""


def accidental_text(alteration: int) -> str:
    """Return ``#`` or ``b`` as often as ``alteration`` (semitones) asks."""
    return "#" * alteration if alteration > 0 else "b" * -alteration


@dataclass(frozen=True, slots=True)
class Interval:
    """A distance upwards: ``steps`` between letters (0 is a unison) and exact ``semitones``."""

    steps: int
    semitones: int


@dataclass(frozen=True)
class Degree:
    """A place in a chord: ``number`` 1 to 13 above the root, ``alteration`` in semitones against the major scale."""

    number: int
    alteration: int = 0

    @cached_property
    def interval(self) -> Interval:
        """The interval from the root up to this degree."""
        octave, step = divmod(self.number - 1, 7)
        return Interval(self.number - 1, 12 * octave + NATURAL_KEYS[step] + self.alteration)

    @property
    def semitones(self) -> int:
        """Semitones above the root, not folded into one octave."""
        return self.interval.semitones

    @cached_property
    def fifths(self) -> int:
        """How far it lies from the root on the line of fifths: 1 for the 5, -3 for the b3."""
        return LINE_OF_FIFTHS.index(LETTERS[(self.number - 1) % 7]) - 1 + 7 * self.alteration

    @property
    def simple(self) -> Degree:
        """The same letter and size within one octave: the 9 becomes 2, the b13 becomes b6."""
        return Degree((self.number - 1) % 7 + 1, self.alteration)

    @property
    def rank(self) -> tuple[int, int]:
        """Sorting key: by number, then from flat to sharp."""
        return (self.number, self.alteration)

    def __str__(self) -> str:
        """ASCII, as in entries: ``b3``, ``#11``."""
        return accidental_text(self.alteration) + str(self.number)


@dataclass(frozen=True)
class Tone:
    """A note name without octave: a letter and an ``alteration`` in semitones (sharps above 0, flats below)."""

    letter: str
    alteration: int = 0

    @cached_property
    def step(self) -> int:
        """The letter's place from C: 0 to 6."""
        return LETTERS.index(self.letter)

    @cached_property
    def key(self) -> int:
        """Semitones above C, not folded: ``Cb`` is -1, ``B#`` is 12."""
        return NATURAL_KEYS[self.step] + self.alteration

    @cached_property
    def fifths(self) -> int:
        """The place on the line of fifths: F is -1, C 0, G 1; seven to the right for each sharp."""
        return LINE_OF_FIFTHS.index(self.letter) - 1 + 7 * self.alteration

    @property
    def pitch_class(self) -> int:
        """The key folded into 0 to 11. For comparing with keyboards only: spelling never comes from it."""
        return self.key % 12

    def up(self, interval: Interval) -> Tone:
        """Return the tone ``interval`` above, spelled by letter."""
        octave, step = divmod(self.step + interval.steps, 7)
        return Tone(LETTERS[step], self.key + interval.semitones - 12 * octave - NATURAL_KEYS[step])

    def down(self, interval: Interval) -> Tone:
        """Return the tone ``interval`` below, spelled by letter."""
        return self.up(Interval(-interval.steps, -interval.semitones))

    def at(self, degree: Degree) -> Tone:
        """Return the tone at ``degree`` above this root."""
        return self.up(degree.interval)

    def degree_of(self, tone: Tone) -> Degree:
        """Return the degree, 1 to 7, of ``tone`` above this root, by its letter."""
        steps = (tone.step - self.step) % 7
        size = (tone.key - self.key - NATURAL_KEYS[steps] + 6) % 12 - 6
        return Degree(steps + 1, size)

    def __str__(self) -> str:
        """ASCII: ``Bb``, ``F##``."""
        return self.letter + accidental_text(self.alteration)


@lru_cache(maxsize=128)
def tone_at(fifths: int) -> Tone:
    """Return the tone at a place on the line of fifths."""
    alteration, place = divmod(fifths + 1, 7)
    return Tone(LINE_OF_FIFTHS[place], alteration)


@dataclass(frozen=True)
class Pitch:
    """A tone in an octave; C4 is middle C and the octave goes with the letter (B#3 sounds as C4)."""

    tone: Tone
    octave: int

    @property
    def key(self) -> int:
        """The MIDI key number: C4 is 60."""
        return 12 * (self.octave + 1) + self.tone.key

    @property
    def line(self) -> int:
        """The place on the staff in steps: C4 is 28, D4 is 29, whatever the accidentals."""
        return 7 * self.octave + self.tone.step

    def up(self, interval: Interval) -> Pitch:
        """Return the pitch ``interval`` above, or below where its steps are negative, spelled by letter."""
        return Pitch(self.tone.up(interval), (self.line + interval.steps) // 7)

    def __str__(self) -> str:
        """ASCII: ``Bb3``."""
        return f"{self.tone}{self.octave}"


def pitch_above(tone: Tone, key: int) -> Pitch:
    """Return ``tone`` in the lowest octave in which it sounds at ``key`` (a MIDI number) or higher."""
    return Pitch(tone, -((tone.key - key) // 12) - 1)


@lru_cache(maxsize=512)
def parse_tone(text: str) -> Tone:
    """Read ASCII ``Bb`` or ``F##``. Raises SpellingError for anything else."""
    match = _TONE.fullmatch(text)
    if not match:
        raise SpellingError(f"{text!r} is no note name: a letter A to G, then # or b")
    return Tone(match[1], match[2].count("#") - match[2].count("b"))


def parse_pitch(text: str) -> Pitch:
    """Read ASCII ``Bb3``. Raises SpellingError for anything else."""
    match = _PITCH.fullmatch(text)
    if not match:
        raise SpellingError(f"{text!r} is no pitch: a letter A to G, # or b, and an octave (C4 is middle C)")
    return Pitch(parse_tone(match[1]), int(match[2]))


DEGREES = (
    "1", "b2", "2", "b3", "3", "4", "#4", "b5", "5", "#5", "b6", "6", "bb7", "b7", "7",
    "b9", "9", "#9", "11", "#11", "b13", "13",
)  # fmt: skip
"""The degrees that exist in entries."""


@lru_cache(maxsize=512)
def parse_degree(text: str) -> Degree:
    """Read ``b3`` or ``#11``; only the degrees of DEGREES exist. Raises SpellingError otherwise."""
    match = _DEGREE.fullmatch(text)
    if not match or text not in DEGREES:
        raise SpellingError(f"{text!r} is no degree")
    return Degree(int(match[2]), match[1].count("#") - match[1].count("b"))


ROOTS = tuple(Tone(letter, alteration) for letter in LETTERS for alteration in (-1, 0, 1))
"""The 21 roots that every chord type is spelled under: seven letters, each flat, natural, sharp."""
