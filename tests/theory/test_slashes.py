"""What a bass does: inversions and their figures, added tones, chords of their own (common practice)."""

from __future__ import annotations

import pytest

from understave.theory.chords import Chord
from understave.theory.house_style import print_symbol
from understave.theory.slashes import added_by_bass, completed, figures, foreign_degree, heard_as
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
        ("C6/A", "Am7"),
        ("C/E", None),
        ("C/B", None),
        ("D/Gb", None),
    ],
)
def test_what_the_whole_sounds_like(symbol: str, whole: str | None) -> None:
    heard = heard_as(chord(symbol))
    assert (print_symbol(heard) if heard else None) == whole


@pytest.mark.parametrize(
    ("symbol", "degree"),
    [
        ("C/Bb", "b7"), ("C/B", "7"), ("Am/G#", "7"), ("Bdim/Ab", "bb7"), ("C/D", "2"), ("C/F", "4"), ("C/A", "6"),
        # a seventh beside another one, altered degrees and chord tones add nothing
        ("C7/B", "None"), ("C/Bbb", "None"), ("C/Db", "None"), ("C/F#", "None"), ("C/E", "None"),
    ],
)  # fmt: skip
def test_what_a_bass_adds(symbol: str, degree: str) -> None:
    assert str(added_by_bass(chord(symbol))) == degree


@pytest.mark.parametrize(
    ("symbol", "whole", "figured"),
    [
        ("Am/G", "Am7/G", "4 2"), ("C/B", "Cmaj7/B", "4 2"), ("Am/G#", "Am(maj7)/G#", "4 2"),
        ("C/D", None, ""), ("C7/F", None, ""),
    ],
)  # fmt: skip
def test_the_seventh_chord_that_a_bass_completes(symbol: str, whole: str | None, figured: str) -> None:
    found = completed(chord(symbol))
    assert (print_symbol(found) if found else None) == whole
    assert (" ".join(figures(found)) if found else "") == figured
    assert found is None or found.inversion == 3
