"""Checks lessons in twelve keys against music21's transposition (music21, the library: Pitch.transpose, Interval)."""

from __future__ import annotations

import music21
import pytest

from understave.answers.configuration import find_project
from understave.answers.explaining import Explained, explain
from understave.answers.project import load_project
from understave.lessons.other_keys import key_of, lesson_in
from understave.theory.tones import Pitch, Tone
from understave.theory.transposing import twelve_keys


@pytest.fixture(scope="module")
def lessons(repository):
    return load_project(find_project(repository / "mkdocs.yml")).lessons


def theirs(tone: Tone | Pitch) -> music21.pitch.Pitch:
    return music21.pitch.Pitch(str(tone).replace("b", "-"))


def test_every_tone_of_every_lesson_moves_as_music21_moves_it(lessons):
    compared = 0
    for lesson in lessons.values():
        own = key_of(lesson)
        for key in twelve_keys(own):
            moved = lesson_in(lesson, key)
            start, end = theirs(own.tonic), theirs(key.tonic)
            start.octave = end.octave = 4
            way = music21.interval.Interval(start, end)
            tones = {(tone, new) for old_met, new_met in zip(lesson.symbols, moved.symbols, strict=True)
                     if old_met.chord and new_met.chord
                     for tone, new in zip((*old_met.chord.tones, old_met.chord.bass),
                                          (*new_met.chord.tones, new_met.chord.bass), strict=True)}  # fmt: skip
            pitches = {(old.pitch, new.pitch) for old, new in zip(lesson.score.notes, moved.score.notes, strict=True)}
            for old, new in tones:
                assert theirs(old).transpose(way).name == theirs(new).name, (lesson.id, str(key.tonic))
            for old, new in pitches:
                assert theirs(old).transpose(way).name == theirs(new).name, (lesson.id, str(key.tonic))
            compared += len(tones) + len(pitches)
    assert compared > 1000


def told(one: Explained) -> object:
    """Return what is told of a symbol apart from its notes' names."""
    if one.verdict is None:
        return None
    return one.verdict.kind, *([degree for _, degree in hand] for hand in (one.verdict.left, one.verdict.right))


def test_every_lesson_is_told_alike_in_twelve_keys(lessons):
    """Moving by an interval changes no verdict, no degree and no hand."""
    for lesson in lessons.values():
        own = list(map(told, explain(lesson)))
        for key in twelve_keys(key_of(lesson))[1:]:
            assert list(map(told, explain(lesson_in(lesson, key)))) == own, (lesson.id, str(key.tonic))
