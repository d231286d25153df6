"""Checks the project's own entries: how many, that their symbols read, and that their texts keep to our bounds.

The bounds of texts are our own: an answer is read on a phone.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from understave.entries.prose import linked_ids
from understave.entries.reading import read_glossary
from understave.entries.schema import MUSICXML_KINDS
from understave.entries.values import (
    KINDS,
    AddedTone,
    ChordSymbol,
    CountingSystem,
    Entry,
    RhythmFigure,
    SlashChord,
    Term,
)
from understave.theory.house_style import print_suffix
from understave.theory.symbols import read_symbol
from understave.theory.tones import ROOTS, parse_degree

CONTENT = Path(__file__).parents[2] / "content"
FILES = sorted(CONTENT.glob("*/*.yaml"))
CHORDS = [path.stem for path in FILES if path.parent.name in ("chord-symbols", "added-tones")]
ENTRIES = [path.stem for path in FILES if path.parent.name in {kind.folder for kind in KINDS}]

LONGEST_SUMMARY = 110
FEWEST_WORDS, MOST_WORDS, MOST_IN_A_PARAGRAPH = 60, 180, 80
SYSTEMS = {"e-and-a", "trip-let", "takadimi", "eastman", "gordon", "kodaly"}
"""The systems whose ids are settled."""


def test_the_content_has_no_faults():
    glossary, faults = read_glossary(CONTENT)
    assert list(map(str, faults)) == []
    assert sorted(glossary.entries) == sorted(ENTRIES)


@pytest.mark.parametrize(
    ("kind", "least"),
    [(ChordSymbol, 60), (AddedTone, 12), (SlashChord, 12), (CountingSystem, 10), (RhythmFigure, 40), (Term, 40)],
    ids=lambda value: value.folder if isinstance(value, type) else str(value),
)
def test_there_are_enough_entries_of_each_kind(kind: type[Entry], least, glossary):
    assert len(glossary.of(kind)) >= least


def test_the_systems_of_settled_ids_are_there(glossary):
    assert set(glossary.of(CountingSystem)) >= SYSTEMS


@pytest.mark.parametrize("name", CHORDS)
def test_every_written_form_reads_to_its_entry_under_all_roots(name, glossary):
    entry = glossary.chords[name]
    for form in entry.written:
        for root in ROOTS:
            first = read_symbol(f"{root}{form}")[0].chord
            assert first is not None
            assert (first.root, first.bass, first.degrees) == (root, root, entry.degrees), f"{root}{form}"


@pytest.mark.parametrize("name", CHORDS)
def test_the_first_form_is_the_house_styles(name, glossary):
    entry = glossary.chords[name]
    assert entry.written[0] == print_suffix(entry.degrees)


@pytest.mark.parametrize("name", CHORDS)
def test_root_and_name_said_aloud_read_to_the_entry(name, glossary):
    entry = glossary.chords[name]
    accidentals = {-1: " flat", 0: "", 1: " sharp"}
    for root in ROOTS:
        for said in (f"{root} {entry.name}", f"{root.letter}{accidentals[root.alteration]} {entry.name}"):
            assert (root, entry.degrees) in [(r.chord.root, r.chord.degrees) for r in read_symbol(said) if r.chord], (
                said
            )


def test_second_senses_are_real_and_owned_by_another(glossary):
    """A form with several senses leads to an entry in each of them; a stated second sense is one of these."""
    owners = {form: name for name, entry in glossary.chords.items() for form in entry.written}
    ambiguous = 0
    for name, entry in glossary.chords.items():
        for form in entry.written:
            senses = [reading.chord.degrees for reading in read_symbol(f"C{form}") if reading.chord]
            ambiguous += len(senses) > 1
            for degrees in senses:
                assert degrees in glossary.by_degrees, f"C{form}"
        for also in entry.also_read:
            assert owners.get(also.as_, name) != name, f"{name} states {also.as_!r} of its own or nobody's form"
            assert entry.degrees in [
                reading.chord.degrees for reading in read_symbol(f"C{also.as_}")[1:] if reading.chord
            ]
    assert ambiguous >= 5


def test_an_added_tone_is_a_chord_with_one_tone_more(glossary):
    plain = {entry.degrees for entry in glossary.of(ChordSymbol).values()}
    for name, entry in glossary.of(AddedTone).items():
        rest = tuple(degree for degree in entry.degrees if degree != entry.adds)
        assert rest in plain, name
        assert not any(degree.number == 7 for degree in entry.degrees), name


def test_every_musicxml_kind_of_a_chord_has_its_entry(glossary):
    """MusicXML 4.0, kind-value: all but pedal, other and none are chords."""
    claimed = {entry.musicxml for entry in glossary.entries.values() if getattr(entry, "musicxml", None)}
    assert set(MUSICXML_KINDS) - claimed == {"pedal", "other", "none"}


@pytest.mark.parametrize("name", ENTRIES)
def test_a_summary_is_one_short_sentence(name, glossary):
    summary = glossary.entries[name].summary
    assert len(summary) <= LONGEST_SUMMARY
    assert "\n" not in summary
    assert summary.endswith(".")
    assert not re.search(r"[a-z0-9}][.!?] [A-Z]", summary)


@pytest.mark.parametrize("name", ENTRIES)
def test_a_text_is_a_few_short_paragraphs(name, glossary):
    text = glossary.entries[name].text
    paragraphs = re.split(r"\n\s*\n", text.strip())
    assert 2 <= len(paragraphs) <= 4
    assert FEWEST_WORDS <= len(text.split()) <= MOST_WORDS
    assert max(len(paragraph.split()) for paragraph in paragraphs) <= MOST_IN_A_PARAGRAPH
    assert all(paragraph.rstrip().endswith((".", "?", "!", ")", '"')) for paragraph in paragraphs)


@pytest.mark.parametrize("name", ENTRIES)
def test_a_text_links_onward_but_not_to_itself(name, glossary):
    targets = [target for _, target in linked_ids(glossary.entries[name].text)]
    assert name not in targets
    assert len(set(targets)) == len(targets)


def test_names_are_each_said_of_one_entry_of_a_kind(glossary):
    for kind in KINDS:
        names = [entry.name.casefold() for entry in glossary.of(kind).values()]
        assert len(set(names)) == len(names), kind.folder


def test_slash_patterns_have_their_bass_where_the_id_says(glossary):
    """Common practice: third, fifth and seventh in the bass are the first, second and third inversion."""
    places = {"first": 3, "second": 5, "third": 7}
    found = 0
    for name, entry in glossary.of(SlashChord).items():
        match = re.search(r"(first|second|third)-inversion$", name)
        if match:
            found += 1
            assert entry.bass.number == places[match[1]], name
    assert found >= 3
    assert glossary.entries["ninth-in-the-bass"].bass.simple == parse_degree("2")
