"""The video of a lesson against its score: at which second a measure is heard, what is played or said at a second."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate, pairwise

from understave.lessons.schema import LessonFile, Section, Stretch
from understave.lessons.scores import Score, ScoreMeasure

NEAR = 3
"""How many seconds before or after a stretch of playing still mean it: askers round and type late."""


@dataclass(frozen=True)
class Moment:
    """What a second of the video holds: its section and, where something is played, the stretch and the place.

    ``at`` is in whole notes from the score's start, ``measure`` the measure there; both None in talk.
    """

    section: Section
    stretch: Stretch | None = None
    at: Fraction | None = None
    measure: ScoreMeasure | None = None


def heard_at(at: Fraction, measure: int, file: LessonFile, score: Score) -> int | None:
    """Return the second that explains a place of the score best; None if the video never comes to it.

    The section that explains the measure comes first; then both hands, slow and in few measures before at tempo;
    then one hand.
    """
    about = [(_size(section.explains), section.at) for section in file.sections if _within(measure, section.explains)]
    if about:
        return min(about)[1]
    stretches = [stretch for stretch in file.heard if _within(measure, stretch.measures)]
    if not stretches:
        return None
    chosen = min(stretches, key=lambda stretch: (stretch.hands != "both", *_explains(stretch)))
    passes = _passes(at, measure, chosen, score)
    return next((int(start + share * (end - start)) for start, end, share in passes), None)


def _explains(stretch: Stretch) -> tuple[bool, int, int]:
    is_slow = stretch.tempo == "slow"
    return not is_slow, _size(stretch.measures) if is_slow else 0, stretch.from_


def _within(measure: int, measures: tuple[int, int] | None) -> bool:
    return measures is not None and measures[0] <= measure <= measures[1]


def _size(measures: tuple[int, int] | None) -> int:
    return measures[1] - measures[0] if measures else 0


def _passes(at: Fraction, measure: int, stretch: Stretch, score: Score) -> list[tuple[Fraction, Fraction, Fraction]]:
    """Return each time a place is played in a stretch: the measure's first and last second, the share between."""
    return [
        (start, end, (at - played.at) / played.length)
        for played, start, end in timetable(stretch, score)
        if played.number == measure and played.at <= at < played.at + played.length
    ]


def timetable(stretch: Stretch, score: Score) -> list[tuple[ScoreMeasure, Fraction, Fraction]]:
    """Return the measures that a stretch plays in turn, repeats played out, each with its first and last second."""
    played = played_in_turn(stretch.measures, score)
    whole = sum((measure.length for measure in played), Fraction(0))
    ends = accumulate((measure.length / whole for measure in played), initial=Fraction(0))
    times = [stretch.from_ + share * (stretch.to - stretch.from_) for share in ends]
    return [(measure, *ends) for measure, ends in zip(played, pairwise(times), strict=True)]


def whole_note_at_tempo(measure: int, file: LessonFile, score: Score) -> Fraction | None:
    """Return how many seconds a whole note lasts where the video plays a measure at tempo; None if it never does.

    Both hands come first, then the longest stretch.
    """
    stretches = [
        stretch for stretch in file.heard if stretch.tempo == "at tempo" and _within(measure, stretch.measures)
    ]
    if not stretches:
        return None
    chosen = max(stretches, key=lambda stretch: (stretch.hands == "both", stretch.to - stretch.from_))
    table = timetable(chosen, score)
    return (table[-1][2] - table[0][1]) / sum((played.length for played, _, _ in table), Fraction(0))


def played_in_turn(measures: tuple[int, int], score: Score) -> Sequence[ScoreMeasure]:
    """Return what is played between two measures: the first way through the score that stays between them.

    Measures 1 to 16 of a score that repeats them are played twice; two measures of them once.
    """
    turns = [score.measures[index] for index in score.order]
    first = next((place for place, measure in enumerate(turns) if _within(measure.number, measures)), 0)
    last = first
    while last < len(turns) and _within(turns[last].number, measures):
        last += 1
    found = turns[first:last]
    final = max((place for place, measure in enumerate(found) if measure.number == measures[1]), default=len(found) - 1)
    return found[: final + 1]


def moment_at(second: int, file: LessonFile, score: Score) -> Moment:
    """Return what a second of the video holds; a stretch at most NEAR seconds away counts as played.

    Where a section explains some measures, its talk belongs to the first of them.
    """
    section = max((section for section in file.sections if section.at <= second), key=lambda section: section.at)
    near = [stretch for stretch in file.heard if stretch.from_ - NEAR <= second <= stretch.to + NEAR]
    if near:
        stretch = min(near, key=lambda stretch: max(stretch.from_ - second, second - stretch.to, 0))
        measure, at = _place(min(max(second, stretch.from_), stretch.to), stretch, score)
        return Moment(section, stretch, at, measure)
    about = next((measure for measure in score.measures if _within(measure.number, section.explains)), None)
    return Moment(section, None, about.at if about else None, about)


def _place(second: int, stretch: Stretch, score: Score) -> tuple[ScoreMeasure, Fraction]:
    table = timetable(stretch, score)
    measure, start, end = next((row for row in table if second < row[2]), table[-1])
    share = min((second - start) / (end - start), Fraction(1))
    at = measure.at + share * measure.length
    return measure, min(at, measure.at + measure.length)
