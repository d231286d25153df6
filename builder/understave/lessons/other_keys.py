"""A lesson in another key: score, symbols and signatures moved by one interval, spelled by letter."""

from __future__ import annotations

from dataclasses import replace

from understave.lessons.lesson import Lesson
from understave.lessons.scores import Score, ScoreSymbol
from understave.theory.keys import Key, parse_key
from understave.theory.tones import Interval
from understave.theory.transposing import way


def key_of(lesson: Lesson) -> Key:
    """Return the key that a lesson's file names. Raises SpellingError for none."""
    return parse_key(lesson.file.key)


def lesson_in(lesson: Lesson, key: Key) -> Lesson:
    """Return a lesson as it would be in another key of the same mode, moved the shorter way."""
    own = key_of(lesson)
    if key == own:
        return lesson
    interval = way(own, key)
    mode = "minor" if key.minor else "major"
    return replace(
        lesson,
        file=lesson.file.model_copy(update={"key": f"{key.tonic} {mode}"}),
        score=_moved(lesson.score, interval, key.signature - own.signature),
        symbols=tuple(replace(met, chord=met.chord and met.chord.transposed(interval)) for met in lesson.symbols),
    )


def _moved(score: Score, interval: Interval, signs: int) -> Score:
    return replace(
        score,
        measures=tuple(replace(measure, fifths=measure.fifths + signs) for measure in score.measures),
        symbols=tuple(_symbol(symbol, interval) for symbol in score.symbols),
        notes=tuple(replace(note, pitch=note.pitch.up(interval)) for note in score.notes),
    )


def _symbol(symbol: ScoreSymbol, interval: Interval) -> ScoreSymbol:
    return replace(
        symbol,
        root=symbol.root and symbol.root.up(interval),
        bass=symbol.bass and symbol.bass.up(interval),
    )
