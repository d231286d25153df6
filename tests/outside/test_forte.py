"""Checks triads and sevenths against Forte's set classes (1973) and the names that music21's tables give them."""

from __future__ import annotations

from pathlib import Path

import pytest
from music21 import chord as music21_chord

from understave.entries.kept import load_glossary
from understave.theory.chords import Chord
from understave.theory.tones import ROOTS, Tone

CONTENT = Path(__file__).parents[2] / "content"
CHORDS = load_glossary(CONTENT).chords

# Forte 1973, The Structure of Atonal Music: numbers and prime forms (from memory); A and B mark the inversion as
# music21's tables do.
CLASSES = {
    "major": ("3-11B", "0 3 7"), "minor": ("3-11A", "0 3 7"), "diminished": ("3-10", "0 3 6"),
    "augmented": ("3-12", "0 4 8"), "suspended-fourth": ("3-9", "0 2 7"), "suspended-second": ("3-9", "0 2 7"),
    "major-flat-fifth": ("3-8B", "0 2 6"), "minor-sharp-fifth": ("3-11B", "0 3 7"),
    "dominant-seventh": ("4-27B", "0 2 5 8"), "half-diminished": ("4-27A", "0 2 5 8"),
    "major-seventh": ("4-20", "0 1 5 8"), "minor-seventh": ("4-26", "0 3 5 8"), "major-sixth": ("4-26", "0 3 5 8"),
    "minor-sixth": ("4-27A", "0 2 5 8"), "diminished-seventh": ("4-28", "0 3 6 9"),
    "minor-major-seventh": ("4-19A", "0 1 4 8"), "augmented-major-seventh": ("4-19B", "0 1 4 8"),
    "augmented-seventh": ("4-24", "0 2 4 8"), "dominant-seventh-flat-fifth": ("4-25", "0 2 6 8"),
    "diminished-major-seventh": ("4-18A", "0 1 4 7"), "seventh-suspended-fourth": ("4-23", "0 2 5 7"),
    "major-seventh-flat-fifth": ("4-16A", "0 1 5 7"),
}  # fmt: skip

# music21.chord.Chord.commonName, which looks at the spelling: respelled tones would be "enharmonic equivalents".
NAMES = {
    "major": "major triad", "minor": "minor triad", "diminished": "diminished triad", "augmented": "augmented triad",
    "dominant-seventh": "dominant seventh chord", "major-seventh": "major seventh chord",
    "minor-seventh": "minor seventh chord", "half-diminished": "half-diminished seventh chord",
    "diminished-seventh": "diminished seventh chord", "augmented-seventh": "augmented seventh chord",
    "minor-major-seventh": "minor-augmented tetrachord", "augmented-major-seventh": "augmented major tetrachord",
}  # fmt: skip


def as_music21(root: Tone, name: str) -> music21_chord.Chord:
    tones = Chord(root, CHORDS[name].degrees).tones
    return music21_chord.Chord([str(tone).replace("b", "-") for tone in tones])


@pytest.mark.parametrize(("name", "forte"), CLASSES.items(), ids=list(CLASSES))
def test_the_set_class(name: str, forte: tuple[str, str]) -> None:
    # Forte 1973, music21.chord.tables
    for root in ROOTS:
        chord = as_music21(root, name)
        assert (chord.forteClass, " ".join(map(str, chord.primeForm))) == forte, f"{root} {name}"


@pytest.mark.parametrize(("name", "common"), NAMES.items(), ids=list(NAMES))
def test_the_common_name_of_the_spelling(name: str, common: str) -> None:
    # music21.chord.Chord.commonName
    for root in ROOTS:
        assert as_music21(root, name).commonName == common, f"{root} {name}"


@pytest.mark.parametrize("name", NAMES)
def test_the_root_is_music21s(name: str) -> None:
    # music21.chord.Chord.root: found by stacking thirds, so it hears a misspelled tone
    for root in ROOTS:
        assert as_music21(root, name).root().name == str(root).replace("b", "-"), f"{root} {name}"
