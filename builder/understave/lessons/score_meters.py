"""Meters as scores write them: `<time>` in all its forms, and the groups that beams show in five, seven and so on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from xml.etree.ElementTree import Element

from understave.theory.rhythms import Meter, RhythmError, parse_meter

SEEN_IN_BEAMS = frozenset({5, 7, 8, 10, 11, 13})
"""How many eighths or sixteenths a measure holds whose groups only the beams tell (common practice)."""

BEATS_IN_GROUPS = (2, 3, 4)


@dataclass(frozen=True)
class Beam:
    """Notes under one beam: where they start in their measure and where the last one starts and ends."""

    start: Fraction
    end: Fraction


def meter_of_time(time: Element) -> str | None:
    """Return 4/4, 3+2/8 or, of parts such as 3/4 + 2/8, one meter in the smaller unit; None for a free meter."""
    counts = [(text.text or "").replace(" ", "") for text in time.findall("beats")]
    units = [(text.text or "").strip() for text in time.findall("beat-type")]
    if not counts or len(counts) != len(units):
        return None
    if len(counts) == 1:
        return f"{counts[0]}/{units[0]}"
    try:
        parts = [parse_meter(f"{count}/{unit}") for count, unit in zip(counts, units, strict=True)]
    except RhythmError:
        return f"{counts[0]}/{units[0]}"
    return _composed(parts)


def _composed(parts: Sequence[Meter]) -> str:
    unit = max(part.unit for part in parts)
    groups: list[int] = []
    for part in parts:
        is_one_group = part.unit == unit and len(part.groups) == 1
        beats = (part.length,) if is_one_group else part.beats()
        groups += [int(beat * unit) for beat in beats]
    return f"{'+'.join(map(str, groups))}/{unit}"


def meter_of_length(length: Fraction) -> str:
    """Return the meter of a measure that has none: as many quarters, or smaller notes, as it holds."""
    unit = max(4, length.denominator)
    return f"{length * unit}/{unit}"


def grouped_by_beams(meter: str, measures: Iterable[Sequence[Beam]]) -> str:
    """Return a meter with the groups that its measures' beams show most often; as it is if they show none.

    Only meters whose groups are open are asked (5/8, 7/8, 8/8 and so on).
    """
    count, _, unit = meter.partition("/")
    if not (count.isdigit() and int(count) in SEEN_IN_BEAMS and unit in ("8", "16")):
        return meter
    seen = Counter(groups for beams in measures if (groups := _groups(beams, int(count), int(unit))))
    if not seen:
        return meter
    groups = max(seen, key=lambda way: (seen[way], way))
    return f"{'+'.join(map(str, groups))}/{unit}"


def _groups(beams: Sequence[Beam], count: int, unit: int) -> tuple[int, ...]:
    """Return the groups between the places where beams start or end, or nothing if those are no groups of 2 to 4."""
    edges = {Fraction(0), Fraction(count, unit)}
    for beam in beams:
        edges |= {beam.start, beam.end}
    sizes = [(later - earlier) * unit for earlier, later in pairwise(sorted(edges))]
    if len(sizes) < 2 or sum(sizes) != count or any(size not in BEATS_IN_GROUPS for size in sizes):
        return ()
    return tuple(map(int, sizes))
