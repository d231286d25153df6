"""Checks that reading and naming have not become grossly slower: a few rounds of `theory_speed.py`, twice its aims.

The aims: reading takes at most five times what pychord takes, which reads far less; naming a moment, spelled or by
keys, is ten times faster than music21's chordSymbolFigureFromChord and pychord's find_chords_from_notes.
"""

from __future__ import annotations

import pytest

from .theory_speed import MOMENTS, SYMBOLS, naming, reading

ROUNDS = 5


@pytest.mark.parametrize("kind", SYMBOLS)
def test_reading_beside_pychord(kind: str) -> None:
    times = reading(SYMBOLS[kind], ROUNDS)
    assert times["ours"] <= 2 * 5 * times["pychord"], times


def test_naming_beside_music21_and_pychord() -> None:
    times = naming([moment for moments in MOMENTS.values() for moment in moments], ROUNDS)
    for mine in ("ours", "keys"):
        for other in ("music21", "pychord"):
            assert 2 * times[other] >= 10 * times[mine], times
