"""Checks the pinned comment: five lines, the questions that come up most often, the same every time."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from understave.answers.pinned import pinned

LESSONS = sorted(
    path.stem for path in (Path(__file__).parents[2] / "site_examples/lanternfield/lessons").glob("*.yaml")
)


def lines_of(name: str, lanternfield) -> list[str]:
    return pinned(lanternfield.lessons[name], lanternfield).splitlines()


@pytest.mark.parametrize("name", LESSONS)
def test_five_lines_three_answers_and_the_lessons_link(name, lanternfield):
    lines = lines_of(name, lanternfield)
    assert len(lines) == 5
    assert all("? " in line for line in lines[1:4])
    assert len(set(lines)) == 5
    assert lines[4].endswith(f"https://lanternfield.example/glossary/lessons/{name}/")
    assert lines == lines_of(name, lanternfield)


def test_what_comes_up_most_often_comes_first(lanternfield):
    """Counted by hand in the scores: the first has six slash chords, the second changes its feel in eleven measures."""
    slash, left, _ = lines_of("greensleeves-in-six-eight", lanternfield)[1:4]
    assert slash.startswith("What is the note after the slash in D/F♯ (measure 2)?")
    assert left.startswith("Why B7 in measure 4?")
    assert lines_of("ferry-clock", lanternfield)[1].startswith("How do I count measure 1? Right hand: 1 & a 2 & 3")


def test_the_left_hand_that_lacks_the_third_is_the_one_to_explain(lanternfield):
    line = lines_of("snow-on-the-boathouse", lanternfield)[1]
    assert line.startswith("Why Cm9 in measure 5? Look through both hands. My left hand alone has C (root) and G (5th)")
    assert "my right hand adds E♭ (♭3rd)" in line


def test_an_easier_level_is_asked_why_its_symbols_are_others(lanternfield):
    line = lines_of("all-through-the-night-in-plain-triads", lanternfield)[1]
    assert line.startswith("Why is a symbol another one at the advanced level? Measure 1: G here, Gmaj9 there.")


def test_a_lesson_that_raises_no_question_has_five_lines_too(lanternfield):
    lesson = lanternfield.lessons["auld-lang-syne-in-steady-quarters"]
    bare = replace(lesson, symbols=(), file=lesson.file.model_copy(update={"tune": "Another tune"}))
    lines = pinned(bare, lanternfield).splitlines()
    assert lines[1:4] == [
        "How do I count measure 1? Count: 1 2 3 4.",
        "Which key is it in? F major.",
        "Which tune is it? Another tune.",
    ]
