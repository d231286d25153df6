"""Checks that the example site's lessons show, over all of them, what a viewer asks about; computed from the scores."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest

from understave.answers.project import Loaded
from understave.lessons.lesson import Lesson, Met
from understave.lessons.scores import ScoreNote
from understave.theory.chords import has_number
from understave.theory.naming import name_notes
from understave.theory.symbols import suffix_degrees
from understave.theory.tones import Tone

from .printed_scores import PrintedScore, printed_score

FOLDER = Path(__file__).parents[2] / "site_examples" / "lanternfield" / "lessons"
HANDS = ("left", "right")


@pytest.fixture(scope="module")
def lessons(lanternfield: Loaded) -> list[Lesson]:
    return list(lanternfield.lessons.values())


@pytest.fixture(scope="module")
def scores(lessons: list[Lesson]) -> list[PrintedScore]:
    return [printed_score(FOLDER / lesson.file.score) for lesson in lessons]


def ends(one: ScoreNote) -> Fraction:
    return one.at + one.length


def stretches(lessons: list[Lesson]) -> Iterator[tuple[Met, dict[str, list[ScoreNote]]]]:
    """Each symbol with a chord, and by hand the notes that sound from it to the next symbol."""
    for lesson in lessons:
        last = lesson.score.measures[-1]
        starts = [met.at for met in lesson.symbols[1:]] + [last.at + last.length]
        for met, end in zip(lesson.symbols, starts, strict=True):
            if met.chord:
                sounding = [one for one in lesson.score.notes if one.at < end and ends(one) > met.at]
                yield met, {hand: [one for one in sounding if one.hand == hand] for hand in HANDS}


def tones_of(notes: list[ScoreNote]) -> set[Tone]:
    return {one.pitch.tone for one in notes}


def strikes(lesson: Lesson, hand: str) -> dict[tuple[int, int], list[Fraction]]:
    """By measure and beat, where in the beat a hand strikes notes, as shares of the beat."""
    found: dict[tuple[int, int], set[Fraction]] = {}
    for one in lesson.score.notes:
        if one.hand == hand and not one.held:
            measure = lesson.score.measure_at(one.at)
            beat, place = lesson.score.beat_at(one.at)
            found.setdefault((measure.number, beat), set()).add(place / measure.meter.beats()[beat - 1])
    return {place: sorted(shares) for place, shares in found.items()}


TRIPLET = [Fraction(0), Fraction(1, 3), Fraction(2, 3)]
EIGHTHS = [Fraction(0), Fraction(1, 2)]


def successions(lessons: list[Lesson], first: list[Fraction], second: list[Fraction]) -> list[tuple[str, int]]:
    """The lessons and measures in which one hand goes from one division of the beat straight to another."""
    found = []
    for lesson in lessons:
        for hand in HANDS:
            beats = strikes(lesson, hand)
            found += [
                (lesson.id, measure)
                for (measure, beat), shares in beats.items()
                if shares == first and beats.get((measure, beat + 1)) == second
            ]
    return found


def test_a_minor_ninth_is_spread_over_both_hands(lessons):
    """One hand alone hasn't its third, and neither hand has all of its tones."""
    minor_ninth = suffix_degrees("m9")
    assert any(
        met.chord.tones[1] not in tones_of(hands["left"])
        and set(met.chord.tones) <= tones_of(hands["left"]) | tones_of(hands["right"])
        and not set(met.chord.tones) <= tones_of(hands["right"])
        for met, hands in stretches(lessons)
        if met.chord.degrees == minor_ninth
    )


def test_an_added_second_lies_beside_the_root(lessons):
    added = [(met, hands) for met, hands in stretches(lessons) if met.chord.degrees == suffix_degrees("add2")]
    assert added
    for met, hands in added:
        second = met.chord.tones[1]
        pitches = {one.pitch for notes in hands.values() for one in notes}
        assert any(
            low.tone == met.chord.root and high.tone == second and high.key - low.key == 2
            for low in pitches
            for high in pitches
        ) or any(
            low.tone == second and high.tone == met.chord.tones[2] and high.key - low.key == 2
            for low in pitches
            for high in pitches
        )


def test_slash_chords_are_inversions_of_every_number_and_others(lessons):
    inversions = {met.chord.inversion for met, _ in stretches(lessons) if met.chord.slash}
    assert inversions == {1, 2, 3, None}


def test_a_bass_stays_under_chords_it_does_not_belong_to(lessons):
    """A pedal point: at least three symbols in a row on one lowest key, which one of them has not among its tones."""
    basses = []
    for lesson in lessons:
        found = [
            (met, min(one.pitch.key for notes in hands.values() for one in notes)) for met, hands in stretches([lesson])
        ]
        basses += list(zip(found, found[1:], found[2:], strict=False))
    assert any(
        len({key for _, key in three}) == 1 and any(met.chord.inversion is None for met, _ in three) for three in basses
    )


def test_triplets_sound_against_plain_eighths(lessons):
    assert any(
        strikes(lesson, "left").get(place) == EIGHTHS
        for lesson in lessons
        for place, shares in strikes(lesson, "right").items()
        if shares == TRIPLET
    )


def test_a_measure_goes_from_triplets_to_eighths_and_another_back(lessons):
    assert successions(lessons, TRIPLET, EIGHTHS)
    assert successions(lessons, EIGHTHS, TRIPLET)


def test_one_lesson_is_in_six_eight(lessons):
    assert any(str(lesson.score.measures[0].meter) == "6/8" for lesson in lessons)


def test_a_pickup_is_measure_0(lessons):
    pickups = [
        lesson.score.measures[0]
        for lesson in lessons
        if lesson.score.measures[0].length < lesson.score.measures[0].meter.length
    ]
    assert pickups
    assert {measure.number for measure in pickups} == {0}


def test_notes_are_tied_over_a_beat_and_over_a_bar_line(lessons):
    """Syncopation: struck between two beats, or on a weak one, and held over a stronger beat (common practice)."""
    over_beat, over_bar = [], []
    for lesson in lessons:
        held = {(one.pitch, one.at) for one in lesson.score.notes if one.held and lesson.score.beat_at(one.at)[1] == 0}
        for one in lesson.score.notes:
            if (one.pitch, ends(one)) in held:
                starts_measure = lesson.score.measure_at(ends(one)).at == ends(one)
                (over_bar if starts_measure else over_beat).append((one, lesson.score.beat_at(one.at)))
    assert any(place != 0 for _, (_, place) in over_beat)
    assert over_bar


def test_a_meter_changes_and_comes_back(lessons):
    meters = [
        [measure.meter for measure in lesson.score.measures if measure.length == measure.meter.length]
        for lesson in lessons
    ]
    changes = [[new for old, new in pairwise(found) if new != old] for found in meters]
    assert any(len(found) == 2 and found[-1] == meter[0] for found, meter in zip(changes, meters, strict=True))


def test_every_suspended_fourth_steps_down_to_the_third(lessons):
    """In the next symbol, on the same root, in the same hand and octave (common practice)."""
    resolved = 0
    for lesson in lessons:
        for (met, hands), (following, next_hands) in pairwise(stretches([lesson])):
            if has_number(met.chord.degrees, 4) and not has_number(met.chord.degrees, 3):
                fourth, third = met.chord.root.at(met.chord.degrees[1]), following.chord.tones[1]
                assert following.chord.root == met.chord.root
                assert any(
                    low.pitch.tone == third and 0 < high.pitch.key - low.pitch.key <= 2
                    for hand in HANDS
                    for high in hands[hand]
                    for low in next_hands[hand]
                    if high.pitch.tone == fourth
                )
                resolved += 1
    assert resolved


def test_one_suspension_is_prepared(lessons):
    """The fourth sounds at the same pitch right before its symbol, as a chord tone (common practice)."""
    assert any(
        one.pitch.tone == met.chord.root.at(met.chord.degrees[1])
        and one.pitch in {early.pitch for hand in HANDS for early in before_hands[hand] if ends(early) == met.at}
        and one.pitch.tone in before.chord.tones
        for lesson in lessons
        for (before, before_hands), (met, hands) in pairwise(stretches([lesson]))
        if has_number(met.chord.degrees, 4) and not has_number(met.chord.degrees, 3)
        for hand in HANDS
        for one in hands[hand]
    )


def test_a_left_hand_alone_misleads_a_beginner(lessons):
    """What the left hand plays alone has a likelier name on another root than the symbol of both hands."""
    misleading = [
        met.measure
        for met, hands in stretches([lesson for lesson in lessons if lesson.file.level == "beginner"])
        if len(tones_of(hands["left"])) > 1
        and name_notes([one.pitch for one in hands["left"]], [])[0].chord.root != met.chord.root
    ]
    assert misleading


def test_a_repeat_has_a_first_and_a_second_ending(scores):
    endings = [[measure.ending for measure in score.measures if measure.ending] for score in scores]
    assert ["1", "2"] in endings
    for score, found in zip(scores, endings, strict=True):
        if found:
            [first] = [measure for measure in score.measures if measure.ending == "1"]
            assert first.repeats == ("backward",)


def test_pedal_marks_are_pressed_and_let_go_in_turn(scores):
    pedals = [[pedal for measure in score.measures for pedal in measure.pedals] for score in scores]
    assert any(pedals)
    for found in pedals:
        assert found == ["start", "stop"] * (len(found) // 2)


def test_keys_have_flats_sharps_and_one_is_minor(scores):
    assert any(score.fifths < 0 for score in scores)
    assert any(score.fifths > 0 for score in scores)
    assert any(score.mode == "minor" for score in scores)
