"""Counting: what is said at every place of a rhythm.

One counts with the smallest division that the passage needs and no smaller; a beat in three takes three even
syllables (common practice).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from math import lcm

from understave.theory.rhythms import BEATS, Event, Measure, Meter, Rhythm, RhythmError, recip_token

POSITION_LISTS = (2, 3, 4, 6)
"""The divisions of a beat for which a system by position has words."""


@dataclass(frozen=True)
class PositionSystem:
    """A system that says where in the beat a note falls: words for each division; ``n`` is the beat's number.

    ``beats`` picks another beat for some meters: Gordon's beat in 3/4 is the measure.
    """

    words: dict[int, tuple[str, ...]]
    beats: dict[str, str] = field(default_factory=dict)

    @property
    def numbers(self) -> bool:
        """Whether beats are said as numbers."""
        return any("n" in words for words in self.words.values())


@dataclass(frozen=True)
class ValueSystem:
    """A system that says how long a note is: words for recip tokens, or for several in a row within a beat."""

    words: dict[tuple[str, ...], tuple[str, ...]]


@dataclass(frozen=True)
class Count:
    """One place of the count. ``says`` is None where the system has no word; ``note`` is an id or empty.

    ``in_beat``, ``at`` and ``length`` are in whole notes; ``beat`` counts from 1.
    """

    measure: int
    beat: int
    in_beat: Fraction
    at: Fraction
    length: Fraction
    says: str | None
    sounds: bool
    note: str = ""

    @property
    def word(self) -> str:
        """The word in the line: in brackets where no new note starts, a dash where the system has none."""
        said = self.says or "–"
        return said if self.sounds else f"({said})"


def count(
    rhythm: Rhythm, system: PositionSystem | ValueSystem, beat: str | None = None, each_beat: bool = False
) -> tuple[Count, ...]:
    """Return what is said at every place of ``rhythm``.

    ``beat`` names another beat (a name of BEATS, or ``measure``); ``each_beat`` divides every beat by its own notes.
    Raises RhythmError for a beat that doesn't exist or doesn't fit the meter.
    """
    if isinstance(system, ValueSystem):
        return tuple(_by_value(rhythm, system, beat))
    beats = [_Beat.of(measure, system, beat) for measure in rhythm.measures]
    return tuple(_by_position([one for measure in beats for one in measure], system, each_beat))


def line(counts: tuple[Count, ...]) -> str:
    """Return the count as it is said, in one line."""
    return " ".join(one.word for one in counts)


def beat_length(name: str, meter: Meter) -> Fraction:
    """Return the length of a beat by name, in whole notes. Raises RhythmError for an unknown one."""
    if name == "measure":
        return meter.length
    if name not in BEATS:
        raise RhythmError("no-beat", name)
    return BEATS[name]


@dataclass(frozen=True)
class _Beat:
    """One beat: its place, its length, and the events that touch it."""

    measure: int
    number: int
    at: Fraction
    length: Fraction
    events: tuple[Event, ...]
    starts_at: Fraction
    """Where in the beat the music begins: after 0 only in a pickup."""
    group: bool
    """Whether the beat is a group of an asymmetric meter."""

    @classmethod
    def of(cls, measure: Measure, system: PositionSystem | None, beat: str | None) -> list[_Beat]:
        own = system.beats.get(str(measure.meter)) if system and beat is None else None
        name = beat if beat is not None else own
        lengths = measure.meter.beats(None if name is None else beat_length(name, measure.meter))
        end = measure.events[-1].at + measure.events[-1].length
        at = measure.at - measure.missing
        beats, first = [], 0
        for number, length in enumerate(lengths, 1):
            while first < len(measure.events) and measure.events[first].at + measure.events[first].length <= at:
                first += 1
            last = first
            while last < len(measure.events) and measure.events[last].at < at + length:
                last += 1
            if last > first and at < end:
                starts = max(Fraction(0), measure.at - at)
                asymmetric = measure.meter.asymmetric and name is None
                beats.append(cls(measure.number, number, at, length, measure.events[first:last], starts, asymmetric))
            at += length
        return beats

    def division(self) -> int:
        """The number of equal parts that the beat's own notes and rests need."""
        offsets = [(event.at - self.at) / self.length for event in self.events if event.at > self.at]
        parts = lcm(1, *(offset.denominator for offset in offsets))
        if self.natural_three and parts in (1, 3):
            return 3 if parts == 3 else 1
        if any(event.tuplet % 3 == 0 for event in self.events) and not self.natural_three:
            parts = lcm(parts, 3)
        return parts

    @property
    def natural_three(self) -> bool:
        """Whether the beat divides in three by itself: a dotted beat."""
        return self.length.numerator == 3

    @property
    def in_three(self) -> bool:
        """Whether the beat is felt in three: by itself, or under a triplet."""
        parts = self.division()
        return parts % 3 == 0 or (parts == 1 and self.natural_three)


def _by_position(beats: list[_Beat], system: PositionSystem, each_beat: bool) -> list[Count]:
    finest_two = max((b.division() for b in beats if not b.in_three and _is_power_of_two(b.division())), default=1)
    finest_dotted = max((b.division() for b in beats if b.in_three and b.natural_three), default=1)
    counts = []
    for beat in beats:
        division = beat.division()
        if not each_beat:
            if not beat.in_three and _is_power_of_two(division):
                division = _group_division(beat, finest_two) if beat.group else finest_two
            elif beat.natural_three and beat.in_three:
                division = finest_dotted
        if beat.group:
            division = max(division, _eighths(beat))
        counts += _places(beat, division, system)
    return counts


def _is_power_of_two(number: int) -> bool:
    return number & (number - 1) == 0


def _eighths(beat: _Beat) -> int:
    """The number of small notes in a group of an asymmetric meter: 3 in a group of three eighths."""
    return 3 if beat.natural_three else 2


def _group_division(beat: _Beat, finest: int) -> int:
    return lcm(_eighths(beat), finest)


def _places(beat: _Beat, division: int, system: PositionSystem) -> list[Count]:
    counts = []
    step = beat.length / division
    for place in range(division):
        in_beat = place * step
        if in_beat < beat.starts_at:
            continue
        at = beat.at + in_beat
        starting = next((event for event in beat.events if event.at == at), None)
        sounding = next((event for event in beat.events if event.at <= at < event.at + event.length), None)
        if sounding is None:
            continue
        says = _word(beat, place, division, system)
        sounds = starting is not None and starting.starts
        note = "" if sounds else ("rest" if sounding.rests else "held")
        if says is None:
            note = "no-word"
        counts.append(Count(beat.measure, beat.number, in_beat, at, step, says, sounds, note))
    return counts


def _word(beat: _Beat, place: int, division: int, system: PositionSystem) -> str | None:
    """Return the word for a place, or None where the system has none."""
    if beat.group and system.numbers:
        eighths = _eighths(beat)
        number, rest = divmod(place * eighths, division)
        return str(number + 1) if rest == 0 else _listed(system, Fraction(rest, division), division // eighths, number)
    return _listed(system, Fraction(place, division), division, beat.number - 1, beat.natural_three)


def _listed(
    system: PositionSystem, place: Fraction, division: int, number: int, natural_three: bool = False
) -> str | None:
    """Return the word at a place of the beat, or None.

    Where a system has no list for the division, the beat itself keeps its word, and so does a place that a coarser
    division of the same kind has a word for: the half of the beat, or the thirds of a dotted beat.
    """
    words = system.words.get(division)
    if words is None and place == 0:
        words = next(iter(system.words.values()))
    if words is None and place.denominator == 3 and natural_three:
        words = system.words.get(3)
    if words is None and _is_power_of_two(division):
        words = system.words.get(place.denominator)
    if words is None:
        return None
    word = words[int(place * len(words))]
    return str(number + 1) if word == "n" else word


def _by_value(rhythm: Rhythm, system: ValueSystem, beat: str | None) -> list[Count]:
    counts: list[Count] = []
    tokens = _sounding_tokens(rhythm)
    for measure in rhythm.measures:
        for one in _Beat.of(measure, None, beat):
            starting = [event for event in one.events if event.at >= one.at]
            index = 0
            while index < len(starting):
                words = _longest(starting[index:], one, system, tokens)
                for event, word in zip(starting[index : index + len(words)], words, strict=True):
                    counts.append(_value_count(one, event, word))
                index += len(words)
    return counts


def _sounding_tokens(rhythm: Rhythm) -> dict[Fraction, str]:
    """Return, for the place of every note, the recip token of all that sounds of it, ties included."""
    tokens: dict[Fraction, str] = {}
    start, length = Fraction(0), Fraction(0)
    for event in rhythm.events:
        if not event.held:
            start, length = event.at, Fraction(0)
        length += event.length
        tokens[start] = event.token if length == event.length else recip_token(length)
    return tokens


def _longest(
    events: list[Event], beat: _Beat, system: ValueSystem, sounding: dict[Fraction, str]
) -> tuple[str | None, ...]:
    """Return the words for the longest figure at the front of ``events``; figures start on the beat or its half."""
    half = beat.length / (3 if beat.natural_three else 2)
    on_place = (events[0].at - beat.at) % half == 0
    for size in range(len(events), 1, -1):
        tokens = tuple(event.token for event in events[:size])
        if on_place and tokens in system.words and all(e.starts and not e.holds for e in events[:size]):
            return system.words[tokens]
    event = events[0]
    if event.held:
        return (None,)
    return system.words.get((sounding[event.at] + ("r" if event.rests else ""),), (None,))


def _value_count(beat: _Beat, event: Event, word: str | None) -> Count:
    note = "" if event.starts else ("rest" if event.rests else "held")
    if word is None and event.starts:
        note = "no-word"
    return Count(beat.measure, beat.number, event.at - beat.at, event.at, event.length, word, event.starts, note)
