"""Meters and rhythms in exact fractions of a whole note.

Durations are written in Humdrum **recip (4 a quarter, 8. a dotted eighth, 12 a triplet eighth, 0 a breve, 00 a long),
rests with r and ties with [ _ ] as in **kern, bar lines as |, a change of meter as *M3/4.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, lru_cache

UNITS = (1, 2, 4, 8, 16, 32)
"""The note values that a meter may count."""

MOST_IN_GROUP = 64
"""The most notes of its unit that a meter, or a group of it, may hold."""

METER_FORM = re.compile(rf"([0-9]{{1,2}}(?:\+[0-9]{{1,2}})*)/({'|'.join(map(str, UNITS))})")
TOKEN_FORM = re.compile(
    r"(?P<start>[\[_]?)(?P<number>0{1,3}|[1-9][0-9]{0,3})(?P<dots>\.{0,3})(?P<rest>r?)(?P<end>[\]_]?)"
)

BEATS: dict[str, Fraction] = {
    name: Fraction(numerator, denominator)
    for name, (numerator, denominator) in {
        "sixteenth": (1, 16), "eighth": (1, 8), "dotted-eighth": (3, 16), "quarter": (1, 4), "dotted-quarter": (3, 8),
        "half": (1, 2), "dotted-half": (3, 4), "whole": (1, 1),
    }.items()
}  # fmt: skip
"""Beats by name, in fractions of a whole note."""

USUAL_GROUPS = {5: (3, 2), 7: (2, 2, 3)}
"""How five and seven eighths are grouped unless groups are written (common practice)."""

FINEST = 10**9
"""The largest denominator of a place: beyond it tuplets lie within tuplets without end."""


class RhythmError(ValueError):
    """A rhythm or meter that can't be: ``problem`` is an id, ``details`` its values, in order, as text."""

    def __init__(self, problem: str, *details: object) -> None:
        self.problem = problem
        self.details = tuple(str(detail) for detail in details)
        super().__init__(" ".join((problem, *self.details)))


@dataclass(frozen=True)
class Meter:
    """A meter: how many notes of which kind a measure holds, in ``groups`` where it is asymmetric."""

    groups: tuple[int, ...]
    unit: int

    @cached_property
    def length(self) -> Fraction:
        """The length of a measure, in whole notes."""
        return Fraction(sum(self.groups), self.unit)

    @cached_property
    def asymmetric(self) -> bool:
        """Whether the beats are groups of unequal length."""
        return len(set(self.beats())) > 1

    def beats(self, beat: Fraction | None = None) -> tuple[Fraction, ...]:
        """Return the lengths of the beats of one measure.

        The quarter in 4/4, the half in 2/2, the dotted quarter in 6/8, three eighths in 3/8, the groups in 5/8
        (common practice); ``beat`` picks another. Raises RhythmError if it doesn't divide the measure.
        """
        return _beats(self, beat)

    def __str__(self) -> str:
        return f"{'+'.join(map(str, self.groups))}/{self.unit}"


@lru_cache(maxsize=256)
def _beats(meter: Meter, beat: Fraction | None) -> tuple[Fraction, ...]:
    if beat is not None:
        if meter.length % beat:
            raise RhythmError("beat-does-not-fit", beat, meter)
        return (beat,) * int(meter.length / beat)
    count = sum(meter.groups)
    if len(meter.groups) > 1:
        return tuple(Fraction(group, meter.unit) for group in meter.groups)
    if meter.unit >= 8 and count in USUAL_GROUPS:
        return tuple(Fraction(group, meter.unit) for group in USUAL_GROUPS[count])
    if count % 3 == 0 and count > 3:
        return (Fraction(3, meter.unit),) * (count // 3)
    return (Fraction(1, meter.unit),) * count


def parse_meter(text: str) -> Meter:
    """Read 4/4 or 2+3/8. Raises RhythmError otherwise."""
    match = METER_FORM.fullmatch(text)
    if not match or not all(1 <= int(group) <= MOST_IN_GROUP for group in match[1].split("+")):
        raise RhythmError("no-meter", text)
    return Meter(tuple(map(int, match[1].split("+"))), int(match[2]))


@dataclass(frozen=True)
class Event:
    """A note or rest: ``at`` and ``length`` in whole notes from the start; ``token`` as written, without ties."""

    at: Fraction
    length: Fraction
    token: str
    rests: bool = False
    held: bool = False
    """Whether it is tied to the note before, so that nothing new sounds."""
    holds: bool = False
    """Whether it is tied to the note after."""

    @property
    def starts(self) -> bool:
        """Whether a new note sounds here."""
        return not (self.rests or self.held)

    @property
    def tuplet(self) -> int:
        """The number of a tuplet that the note belongs to: 3 for a triplet eighth, 1 for a plain note."""
        return tuplet_of(self.token)

    @property
    def written(self) -> str:
        """The token with its rest and ties: [8, 4r."""
        if self.rests:
            return f"{self.token}r"
        marks = {(False, True): f"[{self.token}", (True, True): f"_{self.token}", (True, False): f"{self.token}]"}
        return marks.get((self.held, self.holds), self.token)


@dataclass(frozen=True)
class Measure:
    """A measure: its ``number`` (a pickup is 0), where it starts, its meter and its events.

    ``missing`` is the part of the meter that a pickup leaves out at its front.
    """

    number: int
    at: Fraction
    meter: Meter
    events: tuple[Event, ...]
    missing: Fraction = Fraction(0)

    @property
    def end(self) -> Fraction:
        """Where the last event ends."""
        return self.events[-1].at + self.events[-1].length


@dataclass(frozen=True)
class Rhythm:
    """A rhythm: measures that fill their meters."""

    measures: tuple[Measure, ...]
    swung: bool = False
    """Whether the halves of a beat are played long and short, though they are written alike."""

    @property
    def events(self) -> tuple[Event, ...]:
        """All notes and rests in order."""
        return tuple(event for measure in self.measures for event in measure.events)

    @property
    def recip(self) -> str:
        """The rhythm in tokens, with bar lines, and with each change of meter after the first."""
        parts, meter = [], self.measures[0].meter
        for measure in self.measures:
            change = "" if measure.meter == meter else f"*M{measure.meter} "
            parts.append(change + " ".join(event.written for event in measure.events))
            meter = measure.meter
        return " | ".join(parts)


@lru_cache(maxsize=4096)
def tuplet_of(token: str) -> int:
    """Return the number of the tuplet that a bare token belongs to: the odd part of 12 is 3, a triplet."""
    odd = int(token.rstrip("."))
    while odd and odd % 2 == 0:
        odd //= 2
    return odd or 1


@lru_cache(maxsize=4096)
def recip_length(token: str) -> Fraction:
    """Return the length of a bare recip token such as 8. in whole notes (Humdrum **recip; 0 is a breve, 00 a long)."""
    number = token.rstrip(".")
    plain = Fraction(1, int(number)) if int(number) else Fraction(2 ** len(number))
    return plain * (2 - Fraction(1, 2 ** token.count(".")))


def recip_token(length: Fraction, tuplet: int = 1) -> str:
    """Return the recip token of a length in whole notes, with up to two dots; empty where no single note has it.

    Within a tuplet only its own values will do: a quarter of the whole note is 6. under a ``tuplet`` of 3.
    """
    for dots in range(3):
        plain = length / (2 - Fraction(1, 2**dots))
        if plain.numerator == 1 and plain.denominator % tuplet == 0:
            return f"{plain.denominator}{'.' * dots}"
    return "0" if length == 2 and tuplet == 1 else ""


def odd_part(number: int) -> int:
    """Return what is left of a positive number when its twos are taken out."""
    return number // (number & -number)


@dataclass
class _Part:
    """What stands between two bar lines or changes of meter; ``words`` are the places of its tokens in the text."""

    meter: Meter
    events: list[Event]
    words: list[int]
    length: Fraction = Fraction(0)
    barred: bool = False
    """Whether a bar line stands behind it."""


def parse_rhythm(text: str, meter: Meter) -> Rhythm:
    """Read a rhythm in tokens parted by spaces, in linear time.

    Raises RhythmError: ``unknown-token``, ``tie-open`` and ``tie-to-nothing`` with the token and its place in the text
    (from 1), ``too-fine`` likewise for tuplets within tuplets, ``measure-short`` and ``measure-long`` with the
    measure, the difference and the meter, ``tuplet-open`` with the measure, what is missing, the tuplet's number, the
    token and its place. A short first measure needs its bar line and is a pickup; the last may then be short by the
    pickup's length.
    """
    parts, has_bars = _parts(text, meter)
    if not has_bars:
        parts = [measure for part in parts for measure in _filled(part)]
    return Rhythm(_measures(parts))


def _parts(text: str, meter: Meter) -> tuple[list[_Part], bool]:
    """Return the tokens between bar lines and changes of meter, and whether there are bar lines."""
    parts = [_Part(meter, [], [])]
    at, tied, tied_word, has_bars = Fraction(0), "", 0, False
    for word, token in enumerate(text.split(), 1):
        part = parts[-1]
        if token == "|":
            has_bars = has_bars or bool(part.events)
            part.barred = bool(part.events) or len(parts) > 1
            if part.barred:
                parts.append(_Part(part.meter, [], []))
            continue
        if token.startswith("*M"):
            change = parse_meter(token[2:])
            if part.events:
                parts.append(_Part(change, [], []))
            else:
                part.meter = change
            continue
        event = _event(token, word, at, bool(tied))
        tied, tied_word = (token, word) if event.holds else ("", 0)
        at += event.length
        part.length += event.length
        if part.length.denominator > FINEST:
            raise RhythmError("too-fine", token, word)
        part.events.append(event)
        part.words.append(word)
    if tied:
        raise RhythmError("tie-open", tied, tied_word)
    if not parts[-1].events:
        parts.pop()
    if not any(part.events for part in parts):
        raise RhythmError("no-notes", text)
    return parts, has_bars


def _event(token: str, word: int, at: Fraction, tied: bool) -> Event:
    match = TOKEN_FORM.fullmatch(token)
    if not match:
        raise RhythmError("unknown-token", token, word)
    bare = match["number"] + match["dots"]
    marks = match["start"] + match["end"]
    held = "]" in marks or "_" in marks
    if held != tied or (match["rest"] and marks):
        raise RhythmError("tie-to-nothing" if held else "tie-open", token, word)
    holds = "[" in marks or "_" in marks
    return Event(at, recip_length(bare), bare, bool(match["rest"]), held, holds)


def _filled(part: _Part) -> list[_Part]:
    """Return a part without bar lines cut into measures, each filled until it is full or too long."""
    measures: list[_Part] = []
    for event, word in zip(part.events, part.words, strict=True):
        if not measures or measures[-1].length >= part.meter.length:
            measures.append(_Part(part.meter, [], []))
        measures[-1].events.append(event)
        measures[-1].words.append(word)
        measures[-1].length += event.length
    return measures


def _measures(parts: Sequence[_Part]) -> tuple[Measure, ...]:
    """Return measures, each held against its meter."""
    first = parts[0]
    missing = max(first.meter.length - first.length, Fraction(0))
    is_pickup = missing > 0 and first.barred and len(parts) > 1
    measures: list[Measure] = []
    at = Fraction(0)
    for index, part in enumerate(parts):
        number = index + (0 if is_pickup else 1)
        front = missing if is_pickup and index == 0 else Fraction(0)
        short = part.meter.length - part.length - front
        last_of_pickup = is_pickup and index == len(parts) - 1 and short == first.length
        _check_tuplets(part, number, front, Fraction(0) if last_of_pickup else short)
        if short and not last_of_pickup:
            raise RhythmError("measure-short" if short > 0 else "measure-long", number, abs(short), part.meter)
        measures.append(Measure(number, at, part.meter, tuple(part.events), front))
        at += part.length
    return tuple(measures)


def _check_tuplets(part: _Part, number: int, front: Fraction, short: Fraction) -> None:
    """Raise RhythmError where a note stands within a tuplet that it doesn't belong to, or the measure ends in one.

    A place within a tuplet has an odd factor in its denominator; only notes with that factor can stand there.
    """
    place, tuplet, whole = front, odd_part(front.denominator), Fraction(odd_part(front.denominator), front.denominator)
    for event, word in zip(part.events, part.words, strict=True):
        if event.tuplet % odd_part(place.denominator):
            raise RhythmError("tuplet-open", number, whole - place % whole, tuplet, event.token, word)
        if event.tuplet > 1:
            tuplet, whole = event.tuplet, Fraction(event.tuplet, int(event.token.rstrip(".")))
        place += event.length
    if short > 0 and odd_part(place.denominator) > 1:
        raise RhythmError("tuplet-open", number, short, tuplet, part.events[-1].token, part.words[-1])
