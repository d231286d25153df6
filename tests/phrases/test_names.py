"""Checks how chords are said."""

from __future__ import annotations

import pytest

from understave.phrases.names import chord_name
from understave.theory.chords import Chord
from understave.theory.symbols import read_symbol
from understave.theory.tones import ROOTS


@pytest.mark.parametrize(
    ("symbol", "name"),
    [
        ("Abm11", "A flat minor eleventh"),
        ("C/E", "C major over E"),
        ("F#m7b5/E", "F sharp half-diminished seventh over E"),
        ("Bb/C", "B flat major over C"),
        ("Fadd2", "F added second"),
        ("C7(add4)", "C dominant seventh with added fourth"),
    ],
)
def test_a_chord_is_said_by_root_name_and_bass(symbol, name, glossary):
    whole = read_symbol(symbol)[0].chord
    assert whole is not None
    assert chord_name(whole, glossary) == name


def test_every_chord_with_an_entry_is_said_by_its_name(glossary):
    names = {chord_name(Chord(root, entry.degrees), glossary) for entry in glossary.chords.values() for root in ROOTS}
    assert len(names) == 21 * len(glossary.chords)


def test_what_is_said_of_a_chord_leaves_no_tone_out(glossary):
    """A chord put together from parts is said with all of them, or by its symbol; never as less than it is."""
    for symbol in (
        "C7(add4)",
        "Cm7b9b13",
        "Cmaj7(add6)",
        "C6(add11)",
        "Cm(add9,add11)",
        "C(no3)",
        "Cmaj7sus2b5",
        "C7(no5)",
    ):
        whole = read_symbol(symbol)[0].chord
        assert whole is not None
        said = chord_name(whole, glossary)
        plain = {name: f"C {entry.name}" for name, entry in glossary.chords.items()}
        same = [name for name, words in plain.items() if words == said]
        assert not same or glossary.chords[same[0]].degrees == whole.degrees, f"{symbol} is said {said!r}"


def test_a_chord_that_no_entry_explains_is_said_by_its_symbol(small_content, write_files):
    from understave.entries.kept import load_glossary

    small = load_glossary(write_files(small_content))
    whole = read_symbol("Bbsus4")[0].chord
    assert whole is not None
    assert chord_name(whole, small) == "B♭sus4"
