"""Checks how lengths are written: with one note where one will do, with ties at bar lines and around tuplets."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from understave.theory.note_values import Frame, Stretch, written
from understave.theory.rhythms import parse_meter, parse_rhythm


def frames(meter: str, count: int) -> list[Frame]:
    read = parse_meter(meter)
    return [Frame(number + 1, number * read.length, read.length, read) for number in range(count)]


def recip(places: str, meter: str = "4/4", count: int = 1, in_two: tuple[str, ...] = ()) -> str:
    """Return what writes notes that start at the places, the last up to the end; r after a place is a rest."""
    measures = frames(meter, count)
    starts = [(Fraction(place.removesuffix("r")), place.endswith("r")) for place in places.split()]
    starts.append((measures[-1].end, True))
    stretches = [Stretch(at, end, rests) for (at, rests), (end, _) in pairwise(starts)]
    return written(measures, stretches, tuple(map(Fraction, in_two))).recip


@pytest.mark.parametrize(
    ("places", "meter", "expected"),
    [
        ("0", "4/4", "1"),
        ("0 1/4 3/8", "4/4", "4 8 [2 8]"),  # no single note has five eighths
        ("0 1/4 3/8 3/4", "4/4", "4 8 4. 4"),
        ("0 3/8 1/2", "4/4", "4. 8 2"),
        ("0 1/4r 1/2", "4/4", "4 4r 2"),
        ("0r", "4/4", "1r"),
        ("0", "5/4", "[1 4]"),
        ("0 1/12 1/6 1/4", "4/4", "12 12 12 2."),
        # a tuplet wider than a beat stays whole where only its own parts start in it
        ("0 1/6 1/3 1/2", "4/4", "6 6 6 2"),
        ("0 1/3 2/3", "4/4", "3 3 3"),
        ("0 1/4 5/12 7/12 3/4", "4/4", "4 6 6 6 4"),
        ("0 1/5 2/5 3/5 4/5", "4/4", "5 5 5 5 5"),
        # else what reaches into a tuplet is tied to it at the beat
        ("0 1/3 5/12 1/2", "4/4", "[4 12] 12 12 2"),
        ("0 1/12 1/6 3/4", "4/4", "12 12 [12 2] 4"),
        ("0 5/6 11/12", "4/4", "[2. 12] 12 12"),
        # two against three
        ("0 1/6 1/4 1/3 1/2", "4/4", "6 12 12 6 2"),
    ],
)
def test_a_measure(places: str, meter: str, expected: str) -> None:
    assert recip(places, meter) == expected


def test_a_wide_tuplet_keeps_off_beats_in_two() -> None:
    assert recip("0 1/3 1/2") == "3 6 2"
    assert recip("0 1/3 1/2", in_two=("0",)) == "[4 12] 6 2"


def test_ties_reach_over_bar_lines_and_rests_do_not() -> None:
    assert recip("0 3/4 5/4", count=2) == "2. [4 | 4] 2."
    assert recip("0 3/4r 5/4", count=2) == "2. 4r | 4r 2."
    assert recip("0", count=3) == "[1 | _1 | 1]"


def test_a_pickup_keeps_its_place_in_the_tuplet() -> None:
    meter = parse_meter("4/4")
    first = Frame(0, Fraction(0), Fraction(1, 12), meter, Fraction(11, 12))
    second = Frame(1, Fraction(1, 12), Fraction(1), meter)
    rhythm = written(
        [first, second], [Stretch(Fraction(0), Fraction(1, 12)), Stretch(Fraction(1, 12), Fraction(13, 12))]
    )
    assert rhythm.recip == "12 | 1"
    assert parse_rhythm("12 | 1", meter) == rhythm


def test_a_frame_longer_than_its_meter_is_filled() -> None:
    meter = parse_meter("2/4")
    long = Frame(1, Fraction(0), Fraction(1), meter)
    assert written([long], [Stretch(Fraction(0), Fraction(1))]).recip == "1"


grids = st.lists(st.sampled_from([1, 2, 3, 4, 5, 6, 7]), min_size=4, max_size=12)


@settings(max_examples=300, deadline=None)
@given(grids, st.data())
def test_what_is_written_reads_back_as_the_same_stretches(divisions: list[int], data: st.DataObject) -> None:
    measures = frames("4/4", (len(divisions) + 3) // 4)
    places = {Fraction(0)}
    for beat, parts in enumerate(divisions):
        for part in data.draw(st.sets(st.integers(0, parts - 1))):
            places.add(Fraction(beat, 4) + Fraction(part, 4 * parts))
    borders = [*sorted(places), measures[-1].end]
    stretches = [Stretch(at, end, data.draw(st.booleans())) for at, end in pairwise(borders)]
    rhythm = written(measures, stretches)
    assert parse_rhythm(rhythm.recip, parse_meter("4/4")) == rhythm
    starts = [event.at for event in rhythm.events if event.starts]
    assert starts == [one.at for one in stretches if not one.rests]
    sounding = sum((event.length for event in rhythm.events if not event.rests), Fraction(0))
    assert sounding == sum((one.end - one.at for one in stretches if not one.rests), Fraction(0))
