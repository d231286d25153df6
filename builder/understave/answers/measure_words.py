"""A measure of a lesson's score in words: its symbols, and what each hand plays, in order."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from understave.entries.glossary import Glossary
from understave.lessons.demands import HANDS
from understave.lessons.lesson import Lesson
from understave.lessons.scores import ScoreMeasure, ScoreNote
from understave.phrases.catalogue import phrase
from understave.phrases.measures import in_turn_words, rest_words, together_words
from understave.phrases.names import chord_name
from understave.phrases.typesetting import TEXT, Setting, joined
from understave.theory.tones import Pitch


def measure_sentences(lesson: Lesson, number: int, glossary: Glossary, setting: Setting = TEXT) -> list[str]:
    """Return a measure in sentences, the symbols first, then the left hand and the right."""
    measures = [measure for measure in lesson.score.measures if measure.number == number]
    met = any(met.measure == number for met in lesson.symbols)
    sentences = [_symbols(lesson, number, glossary, setting)] if met else []
    for hand in HANDS:
        words = [word for measure in measures for word in _hand(lesson, measure, hand, setting)]
        sentences.append(phrase("hand-in-words", hand=phrase(hand), notes=joined("; ", words)))
    return sentences


def _symbols(lesson: Lesson, number: int, glossary: Glossary, setting: Setting) -> str:
    names = [
        chord_name(met.chord, glossary, setting) if met.chord else phrase("no-chord-spoken")
        for met in lesson.symbols
        if met.measure == number
    ]
    return phrase("symbols-in-words", names=joined(", ", names))


@dataclass(frozen=True)
class _Sound:
    """What a hand does at one place: the pitches that start together, low to high; none for a rest."""

    pitches: tuple[Pitch, ...]
    length: Fraction
    held: bool = False

    @property
    def joins(self) -> object:
        """What single notes that can be told in one run have in common; nothing else is like it."""
        return self.length if len(self.pitches) == 1 and not self.held else id(self)


def _hand(lesson: Lesson, measure: ScoreMeasure, hand: str, setting: Setting) -> Iterator[str]:
    """Yield what a hand plays from place to place, single notes of one length in one run."""
    for _, run in groupby(list(_sounds(lesson, measure, hand)), key=lambda sound: sound.joins):
        first, *more = run
        if not first.pitches:
            yield rest_words(first.length)
        elif more:
            yield in_turn_words([sound.pitches[0] for sound in (first, *more)], first.length, setting)
        else:
            yield together_words(first.pitches, first.length, first.held, setting)


def _sounds(lesson: Lesson, measure: ScoreMeasure, hand: str) -> Iterator[_Sound]:
    end = measure.at + measure.length
    notes = sorted(
        (note for note in lesson.score.notes if note.hand == hand and measure.at <= note.at < end), key=_order
    )
    sounded = measure.at
    for (at, length, held), together in groupby(notes, key=lambda note: (note.at, note.length, note.held)):
        if at > sounded:
            yield _Sound((), at - sounded)
        yield _Sound(tuple(note.pitch for note in together), length, held)
        sounded = max(sounded, at + length)
    if sounded < end:
        yield _Sound((), end - sounded)


def _order(note: ScoreNote) -> tuple[Fraction, Fraction, bool, int]:
    return note.at, note.length, note.held, note.pitch.key
