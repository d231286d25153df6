"""A chord: a root, its degrees and a bass, and what follows from them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

from understave.theory.sortings import EXTENDED, LEFT_OUT, sorted_out
from understave.theory.tones import Degree, Interval, Tone, parse_degree

INVERSION_NUMBERS = {1: 0, 3: 1, 5: 2, 7: 3}
"""Which inversion a chord tone in the bass makes, by its number (common practice)."""


def in_order(degrees: set[Degree] | tuple[Degree, ...]) -> tuple[Degree, ...]:
    """Return ``degrees`` from the root upwards."""
    return tuple(sorted(degrees, key=lambda degree: degree.rank))


@dataclass(frozen=True)
class Chord:
    """A chord under a root. ``degrees`` go upwards from the root; ``bass`` is the lowest tone (None: the root)."""

    root: Tone
    degrees: tuple[Degree, ...]
    slash: Tone | None = None

    @cached_property
    def tones(self) -> tuple[Tone, ...]:
        """The chord's tones in the order of its degrees; a foreign bass is not among them."""
        return tuple(self.root.at(degree) for degree in self.degrees)

    @property
    def bass(self) -> Tone:
        """The lowest tone: the one after the slash, or else the root."""
        return self.slash or self.root

    @property
    def inversion(self) -> int | None:
        """0 to 3 for root, third, fifth or seventh in the bass; None for any other bass."""
        if self.bass not in self.tones:
            return None
        return INVERSION_NUMBERS.get(self.degrees[self.tones.index(self.bass)].number)

    @property
    def bass_respelled(self) -> Tone | None:
        """The chord tone that a foreign bass sounds like (D/Gb: F#), or None."""
        if self.bass in self.tones:
            return None
        return next((tone for tone in self.tones if tone.pitch_class == self.bass.pitch_class), None)

    def transposed(self, interval: Interval) -> Chord:
        """Return the same chord ``interval`` higher."""
        return Chord(self.root.up(interval), self.degrees, self.slash.up(interval) if self.slash else None)


THIRD, FLAT_THIRD, FIFTH = (parse_degree(text) for text in ("3", "b3", "5"))


def has_number(degrees: tuple[Degree, ...], number: int) -> bool:
    """Tell whether any size of the degree ``number`` is in ``degrees``."""
    return any(degree.number == number for degree in degrees)


@lru_cache(maxsize=4096)
def is_extended(degrees: tuple[Degree, ...]) -> bool:
    """Tell whether a chord is a ninth, eleventh or thirteenth: stacked over its seventh, whatever is altered below."""
    return "extended" in sorted_out(tuple(map(str, degrees)), EXTENDED)[1]


@lru_cache(maxsize=4096)
def usually_left_out(degrees: tuple[Degree, ...]) -> tuple[Degree, ...]:
    """Return the degrees that players usually leave out, in order: the rows of `sortings.LEFT_OUT`."""
    given, _ = sorted_out(tuple(map(str, degrees)), LEFT_OUT)
    return in_order({parse_degree(text) for text in given})


def usually_played(degrees: tuple[Degree, ...]) -> tuple[Degree, ...]:
    """Return the degrees that stay when those usually left out are gone."""
    left_out = usually_left_out(degrees)
    return tuple(degree for degree in degrees if degree not in left_out)


def easier_root(root: Tone, degrees: tuple[Degree, ...]) -> Tone | None:
    """Return the enharmonic root under which the chord is easier to read, or None if this one is easy enough.

    A spelling is hard where a tone has a double or triple accidental; the easier root is one of the same key
    with fewer accidentals in the chord.
    """

    def accidentals(candidate: Tone) -> int:
        return sum(abs(candidate.at(degree).alteration) for degree in degrees)

    if all(abs(root.at(degree).alteration) < 2 for degree in degrees):
        return None
    neighbors = (root.up(Interval(1, 0)), root.down(Interval(1, 0)))
    best = min((n for n in neighbors if abs(n.alteration) < 2), key=accidentals, default=None)
    return best if best is not None and accidentals(best) < accidentals(root) else None
