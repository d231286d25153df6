"""Checks the index of lessons against their files: each level, each thing taught, and how many lessons."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from understave.answers.project import Loaded
from understave.entries.values import KINDS
from understave.pages.lesson_index import LessonIndex

FILES = {
    path.stem: yaml.safe_load(path.read_text("utf-8"))
    for path in (Path(__file__).parents[2] / "site_examples/lanternfield/lessons").glob("*.yaml")
}


@pytest.fixture(scope="module")
def values(lanternfield: Loaded) -> dict:
    [page] = LessonIndex(lanternfield.glossary, lanternfield.lessons)
    assert page.address == "/lessons/"
    return page.values()


def counted(number: int) -> str:
    return "1 lesson" if number == 1 else f"{number} lessons"


def test_lessons_stand_by_level_from_the_easiest_in_the_order_of_their_dates(values: dict) -> None:
    assert [level["id"] for level in values["levels"]] == ["beginner", "intermediate", "advanced"]
    for level in values["levels"]:
        own = [name for name, file in FILES.items() if file["level"] == level["id"]]
        own.sort(key=lambda name: FILES[name]["date"])
        assert [row["address"] for row in level["rows"]] == [f"/lessons/{name}/" for name in own]
        assert level["count"] == counted(len(own))


def test_everything_taught_has_its_lessons_and_how_many(values: dict, lanternfield: Loaded) -> None:
    entries = lanternfield.glossary.entries
    taught = {entry for file in FILES.values() for entry in file["teaches"]}
    rows = {row["address"]: row for kind in values["kinds"] for row in kind["rows"]}
    assert len(rows) == len(taught)
    for entry in taught:
        own = {f"/lessons/{name}/" for name, file in FILES.items() if entry in file["teaches"]}
        row = rows[f"/{entries[entry].folder}/{entry}/"]
        assert {lesson["address"] for lesson in row["lessons"]} == own
        assert row["count"] == counted(len(own))
    folders = [kind.folder for kind in KINDS]
    for kind in values["kinds"]:
        own = {
            name for name, file in FILES.items() if any(entries[one].folder == kind["id"] for one in file["teaches"])
        }
        assert kind["count"] == counted(len(own))
        assert [row["name"] for row in kind["rows"]] == sorted(row["name"] for row in kind["rows"])
    assert [folders.index(kind["id"]) for kind in values["kinds"]] == sorted(
        folders.index(kind["id"]) for kind in values["kinds"]
    )


def test_no_lessons_no_index(lanternfield: Loaded) -> None:
    assert list(LessonIndex(lanternfield.glossary, {})) == []
