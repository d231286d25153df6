"""The rhythm figures of a lesson: each where it is met first, and when that is heard."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from understave.entries.glossary import Glossary
from understave.entries.values import RhythmFigure
from understave.lessons.demands import HANDS
from understave.lessons.hands_rhythm import rhythm_of
from understave.lessons.lesson import Lesson
from understave.lessons.score_files import ScoreError
from understave.lessons.video import heard_at
from understave.theory.figures import Found, figures_in
from understave.theory.rhythms import RhythmError


@dataclass(frozen=True)
class RhythmMet:
    """A figure where a lesson meets it: its id, the hand, the place in whole notes, and the second.

    ``seconds`` is None where the video doesn't play it.
    """

    figure: str
    hand: str
    measure: int
    at: Fraction
    seconds: int | None


def rhythms_met(lesson: Lesson, glossary: Glossary) -> list[RhythmMet]:
    """Return each rhythm figure of the glossary that a lesson's hands play once, where it is met first, in order.

    Where its last note rings on everywhere, that will do; of both hands at once the right one has it.
    """
    known = {
        name: telling for name, entry in glossary.of(RhythmFigure).items() if (telling := entry.telling) is not None
    }
    first: dict[str, tuple[bool, Fraction, str, Found]] = {}
    for hand in reversed(HANDS):
        try:
            found = figures_in(rhythm_of(lesson.score, hand), known)
        except (RhythmError, ScoreError):
            continue
        for one in found:
            if one.name not in first or (not one.exact, one.at) < first[one.name][:2]:
                first[one.name] = (not one.exact, one.at, hand, one)
    return [
        RhythmMet(name, hand, one.measure.number, at, heard_at(at, one.measure.number, lesson.file, lesson.score))
        for name, (_, at, hand, one) in sorted(first.items(), key=lambda item: (item[1][1], item[0]))
    ]
