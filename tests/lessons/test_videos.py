"""Holds the video of a lesson against its score: repeats played out, slow stretches, talk, and late askers."""

from __future__ import annotations

from fractions import Fraction

import pytest

from understave.lessons.schema import LessonFile, Section, Stretch
from understave.lessons.scores import Score, ScoreMeasure
from understave.lessons.video import heard_at, moment_at, played_in_turn, timetable
from understave.theory.rhythms import parse_meter

COMMON_TIME = parse_meter("4/4")


def score(count: int, order: str = "") -> Score:
    measures = tuple(
        ScoreMeasure(number, Fraction(number - 1), Fraction(1), COMMON_TIME) for number in range(1, count + 1)
    )
    turns = tuple(int(number) - 1 for number in order.split()) or tuple(range(count))
    return Score(measures, (), (), (), turns)


def stretch(begin: str, end: str, measures: str, hands: str = "both", tempo: str = "at tempo") -> Stretch:
    return Stretch.model_validate({"from": begin, "to": end, "measures": measures, "hands": hands, "tempo": tempo})


def lesson(sections: list[tuple[str, str]], heard: list[Stretch]) -> LessonFile:
    return LessonFile.model_validate(
        {
            "title": "T", "level": "beginner", "date": "2026-01-01", "tune": "T", "key": "C major",
            "score": "t.musicxml", "video": "https://video.example/t?t={seconds}",
            "sections": [{"name": name, "at": at} for at, name in sections],
            "heard": tuple(heard),
        }
    )  # fmt: skip


TWICE = score(4, "1 2 1 2 3 4")
ENDINGS = score(4, "1 2 3 1 2 4")


@pytest.mark.parametrize(
    ("music", "measures", "played"),
    [
        (score(4), (2, 3), [2, 3]),
        (TWICE, (1, 4), [1, 2, 1, 2, 3, 4]),
        (TWICE, (1, 2), [1, 2, 1, 2]),
        (TWICE, (2, 2), [2]),
        (TWICE, (3, 4), [3, 4]),
        (ENDINGS, (1, 4), [1, 2, 3, 1, 2, 4]),
        (ENDINGS, (1, 3), [1, 2, 3]),
        (ENDINGS, (2, 3), [2, 3]),
    ],
)
def test_repeats_and_endings_are_played_out_within_a_stretch(music, measures, played):
    assert [measure.number for measure in played_in_turn(measures, music)] == played


def test_a_timetable_gives_each_measure_its_share():
    table = timetable(stretch("0:10", "0:22", "1-4"), TWICE)
    assert [(measure.number, start, end) for measure, start, end in table] == [
        (1, 10, 12), (2, 12, 14), (1, 14, 16), (2, 16, 18), (3, 18, 20), (4, 20, 22),
    ]  # fmt: skip


def test_a_place_that_is_repeated_is_heard_the_first_time():
    file = lesson([("0:00", "All")], [stretch("0:10", "0:22", "1-4")])
    assert heard_at(Fraction(3, 2), 2, file, TWICE) == 13
    assert heard_at(Fraction(2), 3, file, TWICE) == 18


def test_a_second_of_a_repeat_is_the_measure_that_sounds_then():
    file = lesson([("0:00", "All")], [stretch("0:10", "0:22", "1-4")])
    moments = [moment_at(second, file, TWICE) for second in (10, 13, 15, 17, 19, 22)]
    assert [(moment.measure.number, moment.at) for moment in moments if moment.measure] == [
        (1, 0), (2, Fraction(3, 2)), (1, Fraction(1, 2)), (2, Fraction(3, 2)), (3, Fraction(5, 2)), (4, 4),
    ]  # fmt: skip


def test_askers_within_three_seconds_of_playing_mean_it():
    file = lesson([("0:00", "All"), ("0:30", "More")], [stretch("0:10", "0:18", "1-4"), stretch("0:40", "0:44", "3")])
    assert [
        (moment.measure.number if moment.measure else None)
        for moment in (moment_at(second, file, score(4)) for second in (6, 7, 21, 22, 37, 47, 48))
    ] == [None, 1, 4, None, 3, 3, None]


def test_talk_belongs_to_its_section_and_to_the_measures_that_it_explains():
    file = lesson([("0:00", "All"), ("0:30", "Measure 3: why it is minor"), ("1:00", "The end")], [])
    moments = [moment_at(second, file, score(4)) for second in (0, 29, 30, 59, 75)]
    assert [moment.section.name[:3] for moment in moments] == ["All", "All", "Mea", "Mea", "The"]
    assert [moment.measure and moment.measure.number for moment in moments] == [None, None, 3, 3, None]
    assert all(moment.stretch is None for moment in moments)


@pytest.mark.parametrize(
    ("name", "explains"),
    [
        ("Measure 3: is it major?", (3, 3)),
        ("Measures 6 to 8: two slash chords", (6, 8)),
        ("Measures 11 and 12: triplets", (11, 12)),
        ("measures 9–10", (9, 10)),
        ("The left hand, measures 1 to 8", None),
        ("The ending, from measure 13", (13, 13)),
        ("Measures 8 to 6", None),
        ("Measuring up", None),
    ],
)
def test_a_name_tells_which_few_measures_a_section_explains(name, explains):
    assert Section(name=name, at="0:00").explains == explains  # type: ignore[arg-type]
