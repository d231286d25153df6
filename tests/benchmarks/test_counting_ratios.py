"""Checks that counting has not become grossly slower: a few rounds of `counting_speed.py`, at half its aim.

The aim: a bar with something to beam is counted 20 times faster than music21 finds its beats and beams.
"""

from __future__ import annotations

import pytest

from understave.theory.rhythms import parse_meter, parse_rhythm

from .counting_speed import BARS, bar_times, note_times

ROUNDS = 5


@pytest.mark.parametrize("name", [name for name in BARS if name != "quarters"])
def test_a_bar_beside_music21(name: str) -> None:
    meter, text = BARS[name]
    ours, theirs = bar_times(parse_rhythm(text, parse_meter(meter)), ROUNDS)
    assert 2 * theirs >= 20 * ours, (ours, theirs)


def test_a_note_costs_the_same_in_a_long_rhythm() -> None:
    (short_read, short_counted), (long_read, long_counted) = note_times(5_000), note_times(100_000)
    assert long_read <= 3 * short_read
    assert long_counted <= 3 * short_counted
