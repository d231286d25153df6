"""Checks that each lesson keeps to its level's rules, and that of two lessons on a tune the lower is easier."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any, get_args

import pytest
import yaml

from understave.answers.project import Loaded
from understave.lessons.lesson import Lesson
from understave.lessons.schema import LessonFile
from understave.lessons.scores import Score, ScoreNote
from understave.theory.rhythms import recip_length

from .printed_scores import printed_score

FOLDER = Path(__file__).parents[2] / "site_examples" / "lanternfield"
LESSONS = sorted(path.stem for path in (FOLDER / "lessons").glob("*.yaml"))
RULES: dict[str, dict[str, Any]] = yaml.safe_load((FOLDER / "levels.yaml").read_text(encoding="utf-8"))
LEVELS: tuple[str, ...] = get_args(LessonFile.model_fields["level"].annotation)
TOGETHER = ("on-beats", "same-division", "freely")


@dataclass(frozen=True)
class Demand:
    """What a score asks of a hand, in the units of the rules."""

    span: int
    at_once: int
    accidentals: int
    shortest: Fraction
    together: str


def demand_of(lesson: Lesson) -> Demand:
    chords = [held for hand in ("left", "right") for held in held_at_once(lesson.score, hand)]
    return Demand(
        max(max(held) - min(held) for held in chords),
        max(len(held) for held in chords),
        abs(printed_score(FOLDER / "lessons" / lesson.file.score).fifths),
        min(one.length for one in lesson.score.notes),
        together_in(lesson.score),
    )


def held_at_once(score: Score, hand: str) -> list[set[int]]:
    """What one hand holds whenever it starts a note, as keys."""
    notes = [one for one in score.notes if one.hand == hand]
    return [
        {one.pitch.key for one in notes if one.at <= start < one.at + one.length}
        for start in sorted({one.at for one in notes})
    ]


def together_in(score: Score) -> str:
    """Where the left hand starts notes: one of TOGETHER, the least that covers it."""
    needed = 0
    for starts in starts_by_beat(score).values():
        left, right = ({place for place in starts[hand] if place} for hand in ("left", "right"))
        in_three = [any(place.denominator % 3 == 0 for place in places) for places in (left, right)]
        against = bool(left and right) and in_three[0] != in_three[1]
        needed = max(needed, 2 if against else 1 if left else 0)
    return TOGETHER[needed]


def starts_by_beat(score: Score) -> dict[tuple[int, int], dict[str, set[Fraction]]]:
    """For each measure and beat, the places within the beat (as shares of it) where each hand strikes a note."""
    found: dict[tuple[int, int], dict[str, set[Fraction]]] = defaultdict(lambda: {"left": set(), "right": set()})
    for one in score.notes:
        if not one.held:
            measure = score.measure_at(one.at)
            beat, place = score.beat_at(one.at)
            found[measure.number, beat][one.hand].add(place / measure.meter.beats()[beat - 1])
    return found


def top_line(score: Score) -> dict[tuple[int, Fraction], ScoreNote]:
    """The highest note that the right hand strikes at each place, by measure and place in it."""
    line: dict[tuple[int, Fraction], ScoreNote] = {}
    for one in sorted(score.notes, key=lambda note: note.pitch.key):
        if one.hand == "right" and not one.held:
            measure = score.measure_at(one.at)
            line[measure.number, one.at - measure.at] = one
    return line


@pytest.fixture(scope="module")
def pairs(lanternfield: Loaded) -> list[tuple[Lesson, Lesson]]:
    """The lessons of one tune at two levels, the lower level first."""
    tunes: dict[str, list[Lesson]] = defaultdict(list)
    for lesson in sorted(lanternfield.lessons.values(), key=lambda one: LEVELS.index(one.file.level)):
        tunes[lesson.file.tune].append(lesson)
    return [(found[0], found[1]) for found in tunes.values() if len(found) == 2]


def test_there_is_a_rule_for_every_level_and_each_level_asks_for_more():
    assert tuple(RULES) == LEVELS
    for name in ("largest_span", "notes_at_once", "accidentals"):
        sizes = [rule[name] for rule in RULES.values()]
        assert sizes == sorted(set(sizes))
    shortest = [recip_length(rule["smallest_division"]) for rule in RULES.values()]
    assert shortest == sorted(set(shortest), reverse=True)
    assert [rule["hands_together"] for rule in RULES.values()] == list(TOGETHER)


@pytest.mark.parametrize("name", LESSONS)
def test_a_lesson_keeps_to_the_rules_of_its_level(name, lanternfield):
    lesson = lanternfield.lessons[name]
    rule, demand = RULES[lesson.file.level], demand_of(lesson)
    assert demand.span <= rule["largest_span"]
    assert demand.at_once <= rule["notes_at_once"]
    assert demand.accidentals <= rule["accidentals"]
    assert demand.shortest >= recip_length(rule["smallest_division"])
    assert TOGETHER.index(demand.together) <= TOGETHER.index(rule["hands_together"])


def test_every_level_has_lessons(lanternfield):
    assert {lesson.file.level for lesson in lanternfield.lessons.values()} == set(LEVELS)
    assert len(lanternfield.lessons) >= 9


def test_two_tunes_are_taught_at_two_levels_the_easier_first(pairs):
    assert len(pairs) >= 2
    for lower, higher in pairs:
        assert lower.file.level != higher.file.level
        assert lower.file.date < higher.file.date
        assert lower.file.key == higher.file.key
        measures = [[(one.number, one.at, one.length) for one in lesson.score.measures] for lesson in (lower, higher)]
        assert measures[0] == measures[1]
        assert len(lower.score.notes) < len(higher.score.notes)


def test_both_levels_of_a_tune_have_its_melody(pairs):
    """On each beat where both strike a note, the top notes are the same tone."""
    for lower, higher in pairs:
        lines = [top_line(lesson.score) for lesson in (lower, higher)]
        shared = [place for place in lines[0] if place in lines[1]]
        assert len(shared) * 4 >= len(lines[0]) * 3
        assert all(lines[0][place].pitch == lines[1][place].pitch for place in shared)


def test_one_pair_differs_in_its_symbols_on_the_same_root(pairs):
    """As where the lower level has a triad and the higher one the thirteenth on the same root."""
    fuller = []
    for lower, higher in pairs:
        ahead = [(met.at, met.chord) for met in higher.symbols if met.chord]
        for met, following in zip(lower.symbols, (*lower.symbols[1:], None), strict=True):
            end = following.at if following else lower.score.measures[-1].at + lower.score.measures[-1].length
            fuller += [
                (met.chord, chord)
                for at, chord in ahead
                if met.at <= at < end
                and met.chord
                and chord.root == met.chord.root
                and chord.degrees != met.chord.degrees
            ]
    assert any(len(plain.degrees) == 3 and len(full.degrees) == 7 for plain, full in fuller)


def test_one_pair_differs_in_its_rhythm(pairs):
    """The lower level's shortest note of the right hand is longer than the higher level's."""
    shortest = [
        [min(one.length for one in lesson.score.notes if one.hand == "right") for lesson in pair] for pair in pairs
    ]
    assert any(lower > higher for lower, higher in shortest)
