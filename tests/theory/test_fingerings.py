"""Fingerings: the values of common practice, from memory, and that each one fits a hand."""

from __future__ import annotations

import pytest

from understave.theory.fingerings import FINGERINGS, Fingering, common_fingering
from understave.theory.symbols import read_symbol
from understave.theory.voicings import close_position


def fingering(symbol: str, inversion: int | None = 0) -> Fingering | None:
    chord = read_symbol(symbol)[0].chord
    assert chord
    return common_fingering(chord.degrees, inversion)


@pytest.mark.parametrize("symbol", ["C", "F#m", "Bbdim", "Abaug", "C(b5)"])
@pytest.mark.parametrize(
    ("inversion", "right", "left"), [(0, (1, 3, 5), (5, 3, 1)), (1, (1, 2, 5), (5, 3, 1)), (2, (1, 3, 5), (5, 2, 1))]
)
def test_a_triad_has_the_fingers_of_common_practice(
    symbol: str, inversion: int, right: tuple[int, ...], left: tuple[int, ...]
) -> None:
    # common practice, from memory
    assert fingering(symbol, inversion) == Fingering(right, left)


@pytest.mark.parametrize("symbol", ["C7", "Csus4", "C5", "Cadd9", "Cm9", "C6", "C13"])
def test_where_no_fingering_is_common_there_is_none(symbol: str) -> None:
    assert fingering(symbol) is None


def test_a_bass_that_makes_no_inversion_has_no_fingering() -> None:
    assert fingering("C", None) is None
    assert fingering("C", 3) is None


def test_hands_take_as_many_fingers_as_notes_from_the_outer_finger_inwards() -> None:
    for (numbers, _), found in FINGERINGS.items():
        assert len(found.right) == len(found.left) == len(numbers)
        assert list(found.right) == sorted(set(found.right))
        assert list(found.left) == sorted(set(found.left), reverse=True)
        assert set(found.right) | set(found.left) <= {1, 2, 3, 4, 5}
        assert (found.right[0], found.left[-1]) == (1, 1), "the thumbs lie inside"


def test_the_third_finger_gives_way_where_a_fourth_lies_above() -> None:
    """Where the upper gap of a major triad is a fourth, the right hand takes 2; where the lower one is, the left."""
    chord = read_symbol("C")[0].chord
    assert chord
    for inversion in range(3):
        low, middle, high = (pitch.key for pitch, _ in close_position(chord, inversion).right)
        found = common_fingering(chord.degrees, inversion)
        assert found
        assert (found.right[1] == 2) == (high - middle == 5)
        assert (found.left[1] == 2) == (middle - low == 5)
