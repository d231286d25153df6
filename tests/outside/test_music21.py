"""Checks spellings and Roman numerals against music21's own tables, spelled and not only sounding."""

from __future__ import annotations

from pathlib import Path

import pytest
from music21 import harmony, key, roman

from understave.entries.reading import load_glossary
from understave.entries.schema import MUSICXML_KINDS
from understave.entries.values import ChordSymbol, Term
from understave.theory.chords import Chord
from understave.theory.keys import KEYS, MAJOR_SCALE, MINOR_SCALE, Home, Key, homes
from understave.theory.tones import ROOTS, Degree, Interval, Tone, parse_degree, parse_tone

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


def scale_of(of: Key) -> tuple[Degree, ...]:
    return MINOR_SCALE if of.minor else MAJOR_SCALE


def diatonic(of: Key, index: int, size: int) -> Chord:
    """Return the chord of ``size`` thirds on a degree of the key's scale."""
    tones = [of.tonic.at(degree) for degree in scale_of(of)]
    stack = [tones[(index + 2 * step) % 7] for step in range(size)]
    return Chord(tones[index], tuple(tones[index].degree_of(tone) for tone in stack))


def raised(of: Key, on: str, degrees: str) -> Chord:
    return Chord(of.tonic.at(parse_degree(on)), tuple(map(parse_degree, degrees.split())))


def music21_tones(numeral: str, of: Key) -> set[Tone]:
    """Return what music21's roman.RomanNumeral spells for a numeral of ours.

    Its circle is an o, its seventh on a scale's degree is the scale's own (so maj7 is 7), and in minor we count the
    natural scale, which it does with both defaults set to flat.
    """
    figure = numeral.replace("°", "o").replace("maj7", "7")
    tonic = theirs(of.tonic)
    flat = roman.Minor67Default.FLAT
    found = roman.RomanNumeral(
        figure, key.Key(tonic, "minor" if of.minor else "major"), sixthMinor=flat, seventhMinor=flat
    )
    return {ours(pitch.name) for pitch in found.pitches}


def numeral_in(chord: Chord, of: Key) -> Home:
    (home,) = (home for home in homes(chord) if home.key == of)
    return home


@pytest.mark.parametrize("of", KEYS, ids=lambda of: f"{of.tonic} {'minor' if of.minor else 'major'}")
def test_numerals_of_triads_and_sevenths_spell_the_same_chords(of: Key) -> None:
    # music21 roman.RomanNumeral: the seven triads and sevenths of each key
    for size in (3, 4):
        for index in range(7):
            chord = diatonic(of, index, size)
            home = numeral_in(chord, of)
            assert not home.raised
            assert music21_tones(home.numeral, of) == set(chord.tones), home.numeral


@pytest.mark.parametrize("of", [of for of in KEYS if of.minor], ids=lambda of: f"{of.tonic} minor")
def test_numerals_over_the_raised_seventh_spell_the_same_chords(of: Key) -> None:
    # music21 roman.RomanNumeral: the dominant and the leading tone's chords of each minor key
    for on, degrees in (("5", "1 3 5"), ("5", "1 3 5 b7"), ("7", "1 b3 b5"), ("7", "1 b3 b5 bb7")):
        chord = raised(of, on, degrees)
        home = numeral_in(chord, of)
        assert home.raised
        assert music21_tones(home.numeral, of) == set(chord.tones), home.numeral


@pytest.mark.parametrize("of", KEYS, ids=lambda of: f"{of.tonic} {'minor' if of.minor else 'major'}")
def test_signatures_and_scales_are_alike(of: Key) -> None:
    # music21 key.Key: sharps and the natural scale
    their_key = key.Key(theirs(of.tonic), "minor" if of.minor else "major")
    assert their_key.sharps == of.signature
    assert {ours(pitch.name) for pitch in their_key.pitches} == of.tones
