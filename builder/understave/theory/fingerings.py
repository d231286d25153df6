"""Common fingerings: which fingers most players put on a chord's tones when one hand plays them close together.

Common practice, from memory; hands differ, so nothing here is a rule. What isn't in the table has no fingering that
most players share.
"""

from __future__ import annotations

from dataclasses import dataclass

from understave.theory.tones import Degree


@dataclass(frozen=True)
class Fingering:
    """The fingers of either hand on the same notes, low to high; 1 is the thumb, 5 the little finger."""

    right: tuple[int, ...]
    left: tuple[int, ...]


TRIAD = frozenset({1, 3, 5})
"""The numbers of a triad's degrees, whatever their sizes."""

FINGERINGS: dict[tuple[frozenset[int], int], Fingering] = {
    (TRIAD, 0): Fingering((1, 3, 5), (5, 3, 1)),
    (TRIAD, 1): Fingering((1, 2, 5), (5, 3, 1)),
    (TRIAD, 2): Fingering((1, 3, 5), (5, 2, 1)),
}
"""By the numbers of a chord's degrees and its inversion (0 is root position)."""


def common_fingering(degrees: tuple[Degree, ...], inversion: int | None) -> Fingering | None:
    """Return the fingering that most players start with; None where there is no such one.

    ``inversion`` is 0 to 3, or None for a bass that makes none.
    """
    numbers = frozenset(degree.number for degree in degrees)
    if inversion is None or len(numbers) != len(degrees):
        return None
    return FINGERINGS.get((numbers, inversion))
