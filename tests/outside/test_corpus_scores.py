"""Checks the reader of scores against music21's own, on a sample of its corpus; names and explains what was read.

The whole corpus goes through tests/benchmarks/corpus_scores.py.
"""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from music21 import converter, corpus, harmony

from understave.answers.explaining import Wanted, explained_text, explained_value
from understave.answers.score_naming import name_score
from understave.lessons.scores import Score, load_score
from understave.theory.tones import parse_tone

from ..benchmarks.corpus_scores import made_up_lesson

SAMPLE = (
    "bach/bwv846",
    "demos/two-parts",
    "demos/two-voices",
    "leadSheet/fosterBrownHair",
    "mozart/k545/movement1_exposition",
    "schoenberg/opus19/movement2",
    "schoenberg/opus19/movement6",
    "schumann_clara/polonaise_op1n4",
)
"""Scores for two hands with voices, ties, tuplets, graces and changes of clef; one lead sheet; in short files."""


@pytest.fixture(scope="module", params=SAMPLE)
def both_readings(request: pytest.FixtureRequest, score_cache: Path) -> tuple[Score, Any]:
    path = next(Path(path) for path in corpus.getPaths() if request.param in Path(path).as_posix())
    theirs = converter.parse(path, format="musicxml", forceSource=True).toSoundingPitch()
    return load_score(path, score_cache), theirs


def whole(quarters: Any) -> Fraction:
    return Fraction(quarters).limit_denominator(10080) / 4


def test_every_note_sounds_where_music21_has_it(both_readings):
    ours, theirs = both_readings
    expected = Counter(
        (pitch.nameWithOctave.replace("-", "b"), whole(element.offset), whole(element.quarterLength))
        for part in theirs.parts
        for element in part.flatten().notes
        if not isinstance(element, harmony.Harmony) and not element.duration.isGrace
        for pitch in element.pitches
    )
    assert Counter((str(note.pitch), note.at, note.length) for note in ours.notes) == expected


def test_measures_are_numbered_and_placed_as_music21_has_them(both_readings):
    ours, theirs = both_readings
    expected = [(measure.number, whole(measure.offset)) for measure in theirs.parts[0].getElementsByClass("Measure")]
    assert [(measure.number, measure.at) for measure in ours.measures] == expected


def test_symbols_have_music21s_roots(both_readings):
    ours, theirs = both_readings
    symbols = [symbol for symbol in theirs.parts[0].recurse() if isinstance(symbol, harmony.ChordSymbol)]
    expected = [parse_tone(symbol.root().name.replace("-", "b")) for symbol in symbols]
    assert [symbol.root for symbol in ours.symbols] == expected


def test_every_stretch_is_named(both_readings, glossary):
    ours, _ = both_readings
    for every in ("symbol", "measure", "beat"):
        items = name_score(ours, every, glossary)
        assert all(item["namings"] or every != "symbol" for item in items)
        assert (every == "symbol") or len(items) >= len(ours.measures)


def test_a_lesson_made_up_around_each_is_explained(both_readings, lanternfield):
    """Every symbol with its verdict, and the count of every measure that has one; no lesson's video is heard."""
    ours, _ = both_readings
    lesson = made_up_lesson(ours, lanternfield.glossary)
    symbols = explained_value(lesson, Wanted(), lanternfield)["symbols"]
    assert [(one["measure"], one["seconds"]) for one in symbols] == [(one.measure, None) for one in ours.symbols]
    assert {one["verdict"] for one in symbols} <= {"agrees", "tone-left-out", "likelier", "contradicts"}
    text = explained_text(lesson, Wanted(), lanternfield)
    counted = [number for number in ours.by_number if f" measure {number}: " in text]
    assert len(counted) > len(ours.by_number) / 2
