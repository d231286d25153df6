"""Checks the part of a lesson's page that shows its progression in other keys."""

from __future__ import annotations

from dataclasses import replace

import pytest

from understave.answers.project import Loaded
from understave.pages.lesson_pages import LessonPages
from understave.pages.other_keys import CAPO_FRETS, OtherKeys


@pytest.fixture
def shown(lanternfield: Loaded) -> dict:
    return OtherKeys(lanternfield.glossary).values(lanternfield.lessons["snow-on-the-boathouse"])


def test_every_other_key_has_the_whole_progression(shown: dict, lanternfield: Loaded) -> None:
    assert [row["key"].striptags() for row in shown["twelve"]] == [
        f"{tonic} major" for tonic in ("E", "F", "G♭", "G", "A♭", "A", "B♭", "B", "C", "D♭", "D")
    ]
    measures = {met.measure for met in lanternfield.lessons["snow-on-the-boathouse"].symbols}
    for row in shown["twelve"]:
        assert {number for number, _ in row["measures"]} == measures


def test_chords_have_their_tones_in_each_key(shown: dict) -> None:
    in_c = next(row for row in shown["twelve"] if row["key"].striptags() == "C major")
    tones = {chord["symbol"]: [str(tone) for tone in chord["tones"]] for chord in in_c["chords"]}
    assert tones["Cadd2"] == ["C", "D", "E", "G"]
    assert tones["Am9"] == ["A", "C", "E", "G", "B"]


def test_instruments_and_frets_have_what_they_read(shown: dict) -> None:
    assert [row["key"].striptags() for row in shown["readers"]] == ["F major", "C major", "B♭ major"]
    assert len(shown["capo"]) == len(CAPO_FRETS)
    assert dict(shown["capo"][2]["measures"])[1] == ["Cadd2"]


def test_nothing_is_shown_without_rights(lanternfield: Loaded) -> None:
    lesson = lanternfield.lessons["snow-on-the-boathouse"]
    bare = replace(lesson, file=lesson.file.model_copy(update={"rights": None}))
    for one, there in ((lesson, True), (bare, False)):
        [page] = LessonPages(replace(lanternfield, lessons={one.id: one}))
        assert bool(page.values()["other_keys"]) is there
