"""Checks that the example site's lessons are true: each symbol sums up what both hands play while it stands."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from understave.lessons.lesson import Lesson, Met
from understave.lessons.scores import Score, ScoreNote
from understave.lessons.video import moment_at
from understave.theory.chords import Chord, usually_played
from understave.theory.naming import name_notes
from understave.theory.tones import Tone

from .printed_scores import PrintedScore, printed_score

FOLDER = Path(__file__).parents[2] / "site_examples" / "lanternfield" / "lessons"
LESSONS = sorted(path.stem for path in FOLDER.glob("*.yaml"))


def spans(lesson: Lesson) -> list[tuple[Met, Fraction]]:
    """Each symbol, and where it ends: at the next one, or with the piece."""
    last = lesson.score.measures[-1]
    starts = [met.at for met in lesson.symbols] + [last.at + last.length]
    return list(zip(lesson.symbols, starts[1:], strict=True))


def sounding(score: Score, start: Fraction, end: Fraction) -> list[ScoreNote]:
    return [one for one in score.notes if one.at < end and ends(one) > start]


def printed(lesson: Lesson) -> PrintedScore:
    return printed_score(FOLDER / lesson.file.score)


def ends(one: ScoreNote) -> Fraction:
    return one.at + one.length


def by_step(one: ScoreNote, notes: tuple[ScoreNote, ...]) -> bool:
    """Whether a note is reached or left by step in its hand."""
    return any(
        other.hand == one.hand
        and (other.at == ends(one) or ends(other) == one.at)
        and other.pitch.tone.letter != one.pitch.tone.letter
        and abs(other.pitch.key - one.pitch.key) <= 2
        for other in notes
    )


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
    first = next(measure for measure in lesson.score.measures if measure.length == measure.meter.length)
    assert lesson.symbols[0].at == first.at
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
            length = min(end, ends(one)) - max(met.at, one.at)
            if one.pitch.tone in tones:
                inside += length
            else:
                outside += length
        assert outside * 2 < inside, f"measure {met.measure}"


@pytest.mark.parametrize("name", LESSONS)
def test_naming_what_both_hands_play_gives_the_symbol(name, lanternfield):
    """The likeliest name is the symbol, or has the very same tones over the same bass (Fadd2 and Fadd9, D7/C and D/C).

    Notes outside the symbol are left out of what is named only where they are reached or left by step, or last up to
    the next symbol and belong to it: passing and neighbor notes, appoggiaturas, anticipations (common practice).
    """
    lesson = lanternfield.lessons[name]
    following = {met.at: met.chord for met in lesson.symbols}
    for met, end in spans(lesson):
        if met.chord is None:
            continue
        tones = {*met.chord.tones, met.chord.bass}
        ahead = following.get(end)
        held = [
            one
            for one in sounding(lesson.score, met.at, end)
            if one.pitch.tone in tones
            or not (by_step(one, lesson.score.notes) or (ahead and one.pitch.tone in ahead.tones and ends(one) == end))
        ]
        hands = [[one.pitch for one in held if one.hand == hand] for hand in ("left", "right")]
        likeliest = name_notes(hands[0], hands[1])[0].chord
        assert likeliest == met.chord or {*likeliest.tones, likeliest.bass} == tones, f"measure {met.measure}"
        assert likeliest.bass == met.chord.bass, f"measure {met.measure}"


@pytest.mark.parametrize("name", LESSONS)
def test_both_hands_play_and_fit_their_measures(name, lanternfield):
    score = lanternfield.lessons[name].score
    assert {one.hand for one in score.notes} == {"left", "right"}
    for measure in score.measures:
        if measure.length < measure.meter.length:  # a pickup may be one hand's
            continue
        for hand in ("left", "right"):
            assert any(measure.at <= one.at < measure.at + measure.length for one in score.notes if one.hand == hand), (
                measure.number
            )
    last = score.measures[-1]
    assert max(ends(one) for one in score.notes) == last.at + last.length


@pytest.mark.parametrize("name", LESSONS)
def test_every_voice_of_both_staves_fills_its_measures(name, lanternfield):
    """Only a pickup is short, and the last measure by just as much (common practice)."""
    measures = printed(lanternfield.lessons[name]).measures
    short = Fraction(0)
    for index, measure in enumerate(measures):
        lengths = set(measure.voices.values())
        assert len(lengths) == 1, f"measure {measure.number}: {measure.voices}"
        if lengths != {measure.wanted}:
            assert index in (0, len(measures) - 1), f"measure {measure.number}: {measure.voices}"
            short += lengths.pop()
    assert short in (0, measures[0].wanted)
    assert 8 <= len([measure for measure in measures if measure.number]) <= 32


@pytest.mark.parametrize("name", LESSONS)
def test_every_accidental_is_printed(name, lanternfield):
    assert printed(lanternfield.lessons[name]).unmarked == ()


@pytest.mark.parametrize("name", LESSONS)
def test_the_hands_do_not_cross_or_meet(name, lanternfield):
    notes = lanternfield.lessons[name].score.notes
    for start in {one.at for one in notes}:
        keys = {
            hand: [one.pitch.key for one in notes if one.hand == hand and one.at <= start < ends(one)]
            for hand in ("left", "right")
        }
        if keys["left"] and keys["right"]:
            assert max(keys["left"]) < min(keys["right"]), f"{start} whole notes from the start"


@pytest.mark.parametrize("name", LESSONS)
def test_the_key_is_that_of_the_signature(name, lanternfield):
    lesson = lanternfield.lessons[name]
    score = printed(lesson)
    tonics = ["Cb", "Gb", "Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#", "G#", "D#", "A#"]
    tonic = tonics[score.fifths + (7 if score.mode == "major" else 10)]  # the circle of fifths (common practice)
    assert lesson.file.key == f"{tonic} {score.mode}"


@pytest.mark.parametrize("name", LESSONS)
def test_a_stretch_lasts_as_long_as_its_measures(name, lanternfield):
    """At tempo within a tenth of the printed tempo, repeats played out; slow at least a fifth slower."""
    lesson = lanternfield.lessons[name]
    score = printed(lesson)
    lengths = {measure.number: measure.length for measure in lesson.score.measures}
    for stretch in lesson.file.heard:
        whole_notes = sum(lengths[number] for number in score.played(*stretch.measures))
        share = (stretch.to - stretch.from_) / (whole_notes * 240 / score.tempo)
        if stretch.tempo == "at tempo":
            assert Fraction(9, 10) <= share <= Fraction(11, 10), stretch
        else:
            assert Fraction(6, 5) <= share <= 3, stretch


@pytest.mark.parametrize("name", LESSONS)
def test_a_stretch_lies_in_one_section_and_the_whole_is_heard_at_tempo(name, lanternfield):
    lesson = lanternfield.lessons[name]
    starts = [section.at for section in lesson.file.sections]
    assert 5 <= len(starts) <= 8
    for stretch in lesson.file.heard:
        assert not any(stretch.from_ < start < stretch.to for start in starts), stretch
    numbers = [measure.number for measure in lesson.score.measures]
    whole = [stretch for stretch in lesson.file.heard if stretch.measures == (numbers[0], numbers[-1])]
    assert [(stretch.hands, stretch.tempo) for stretch in whole] == [("both", "at tempo")] * len(whole)
    assert lesson.file.heard[-1] in whole


@pytest.mark.parametrize("name", LESSONS)
def test_what_a_lesson_teaches_is_met_or_heard_in_it(name, lanternfield, glossary):
    from understave.entries.lookup import parts_of
    from understave.entries.values import SlashChord, Spelled

    lesson = lanternfield.lessons[name]
    parts = [(one.chord, parts_of(one.chord, glossary)) for one in lesson.symbols if one.chord]
    met = {part for _, found in parts for part in found.ids}
    over = {(found.own, chord.root.degree_of(chord.bass)) for chord, found in parts}
    met |= {slash for slash, entry in glossary.of(SlashChord).items() if (entry.chord, entry.bass) in over}
    taught = [entry for entry in lesson.file.teaches if isinstance(glossary.entries[entry], Spelled | SlashChord)]
    assert taught
    assert set(taught) <= met


@pytest.mark.parametrize("name", LESSONS)
def test_each_symbol_leads_to_a_second_that_explains_or_plays_it(name, lanternfield):
    lesson = lanternfield.lessons[name]
    for met in lesson.symbols:
        assert met.seconds is not None
        # a part of a second is dropped, so that the measure may begin just after
        moments = [moment_at(second, lesson.file, lesson.score) for second in (met.seconds, met.seconds + 1)]
        explains = moments[0].section.explains
        is_explained = moments[0].section.at == met.seconds and explains and explains[0] <= met.measure <= explains[1]
        assert is_explained or met.measure in [moment.measure.number for moment in moments if moment.measure]
