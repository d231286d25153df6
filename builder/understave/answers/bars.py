"""A bar of a lesson in facts: which symbol stands there, and what each hand plays under it, by degree."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

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
    chord: Chord
    left: Sounding
    right: Sounding


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


def bars_in(lesson: Lesson, measure: int) -> Iterator[Bar]:
    """Yield the symbols of a measure with what sounds under them; one that still holds from before, if it has none."""
    own = [met for met in lesson.symbols if met.measure == measure]
    if not own:
        own = [met for met in lesson.symbols if met.measure < measure][-1:]
    for met in own:
        if met.chord is not None:
            yield _bar(lesson, met, met.chord, measure)


def _bar(lesson: Lesson, met: Met, chord: Chord, measure: int) -> Bar:
    place = next((each for each in lesson.score.measures if each.number == measure), None)
    start = met.at if place is None or met.measure == measure else place.at
    ends = [other.at for other in lesson.symbols if other.at > start]
    if place is not None:
        ends.append(place.at + place.length)
    end = min(ends, default=start)
    hands = {
        hand: sorted(
            {
                note.pitch
                for note in lesson.score.notes
                if note.hand == hand and note.at < end and note.at + note.length > start
            },
            key=lambda pitch: pitch.key,
        )
        for hand in ("left", "right")
    }
    return Bar(
        met,
        chord,
        *(
            tuple((tone, _degree(chord, tone)) for tone in dict.fromkeys(pitch.tone for pitch in hands[hand]))
            for hand in ("left", "right")
        ),
    )


def _degree(chord: Chord, tone: Tone) -> Degree:
    """Return a tone's degree as the chord has it: a 9 where the symbol says 9."""
    found = chord.root.degree_of(tone)
    return next((degree for degree in chord.degrees if degree.simple == found), found)


def fits(asked: Chord, there: Chord) -> bool:
    """Tell whether an asker may mean this symbol: the same root, and nothing in what they wrote that contradicts it."""
    same_bass = asked.slash is None or asked.bass == there.bass
    return asked.root == there.root and same_bass and set(asked.degrees) <= set(there.degrees)


def nearest_bar(lesson: Lesson, asked: Chord, measure: int) -> Bar | None:
    """Return the bar nearest to a measure whose symbol is the one asked for; None if no bar has it."""
    found = [met for met in lesson.symbols if met.chord is not None and fits(asked, met.chord)]
    exact = [met for met in found if met.chord == asked] or found
    met = min(exact, key=lambda each: (abs(each.measure - measure), each.measure), default=None)
    return _bar(lesson, met, met.chord, met.measure) if met and met.chord else None
