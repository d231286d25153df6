"""Checks worked spellings of the kind that harmony handbooks print; every table here is from memory."""

from __future__ import annotations

from pathlib import Path

import pytest

from understave.entries.kept import load_glossary
from understave.entries.values import Term
from understave.theory.keys import Key, homes
from understave.theory.symbols import read_symbol
from understave.theory.tones import parse_degree, parse_tone

CONTENT = Path(__file__).parents[2] / "content"
GLOSSARY = load_glossary(CONTENT)

# The dominant seventh chord of each major key (handbook table, from memory).
DOMINANT_SEVENTHS = {
    "Cb": "Gb Bb Db Fb", "Gb": "Db F Ab Cb", "Db": "Ab C Eb Gb", "Ab": "Eb G Bb Db", "Eb": "Bb D F Ab",
    "Bb": "F A C Eb", "F": "C E G Bb", "C": "G B D F", "G": "D F# A C", "D": "A C# E G", "A": "E G# B D",
    "E": "B D# F# A", "B": "F# A# C# E", "F#": "C# E# G# B", "C#": "G# B# D# F#",
}  # fmt: skip

# The fully diminished seventh on the leading tone of each minor key (handbook table, from memory).
LEADING_TONE_SEVENTHS = {
    "Ab": "G Bb Db Fb", "Eb": "D F Ab Cb", "Bb": "A C Eb Gb", "F": "E G Bb Db", "C": "B D F Ab", "G": "F# A C Eb",
    "D": "C# E G Bb", "A": "G# B D F", "E": "D# F# A C", "B": "A# C# E G", "F#": "E# G# B D", "C#": "B# D# F# A",
    "G#": "F## A# C# E", "D#": "C## E# G# B", "A#": "G## B# D# F#",
}  # fmt: skip


def tones(symbol: str) -> list[str]:
    chord = read_symbol(symbol)[0].chord
    assert chord is not None
    return [str(tone) for tone in chord.tones]


@pytest.mark.parametrize(("key", "spelled"), DOMINANT_SEVENTHS.items())
def test_the_dominant_seventh_of_each_major_key(key: str, spelled: str) -> None:
    # handbook table, from memory
    dominant = parse_tone(key).at(parse_degree("5"))
    assert tones(f"{dominant}7") == spelled.split()
    chord = read_symbol(f"{dominant}7")[0].chord
    assert chord is not None
    assert "V7" in [home.numeral for home in homes(chord) if home.key == Key(parse_tone(key), False)]


@pytest.mark.parametrize(("key", "spelled"), LEADING_TONE_SEVENTHS.items())
def test_the_diminished_seventh_on_the_leading_tone_of_each_minor_key(key: str, spelled: str) -> None:
    # handbook table, from memory
    leading = parse_tone(key).at(parse_degree("7"))
    assert tones(f"{leading}dim7") == spelled.split()
    chord = read_symbol(f"{leading}dim7")[0].chord
    assert chord is not None
    assert [home.numeral for home in homes(chord)] == ["vii°7"]


@pytest.mark.parametrize(
    ("term", "spelled"),
    # augmented sixths of C minor, the Neapolitan of C minor (handbook examples, from memory)
    [
        ("german-sixth", "Ab C Eb F#"),
        ("french-sixth", "Ab C D F#"),
        ("italian-sixth", "Ab C F#"),
        ("neapolitan-chord", "F Ab Db"),
    ],
)
def test_the_named_chords_in_c_minor(term: str, spelled: str) -> None:
    entry = GLOSSARY.entries[term]
    assert isinstance(entry, Term)
    assert entry.example is not None
    pitches = (*entry.example.left, *entry.example.right)
    assert entry.example.key == "C minor"
    assert {str(pitch.tone) for pitch in pitches} == set(spelled.split())
    assert str(min(pitches, key=lambda pitch: pitch.key).tone) == spelled.split()[0]


def test_the_german_sixth_sounds_like_a_dominant_seventh_and_is_spelled_otherwise() -> None:
    # handbook example, from memory: Ab C Eb F# against Ab C Eb Gb
    entry = GLOSSARY.entries["german-sixth"]
    assert isinstance(entry, Term)
    assert entry.example is not None
    sixth = {pitch.tone for pitch in (*entry.example.left, *entry.example.right)}
    seventh = {parse_tone(tone) for tone in tones("Ab7")}
    assert {tone.pitch_class for tone in sixth} == {tone.pitch_class for tone in seventh}
    assert {str(tone) for tone in sixth ^ seventh} == {"F#", "Gb"}


@pytest.mark.parametrize(
    ("symbol", "spelled"),
    # worked spellings (handbook examples, from memory)
    [
        ("F#dim7", "F# A C Eb"), ("Bbmaj7", "Bb D F A"), ("Eaug", "E G# B#"), ("Abm", "Ab Cb Eb"),
        ("C#m7b5", "C# E G B"), ("Dbmaj9", "Db F Ab C Eb"), ("G7b9", "G B D F Ab"), ("Ebm7", "Eb Gb Bb Db"),
        ("B7#9", "B D# F# A C##"),
    ],
)  # fmt: skip
def test_worked_spellings(symbol: str, spelled: str) -> None:
    assert tones(symbol) == spelled.split()
