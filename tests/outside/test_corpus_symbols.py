"""Checks that every chord symbol of music21's lead sheets reads from the score as music21 sounds it."""

from __future__ import annotations

from pathlib import Path

import pytest
from music21 import converter, corpus, harmony

from understave.entries.glossary import Glossary
from understave.lessons.lesson import chord_of
from understave.lessons.scores import load_score

CORPUS = Path(corpus.__file__).parent
SCORES = (
    "demos/ComprehensiveChordSymbolsTestFile.mxl",
    *sorted(f"leadSheet/{path.name}" for path in (CORPUS / "leadSheet").glob("*.mxl")),
)

EXCEPTIONS = {
    "minor-major": "no kind of MusicXML (it is major-minor there), and music21 gives the bare root",
    "tristan": "no kind of MusicXML (it is Tristan there), and music21 gives the bare root",
    "Neapolitan": "names a chord within a key and is a term here; music21 stacks 1 b2 3 b5 on the root it is given",
    "Italian": "names a chord within a key and is a term here",
}
"""The kinds that no chord type of ours claims, each with the reason; a lesson that has one is told so."""


@pytest.mark.parametrize("name", SCORES)
def test_every_symbol_sounds_as_in_music21(name: str, glossary: Glossary, score_cache: Path) -> None:
    # music21 harmony.ChordSymbol.pitches, in the order of the score
    theirs = list(converter.parse(CORPUS / name).recurse().getElementsByClass(harmony.ChordSymbol))
    ours = load_score(CORPUS / name, score_cache).symbols
    assert len(ours) == len(theirs) > 10
    for symbol, other in zip(ours, theirs, strict=True):
        if symbol.kind in EXCEPTIONS:
            continue
        chord = chord_of(symbol, glossary)
        assert chord is not None, other.figure
        assert {tone.pitch_class for tone in (*chord.tones, chord.bass)} == {p.pitchClass for p in other.pitches}, other
        assert chord.bass.pitch_class == other.bass().pitchClass
        assert chord.root.pitch_class == other.root().pitchClass


def test_an_exception_is_one(glossary: Glossary, score_cache: Path) -> None:
    """No chord type claims the kind; what is printed beside it may read all the same, and then sounds otherwise."""
    met: set[str] = set()
    for name in SCORES:
        theirs = list(converter.parse(CORPUS / name).recurse().getElementsByClass(harmony.ChordSymbol))
        for symbol, other in zip(load_score(CORPUS / name, score_cache).symbols, theirs, strict=True):
            if symbol.kind not in EXCEPTIONS:
                continue
            met.add(symbol.kind)
            try:
                chord = chord_of(symbol, glossary)
            except LookupError:
                continue
            assert chord is not None
            assert {tone.pitch_class for tone in chord.tones} != {p.pitchClass for p in other.pitches}
    assert met == set(EXCEPTIONS)
