"""Checks what handouts tell: tones by degree, fingers, corrections, and of a lesson's score what its rights allow."""

from __future__ import annotations

import datetime
from dataclasses import replace
from typing import Any

import pytest
from markupsafe import Markup

from understave.addresses.slugs import chord_places
from understave.answers.handouts import Handout
from understave.answers.project import Loaded
from understave.entries.values import Correction
from understave.lessons.lesson import Lesson
from understave.pages.chords import ChordPages
from understave.pages.handouts import HandoutPages, degrees_of, tones_by_degree
from understave.pages.lesson_pages import LessonPages
from understave.pages.page import Page
from understave.theory.chords import Chord
from understave.theory.symbols import read_symbol
from understave.theory.voicings import voice


def chord(symbol: str) -> Chord:
    found = read_symbol(symbol)[0].chord
    assert found
    return found


def pages(loaded: Loaded, *items: Chord | str) -> dict[str, Page]:
    """The pages of a site with one handout of some items."""
    one = replace(loaded, handouts={"sheet": Handout("A sheet", "", items)})
    return {page.address: page for page in HandoutPages(one)}


def cards(loaded: Loaded, *items: Chord | str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = pages(loaded, *items)["/handouts/sheet/"].values()["cards"]
    return found


@pytest.mark.parametrize(
    ("symbol", "tones"),
    [
        ("C", "C (root), E (3rd), G (5th)"),
        ("Abm7", "A♭ (root), C♭ (♭3rd), E♭ (5th), G♭ (♭7th)"),
        ("F/G", "F (root), A (3rd), C (5th), G (bass)"),
        ("D/F#", "D (root), F♯ (3rd), A (5th)"),
        ("C7#9", "C (root), E (3rd), G (5th), B♭ (♭7th), D♯ (♯9th)"),
    ],
)
def test_tones_stand_by_degree_and_a_foreign_bass_last(symbol: str, tones: str) -> None:
    assert Markup(tones_by_degree(chord(symbol))).striptags() == tones
    assert len(degrees_of(chord(symbol))) == tones.count("(")


def test_a_card_has_the_symbol_its_name_its_page_and_common_fingers(lanternfield: Loaded) -> None:
    triad, seventh, turned = cards(lanternfield, chord("Eb"), chord("Dm7"), chord("A/C#"))
    assert (triad["symbol"], triad["name"].striptags(), triad["page"]) == ("Eb", "E flat major", "/e-flat-major/")
    # common practice, from memory
    assert triad["fingers"].striptags() == "right 1-3-5, left 5-3-1"
    assert turned["fingers"].striptags() == "right 1-2-5, left 5-3-1"
    assert (seventh["fingers"], turned["page"]) == ("", "/a-major-first-inversion/")


def test_corrections_of_a_chord_and_of_its_parts_stand_on_its_card(lanternfield: Loaded) -> None:
    correction = Correction(datetime.date(2026, 3, 21), "one thing", "another", "a slip")
    entries = {name: replace(entry, corrected=None) for name, entry in lanternfield.glossary.entries.items()}
    entries["minor"] = replace(entries["minor"], corrected=correction)
    entries["eighth-pairs"] = replace(entries["eighth-pairs"], corrected=correction)
    loaded = replace(lanternfield, glossary=replace(lanternfield.glossary, entries=entries))
    minor, major, rhythm = cards(loaded, chord("Am/C"), chord("C"), "eighth-pairs")
    assert (minor["corrections"], major["corrections"], rhythm["corrections"]) == ([correction], [], [correction])


def test_each_rhythm_is_drawn_with_its_count_and_once_without(lanternfield: Loaded) -> None:
    page = pages(lanternfield, "eighth-pairs", chord("C"), "eighth-triplets")["/handouts/sheet/"]
    pairs, triad, triplets = page.values()["cards"]
    assert len(page.figures) == 5
    for card, name in ((pairs, "eighth notes in pairs"), (triplets, "eighth-note triplets")):
        counted, bare = page.figures[card["picture"]], page.figures[card["uncounted"]]
        assert counted.title == bare.title == card["name"] == name
        assert (counted.in_words, bare.in_words) == (True, False)
        assert counted.picture != bare.picture
    assert "uncounted" not in triad


def test_a_site_without_handouts_has_no_index_of_them(lanternfield: Loaded) -> None:
    assert list(HandoutPages(replace(lanternfield, handouts={}))) == []


def test_without_rights_nothing_of_the_score_is_on_a_lessons_sheet(lesson: Lesson, lanternfield: Loaded) -> None:
    def values(one: Lesson) -> dict[str, Any]:
        [page] = LessonPages(replace(lanternfield, lessons={one.id: one}))
        return {**page.values(), "figures": page.figures}

    own, none = values(lesson), values(replace(lesson, file=lesson.file.model_copy(update={"rights": None})))
    assert own["figures"]
    assert own["progression"]
    assert (none["figures"], none["progression"], none["measures"]) == ((), [], [])
    assert [row["symbol"] for row in none["chords"]] == [row["symbol"] for row in own["chords"]]


def test_a_lessons_sheet_has_each_of_its_chords_once(lesson: Lesson, lanternfield: Loaded) -> None:
    [page] = LessonPages(replace(lanternfield, lessons={lesson.id: lesson}))
    rows = page.values()["chords"]
    symbols = [row["symbol"] for row in rows]
    assert len(symbols) == len(set(symbols)) > 5
    assert set(symbols) == {
        row["symbol"] for line in page.values()["progression"] for cell in line for row in cell["symbols"]
    }
    for row in rows:
        assert Markup(row["tones"]).striptags().startswith(row["symbol"][0])


def test_a_chord_page_counts_the_same_degrees_as_its_table(lanternfield: Loaded) -> None:
    found = {page.address: page for page in ChordPages(lanternfield.glossary, {})}
    for address in ("/c-major/", "/a-flat-minor-ninth/", "/g-added-second/"):
        values = found[address].values()
        assert values["degrees"] == [row["degree"] for row in values["rows"]]
    names = [row["fingers"].striptags() for row in found["/f-sharp-minor/"].values()["inversions"]]
    # common practice, from memory
    assert names == ["right 1-3-5, left 5-3-1", "right 1-2-5, left 5-3-1", "right 1-3-5, left 5-2-1"]
    assert found["/f-sharp-minor-second-inversion/"].values()["fingers"].striptags() == "right 1-3-5, left 5-2-1"
    assert found["/c-dominant-seventh-third-inversion/"].values()["fingers"] == ""


def test_the_empty_keyboard_has_every_key_that_a_chord_of_the_site_needs(lanternfield: Loaded) -> None:
    """The committed picture goes from F2 (key 41) to C6 (84); a practice sheet must have room for each answer."""
    keys = set()
    for place in chord_places(lanternfield.glossary):
        degrees = lanternfield.glossary.chords[place.entry].degrees
        voicing = voice(Chord(place.root, degrees, place.root.at(degrees[place.inversion])))
        keys |= {pitch.key for pitch, _ in (*voicing.left, *voicing.right)}
    assert min(keys) >= 41
    assert max(keys) <= 84
