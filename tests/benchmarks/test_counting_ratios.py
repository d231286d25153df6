"""Checks that counting has not become grossly slower: `counting_speed.py` in few rounds, against generous limits."""

from __future__ import annotations

from .counting_speed import beside_music21, long_and_short


def test_counting_beside_music21() -> None:
    times = beside_music21(21)
    assert 2 * times["ours"] <= times["music21"], times


def test_ten_times_the_notes_take_about_ten_times_as_long() -> None:
    assert long_and_short(2_000, 3) <= 25
