"""Checks spellings and key signatures against music21's own tables, spelled and not only sounding."""

from __future__ import annotations

from pathlib import Path

import pytest
from music21 import harmony, key, pitch

from understave.entries.kept import load_glossary
from understave.entries.schema import MUSICXML_KINDS
from understave.entries.values import ChordSymbol, Term
from understave.theory.chords import Chord
from understave.theory.keys import KEYS, Key
from understave.theory.symbols import read_symbol
from understave.theory.tones import ROOTS, Interval, Tone, parse_tone

CONTENT = Path(__file__).parents[2] / "content"
GLOSSARY = load_glossary(CONTENT)

BY_KIND = {entry.musicxml: entry for entry in GLOSSARY.of(ChordSymbol).values() if entry.musicxml}
TERMS = {entry.musicxml: entry for entry in GLOSSARY.of(Term).values() if entry.musicxml}

EXCEPTIONS = {
    "Neapolitan": "music21 stacks 1 b2 3 b5 on the root it is given; handbooks name so the major chord on the lowered "
    "second of the scale (Db F Ab in C), and MusicXML only names it: we follow the handbooks",
    "pedal": "one tone in music21; a bass under other chords and no chord here",
    "other": "music21 gives the bare root; MusicXML means a chord that it has no name for",
    "none": "music21 gives the bare root; N.C. has no tones",
}
"""The MusicXML kinds of which music21 thinks otherwise, or which are no chord of ours, each with the reason."""

TONICS = {"Italian": "C", "French": "C", "German": "C", "Tristan": "F"}
"""What the terms' examples stand on in music21: the tonic of the key for the sixths, the lowest tone for Tristan."""


def ours(name: str) -> Tone:
    """Return music21's note name as a tone of ours: its flats are written with a minus."""
    return parse_tone(name.replace("-", "b"))


def theirs(tone: Tone) -> str:
    return str(tone).replace("b", "-")


def chord_symbol_tones(root: Tone, kind: str) -> list[Tone]:
    return [ours(pitch.name) for pitch in harmony.ChordSymbol(root=theirs(root), kind=kind).pitches]


def test_every_kind_is_compared_or_listed() -> None:
    assert set(BY_KIND) | set(TONICS) | set(EXCEPTIONS) == set(MUSICXML_KINDS)
    assert not (set(BY_KIND) | set(TONICS)) & set(EXCEPTIONS)


@pytest.mark.parametrize("kind", BY_KIND)
def test_a_kind_is_spelled_alike_under_every_root(kind: str) -> None:
    # music21 harmony.ChordSymbol, harmony.CHORD_TYPES: 21 roots, note names and not keys
    for root in ROOTS:
        assert set(chord_symbol_tones(root, kind)) == set(Chord(root, BY_KIND[kind].degrees).tones), f"{root} {kind}"


INTERVALS = {
    "1": "P1", "b2": "m2", "2": "M2", "b3": "m3", "3": "M3", "4": "P4", "#4": "A4", "b5": "d5", "5": "P5", "#5": "A5",
    "b6": "m6", "6": "M6", "bb7": "d7", "b7": "m7", "7": "M7", "b9": "m9", "9": "M9", "#9": "A9", "11": "P11",
    "#11": "A11", "b13": "m13", "13": "M13",
}  # fmt: skip
"""music21's names of the degrees' intervals above the root (common practice)."""


@pytest.mark.parametrize("name", GLOSSARY.chords)
def test_every_written_form_is_spelled_to_the_letter_under_every_root(name: str) -> None:
    # music21 pitch.Pitch.transpose
    entry = GLOSSARY.chords[name]
    for root in ROOTS:
        spelled = [
            ours(pitch.Pitch(f"{theirs(root)}4").transpose(INTERVALS[str(degree)]).name) for degree in entry.degrees
        ]
        for form in entry.written:
            chord = read_symbol(f"{root}{form}")[0].chord
            assert chord is not None
            assert list(chord.tones) == spelled, f"{root}{form}"


@pytest.mark.parametrize("kind", TONICS)
def test_a_named_chord_of_a_term_is_spelled_alike(kind: str) -> None:
    # music21 harmony.ChordSymbol: the terms' example notes, moved to every root
    example = TERMS[kind].example
    assert example is not None
    tonic = parse_tone(TONICS[kind])
    tones = {pitch.tone for pitch in (*example.left, *example.right)}
    for root in ROOTS:
        step = Interval((root.step - tonic.step) % 7, root.key - tonic.key + (12 if root.step < tonic.step else 0))
        assert {tone.up(step) for tone in tones} == set(chord_symbol_tones(root, kind)), f"{root} {kind}"


@pytest.mark.parametrize("kind", EXCEPTIONS)
def test_an_exception_is_one(kind: str) -> None:
    # music21 harmony.ChordSymbol: an exception that has gone must leave the table
    tones = set(chord_symbol_tones(parse_tone("C"), kind))
    if kind in TERMS:
        example = TERMS[kind].example
        assert example is not None
        assert tones != {pitch.tone for pitch in (*example.left, *example.right)}
    else:
        assert tones == {parse_tone("C")}


@pytest.mark.parametrize("of", KEYS, ids=lambda of: f"{of.tonic} {'minor' if of.minor else 'major'}")
def test_signatures_and_scales_are_alike(of: Key) -> None:
    # music21 key.Key: sharps and the natural scale
    their_key = key.Key(theirs(of.tonic), "minor" if of.minor else "major")
    assert their_key.sharps == of.signature
    assert {ours(pitch.name) for pitch in their_key.pitches} == of.tones
