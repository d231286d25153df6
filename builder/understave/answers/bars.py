"""A bar of a lesson in facts: which symbol stands there, and what each hand plays under it, by degree."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from understave.answers.explaining import Explained, explain
from understave.lessons.lesson import Lesson, Met
from understave.lessons.video import NEAR, moment_at
from understave.theory.chords import Chord
from understave.theory.tones import Degree, Tone

Sounding = tuple[tuple[Tone, Degree], ...]
"""A hand's tones from the lowest up, each once, with their degrees."""


@dataclass(frozen=True)
class Bar:
    """A symbol of a lesson and what both hands play under it."""

    met: Met
    left: Sounding
    right: Sounding

    @property
    def chord(self) -> Chord:
        """The symbol's chord. Raises ValueError for N.C., which no draft speaks of."""
        if self.met.chord is None:
            raise ValueError("N.C. is no chord")
        return self.met.chord


def last_measure(lesson: Lesson) -> int:
    """Return the number of a lesson's last measure."""
    return max(measure.number for measure in lesson.score.measures)


def measure_heard(lesson: Lesson, seconds: int) -> int | None:
    """Return the measure that is played or spoken of at a second of the video; None where none is."""
    measure = moment_at(seconds, lesson.file, lesson.score).measure
    return measure.number if measure else None


def measure_played(lesson: Lesson, seconds: int) -> int | None:
    """Return the measure that is played at a second of the video; None in talk."""
    moment = moment_at(seconds, lesson.file, lesson.score)
    return moment.measure.number if moment.stretch and moment.measure else None


def measures_near(lesson: Lesson, seconds: int) -> list[int]:
    """Return the measures that a time may mean, the likeliest first: an asker's time is right within NEAR seconds."""
    near = (measure_heard(lesson, max(0, seconds + shift)) for shift in (0, -NEAR, NEAR))
    return list(dict.fromkeys(measure for measure in near if measure is not None))


def bars_of(lesson: Lesson) -> tuple[Bar, ...]:
    """Return the symbols of a lesson with what each hand plays under them, as `explain` finds it."""
    return tuple(map(_bar, explain(lesson)))


def bars_in(bars: Iterable[Bar], measure: int) -> list[Bar]:
    """Return the chords of a measure; the one that still holds from before, if it has no symbol of its own."""
    before = [bar for bar in bars if bar.met.measure <= measure]
    own = [bar for bar in before if bar.met.measure == measure] or before[-1:]
    return [bar for bar in own if bar.met.chord is not None]


def _bar(one: Explained) -> Bar:
    held = (one.verdict.left, one.verdict.right) if one.verdict else ((), ())
    left, right = (tuple(dict.fromkeys((pitch.tone, degree) for pitch, degree in hand)) for hand in held)
    return Bar(one.met, left, right)


def fits(asked: Chord, there: Chord) -> bool:
    """Tell whether an asker may mean this symbol: the same root, and nothing in what they wrote that contradicts it."""
    same_bass = asked.slash is None or asked.bass == there.bass
    return asked.root == there.root and same_bass and set(asked.degrees) <= set(there.degrees)


def nearest_bar(bars: Iterable[Bar], asked: Chord, measure: int) -> Bar | None:
    """Return the bar nearest to a measure whose symbol is the one asked for; None if no bar has it."""
    found = [bar for bar in bars if bar.met.chord is not None and fits(asked, bar.met.chord)]
    exact = [bar for bar in found if bar.met.chord == asked] or found
    return min(exact, key=lambda bar: (abs(bar.met.measure - measure), bar.met.measure), default=None)
