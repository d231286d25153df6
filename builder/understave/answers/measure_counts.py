"""The count of a measure of a lesson: of what both hands play, or of each hand where both together have no words."""

from __future__ import annotations

from understave.entries.values import CountingSystem
from understave.lessons.hands_rhythm import rhythm_of
from understave.lessons.lesson import Lesson
from understave.lessons.score_files import ScoreError
from understave.theory.counting import Counted, count
from understave.theory.rhythms import RhythmError


def count_of(lesson: Lesson, hand: str, measure: int, system: CountingSystem) -> Counted | None:
    """Return the count of a hand's rhythm, or of both, in a measure; None where nothing can be counted."""
    try:
        counted = count(rhythm_of(lesson.score, hand, (measure, measure)), system.system)
    except (RhythmError, ScoreError):
        return None
    return counted if any(one.sounds for one in counted.counts) else None


def counts_of(lesson: Lesson, measure: int, system: CountingSystem | None) -> dict[str, Counted]:
    """Return the count of what both hands play in a measure; of each hand where both together have no words.

    The keys are both, left and right; a hand that rests is not among them, and nothing is without a system.
    """
    if system is None:
        return {}
    together = count_of(lesson, "both", measure, system)
    if together is None or all(one.says for one in together.counts):
        return {"both": together} if together else {}
    hands = {hand: count_of(lesson, hand, measure, system) for hand in ("left", "right")}
    return {hand: counted for hand, counted in hands.items() if counted}
