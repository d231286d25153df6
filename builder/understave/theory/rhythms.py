"""Meters and rhythms in exact fractions of a whole note.

Durations are written in Humdrum **recip (4 a quarter, 8. a dotted eighth, 12 a triplet eighth), rests with r and ties
with [ _ ] as in **kern, bar lines as |, a change of meter as *M3/4.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

_METER = re.compile(r"([0-9]{1,2}(?:\+[0-9]{1,2})*)/(1|2|4|8|16|32)")
_TOKEN = re.compile(r"(?P<start>[\[_]?)(?P<number>[0-9]{1,4})(?P<dots>\.{0,3})(?P<rest>r?)(?P<end>[\]_]?)")

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

    @property
    def length(self) -> Fraction:
        """The length of a measure, in whole notes."""
        return Fraction(sum(self.groups), self.unit)

    @property
    def asymmetric(self) -> bool:
        """Whether the beats are groups of unequal length."""
        return len(set(self.beats())) > 1

    def beats(self, beat: Fraction | None = None) -> tuple[Fraction, ...]:
        """Return the lengths of the beats of one measure.

        The quarter in 4/4, the half in 2/2, the dotted quarter in 6/8, three eighths in 3/8, the groups in 5/8
        (common practice); ``beat`` picks another. Raises RhythmError if it doesn't divide the measure.
        """
        if beat is not None:
            if self.length % beat:
                raise RhythmError("beat-does-not-fit", beat, self)
            return (beat,) * int(self.length / beat)
        count = sum(self.groups)
        if len(self.groups) > 1:
            return tuple(Fraction(group, self.unit) for group in self.groups)
        if self.unit >= 8 and count in USUAL_GROUPS:
            return tuple(Fraction(group, self.unit) for group in USUAL_GROUPS[count])
        if count % 3 == 0 and count > 3:
            return (Fraction(3, self.unit),) * (count // 3)
        return (Fraction(1, self.unit),) * count

    def __str__(self) -> str:
        return f"{'+'.join(map(str, self.groups))}/{self.unit}"


def parse_meter(text: str) -> Meter:
    """Read 4/4 or 2+3/8. Raises RhythmError otherwise."""
    match = _METER.fullmatch(text)
    if not match or not all(1 <= int(group) <= 64 for group in match[1].split("+")):
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
        odd = int(re.match(r"\d+", self.token)[0])  # type: ignore[index]
        while odd and odd % 2 == 0:
            odd //= 2
        return odd or 1


@dataclass(frozen=True)
class Measure:
    """A measure: its ``number`` (a pickup is 0), where it starts, its meter, its events and how late it begins.

    ``missing`` is the part of the meter that a pickup leaves out at its front.
    """

    number: int
    at: Fraction
    meter: Meter
    events: tuple[Event, ...]
    missing: Fraction = Fraction(0)


@dataclass(frozen=True)
class Rhythm:
    """A rhythm: measures that fill their meters."""

    measures: tuple[Measure, ...]

    @property
    def events(self) -> tuple[Event, ...]:
        """All notes and rests in order."""
        return tuple(event for measure in self.measures for event in measure.events)


def recip_length(token: str) -> Fraction:
    """Return the length of a bare recip token such as 8. in whole notes (Humdrum **recip; 0 is a breve)."""
    number = int(token.rstrip("."))
    plain = Fraction(2) if number == 0 else Fraction(1, number)
    return plain * (2 - Fraction(1, 2 ** token.count(".")))


def recip_token(length: Fraction) -> str:
    """Return the recip token of a length in whole notes, with up to two dots; empty where no single note has it."""
    for dots in range(3):
        plain = length / (2 - Fraction(1, 2**dots))
        if plain.numerator == 1:
            return f"{plain.denominator}{'.' * dots}"
    return ""


def parse_rhythm(text: str, meter: Meter) -> Rhythm:
    """Read a rhythm in tokens parted by spaces.

    Raises RhythmError for an unknown token, a measure that doesn't fill its meter and a tie that is open or holds
    nothing. A short first measure needs its bar line and is a pickup; the last may then be
    short by the pickup's length.
    """
    written: list[tuple[Meter, list[Event]]] = [(meter, [])]
    at, tie_open, has_bars = Fraction(0), False, False
    for token in text.split():
        if token == "|":
            has_bars = True
            written.append((written[-1][0], []))
            continue
        if token.startswith("*M"):
            change = parse_meter(token[2:])
            if written[-1][1]:
                written.append((change, []))
            else:
                written[-1] = (change, [])
            continue
        event, tie_open = _event(token, at, tie_open)
        at += event.length
        written[-1][1].append(event)
    if tie_open:
        raise RhythmError("tie-open", text.split()[-1])
    if not written[0][1]:
        raise RhythmError("no-notes", text)
    parts = [(part_meter, events) for part_meter, events in written if events]
    return Rhythm(_measures(parts) if has_bars else _filled(parts))


def _event(token: str, at: Fraction, tie_open: bool) -> tuple[Event, bool]:
    match = _TOKEN.fullmatch(token)
    if not match:
        raise RhythmError("unknown-token", token)
    length = recip_length(match["number"] + match["dots"])
    marks = match["start"] + match["end"]
    held = "]" in marks or "_" in marks
    if held != tie_open or (match["rest"] and marks):
        raise RhythmError("tie-to-nothing" if held else "tie-open", token)
    holds = "[" in marks or "_" in marks
    event = Event(at, length, match["number"] + match["dots"], bool(match["rest"]), held, holds)
    return event, holds


def _length(events: list[Event]) -> Fraction:
    return sum((event.length for event in events), Fraction(0))


def _measures(parts: list[tuple[Meter, list[Event]]]) -> tuple[Measure, ...]:
    """Return measures by written bar lines."""
    first_meter, first = parts[0]
    missing = first_meter.length - _length(first)
    is_pickup = missing > 0 and len(parts) > 1
    measures = []
    for index, (meter, events) in enumerate(parts):
        number = index + (0 if is_pickup else 1)
        short = meter.length - _length(events)
        is_last_of_pickup = is_pickup and index == len(parts) - 1 and short == _length(first)
        if short and not (is_pickup and index == 0) and not is_last_of_pickup:
            raise RhythmError("measure-short" if short > 0 else "measure-long", number, abs(short), meter)
        measures.append(
            Measure(number, events[0].at, meter, tuple(events), missing if is_pickup and index == 0 else Fraction(0))
        )
    return tuple(measures)


def _filled(parts: list[tuple[Meter, list[Event]]]) -> tuple[Measure, ...]:
    """Return measures found by filling each meter in turn."""
    measures: list[Measure] = []
    for meter, events in parts:
        rest = list(events)
        while rest:
            size, taken = Fraction(0), 0
            while taken < len(rest) and size < meter.length:
                size += rest[taken].length
                taken += 1
            number = len(measures) + 1
            if size != meter.length:
                problem = "measure-short" if size < meter.length else "measure-long"
                raise RhythmError(problem, number, abs(meter.length - size), meter)
            measures.append(Measure(number, rest[0].at, meter, tuple(rest[:taken])))
            rest = rest[taken:]
    return tuple(measures)
