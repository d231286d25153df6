"""Holds printed symbols against what sounds under them."""

from __future__ import annotations

from fractions import Fraction

import pytest

from understave.theory.stretches import StretchNote, name_span
from understave.theory.symbols import read_symbol
from understave.theory.tones import parse_pitch
from understave.theory.verdicts import Verdict, judge

BAR, BEAT = Fraction(1), Fraction(1, 4)


def held(left: str, right: str) -> list[StretchNote]:
    return [
        StretchNote(parse_pitch(pitch), Fraction(0), BAR, hand)
        for hand, notes in (("left", left), ("right", right))
        for pitch in notes.split()
    ]


def verdict(symbol: str, notes: list[StretchNote]) -> Verdict:
    chord = read_symbol(symbol)[0].chord
    assert chord is not None
    bass = min((note.pitch for note in notes), key=lambda pitch: pitch.key)
    return judge(chord, notes, BAR, BEAT, bass, name_span(notes, BAR, beat=BEAT))


@pytest.mark.parametrize(
    ("symbol", "left", "right", "kind"),
    [
        ("C", "C3 G3", "E4 C5", "agrees"),
        ("C", "C3", "E4 C5", "agrees"),  # a missing fifth is ordinary (common practice)
        ("Gm9", "G2 D3", "F4 A4 Bb4", "agrees"),
        ("F/A", "A2 F3", "C4 F4", "agrees"),
        ("C6", "C3 G3", "E4 A4", "agrees"),
        ("Am7/C", "C3 G3", "E4 A4", "agrees"),  # the same keys under their other name
        ("C13", "C2 Bb2", "E4 A4 D5", "agrees"),
        ("Csus4", "C3 G3", "F4 C5", "agrees"),
        ("Cmaj7", "C3 G3", "E4 C5", "tone-left-out"),
        ("Gm9", "G2 D3", "F4 Bb4", "tone-left-out"),
        ("C", "C3 G3", "C4 G4", "tone-left-out"),
        ("C", "E2 C3", "G3 C4", "likelier"),  # the lowest note decides the inversion
        ("C", "C3 G3", "E4 Bb4", "likelier"),
        ("C", "C3 G3", "Eb4 C5", "contradicts"),
        ("Cmaj7", "C3 G3", "E4 Bb4", "contradicts"),
        ("C", "F2 Db3", "Ab3 F4", "contradicts"),
    ],
)
def test_a_symbol_against_two_hands(symbol, left, right, kind):
    assert verdict(symbol, held(left, right)).kind == kind


def test_missing_and_extra_and_the_hands_are_told_by_degree():
    found = verdict("Cmaj7", held("C3 G3", "E4 D5"))
    assert [str(degree) for degree in found.missing] == ["7"]
    assert [(str(extra.pitch), str(extra.degree)) for extra in found.extra] == [("D5", "2")]
    assert [(str(pitch), str(degree)) for pitch, degree in found.left] == [("C3", "1"), ("G3", "5")]
    assert [(str(pitch), str(degree)) for pitch, degree in found.right] == [("E4", "3"), ("D5", "2")]


def test_a_passing_note_does_not_count_against_the_symbol():
    notes = held("C3 G3", "E4") + [
        StretchNote(parse_pitch(pitch), Fraction(at, 4), Fraction(1, 4), "right")
        for at, pitch in enumerate(("C5", "D5", "E5", "G5"))
    ]
    found = verdict("C", notes)
    assert found.kind == "agrees"
    assert [extra.role for extra in found.extra] == ["passing"]
