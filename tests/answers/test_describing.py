"""Checks the text block for a video's description against what video sites ask of it (common practice)."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from understave.addresses.slugs import address_of_chord, address_of_entry, address_of_lesson, chord_places
from understave.answers.describing import LIMIT, describe, first_met, page_of
from understave.lessons.lesson import Lesson, Met
from understave.lessons.schema import Section
from understave.lessons.times import parse_time
from understave.theory.symbols import read_symbol

LESSONS = sorted(
    path.stem for path in (Path(__file__).parents[2] / "site_examples/lanternfield/lessons").glob("*.yaml")
)


@pytest.fixture
def site(lanternfield) -> str:
    return lanternfield.project.site_url


def chapters(text: str) -> list[tuple[int, str]]:
    found = [re.match(r"(\d+(?::\d\d){1,2}) (.+)", line) for line in text.splitlines()]
    return [(parse_time(match[1]), match[2]) for match in found if match]


@pytest.mark.parametrize("name", LESSONS)
def test_the_lessons_link_stands_in_the_first_hundred_characters(name, lanternfield, site):
    text = describe(lanternfield.lessons[name], lanternfield.glossary, site)
    assert f"{site.rstrip('/')}/lessons/{name}/" in text[:100]


@pytest.mark.parametrize("name", LESSONS)
def test_chapters_start_at_0_and_lie_ten_seconds_apart(name, lanternfield, site):
    lesson = lanternfield.lessons[name]
    found = chapters(describe(lesson, lanternfield.glossary, site))
    assert found == [(section.at, section.name) for section in lesson.file.sections]
    assert found[0][0] == 0
    assert len(found) >= 3
    assert all(later - earlier >= 10 for (earlier, _), (later, _) in pairwise(found))


@pytest.mark.parametrize("name", LESSONS)
def test_a_description_fits_and_is_the_same_every_time(name, lanternfield, site):
    text = describe(lanternfield.lessons[name], lanternfield.glossary, site)
    assert len(text) <= LIMIT == 5000
    assert text == describe(lanternfield.lessons[name], lanternfield.glossary, site)
    assert "<" not in text
    assert ">" not in text


@pytest.mark.parametrize("name", LESSONS)
def test_every_link_leads_to_a_page(name, lanternfield, site):
    glossary = lanternfield.glossary
    pages = {address_of_chord(place) for place in chord_places(glossary)}
    pages |= {address_of_entry(entry, value) for entry, value in glossary.entries.items()}
    pages |= {address_of_lesson(lesson) for lesson in lanternfield.lessons}
    links = re.findall(r"https://\S+", describe(lanternfield.lessons[name], glossary, site))
    assert len(links) > 5
    for link in links:
        assert link.removeprefix(site.rstrip("/")) in pages


def test_each_symbol_stands_once_with_the_place_where_it_is_met_first(lesson, glossary):
    firsts = first_met(lesson, glossary)
    assert [(str(first.chord.root), first.met.measure, first.met.seconds) for first in firsts] == [
        ("F", 1, 6),
        ("D", 2, 8),
        ("G", 3, 82),
        ("C", 4, 127),
        ("F", 5, 14),
        ("F", 6, 136),
        ("Bb", 7, 136),
        ("Bb", 8, 136),
        ("D", 9, 22),
        ("A", 10, 24),
    ]
    text = describe(lesson, glossary, "https://x.example")
    assert "Gm9 (G minor ninth), first in measure 3, at 1:22: https://x.example/g-minor-ninth/\n" in text
    assert "F/A (F major over A), first in measure 6, at 2:16: https://x.example/f-major-first-inversion/\n" in text
    assert text.count("Gm9 (") == 1


def test_a_symbol_that_is_never_heard_has_no_time(lesson, glossary):
    unheard = replace(lesson, symbols=tuple(replace(met, seconds=None) for met in lesson.symbols))
    text = describe(unheard, glossary, "https://x.example")
    assert "Gm9 (G minor ninth), first in measure 3: https://x.example/g-minor-ninth/\n" in text


@pytest.mark.parametrize(
    ("symbol", "page"),
    [
        ("C", "/c-major/"),
        ("C/E", "/c-major-first-inversion/"),
        ("Bb/C", "/slash-chords/subdominant-over-dominant/"),
        ("C#m7/E", "/c-sharp-minor-seventh-first-inversion/"),
        ("Bbb", "/chord-symbols/major/"),
        ("C7(add4)", "/c-dominant-seventh/"),
        ("Fadd2", "/f-added-second/"),
        ("C6", "/c-major-sixth/"),
    ],
)
def test_a_chord_leads_to_the_page_that_explains_it_best(symbol, page, glossary):
    chord = read_symbol(symbol)[0].chord
    assert chord is not None
    assert page_of(chord, glossary) == page


def many_symbols(lesson: Lesson, glossary) -> Lesson:
    chords = [
        read_symbol(f"{root}{entry.written[0]}")[0].chord
        for entry in glossary.chords.values()
        for root in ("C", "Ab", "F#")
    ]
    met = lesson.symbols[0]
    return replace(
        lesson, symbols=tuple(Met(chord, met.measure, met.beat, met.in_beat, met.at, met.seconds) for chord in chords)
    )


def test_a_long_description_is_cut_by_whole_lines_and_keeps_its_chapters(lesson, glossary):
    text = describe(many_symbols(lesson, glossary), glossary, "https://x.example")
    assert 4500 < len(text) <= LIMIT
    assert chapters(text) == [(section.at, section.name) for section in lesson.file.sections]
    assert all(line.endswith("/") for line in text.splitlines() if "first in measure" in line)


def test_a_description_fits_whatever_the_file_holds(lesson, glossary):
    sections = tuple(
        Section.model_validate({"name": f"Part {n} " + "x" * 80, "at": f"{n // 6}:{n % 6}0"}) for n in range(90)
    )
    long = replace(lesson, file=lesson.file.model_copy(update={"sections": sections}))
    assert len(describe(long, glossary, "https://x.example")) <= LIMIT
    titled = replace(lesson, file=lesson.file.model_copy(update={"title": "x" * 6000}))
    assert len(describe(titled, glossary, "https://x.example")) <= LIMIT


def test_a_lesson_that_meets_no_chord_is_described_too(lesson, glossary):
    bare = replace(lesson, symbols=())
    text = describe(bare, glossary, "https://x.example")
    assert "first in measure" not in text
    assert len(chapters(text)) == len(lesson.file.sections)
