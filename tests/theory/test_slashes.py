"""What a bass does: inversions and their figures, added tones, chords of their own (common practice)."""

from __future__ import annotations

import pytest

from understave.theory.chords import Chord
from understave.theory.house_style import print_symbol
from understave.theory.slashes import figures, foreign_degree, heard_as
from understave.theory.symbols import read_symbol


def chord(symbol: str) -> Chord:
    found = read_symbol(symbol)[0].chord
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("symbol", "figured"),
    [
        ("C", "5 3"),
        ("C/E", "6"),
        ("C/G", "6 4"),
        ("G7", "7"),
        ("G7/B", "6 5"),
        ("G7/D", "4 3"),
        ("G7/F", "4 2"),
        ("F/G", ""),
        ("C9/E", ""),
    ],
)
def test_figured_bass(symbol: str, figured: str) -> None:
    assert " ".join(figures(chord(symbol))) == figured


@pytest.mark.parametrize(
    ("symbol", "degree"), [("F/G", "2"), ("C/Bb", "b7"), ("C/B", "7"), ("Am/F#", "6"), ("C/E", "None")]
)
def test_the_degree_of_a_foreign_bass(symbol: str, degree: str) -> None:
    assert str(foreign_degree(chord(symbol))) == degree


@pytest.mark.parametrize(
    ("symbol", "whole"),
    [
        ("F/G", "G9sus4"),
        ("Dm7/G", "G9sus4"),
        ("E/C", "Cmaj7#5"),
        ("Bdim7/G", "G7b9"),
        ("Am/F#", "F#m7b5"),
        ("C/E", None),
        ("C/B", None),
    ],
)
def test_what_the_whole_sounds_like(symbol: str, whole: str | None) -> None:
    heard = heard_as(chord(symbol))
    assert (print_symbol(heard) if heard else None) == whole
