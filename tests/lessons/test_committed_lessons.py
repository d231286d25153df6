"""Checks that the example site's lessons are true: each symbol sums up what both hands play while it stands."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from understave.lessons.lesson import Lesson, Met
from understave.lessons.scores import Score, ScoreNote
from understave.lessons.video import moment_at
from understave.theory.chords import Chord, usually_played
from understave.theory.tones import Tone

FOLDER = Path(__file__).parents[2] / "site_examples" / "lanternfield" / "lessons"
LESSONS = sorted(path.stem for path in FOLDER.glob("*.yaml"))


def spans(lesson: Lesson) -> list[tuple[Met, Fraction]]:
    """Each symbol, and where it ends: at the next one, or with the piece."""
    last = lesson.score.measures[-1]
    starts = [met.at for met in lesson.symbols] + [last.at + last.length]
    return list(zip(lesson.symbols, starts[1:], strict=True))


def sounding(score: Score, start: Fraction, end: Fraction) -> list[ScoreNote]:
    return [one for one in score.notes if one.at < end and one.at + one.length > start]


def essential(chord: Chord) -> set[Tone]:
    """The tones that the symbol promises: all but those usually left out, and the natural fifth (common practice)."""
    kept = usually_played(chord.degrees)
    return {chord.root.at(degree) for degree in kept if (degree.number, degree.alteration) != (5, 0)}


def test_there_are_lessons_and_none_is_left_out(lanternfield):
    assert LESSONS
    assert sorted(lanternfield.lessons) == LESSONS


@pytest.mark.parametrize("name", LESSONS)
def test_every_measure_has_its_harmony(name, lanternfield):
    lesson = lanternfield.lessons[name]
    assert lesson.symbols
    assert lesson.symbols[0].at == 0
    measures = [measure.number for measure in lesson.score.measures]
    assert measures == sorted(set(measures))
    assert {met.measure for met in lesson.symbols} <= set(measures)


@pytest.mark.parametrize("name", LESSONS)
def test_the_tones_of_a_symbol_sound_while_it_stands(name, lanternfield):
    for met, end in spans(lanternfield.lessons[name]):
        if met.chord is None:
            continue
        tones = {one.pitch.tone for one in sounding(lanternfield.lessons[name].score, met.at, end)}
        missing = essential(met.chord) - tones
        assert not missing, f"measure {met.measure}: {', '.join(map(str, missing))} doesn't sound"


@pytest.mark.parametrize("name", LESSONS)
def test_the_lowest_note_is_the_bass_of_the_symbol(name, lanternfield):
    for met, end in spans(lanternfield.lessons[name]):
        if met.chord is None:
            continue
        notes = sounding(lanternfield.lessons[name].score, met.at, end)
        lowest = min(notes, key=lambda one: one.pitch.key)
        assert lowest.pitch.tone == met.chord.bass, f"measure {met.measure}: {lowest.pitch} is lowest"
        assert lowest.at <= met.at, f"measure {met.measure}: the bass {lowest.pitch} comes late"


@pytest.mark.parametrize("name", LESSONS)
def test_notes_outside_the_symbol_are_short_or_step_on(name, lanternfield):
    """A tone that the symbol doesn't hold takes less than half of the time of those that it does (common practice)."""
    score = lanternfield.lessons[name].score
    for met, end in spans(lanternfield.lessons[name]):
        if met.chord is None:
            continue
        inside = outside = Fraction(0)
        tones = {*met.chord.tones, met.chord.bass}
        for one in sounding(score, met.at, end):
            length = min(end, one.at + one.length) - max(met.at, one.at)
            if one.pitch.tone in tones:
                inside += length
            else:
                outside += length
        assert outside * 2 < inside, f"measure {met.measure}"


@pytest.mark.parametrize("name", LESSONS)
def test_both_hands_play_and_fit_their_measures(name, lanternfield):
    score = lanternfield.lessons[name].score
    assert {one.hand for one in score.notes} == {"left", "right"}
    for measure in score.measures:
        for hand in ("left", "right"):
            assert any(measure.at <= one.at < measure.at + measure.length for one in score.notes if one.hand == hand), (
                measure.number
            )
    last = score.measures[-1]
    assert max(one.at + one.length for one in score.notes) == last.at + last.length


@pytest.mark.parametrize("name", LESSONS)
def test_what_a_lesson_teaches_is_met_or_heard_in_it(name, lanternfield, glossary):
    from understave.entries.lookup import parts_of
    from understave.entries.values import SlashChord, Spelled

    lesson = lanternfield.lessons[name]
    met = {part for one in lesson.symbols if one.chord for part in parts_of(one.chord, glossary).ids}
    taught = [entry for entry in lesson.file.teaches if isinstance(glossary.entries[entry], Spelled | SlashChord)]
    assert taught
    assert set(taught) <= met


@pytest.mark.parametrize("name", LESSONS)
def test_each_symbol_leads_to_a_second_that_explains_or_plays_it(name, lanternfield):
    lesson = lanternfield.lessons[name]
    for met in lesson.symbols:
        assert met.seconds is not None
        moment = moment_at(met.seconds, lesson.file, lesson.score)
        explains = moment.section.explains
        assert (moment.section.at == met.seconds and explains and explains[0] <= met.measure <= explains[1]) or (
            moment.measure is not None and moment.measure.number == met.measure
        )
