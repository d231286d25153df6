"""Checks that a chord leads to its own entry, or to those of its parts, and to its slash pattern."""

from __future__ import annotations

import pytest

from understave.entries.kept import load_glossary
from understave.entries.lookup import Parts, parts_of, suffix_of, symbol_of
from understave.theory.chords import Chord
from understave.theory.symbols import read_symbol
from understave.theory.tones import ROOTS, Tone


def chord(symbol: str) -> Chord:
    found = read_symbol(symbol)[0].chord
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("symbol", "parts"),
    [
        ("C", Parts("major", "major")),
        ("Ebm9", Parts("minor-ninth", "minor-ninth")),
        ("Gadd9", Parts("added-ninth", "added-ninth")),
        ("C/E", Parts("major", "major", (), "first-inversion")),
        ("C/G", Parts("major", "major", (), "second-inversion")),
        ("G7/F", Parts("dominant-seventh", "dominant-seventh", (), "third-inversion")),
        ("Cm/Eb", Parts("minor", "minor", (), "minor-first-inversion")),
        ("Bb/C", Parts("major", "major", (), "subdominant-over-dominant")),
    ],
)
def test_a_chord_leads_to_its_entry_and_pattern(symbol, parts, glossary):
    assert parts_of(chord(symbol), glossary) == parts


def test_a_chord_without_an_entry_is_put_together(glossary):
    parts = parts_of(chord("C7(add4)"), glossary)
    assert parts.own is None
    assert (parts.base, parts.added) == ("dominant-seventh", ("added-fourth",))
    assert parts.ids == ("dominant-seventh", "added-fourth")


def test_parts_name_only_entries_that_lie_within_the_chord(glossary):
    for suffix in ("7(add4)", "m7b9b13", "maj7(add6)", "6(add11)", "m(add9,add11)", "sus4(add9)", "(no3)", "(no5)"):
        whole = chord("C" + suffix)
        parts = parts_of(whole, glossary)
        if parts.base:
            assert set(glossary.chords[parts.base].degrees) <= set(whole.degrees)
        for name in parts.added:
            assert glossary.entries[name].adds in whole.degrees


def test_every_pattern_is_found_for_its_own_example(glossary):
    """An example may be the example of a more telling pattern too; it always has one."""
    for symbol in ("C/E", "C/G", "G7/F", "Cm/Eb", "Cm/G", "Cm7/Eb", "F/G", "C/Bb", "Cmaj7/B", "Am/G"):
        found = parts_of(chord(symbol), glossary).slash
        assert found is not None, symbol
        pattern = glossary.entries[found]
        whole = chord(symbol)
        assert whole.root.degree_of(whole.bass) == pattern.bass.simple


def test_a_symbol_is_printed_as_its_entry_has_it(glossary):
    assert symbol_of(chord("C-7b5"), glossary) == "Cm7b5"
    assert symbol_of(chord("c2"), glossary) == "Cadd2"
    assert symbol_of(chord("Ab△7/C"), glossary) == "Abmaj7/C"
    for name, entry in glossary.chords.items():
        assert suffix_of(entry.degrees, glossary) == entry.written[0], name


def test_a_symbol_reads_back_to_its_chord_under_every_root(glossary):
    for entry in glossary.chords.values():
        for root in ROOTS:
            whole = Chord(root, entry.degrees, root.at(entry.degrees[1]))
            again = [reading.chord for reading in read_symbol(symbol_of(whole, glossary))]
            assert whole in again


def test_a_small_glossary_explains_what_it_can(small_content, write_files):
    glossary = load_glossary(write_files(small_content))
    assert parts_of(chord("C7"), glossary) == Parts(None, "major")
    assert parts_of(chord("C(add9)"), glossary).own == "added-ninth"
    assert parts_of(chord("Csus4"), glossary) == Parts(None, None)
    assert parts_of(Chord(Tone("C"), chord("C").degrees, Tone("D")), glossary).slash is None
