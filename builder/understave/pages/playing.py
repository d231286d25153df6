"""What the examples on pages play: chords in turn, or notes, beats and words in time, as compact values for the player.

Times are exact fractions of a whole note up to here; the player gets whole numbers of equal parts of one.
"""

from __future__ import annotations

import json
from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate
from math import lcm
from typing import ClassVar

from understave.lessons.lesson import Lesson
from understave.lessons.scores import ScoreMeasure, ScoreNote
from understave.lessons.video import whole_note_at_tempo
from understave.theory.counting import Counted
from understave.theory.rhythms import Event, Meter, Rhythm
from understave.theory.together import Together
from understave.theory.tones import Pitch
from understave.theory.voicings import Voicing

BEATS_A_MINUTE = 72
"""How fast an example's beat goes where nothing says otherwise: a calm walk (ours)."""

MOST_A_MINUTE = 132
"""The most words of the count a minute where what is counted is smaller than the beat (ours)."""

LEFT, RIGHT = 0, 1
"""The hands, as the player has them."""

RHYTHM_KEYS = {LEFT: 55, RIGHT: 67}
"""The keys that a rhythm without pitches is played on: G3 and G4."""


@dataclass(frozen=True)
class Chords:
    """Chords in turn: for each the keys of the left and of the right hand, low to high, as MIDI numbers."""

    kind: ClassVar[str] = "chords"
    counted: ClassVar[bool] = False

    turns: tuple[tuple[tuple[int, ...], tuple[int, ...]], ...]

    @property
    def in_time(self) -> bool:
        """Whether a tempo means anything."""
        return len(self.turns) > 1

    @property
    def hands(self) -> bool:
        """Whether both hands play."""
        return all(any(hand) for hand in zip(*self.turns, strict=True))

    @property
    def data(self) -> str:
        """The turns as JSON."""
        return _compact(self.turns)


@dataclass(frozen=True)
class PlayedNote:
    """A note as it sounds, its ties joined: from ``at`` for ``length``, in whole notes, on a key by a hand.

    ``shown`` are the numbers of the notes that show it in the picture: there ``e0`` is 0.
    """

    at: Fraction
    length: Fraction
    key: int
    hand: int
    shown: tuple[int, ...]

    @property
    def end(self) -> Fraction:
        """Where it ends, in whole notes."""
        return self.at + self.length


@dataclass(frozen=True)
class Passage:
    """Music in time: its notes, its beats and the words of its count, in whole notes from its start.

    ``whole`` is how many seconds a whole note lasts; ``words`` are places and lengths, in the order of the picture.
    ``clicks`` says whether the beats click at first.
    """

    kind: ClassVar[str] = "passage"
    counted: ClassVar[bool] = True
    in_time: ClassVar[bool] = True

    whole: Fraction
    length: Fraction
    notes: tuple[PlayedNote, ...]
    beats: tuple[Fraction, ...]
    words: tuple[tuple[Fraction, Fraction], ...]
    clicks: bool

    @property
    def hands(self) -> bool:
        """Whether both hands play."""
        return len({note.hand for note in self.notes}) > 1

    @property
    def data(self) -> str:
        """As JSON: seconds a whole note, parts of a whole note, the length, notes, beats and words in such parts.

        A note is its place, length, key and hand, and the numbers of what shows it.
        """
        notes = ((note.at, note.length) for note in self.notes)
        places = [self.length, *self.beats, *(place for pair in (*notes, *self.words) for place in pair)]
        parts = lcm(*(place.denominator for place in places))
        return _compact(
            [
                round(float(self.whole), 6),
                parts,
                int(self.length * parts),
                [[int(n.at * parts), int(n.length * parts), n.key, n.hand, *n.shown] for n in self.notes],
                [int(beat * parts) for beat in self.beats],
                [[int(at * parts), int(length * parts)] for at, length in self.words],
            ]
        )


Plays = Chords | Passage


def _compact(value: object) -> str:
    return json.dumps(value, separators=(",", ":"))


def played_chords(voicings: Iterable[Voicing]) -> Chords:
    """Return voicings as they are played, one after the other."""
    return Chords(
        tuple((_keys(p for p, _ in voicing.left), _keys(p for p, _ in voicing.right)) for voicing in voicings)
    )


def played_notes(left: Sequence[Pitch], right: Sequence[Pitch]) -> Chords:
    """Return notes of both hands as one chord."""
    return Chords(((_keys(left), _keys(right)),))


def _keys(pitches: Iterable[Pitch]) -> tuple[int, ...]:
    return tuple(pitch.key for pitch in pitches)


def played_rhythm(rhythm: Rhythm, counted: Counted) -> Passage:
    """Return a rhythm as it is played: each note once however it is tied, the beats that are counted, the words."""
    return _counted_passage(rhythm, counted, _joined(enumerate(rhythm.events), RIGHT))


def played_hands(both: Together, counted: Counted) -> Passage:
    """Return two hands' rhythms as they are played together."""
    numbered: dict[int, list[tuple[int, Event]]] = {RIGHT: [], LEFT: []}
    number = 0
    for measures in zip(both.right.measures, both.left.measures, strict=True):
        for hand, measure in zip((RIGHT, LEFT), measures, strict=True):
            numbered[hand] += enumerate(measure.events, number)
            number += len(measure.events)
    notes = (note for hand, events in numbered.items() for note in _joined(events, hand))
    return _counted_passage(both.rhythm, counted, notes)


def _joined(events: Iterable[tuple[int, Event]], hand: int) -> Iterator[PlayedNote]:
    """Yield the notes of events that come with their numbers in the picture, each with all that its ties add."""
    last: PlayedNote | None = None
    for number, event in events:
        if event.held and last:
            last = replace(last, length=last.length + event.length, shown=(*last.shown, number))
            continue
        if last:
            yield last
        fresh = PlayedNote(event.at, event.length, RHYTHM_KEYS[hand], hand, (number,))
        last = None if event.rests else fresh
    if last:
        yield last


def _counted_passage(rhythm: Rhythm, counted: Counted, notes: Iterable[PlayedNote]) -> Passage:
    beats = [(beat.at, beat.length) for beat in counted.beats]
    meter = rhythm.measures[0].meter
    return Passage(
        whole=_usual_whole(meter, min(length for _, length in beats)),
        length=rhythm.measures[-1].end,
        notes=_in_order(notes),
        beats=tuple(at for at, _ in beats if at >= 0),
        words=tuple((one.at, one.length) for one in counted.counts),
        clicks=True,
    )


def played_measure(lesson: Lesson, number: int, counted: Counted | None) -> Passage:
    """Return a measure of a lesson's score as both hands play it, as fast as the video does where it is at tempo.

    What is tied over from the measure before is struck at its start. ``counted`` is the count under the picture. A
    measure of rests clicks at first.
    """
    measure = next(one for one in lesson.score.measures if one.number == number)
    notes = _notes_between(lesson.score.notes, measure.at, measure.at + measure.length)
    return Passage(
        whole=whole_note_at_tempo(number, lesson.file, lesson.score)
        or _usual_whole(measure.meter, max(measure.meter.beats())),
        length=measure.length,
        notes=notes,
        beats=tuple(_beat_places(measure)),
        words=tuple((one.at - measure.at, one.length) for one in counted.counts) if counted else (),
        clicks=not notes,
    )


def _notes_between(notes: Sequence[ScoreNote], start: Fraction, end: Fraction) -> tuple[PlayedNote, ...]:
    """Return what sounds of a score's notes between two places, its ties joined, with places from ``start``."""
    played: list[PlayedNote] = []
    ending: dict[tuple[int, int, Fraction], int] = {}
    for note in notes[_first_from(start, notes) : _first_from(end, notes)]:
        hand = LEFT if note.hand == "left" else RIGHT
        fresh = PlayedNote(note.at - start, min(note.length, end - note.at), note.pitch.key, hand, (note.index,))
        before = ending.pop((fresh.key, hand, fresh.at), None) if note.held else None
        if before is None:
            before = len(played)
            played.append(fresh)
        else:
            last = played[before]
            played[before] = replace(last, length=last.length + fresh.length, shown=(*last.shown, note.index))
        ending[fresh.key, hand, fresh.end] = before
    return _in_order(played)


def _first_from(place: Fraction, notes: Sequence[ScoreNote]) -> int:
    return bisect_left(notes, place, key=lambda note: note.at)


def _beat_places(measure: ScoreMeasure) -> Iterator[Fraction]:
    """Yield where the measure's beats begin, in whole notes from its start."""
    for place in accumulate(measure.meter.beats(), initial=-measure.missing):
        if 0 <= place < measure.length:
            yield place


def _in_order(notes: Iterable[PlayedNote]) -> tuple[PlayedNote, ...]:
    return tuple(sorted(notes, key=lambda note: (note.at, note.hand, note.key)))


def _usual_whole(meter: Meter, counted: Fraction) -> Fraction:
    """Return how many seconds a whole note lasts where nothing says how fast: neither beat nor count too fast."""
    return max(Fraction(60, BEATS_A_MINUTE) / max(meter.beats()), Fraction(60, MOST_A_MINUTE) / counted)
