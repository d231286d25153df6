"""Checks what a lesson's page tells: rhythms with counts, hands where one alone misleads, little without rights."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from understave.answers.project import Loaded
from understave.lessons.lesson import Lesson
from understave.pages.lesson_pages import LessonPages


def page_values(lesson: Lesson, loaded: Loaded, **project: Any) -> tuple[dict[str, Any], int]:
    """Return a page's values and how many pictures it has."""
    one = replace(loaded, lessons={lesson.id: lesson}, project=replace(loaded.project, **project))
    [page] = LessonPages(one)
    return page.values(), len(page.figures)


def test_each_rhythm_stands_where_it_comes_first_with_its_count(lesson, lanternfield):
    """Read off the score: eighths in measure 1, dotted quarter in 3, triplets and then eighths in 11."""
    rows = page_values(lesson, lanternfield)[0]["rhythms"]
    assert [(row["page"].split("/")[2], row["where"], row["time"]) for row in rows] == [
        ("eighth-pairs", "measure 1", "0:07"),
        ("dotted-rhythm-in-three", "measure 3", "1:22"),
        ("eighth-triplets", "measure 11", "2:58"),
        ("triplets-to-eighths", "measure 11", "2:58"),
    ]
    assert rows[3]["count"] == "Right hand: 1 & a 2 & a 3 &"
    assert all(row["summary"] for row in rows)


def test_both_hands_are_told_where_the_left_alone_misleads(lesson, lanternfield):
    rows = page_values(lesson, lanternfield)[0]["symbols"]
    [third] = [row for row in rows if row["where"] == "measure 3, beat 1"]
    assert third["symbol"] == "Gm9"
    assert "neither major nor minor" in third["told"][0]
    assert third["told"][1].striptags().startswith("Left hand: G2 (root)")
    assert "B♭4 (♭3rd)" in third["told"][2].striptags()
    assert any(not row["told"] for row in rows)


@pytest.mark.parametrize(("notation", "pictures"), [("measures", 16), ("passages", 7), ("none", 0)])
def test_a_setting_says_how_much_of_the_score_is_drawn(notation, pictures, lesson, lanternfield):
    """Sections explain measure 3, 6 to 8, 11 and 12, and the ending from 13."""
    shown, drawn = page_values(lesson, lanternfield, notation=notation)
    assert drawn == pictures == len([one for one in shown["measures"] if one["drawn"]])
    numbers = [one["number"] for one in shown["measures"]]
    explained = [3, 6, 7, 8, 11, 12, 13]
    assert numbers == {"measures": list(range(1, 17)), "passages": explained, "none": []}[notation]


def test_without_rights_nothing_of_the_tune_is_shown(lesson, lanternfield):
    bare = replace(lesson, file=lesson.file.model_copy(update={"rights": None}))
    shown, drawn = page_values(bare, lanternfield)
    assert (shown["measures"], drawn, shown["progression"], shown["other_keys"]) == ([], 0, [], {})
    symbols = [row["symbol"] for row in shown["symbols"]]
    assert len(symbols) == len(set(symbols)) < len(lesson.symbols)
    assert symbols[:3] == ["Fadd2", "Dm7", "Gm9"]
