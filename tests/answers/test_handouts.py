"""Hand-picked handouts: what a list may name, and one line with file and place for what it may not."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from understave.answers.handouts import MOST, Handout, read_handouts
from understave.answers.project import Loaded
from understave.entries.glossary import Glossary
from understave.theory.chords import Chord
from understave.theory.symbols import read_symbol

Read = Callable[..., tuple[dict[str, Handout], list[str]]]


@pytest.fixture
def read(in_folder: Path, glossary: Glossary) -> Read:
    """Read a handout of some text; returns the handouts and the faults as lines."""

    def found(text: str, name: str = "sheet.yaml", known: Glossary | None = glossary):
        path = in_folder / "content" / "handouts" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
        handouts, faults = read_handouts(Path("content"), known)
        return handouts, list(map(str, faults))

    return found


def chord(symbol: str) -> Chord:
    found = read_symbol(symbol)[0].chord
    assert found
    return found


def sheet(entries: str) -> str:
    return f"title: A sheet\nentries: [{entries}]\n"


def test_a_handout_names_chords_in_every_way_and_rhythms(read: Read) -> None:
    named = "Abm9, D/F#, /a-flat-minor-seventh/, /c-major-first-inversion/, minor-ninth, second-inversion"
    named += ", eighth-triplets, /rhythm-figures/eighth-pairs/"
    handouts, faults = read(f"title: A sheet\nintro: Begin slowly.\nentries: [{named}]\n")
    assert faults == []
    handout = handouts["sheet"]
    assert (handout.title, handout.intro) == ("A sheet", "Begin slowly.")
    chords = tuple(map(chord, ("Abm9", "D/F#", "Abm7", "C/E", "Cm9", "C/G")))
    assert handout.items == (*chords, "eighth-triplets", "eighth-pairs")


def test_a_symbol_of_several_senses_is_its_likeliest(read: Read) -> None:
    assert read(sheet("C2"))[0]["sheet"].items == (read_symbol("C2")[0].chord,)


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        (sheet("C, minor-nineth"), "sheet.yaml:2:14: 'minor-nineth'; a chord symbol, the address of a chord's page, or "
                                   "the id of a chord or rhythm; nearest: 'minor-ninth'"),
        (sheet("C, H7"), "sheet.yaml:2:14: 'H7'; a chord symbol,"),
        (sheet("/c-major/, /c-majer/"), "sheet.yaml:2:22: the address '/c-majer/'; "),
        (sheet("/c-major"), "sheet.yaml:2:11: the address '/c-major'; "),
        (sheet("/terms/chord-symbol/"), "sheet.yaml:2:11: 'chord-symbol', which is neither chord nor rhythm (terms)"),
        (sheet("/chord-symbols/added-ninth/"), "sheet.yaml:2:11: the address '/chord-symbols/added-ninth/'; "),
        (sheet("measure"), "sheet.yaml:2:11: 'measure', which is neither chord nor rhythm (terms)"),
        (sheet("N.C."), "sheet.yaml:2:11: 'N.C.', which is no chord"),
        (sheet("C, Dm, CM"), "sheet.yaml:2:18: 'CM' a second time; each of them once"),
        (sheet(", ".join("CDEFGAB") + ", Am, Bm"), "sheet.yaml:2:36: 9 entries; at most 8 on one sheet"),
        (sheet(""), "sheet.yaml:2:10: too few items; at least 1"),
        ("title: A sheet\n", "sheet.yaml:1:1: no 'entries'"),
        ("title: A sheet\nentries: C\n", "sheet.yaml:2:10: 'C'; a list in brackets"),
        ("title: A sheet\nentry: [C]\n", "sheet.yaml:2:1: the key 'entry'; one of title, intro, entries; nearest: "),
        ("title: 12\nentries: [C]\n", "sheet.yaml:1:8: "),
        (f"title: {'A' * 201}\nentries: [C]\n", "sheet.yaml:1:8: 201 characters; at most 200"),
        (f"title: A sheet\nintro: {'A' * 3001}\nentries: [C]\n", "sheet.yaml:2:8: 3001 characters; at most 3000"),
        ("- C\n- D\n", "sheet.yaml:1:1: a list or a bare text; a mapping of keys to values"),
        ("title: [\n", "sheet.yaml:"),
    ],
)  # fmt: skip
def test_a_fault_is_one_line_with_file_place_and_the_nearest_right_thing(read: Read, text: str, fault: str) -> None:
    handouts, faults = read(text)
    assert handouts == {}
    assert any(line.startswith(f"content/handouts/{fault}") for line in faults), faults
    assert all("\n" not in line for line in faults)


def test_the_nearest_address_is_told(read: Read) -> None:
    [fault] = read(sheet("/c-majer/"))[1]
    assert fault.endswith("nearest: '/c-major/'")


@pytest.mark.parametrize("name", ["sheet.yml", "sheet.md", "My Sheet.yaml"])
def test_a_file_of_another_name_is_a_fault(read: Read, name: str) -> None:
    handouts, faults = read(sheet("C"), name)
    assert len(faults) == 1
    assert faults[0].startswith(f"content/handouts/{name}:1:1: ")
    assert handouts == {}


def test_what_a_list_names_is_not_held_against_entries_that_do_not_read(read: Read) -> None:
    assert read(sheet("nothing-known"), known=None) == ({}, [])


def test_as_many_as_one_sheet_holds_may_be_picked(read: Read) -> None:
    handouts, faults = read(sheet(", ".join("CDEFGAB") + ", Am"))
    assert faults == []
    assert len(handouts["sheet"].items) == MOST


def test_the_example_site_has_handouts_of_chords_and_of_rhythms(lanternfield: Loaded) -> None:
    kinds = {type(item) for handout in lanternfield.handouts.values() for item in handout.items}
    assert kinds == {Chord, str}
