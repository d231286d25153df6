"""Rhythm figures in music: where a rhythm plays what a figure is known by.

A figure is known by a few of its own notes: a dotted quarter and an eighth by `4. 8`, whatever stands around them. In
other music they are the same figure where the same notes start at the same distances, on beats of the same length, at
a place of the same weight:

- Notes of which none is held over a beat may start on any beat.
- Others start as far from a strong beat as in the figure: 8 4 8 on one is a syncopated quarter, on two
  a tie across the middle. In meters of two or four beats every other beat is strong, else the first alone.
- Notes around a bar line stand around one. A single note held over one is known by that, however long it is.
- Notes of a pickup stand in one of the same length.

The last note of a figure with a note held over a beat may ring on, unless a rest follows it; a place where it doesn't
is `exact`.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import pairwise

from understave.theory.rhythms import Event, Measure, Meter, Rhythm


@dataclass(frozen=True)
class Sound:
    """A note with all that its ties add: where it starts and ends, in whole notes."""

    at: Fraction
    end: Fraction


@dataclass(frozen=True)
class Telling:
    """What a figure is known by: its notes, where they stand in their measure, and in what meter.

    ``sounds`` count from the figure's place, which is ``place`` after the measure's front; ``length`` is that of notes
    and rests together. ``bar`` is where a bar line comes within it, ``missing`` what its measure lacks at its front.
    """

    sounds: tuple[Sound, ...]
    place: Fraction
    length: Fraction
    meter: Meter
    bar: Fraction | None = None
    missing: Fraction = Fraction(0)

    @property
    def is_one_tie(self) -> bool:
        """Whether it is a single note held over a bar line."""
        return self.bar is not None and len(self.sounds) == 1

    @cached_property
    def steps(self) -> Fraction:
        """Between places of the same weight: a beat, two beats, or the whole measure."""
        beats = self.meter.beats()
        if not any(self._is_held_over(beats[0], sound) for sound in self.sounds):
            return beats[0]
        return 2 * beats[0] if len(beats) % 2 == 0 else self.meter.length

    def _is_held_over(self, beat: Fraction, sound: Sound) -> bool:
        start, end = self.place + sound.at, self.place + sound.end
        return start // beat + 1 < end / beat


@dataclass(frozen=True)
class Found:
    """A figure in music: its name, the measure and the stretch in which its notes stand, whether it stops there."""

    name: str
    measure: Measure
    at: Fraction
    end: Fraction
    exact: bool


def telling(rhythm: Rhythm, known_by: str) -> Telling | None:
    """Return what a figure's ``rhythm`` is known by: the tokens where they first stand in it in a row, or None."""
    tokens = known_by.split()
    places = [(measure, event) for measure in rhythm.measures for event in measure.events]
    written = [event.written for _, event in places]
    start = next((i for i in range(len(written)) if tokens and written[i : i + len(tokens)] == tokens), None)
    if start is None:
        return None
    measure, first = places[start]
    events = [event for _, event in places[start : start + len(tokens)]]
    end = events[-1].at + events[-1].length
    return Telling(
        tuple(Sound(sound.at - first.at, sound.end - first.at) for sound in _sounds(events)),
        first.at - measure.at + measure.missing,
        end - first.at,
        measure.meter,
        measure.end - first.at if end > measure.end else None,
        measure.missing,
    )


def figures_in(rhythm: Rhythm, known: Mapping[str, Telling]) -> list[Found]:
    """Return the figures of a rhythm in order, in linear time; one that lies within a longer one is left out."""
    sounds = list(_sounds(rhythm.events))
    starts = [measure.at for measure in rhythm.measures]
    alike = _alike(sounds)
    found = [
        Found(name, measure, at, at + one.length, exact)
        for name, one in known.items()
        for at, measure, exact in _places(one, _beginnings(one, sounds, alike), sounds, rhythm, starts)
    ]
    kept: list[Found] = []
    for one in sorted(found, key=lambda one: (one.at, one.at - one.end, not known[one.name].missing, one.name)):
        if not kept or one.end > kept[-1].end:
            kept.append(one)
    return kept


Start = tuple[Fraction, Fraction]
"""A note's length, and how far from its start the next note starts."""


def _start(first: Sound, second: Sound) -> Start:
    return first.end - first.at, second.at - first.at


def _alike(sounds: list[Sound]) -> dict[Start, list[int]]:
    """Return the places in ``sounds`` of the notes that have the same length and are followed at the same distance."""
    alike = defaultdict(list)
    for index, (first, second) in enumerate(pairwise(sounds)):
        alike[_start(first, second)].append(index)
    return alike


def _beginnings(one: Telling, sounds: list[Sound], alike: Mapping[Start, list[int]]) -> Sequence[int]:
    """Return the places in ``sounds`` where a figure might begin: all but a last note are as long as in the figure."""
    return range(len(sounds)) if len(one.sounds) == 1 else alike.get(_start(*one.sounds[:2]), [])


def _places(
    one: Telling, beginnings: Iterable[int], sounds: list[Sound], rhythm: Rhythm, starts: list[Fraction]
) -> Iterator[tuple[Fraction, Measure, bool]]:
    """Yield where a figure stands, the measure, and whether its last note ends where the figure does."""
    beat = one.meter.beats()[0]
    for index in beginnings:
        sound = sounds[index]
        at = sound.at - one.sounds[0].at
        measure = rhythm.measures[max(0, bisect_right(starts, at) - 1)]
        if at < measure.at or measure.meter.beats()[0] != beat or one.missing not in (0, measure.missing):
            continue
        if one.is_one_tie:
            if measure.end < sound.end and measure is not rhythm.measures[-1]:
                yield at, measure, True
            continue
        is_weighed = (at - measure.at + measure.missing - one.place) % one.steps == 0
        fits_bar = one.length <= measure.end - at if one.bar is None else one.bar == measure.end - at
        if is_weighed and fits_bar and _fits_meter(one, measure.meter) and _is_played(one, index, at, sounds):
            yield at, measure, sounds[index + len(one.sounds) - 1].end <= at + one.length


def _fits_meter(one: Telling, meter: Meter) -> bool:
    """Tell whether a meter has the strong beats that the figure needs."""
    if one.steps == one.meter.beats()[0]:
        return True
    if len(one.meter.beats()) % 2 == 0:
        return len(meter.beats()) % 2 == 0
    return meter.length == one.meter.length


def _is_played(one: Telling, index: int, at: Fraction, sounds: list[Sound]) -> bool:
    """Tell whether the notes from ``index`` on are the figure's and nothing else sounds in its time."""
    played = sounds[index : index + len(one.sounds)]
    beyond = index + len(one.sounds)
    if len(played) < len(one.sounds) or (index and sounds[index - 1].end > at):
        return False
    if beyond < len(sounds) and sounds[beyond].at < at + one.length:
        return False
    *inner, last = ((sound.at - at, sound.end - at) for sound in played)
    *own, final = ((sound.at, sound.end) for sound in one.sounds)
    rings_on = one.steps != one.meter.beats()[0] and final[1] == one.length and last[1] > final[1]
    return inner == own and last[0] == final[0] and (rings_on or last[1] == final[1])


def _sounds(events: Iterable[Event]) -> list[Sound]:
    """Return the notes of events, each with all that its ties add; one held from before the first starts there."""
    sounds: list[Sound] = []
    for event in events:
        end = event.at + event.length
        if event.held and sounds:
            sounds[-1] = Sound(sounds[-1].at, end)
        elif not event.rests:
            sounds.append(Sound(event.at, end))
    return sounds
