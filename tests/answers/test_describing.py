"""Checks the text block for a video's description against what video sites ask of it (common practice)."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from understave.addresses.slugs import address_of_chord, address_of_entry, address_of_lesson, chord_places
from understave.answers.describing import LIMIT, describe, first_met, page_of
from understave.answers.project import Loaded
from understave.lessons.lesson import Lesson, Met
from understave.lessons.schema import Section, Stretch
from understave.lessons.times import parse_time
from understave.theory.symbols import read_symbol

LESSONS = sorted(
    path.stem for path in (Path(__file__).parents[2] / "site_examples/lanternfield/lessons").glob("*.yaml")
)


@pytest.fixture
def site(lanternfield) -> str:
    return lanternfield.project.site_url


def described(lesson: Lesson, loaded: Loaded, site: str = "") -> str:
    return describe(lesson, loaded.glossary, site or loaded.project.site_url, loaded.counting_system)


def chapters(text: str) -> list[tuple[int, str]]:
    found = [re.match(r"(\d+(?::\d\d){1,2}) (.+)", line) for line in text.splitlines()]
    return [(parse_time(match[1]), match[2]) for match in found if match]


@pytest.mark.parametrize("name", LESSONS)
def test_the_lessons_link_stands_in_the_first_hundred_characters(name, lanternfield, site):
    text = described(lanternfield.lessons[name], lanternfield)
    assert f"{site.rstrip('/')}/lessons/{name}/" in text[:100]


@pytest.mark.parametrize("name", LESSONS)
def test_chapters_start_at_0_and_lie_ten_seconds_apart(name, lanternfield, site):
    lesson = lanternfield.lessons[name]
    found = chapters(described(lesson, lanternfield))
    assert found == [(section.at, section.name) for section in lesson.file.sections]
    assert found[0][0] == 0
    assert len(found) >= 3
    assert all(later - earlier >= 10 for (earlier, _), (later, _) in pairwise(found))


@pytest.mark.parametrize("name", LESSONS)
def test_a_description_fits_and_is_the_same_every_time(name, lanternfield, site):
    text = described(lanternfield.lessons[name], lanternfield)
    assert len(text) < LIMIT == 5000
    assert text == described(lanternfield.lessons[name], lanternfield)
    assert "<" not in text
    assert ">" not in text


@pytest.mark.parametrize("name", LESSONS)
def test_every_link_leads_to_a_page(name, lanternfield, site):
    glossary = lanternfield.glossary
    pages = {address_of_chord(place) for place in chord_places(glossary)}
    pages |= {address_of_entry(entry, value) for entry, value in glossary.entries.items()}
    pages |= {address_of_lesson(lesson) for lesson in lanternfield.lessons}
    links = re.findall(r"https://\S+", described(lanternfield.lessons[name], lanternfield))
    assert len(links) > 5
    for link in links:
        assert link.removeprefix(site.rstrip("/")) in pages


def test_each_symbol_stands_once_with_the_place_where_it_is_met_first(lesson, glossary, lanternfield):
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
    text = described(lesson, lanternfield, "https://x.example")
    assert "Gm9 (G minor ninth), first in measure 3, at 1:22: https://x.example/g-minor-ninth/\n" in text
    assert "F/A (F major over A), first in measure 6, at 2:16: https://x.example/f-major-first-inversion/\n" in text
    assert text.count("Gm9 (") == 1


def test_a_symbol_that_is_never_heard_has_no_time(lesson, glossary, lanternfield):
    unheard = replace(lesson, symbols=tuple(replace(met, seconds=None) for met in lesson.symbols))
    text = described(unheard, lanternfield, "https://x.example")
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


def test_a_long_description_is_cut_by_whole_lines_and_keeps_its_chapters(lesson, glossary, lanternfield):
    text = described(many_symbols(lesson, glossary), lanternfield, "https://x.example")
    assert 4500 < len(text) < LIMIT
    assert chapters(text) == [(section.at, section.name) for section in lesson.file.sections]
    assert all(line.endswith("/") for line in text.splitlines() if "first in measure" in line)


def test_a_description_fits_whatever_the_file_holds(lesson, glossary, lanternfield):
    sections = tuple(
        Section.model_validate({"name": f"Part {n} " + "x" * 80, "at": f"{n // 6}:{n % 6}0"}) for n in range(90)
    )
    long = replace(lesson, file=lesson.file.model_copy(update={"sections": sections}))
    assert len(described(long, lanternfield, "https://x.example")) < LIMIT
    titled = replace(lesson, file=lesson.file.model_copy(update={"title": "x" * 6000}))
    assert len(described(titled, lanternfield, "https://x.example")) < LIMIT


def test_a_lesson_that_meets_no_chord_is_described_too(lesson, glossary, lanternfield):
    bare = replace(lesson, symbols=())
    text = described(bare, lanternfield, "https://x.example")
    assert "Chord symbols" not in text
    assert len(chapters(text)) == len(lesson.file.sections)


def sections(lesson: Lesson, *times: str) -> Lesson:
    found = tuple(Section.model_validate({"name": f"Part {n}", "at": at}) for n, at in enumerate(times, 1))
    return replace(lesson, file=lesson.file.model_copy(update={"sections": found}))


def test_sections_too_near_share_a_chapter(lesson, lanternfield):
    """Common practice: chapters lie at least ten seconds apart."""
    near = sections(lesson, "0:00", "0:06", "0:09", "0:12", "0:22", "0:31", "1:00")
    assert chapters(described(near, lanternfield)) == [
        (0, "Part 1 / Part 2 / Part 3"),
        (12, "Part 4"),
        (22, "Part 5 / Part 6"),
        (60, "Part 7"),
    ]


def test_stretches_of_playing_fill_up_to_three_chapters(lesson, lanternfield):
    """Common practice: video sites take no list of fewer than three chapters."""
    few = sections(lesson, "0:00", "2:00")
    heard = tuple(
        Stretch.model_validate({"from": begin, "to": end, "measures": measures, "hands": hands, "tempo": tempo})
        for begin, end, measures, hands, tempo in (
            ("0:05", "0:41", "1-16", "both", "at tempo"),
            ("1:00", "1:05", "3", "left", "slow"),
            ("1:55", "1:58", "4-5", "right", "slow"),
            ("2:10", "2:20", "4-5", "both", "slow"),
        )
    )
    few = replace(few, file=few.file.model_copy(update={"heard": heard}))
    assert chapters(described(few, lanternfield)) == [
        (0, "Part 1"),
        (60, "Measure 3, left hand, slowly"),
        (120, "Part 2"),
        (130, "Measures 4 to 5, both hands, slowly"),
    ]
    alone = replace(few, file=few.file.model_copy(update={"heard": (), "sections": few.file.sections[:1]}))
    assert chapters(described(alone, lanternfield)) == [(0, "Part 1")]


def test_a_long_description_says_what_it_leaves_out_and_where_that_is(lesson, glossary, lanternfield):
    """What the lesson teaches gives way first, then rhythms, then symbols."""
    text = described(many_symbols(lesson, glossary), lanternfield, "https://x.example")
    blocks = {block.splitlines()[0]: block.splitlines()[1:] for block in text.split("\n\n")}
    assert blocks["What this lesson teaches"] == [f"{len(lesson.file.teaches)} more on the lesson's page"]
    left = [lines[-1] for head, lines in blocks.items() if head.startswith(("How the", "Chord symbols"))]
    assert all(re.fullmatch(r"\d+ more on the lesson's page", line) for line in left)
    symbols = blocks["Chord symbols you meet, in order"]
    assert len(symbols) - 1 + int(symbols[-1].split()[0]) == len(first_met(many_symbols(lesson, glossary), glossary))


def test_the_rhythm_is_counted_as_the_lessons_page_has_it(lesson, lanternfield):
    text = described(lesson, lanternfield, "https://x.example")
    block = next(block for block in text.split("\n\n") if block.startswith("How the rhythm is counted"))
    assert block.splitlines()[1] == "Brackets mean: no new note starts here; say it softly."
    assert "Measure 11. Count: 1 & a 2 & a 3 &. Beats 1 and 2: a triplet divides the beat in three" in block
    assert (
        "From triplets to eighths, first in measure 11, at 2:58. Right hand: 1 & a 2 & a 3 & "
        "https://x.example/rhythm-figures/triplets-to-eighths/"
    ) in block.splitlines()


def test_a_glossary_without_counting_systems_describes_without_counts(lesson, lanternfield):
    text = describe(lesson, lanternfield.glossary, "https://x.example", None)
    assert "Count:" not in text
    assert "From triplets to eighths, first in measure 11, at 2:58. https://x.example/rhythm" in text


def test_a_line_stays_a_line_and_has_no_angle_brackets(lesson, lanternfield):
    """Common practice: video sites refuse angle brackets in descriptions."""
    odd = (Section(name="One <b>\nTwo", at="0:00"), *lesson.file.sections[1:])  # type: ignore[arg-type]
    text = described(replace(lesson, file=lesson.file.model_copy(update={"sections": odd})), lanternfield)
    assert "0:00 One ‹b› Two\n" in text
