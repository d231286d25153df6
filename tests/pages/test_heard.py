"""Checks the table of where pages are heard in lessons."""

from __future__ import annotations

import pytest

from understave.answers.project import Loaded
from understave.lessons.lesson import Lesson
from understave.pages.heard import Hearing, hearings

Table = dict[str, list[Hearing]]


@pytest.fixture(scope="module")
def table(lanternfield: Loaded) -> Table:
    return hearings(lanternfield.lessons, lanternfield.glossary)


def symbols(table: Table, address: str) -> list[str]:
    return [hearing.symbol for hearing in table.get(address, [])]


@pytest.mark.parametrize(
    "address", ["/f-major-first-inversion/", "/chord-symbols/major/", "/slash-chords/first-inversion/"]
)
def test_inversion_is_heard_on_its_page_its_type_and_its_pattern(table: Table, address: str) -> None:
    assert "F/A" in symbols(table, address)


@pytest.mark.parametrize("address", ["/slash-chords/subdominant-over-dominant/", "/chord-symbols/major/"])
def test_bass_outside_the_chord_is_heard_on_its_pattern(table: Table, address: str) -> None:
    assert "Bb/C" in symbols(table, address)


def test_chord_is_heard_on_its_own_page_alone_and_its_type(table: Table) -> None:
    assert symbols(table, "/g-minor-ninth/") == ["Gm9"]
    assert "Gm9" in symbols(table, "/chord-symbols/minor-ninth/")
    assert "/e-flat-minor-ninth/" not in table
    assert "Gm9" not in symbols(table, "/g-minor-seventh/")


def test_each_symbol_stands_once_a_lesson_where_it_is_first_heard(table: Table, lesson: Lesson) -> None:
    for hearing in (one for found in table.values() for one in found if one.symbol):
        same = [
            one
            for found in table.values()
            for one in found
            if (one.lesson.id, one.symbol) == (hearing.lesson.id, hearing.symbol)
        ]
        assert {(one.measure, one.seconds) for one in same} == {(hearing.measure, hearing.seconds)}
    for found in table.values():
        pairs = [(hearing.lesson.id, hearing.symbol) for hearing in found]
        assert len(pairs) == len(set(pairs))
    # Gm9 stands in measures 3 and 13 of the lesson's score; a section of the video explains measure 3
    [hearing] = [one for one in table["/g-minor-ninth/"] if one.lesson.id == lesson.id]
    assert (hearing.measure, hearing.seconds) == (3, 82)


def test_row_leads_to_the_second_and_to_the_lesson(table: Table) -> None:
    row = table["/g-minor-ninth/"][0].row()
    assert row["time"] == "1:22"
    assert row["video"].endswith("t=82")
    assert row["page"] == "/lessons/paper-lanterns-at-low-tide/"
    assert row["where"] == "measure 3"


def test_the_very_start_of_a_video_is_a_time(lesson: Lesson) -> None:
    row = Hearing(lesson, "F", 1, 0).row()
    assert row["time"] == "0:00"
    assert row["video"].endswith("t=0")


def test_what_the_video_does_not_play_has_no_time(lesson: Lesson) -> None:
    row = Hearing(lesson, "F", 1, None).row()
    assert (row["time"], row["video"]) == ("", "")
    assert row["where"] == "measure 1"


def test_no_lessons_no_table(lanternfield: Loaded) -> None:
    assert hearings({}, lanternfield.glossary) == {}


def test_rhythm_is_heard_where_a_lesson_plays_it_first(table: Table) -> None:
    """In measure 11 of the lesson the score has six triplet eighths and two eighths in 3/4."""
    [hearing] = [one for one in table["/rhythm-figures/triplets-to-eighths/"] if one.lesson.file.level != "advanced"]
    assert (hearing.lesson.id, hearing.symbol, hearing.measure) == ("paper-lanterns-at-low-tide", "", 11)
    assert hearing.row()["time"] == "2:58"
