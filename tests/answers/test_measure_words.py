"""Checks measures in words: the same notes, lengths and rests as the score, hand by hand."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest

from understave.answers.measure_words import measure_sentences
from understave.answers.project import Loaded
from understave.phrases.measures import length_words, rest_words, rhythm_words
from understave.phrases.typesetting import pitch_words
from understave.theory.rhythms import parse_meter, parse_rhythm


def test_chords_runs_rests_and_ties(lanternfield: Loaded):
    def told(name: str, number: int) -> list[str]:
        return measure_sentences(lanternfield.lessons[name], number, lanternfield.glossary)

    assert told("snow-on-the-boathouse", 5) == [
        "Symbol: C minor ninth.",
        "Left hand: C 2, G 2, C 3, G 3, C 4, G 3, C 3, G 2, eighth notes in turn.",
        "Right hand: E flat 4, B flat 4 and D 5 together, half notes; E flat 5, D 5, quarter notes in turn.",
    ]
    assert told("greensleeves-in-six-eight", 0) == ["Left hand: eighth rest.", "Right hand: E 4, eighth note."]
    assert "D 5, eighth note; D 5, eighth note, still held;" in told("kite-over-the-allotments", 1)[2]


def test_every_note_of_every_lesson_is_told_in_its_measure(lanternfield: Loaded):
    for lesson in lanternfield.lessons.values():
        for measure in lesson.score.measures:
            told = measure_sentences(lesson, measure.number, lanternfield.glossary)
            for hand, sentence in zip(("left", "right"), told[-2:], strict=True):
                notes = [
                    note
                    for note in lesson.score.notes
                    if note.hand == hand and lesson.score.measure_at(note.at).number == measure.number
                ]
                said = re.findall(r"\b[A-G](?: double)?(?: flat| sharp)? \d\b", sentence)
                assert sorted(said) == sorted(pitch_words(note.pitch) for note in notes), (lesson.id, measure.number)


@pytest.mark.parametrize(
    ("length", "count", "words"),
    [
        (Fraction(1, 2), 1, "half note"),
        (Fraction(1, 2), 2, "half notes"),
        (Fraction(3, 8), 1, "dotted quarter note"),
        (Fraction(7, 16), 1, "double dotted quarter note"),
        (Fraction(1, 12), 3, "triplet eighth notes"),
        (Fraction(5, 16), 1, "5/16 of a whole note"),
    ],
)
def test_lengths_have_their_names(length, count, words):
    assert length_words(length, count) == words


def test_rests_have_their_names():
    assert rest_words(Fraction(1, 4)) == "quarter rest"
    assert rest_words(Fraction(3, 8)) == "dotted quarter rest"
    assert rest_words(Fraction(5, 16)) == "a rest of 5/16 of a whole note"


def test_a_rhythm_in_words():
    rhythm = parse_rhythm("[4 8] 8 4r 4 | 12 12 12 2.", parse_meter("4/4"))
    assert rhythm_words(rhythm) == (
        "Measure 1: quarter note, eighth note, still held, eighth note, quarter rest, quarter note. "
        "Measure 2: triplet eighth note, triplet eighth note, triplet eighth note, dotted half note."
    )
    assert rhythm_words(parse_rhythm("4 4", parse_meter("2/4"))) == "In notes: quarter note, quarter note."
