"""Checks the rhythms that are heard of a score's hands."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from understave.lessons.hands_rhythm import hands_of, rhythm_of
from understave.lessons.scores import Score, ScoreError, ScoreMeasure, ScoreNote, load_score
from understave.theory.counting import PositionSystem, count
from understave.theory.rhythms import parse_meter
from understave.theory.tones import parse_pitch

LANTERNS = (
    Path(__file__).parents[2] / "site_examples" / "lanternfield" / "scores" / "paper-lanterns-at-low-tide.musicxml"
)
NUMBERS = PositionSystem({2: ("n", "&"), 3: ("n", "&", "a"), 4: ("n", "e", "&", "a")})


def score(measures: str, *notes: str) -> Score:
    """Return a score from measures and notes.

    A measure is number:length:meter, with :end where its front is missing; a note is hand, place and length, the place
    with ~ before it where it is tied to the note before.
    """
    read, at = [], Fraction(0)
    for measure in measures.split():
        number, length, meter, *end = measure.split(":")
        missing = parse_meter(meter).length - Fraction(length) if end else Fraction(0)
        read.append(ScoreMeasure(int(number), at, Fraction(length), parse_meter(meter), missing))
        at += Fraction(length)
    played = []
    for note in notes:
        hand, place, length = note.split()
        played.append(
            ScoreNote(
                parse_pitch("C4"), Fraction(place.removeprefix("~")), Fraction(length),
                {"L": "left", "R": "right"}[hand], place.startswith("~"),
            )
        )  # fmt: skip
    return Score(tuple(read), (), tuple(played))


def test_each_hand_and_both_together() -> None:
    two = score("1:1/2:2/4", "L 0 1/4", "L 1/4 1/4", "R 0 1/6", "R 1/6 1/6", "R 1/3 1/6")
    assert rhythm_of(two, "left").recip == "4 4"
    assert rhythm_of(two, "right").recip == "6 6 6"
    assert rhythm_of(two).recip == "6 12 12 6"
    assert hands_of(two).hands == ("both", "right", "left", "right")


def test_chords_start_once_and_last_as_long_as_their_longest_note() -> None:
    chords = score("1:1:4/4", "R 0 1/4", "R 0 1/2", "L 3/4 1/8")
    assert rhythm_of(chords, "right").recip == "2 2r"
    assert rhythm_of(chords).recip == "2 4r 8 8r"


def test_ties_are_held_over_the_bar_line_and_where_no_single_note_has_the_length() -> None:
    tied = score("1:1:4/4 2:1:4/4", "R 0 3/8", "R 3/8 5/8", "R ~1 5/8", "R 13/8 3/8")
    assert rhythm_of(tied).recip == "4. [2 _8 | _2 8] 4."
    assert [event.starts for event in rhythm_of(tied).events] == [True, True, False, False, False, True]


def test_a_short_first_measure_is_counted_as_the_end_of_its_bar() -> None:
    pickup = score("0:1/4:3/4:end 1:3/4:3/4", "R 0 1/8", "R 1/8 1/8", "R 1/4 3/4")
    assert rhythm_of(pickup).recip == "8 8 | 2."
    assert count(rhythm_of(pickup), NUMBERS).line == "3 & 1 (&) (2) (&) (3) (&)"


def test_two_short_measures_that_make_one_at_a_repeat_are_counted_as_one() -> None:
    repeat = score("1:1:4/4 2:3/4:4/4 3:1/4:4/4:end 4:1:4/4", "R 0 1", "R 1 1/4", "R 5/4 1/2", "R 7/4 1/4", "R 2 1")
    counted = count(rhythm_of(repeat), NUMBERS)
    assert counted.line == "1 (2) (3) (4) 1 2 (3) 4 1 (2) (3) (4)"


def test_a_measure_longer_than_its_meter_is_counted_on() -> None:
    long = score("1:5/4:4/4", *(f"R {number}/4 1/4" for number in range(5)))
    assert count(rhythm_of(long), NUMBERS).line == "1 2 3 4 5"


def test_an_excerpt_begins_with_what_is_held_into_it() -> None:
    held = score("1:1:4/4 2:1:4/4", "R 0 1", "R ~1 1/2", "R 3/2 1/2")
    assert count(rhythm_of(held, measures=(2, 2)), NUMBERS).line == "(1) (2) 3 (4)"


def test_measures_that_are_not_there_are_refused() -> None:
    with pytest.raises(ScoreError, match="no measures 5 to 9"):
        rhythm_of(score("1:1:4/4"), measures=(5, 9))


def test_a_hand_that_plays_nothing_rests() -> None:
    assert rhythm_of(score("1:1:4/4 2:3/4:3/4"), "left").recip == "1r | *M3/4 2.r"


def test_a_lesson_changes_from_three_to_two() -> None:
    # the demo's own piece: measures 11 and 12 have triplets, then eighths, in the right hand
    lanterns = load_score(LANTERNS, None)
    counted = count(rhythm_of(lanterns, "right", (11, 12)), NUMBERS)
    assert [(change.before, change.after) for change in counted.changes] == [(3, 2)]
