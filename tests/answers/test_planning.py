"""Checks what a lesson is the first to use at its level, what it leans on, and what is missing for it."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from understave.answers.planning import Missing, missing_for, plan_of
from understave.answers.project import Loaded
from understave.cli import main
from understave.lessons.planning import KINDS, plans, uses


@pytest.fixture(autouse=True)
def _in_demo(repository, monkeypatch):
    monkeypatch.chdir(repository)


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["explain", *arguments])


def test_everything_that_a_lesson_uses_is_new_once_at_its_level(lanternfield: Loaded):
    system = lanternfield.counting_system.system
    found = plans(lanternfield.lessons.values(), lanternfield.glossary, system)
    for level in ("beginner", "intermediate", "advanced"):
        own = [plan for plan in found.values() if plan.lesson.file.level == level]
        new = [(used.kind, used.name) for plan in own for used in plan.new if used.kind != "span"]
        assert len(new) == len(set(new))
        used = {(one.kind, one.name) for plan in own for one in uses(plan.lesson, lanternfield.glossary, system)}
        assert {one for one in used if one[0] != "span"} == set(new)


def test_a_lesson_leans_only_on_earlier_lessons_of_its_level(lanternfield: Loaded):
    for plan in plans(lanternfield.lessons.values(), lanternfield.glossary, None).values():
        for name, items in plan.leans.items():
            earlier = lanternfield.lessons[name]
            assert earlier.file.level == plan.lesson.file.level
            assert (earlier.file.date, earlier.id) < (plan.lesson.file.date, plan.lesson.id)
            brought = {(one.kind, one.name) for one in uses(earlier, lanternfield.glossary, None)}
            assert {(one.kind, one.name) for one in items} <= brought


def test_what_a_lesson_brings_in_words():
    lines = run("snail-on-the-gatepost", "--new").stdout.splitlines()
    assert lines[0].endswith("(beginner, 2026-04-11)")
    assert "  Inversions: first inversion (measure 2), second inversion (measure 13)" in lines
    assert "  Chord types: dominant seventh (measure 14)" in lines
    assert "  Auld Lang Syne in steady quarter notes: major" in lines
    assert not any("missing" in line for line in lines)


def test_the_json_names_kinds_places_and_pages():
    value = json.loads(run("paper-lanterns-at-low-tide", "--new", "--json").stdout)
    assert value["level"] == "intermediate"
    assert value["missing"] == []
    assert {one["kind"] for one in value["new"]} <= set(KINDS)
    assert {"kind": "division", "name": "12", "measure": 11, "semitones": None, "page": None} in value["new"]
    added = next(one for one in value["new"] if one["kind"] == "added-tone")
    assert (added["name"], added["measure"], added["page"]) == ("added-second", 1, "/added-tones/added-second/")
    assert [one["lesson"] for one in value["leans"]] == ["auld-lang-syne-with-a-walking-left-hand"]


def test_a_wider_span_is_new_and_a_narrower_one_is_not(lanternfield: Loaded):
    plan = plan_of(lanternfield.lessons["snow-on-the-boathouse"], lanternfield)
    assert [(used.name, used.size) for used in plan.new if used.kind == "span"] == [("left", 10), ("right", 11)]
    plan = plan_of(lanternfield.lessons["ferry-clock"], lanternfield)
    assert [used for used in plan.new if used.kind == "span"] == []


def test_what_the_glossary_lacks_is_listed(lanternfield: Loaded):
    lesson = lanternfield.lessons["paper-lanterns-at-low-tide"]
    ledger = lanternfield.ledger
    entries = {name: extent for name, extent in ledger.file.entries.items() if name not in ("minor-ninth", lesson.id)}
    bare = replace(lanternfield, ledger=replace(ledger, file=ledger.file.model_copy(update={"entries": entries})))
    assert set(missing_for(lesson, bare)) == {
        Missing("permalink", "minor-ninth"),
        Missing("permalink", lesson.id),
    }


def test_a_lesson_from_elsewhere_takes_its_place_by_its_date(lanternfield: Loaded):
    lesson = lanternfield.lessons["kite-over-the-allotments"]
    other = replace(lesson, id="elsewhere")
    plan = plan_of(other, lanternfield)
    assert {used.kind for used in plan.new} & {"symbol", "key"} == {"symbol", "key"}
    assert set(plan_of(lesson, replace(lanternfield, lessons={**lanternfield.lessons, "elsewhere": other})).leans) >= {
        "elsewhere"
    }


def test_new_stands_alone():
    result = run("ferry-clock", "--new", "--measure", "2")
    assert result.exit_code == 2
    assert "--new alone" in result.stderr


def test_a_level_has_a_page_with_its_rules_and_its_path(lanternfield: Loaded):
    from understave.pages.level_pages import LevelPages

    pages = {page.address: page for page in LevelPages(lanternfield)}
    assert list(pages) == ["/levels/beginner/", "/levels/intermediate/", "/levels/advanced/"]
    values = pages["/levels/beginner/"].values()
    assert "Notes that one hand holds at once: at most 2." in values["rules"]
    assert len(values["path"]) == 3
    kinds = dict(values["path"][0]["adds"])
    assert {"symbol": "Bb", "words": "", "page": "/b-flat-major/"} in kinds["Symbols"]
    assert list(LevelPages(replace(lanternfield, lessons={}))) == []


@pytest.mark.parametrize("level", ["beginner", "intermediate", "advanced"])
def test_each_lesson_leads_to_its_level(level, lanternfield: Loaded, repository: Path):
    from understave.pages.lesson_pages import LessonPages

    for page in LessonPages(lanternfield):
        values = page.values()
        if lanternfield.lessons[page.address.split("/")[2]].file.level == level:
            assert values["level_address"] == f"/levels/{level}/"
