"""What is heard in a span of music: how long, how often, how low each of the twelve keys sounds, as integers.

Nothing here knows chords. All tables are indexed by pitch class (0 to 11, C is 0); shares are integers out of WHOLE.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import lcm

from understave.theory.tones import Pitch

WHOLE = 32
"""A share of one, in the integers of this module."""


Table = tuple[int, ...]
"""Twelve integers, one a pitch class."""


@dataclass(frozen=True, slots=True)
class SpanNote:
    """A note in a span: ``onset`` and ``duration`` in whole notes from the span's start, ``part`` from the top."""

    pitch: Pitch
    onset: Fraction
    duration: Fraction
    part: int


@dataclass(frozen=True, slots=True)
class Placed:
    """A note on the span's own grid: start and end are integers, ``fifths`` its place on the line of fifths."""

    start: int
    end: int
    key: int
    fifths: int
    part: int

    @property
    def pitch_class(self) -> int:
        """0 to 11."""
        return self.key % 12

    @property
    def length(self) -> int:
        """In units of the grid."""
        return self.end - self.start


@dataclass(frozen=True, slots=True)
class Sound:
    """A span as it is heard.

    ``channels`` are the tables of CHANNELS; ``spelled`` holds for each sounding pitch class the place on the line of
    fifths where it is written longest; ``center`` and ``weight`` give the mean place (center / weight).
    """

    channels: tuple[Table, ...]
    spelled: dict[int, int]
    first_bass: int
    lowest: int
    center: int
    weight: int


CHANNELS = (
    "coverage",  # the time during which it sounds in any octave
    "bass time",  # the time during which it is the lowest note
    "duration",  # its share of all notes' durations
    "onsets",  # its share of all notes struck
    "below the top",  # its share of durations outside the top part, where melodies pass
    "goes by step",  # durations of its notes that move on by step in their own part
    "comes and goes by step",  # passing and neighbor notes (common practice: those outside the chord do both)
    "longest",  # its longest single note
    "at the start",  # sounds with the span's first note
    "at the end",  # sounds to the span's end
    "present",
    "first bass",
    "lowest",
    "last bass",
)
"""What each table of a Sound says about a pitch class."""


def hear(notes: Sequence[SpanNote]) -> Sound | None:
    """Return what is heard in one span, or None where nothing sounds. The order of ``notes`` says nothing."""
    placed = _placed(notes)
    if not placed:
        return None
    total = sum(note.length for note in placed)
    length = max(note.end for note in placed) - placed[0].start
    center = sum(note.length * note.fifths for note in placed)
    coverage, bass_time, basses = _over_time(placed)
    first_bass = min(note.key for note in placed if note.start == placed[0].start) % 12
    lowest = min(note.key for note in placed) % 12
    leaving, passing = _stepping(placed)
    below = [note for note in placed if note.part > 0]
    end = max(note.end for note in placed)
    channels = (
        _shares(coverage, length),
        _shares(bass_time, length),
        _shares(_durations(placed), total),
        _shares(_counts(placed), len(placed)),
        _shares(_durations(below), sum(note.length for note in below)),
        _shares(_durations(leaving), total),
        _shares(_durations(passing), total),
        _shares(_longest(placed), length),
        _marks(note.pitch_class for note in placed if note.start == placed[0].start),
        _marks(note.pitch_class for note in placed if note.end == end),
        _marks(note.pitch_class for note in placed),
        _marks([first_bass]),
        _marks([lowest]),
        _marks([basses[-1]]),
    )
    return Sound(channels, _spelled(placed, center, total), first_bass, lowest, center, total)


def _placed(notes: Sequence[SpanNote]) -> list[Placed]:
    grid = 1
    for note in notes:
        grid = lcm(grid, note.onset.denominator, note.duration.denominator)
    placed = [
        Placed(
            int(note.onset * grid),
            int((note.onset + note.duration) * grid),
            note.pitch.key,
            note.pitch.tone.fifths,
            note.part,
        )
        for note in notes
        if note.duration > 0
    ]
    return sorted(placed, key=lambda note: (note.start, note.key, note.end, note.part))


def _over_time(placed: Sequence[Placed]) -> tuple[list[int], list[int], list[int]]:
    """Return the time each pitch class sounds, the time it is lowest, and the lowest ones in order.

    A sweep over the starts and ends; the number of notes sounding at once is bounded by the hands.
    """
    coverage, bass_time, basses = [0] * 12, [0] * 12, []
    times = sorted({note.start for note in placed} | {note.end for note in placed})
    sounding: list[Placed] = []
    waiting = 0
    for now, then in pairwise(times):
        sounding = [note for note in sounding if note.end > now]
        while waiting < len(placed) and placed[waiting].start <= now:
            sounding.append(placed[waiting])
            waiting += 1
        if not sounding:
            continue
        for pitch_class in {note.pitch_class for note in sounding}:
            coverage[pitch_class] += then - now
        basses.append(min(note.key for note in sounding) % 12)
        bass_time[basses[-1]] += then - now
    return coverage, bass_time, basses


def _stepping(placed: Sequence[Placed]) -> tuple[list[Placed], list[Placed]]:
    """Return the notes that move on by step (one or two semitones) in their part, and those that also came so."""
    starts, ends = defaultdict(set), defaultdict(set)
    for note in placed:
        starts[note.part, note.start].add(note.key)
        ends[note.part, note.end].add(note.key)

    def near(keys: set[int], key: int) -> bool:
        return any(key + step in keys for step in (-2, -1, 1, 2))

    leaving = [note for note in placed if near(starts.get((note.part, note.end), set()), note.key)]
    return leaving, [note for note in leaving if near(ends.get((note.part, note.start), set()), note.key)]


def _durations(notes: Iterable[Placed]) -> list[int]:
    table = [0] * 12
    for note in notes:
        table[note.pitch_class] += note.length
    return table


def _counts(notes: Iterable[Placed]) -> list[int]:
    table = [0] * 12
    for note in notes:
        table[note.pitch_class] += 1
    return table


def _longest(notes: Iterable[Placed]) -> list[int]:
    table = [0] * 12
    for note in notes:
        table[note.pitch_class] = max(table[note.pitch_class], note.length)
    return table


def _shares(amounts: Sequence[int], total: int) -> Table:
    return tuple((amount * WHOLE + total // 2) // total if total else 0 for amount in amounts)


def _marks(pitch_classes: Iterable[int]) -> Table:
    table = [0] * 12
    for pitch_class in pitch_classes:
        table[pitch_class] = WHOLE
    return tuple(table)


def _spelled(placed: Sequence[Placed], center: int, total: int) -> dict[int, int]:
    """Return how each pitch class is written: longest, then nearest to the mean place, then flatter."""
    lengths: dict[int, dict[int, int]] = defaultdict(lambda: defaultdict(int))
    for note in placed:
        lengths[note.pitch_class][note.fifths] += note.length
    return {
        pitch_class: min(ways, key=lambda fifths: (-ways[fifths], abs(fifths * total - center), fifths))
        for pitch_class, ways in lengths.items()
    }
