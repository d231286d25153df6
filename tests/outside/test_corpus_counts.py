"""Counts a few scores of music21's corpus, both hands together and each alone.

The whole corpus goes through tests/benchmarks/corpus_counts.py.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from music21 import corpus

from understave.entries.kept import load_glossary
from understave.entries.values import CountingSystem
from understave.lessons.hands_rhythm import rhythm_of
from understave.lessons.scores import Score, load_score
from understave.theory.counting import count

SYSTEMS = load_glossary(Path(__file__).parents[2] / "content").of(CountingSystem)
SAMPLE = ("mozart/k545/movement1_exposition", "schoenberg/opus19/movement2", "schumann_clara/polonaise_op1n4")


@pytest.fixture(scope="module", params=SAMPLE)
def piece(request: pytest.FixtureRequest, score_cache: Path) -> Score:
    return load_score(
        next(Path(path) for path in corpus.getPaths() if request.param in Path(path).as_posix()), score_cache
    )


@pytest.mark.parametrize("hand", ["both", "left", "right"])
@pytest.mark.parametrize("system", ["e-and-a", "takadimi"])
def test_every_note_of_a_hand_is_counted_once(piece: Score, hand: str, system: str) -> None:
    counts = count(rhythm_of(piece, hand), SYSTEMS[system].system).counts
    started = sorted({note.at for note in piece.notes if hand in ("both", note.hand) and not note.held and note.length})
    assert [one.at for one in counts if one.sounds] == started
