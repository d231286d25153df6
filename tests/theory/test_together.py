"""Checks two rhythms at once: the merged rhythm, and whose note each of its notes is."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from understave.theory.counting import PositionSystem, count
from understave.theory.note_values import Frame
from understave.theory.rhythms import Rhythm, RhythmError, parse_meter, parse_rhythm
from understave.theory.together import Sounding, heard, together

TRIP_LET = PositionSystem({2: ("n", "&"), 3: ("n", "trip", "let"), 4: ("n", "e", "&", "a")})


def rhythm(text: str, meter: str) -> Rhythm:
    return parse_rhythm(text, parse_meter(meter))


@pytest.mark.parametrize(
    ("left", "right", "meter", "merged", "hands"),
    [
        # common practice: two against three falls together - right - left - right
        ("4 4", "6 6 6", "2/4", "6 12 12 6", "both right left right"),
        ("6 6 6", "4 4", "2/4", "6 12 12 6", "both left right left"),
        ("4. 4.", "4 4 4", "3/4", "4 8 8 4", "both right left right"),
        ("8 8", "12 12 12", "1/4", "12 24 24 12", "both right left right"),
        # three against four
        ("4 4 4", "16*3", "3/4", "8. 16 8 8 16 8.", "both right left right left right"),
        ("2", "4 4", "2/4", "4 4", "both right"),
        ("4 4r", "4r 4", "2/4", "4 4", "left right"),
        ("4 4r", "8 4.r", "2/4", "4 4r", "both"),
        ("2r", "8r 4.", "2/4", "8r 4.", "right"),
        ("[2 | 2]", "4 4 | 4 4", "2/4", "4 4 | 4 4", "both right right right"),
        ("4 | 2 | 4", "8 8 | 4 4 | 4", "2/4", "8 8 | 4 4 | 4", "both right both right both"),
    ],
)
def test_two_rhythms_are_heard_as_one(left: str, right: str, meter: str, merged: str, hands: str) -> None:
    right = right.replace("16*3", "8. 8. 8. 8.")
    both = together(rhythm(left, meter), rhythm(right, meter))
    assert both.rhythm.recip == merged
    assert " ".join(both.hands) == hands


def test_two_against_three_is_counted_on_the_grid_of_triplets() -> None:
    both = together(rhythm("4 4", "2/4"), rhythm("6 6 6", "2/4"))
    assert count(both.rhythm, TRIP_LET).line == "1 (trip) let 2 trip (let)"


@pytest.mark.parametrize(
    ("left", "right", "number"),
    [("4 4", "4 4 | 2", "2"), ("2 | *M3/4 2.", "2 | 2", "2"), ("4 | 2", "2 | 2", "0")],
)
def test_hands_in_other_measures_are_refused(left: str, right: str, number: str) -> None:
    with pytest.raises(RhythmError) as caught:
        together(rhythm(left, "2/4"), rhythm(right, "2/4"))
    assert (caught.value.problem, caught.value.details) == ("hands-differ", (number,))


def test_a_tie_into_the_music_starts_nothing() -> None:
    frame = Frame(5, Fraction(4), Fraction(1), parse_meter("4/4"))
    held = [Sounding(Fraction(4), Fraction(17, 4), True), Sounding(Fraction(9, 2), Fraction(5))]
    rest_of_note = [Sounding(Fraction(7, 2), Fraction(17, 4)), Sounding(Fraction(9, 2), Fraction(5))]
    for notes in (held, rest_of_note):
        events = heard([frame], notes).events
        assert [event.starts for event in events] == [False, False, True]
        assert [event.rests for event in events] == [False, True, False]
    assert heard([frame], []).recip == "1r"


figures = st.lists(st.sampled_from(["4", "4r", "8 8", "8. 16", "12 12 12", "6 12", "16 16 16 16", "8r 8"]), min_size=3)


@settings(max_examples=200, deadline=None)
@given(figures, figures)
def test_each_start_of_a_hand_is_heard_and_no_other(left: list[str], right: list[str]) -> None:
    length = min(len(left), len(right))
    hands = [rhythm(" ".join(hand[:length]), "1/4") for hand in (left, right)]
    both = together(*hands)
    starts = [{event.at for event in hand.events if event.starts} for hand in hands]
    assert [event.at for event in both.rhythm.events if event.starts] == sorted(starts[0] | starts[1])
    for name, own in zip(("left", "right"), starts, strict=True):
        heard_of = [event.at for event in both.rhythm.events if event.starts]
        assert {at for at, hand in zip(heard_of, both.hands, strict=True) if hand in (name, "both")} == own
    for earlier, later in pairwise(both.rhythm.events):
        assert earlier.at + earlier.length == later.at
