"""Checks the glossary as a whole: its order, what it finds by degrees, and what is confused with what."""

from __future__ import annotations

import pytest

from understave.entries.faults import Faulty
from understave.entries.folders import entry_files, shown_path
from understave.entries.glossary import Glossary
from understave.entries.kept import load_glossary
from understave.entries.reading import read_glossary
from understave.entries.values import AddedTone, ChordSymbol, SlashChord, Term
from understave.theory.tones import parse_degree

MAJOR, MINOR, TERM = "chord-symbols/major.yaml", "chord-symbols/minor.yaml", "terms/measure.yaml"


def test_every_kind_is_read_by_its_folder(small_content, write_files):
    glossary = load_glossary(write_files(small_content))
    assert {name: entry.folder for name, entry in glossary.entries.items()} == {
        path.partition("/")[2].removesuffix(".yaml"): path.partition("/")[0] for path in small_content
    }
    assert list(glossary.of(ChordSymbol)) == ["major", "minor"]
    assert list(glossary.of(SlashChord)) == ["first-inversion"]


def test_chords_go_from_simple_to_extended(glossary):
    names = list(glossary.chords)
    expected = [
        "power-chord",
        "major",
        "major-sixth",
        "dominant-seventh",
        "dominant-ninth",
        "dominant-eleventh",
        "dominant-thirteenth",
    ]
    assert sorted(expected, key=names.index) == expected
    tops = [max(5, *(degree.number for degree in entry.degrees)) for entry in glossary.chords.values()]
    assert tops == sorted(tops)


def test_chords_hold_types_and_added_tones_and_nothing_else(glossary):
    assert set(glossary.chords) == set(glossary.of(ChordSymbol)) | set(glossary.of(AddedTone))


def test_degrees_lead_to_their_one_entry(glossary):
    for name, entry in glossary.chords.items():
        assert glossary.by_degrees[entry.degrees] == name
    assert len(glossary.by_degrees) == len(glossary.chords)
    assert glossary.by_degrees[tuple(map(parse_degree, ("1", "b3", "b5", "bb7")))] == "diminished-seventh"


def test_a_confusion_stated_on_one_side_stands_on_both(small_content, write_files):
    glossary = load_glossary(write_files(small_content))
    assert glossary.confusions["major"] == ("minor",)
    assert glossary.confusions["minor"] == ("major",)
    assert glossary.confusions["measure"] == ()


def test_what_an_entry_states_itself_comes_first(small_content, write_files):
    minor = small_content[MINOR] + "easily_confused_with: [added-ninth]\n"
    glossary = load_glossary(write_files({**small_content, MINOR: minor}))
    assert glossary.confusions["minor"] == ("added-ninth", "major")


def test_confusions_are_mutual_and_never_with_oneself(glossary):
    for name, others in glossary.confusions.items():
        assert name not in others
        assert len(set(others)) == len(others)
        for other in others:
            assert name in glossary.confusions[other]


def test_guides_replies_and_dot_files_are_no_entries(small_content, write_files):
    extra = {
        "guides/start.md": "# Start\n",
        "replies/de/thanks.yaml": "x\n",
        ".hidden/a.yaml": "x",
        "terms/.swap.yaml": "x",
    }
    glossary, faults = read_glossary(write_files({**small_content, **extra}))
    assert faults == []
    assert len(glossary.entries) == len(small_content)


def test_the_files_come_in_one_order(small_content, write_files):
    backwards = dict(reversed(small_content.items()))
    paths = [path.as_posix() for path, _, _ in entry_files(write_files(backwards))]
    assert paths == sorted(f"content/{path}" for path in small_content)


def test_entries_that_read_come_back_beside_the_faults_of_the_rest(small_content, write_files):
    content = write_files({**small_content, TERM: "name: 4\n"})
    glossary, faults = read_glossary(content)
    assert faults
    assert "major" in glossary.entries
    assert "measure" not in glossary.entries
    with pytest.raises(Faulty):
        load_glossary(content)


def test_links_and_confusions_with_a_broken_entry_are_no_faults_of_their_own(small_content, write_files):
    broken = small_content[MINOR].replace("name: minor", "name: 4")
    faults = read_glossary(write_files({**small_content, MINOR: broken}))[1]
    assert [str(fault) for fault in faults] == [
        "content/chord-symbols/minor.yaml:1:7: a number, '4'; text in quotes; put quotes round \"4\""
    ]


def test_paths_are_shown_from_the_current_folder_and_whole_outside_of_it(in_folder, repository):
    (in_folder / "content").mkdir()
    assert shown_path(in_folder / "content" / "a.yaml") == "content/a.yaml"
    assert shown_path(repository / "content") == (repository / "content").as_posix()


def test_an_empty_glossary_answers_too():
    assert Glossary().chords == {}
    assert Glossary().confusions == {}
    assert Glossary().of(Term) == {}
