"""Matching sets of keys with chord types: integers and bits only, nothing is spelled here.

A set of keys is an integer whose bits are semitones, up to eleven, above the root or the bass. Every type is tried on
every root; what it costs is a sum of the points of `naming_types.py`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from typing import NamedTuple

from understave.theory import naming_types as points
from understave.theory.chords import usually_left_out
from understave.theory.symbols import suffix_degrees
from understave.theory.tones import Degree


@dataclass(frozen=True, slots=True)
class NamedType:
    """A chord type as naming matches it."""

    rank: int
    """Its place among the types: fewer tones first, then the commoner."""
    degrees: tuple[Degree, ...]
    bits: int
    """Its keys above the root."""
    cost: int
    missing_costs: tuple[tuple[int, int], ...]
    """Each key's bit, and what it costs to lack it."""
    at: tuple[Degree | None, ...]
    """The degree at each semitone above the root."""
    bass_costs: tuple[int, ...]
    """What it costs to have the bass at each semitone above the root, where that is a chord tone."""


class Match(NamedTuple):
    """A type on a root against a set of keys. Matches sort by likelihood."""

    cost: int
    root: int
    """Semitones above the bass."""
    rank: int
    type: NamedType
    lacking: int
    """The keys of the type that don't sound."""
    unexplained: int
    """How many keys sound that are no chord tones, the bass aside."""
    foreign_bass: bool

    @property
    def missing(self) -> tuple[Degree, ...]:
        """The degrees that don't sound."""
        return tuple([d for d in self.type.degrees if self.lacking >> d.semitones % 12 & 1]) if self.lacking else ()


class _Row(NamedTuple):
    """A type some of whose keys make up a whole set: what it costs, and the keys it lacks."""

    cost: int
    type: NamedType
    lacking: int


def matches(sounding: int, bass: int) -> Sequence[Match]:
    """Return the likeliest matches of a set of pitch classes (as bits) over a bass, likeliest first."""
    return matches_over_bass(_from(sounding, bass))


def _from(keys: int, key: int) -> int:
    """Return a set of keys as seen from one key, 0 to 11 semitones higher."""
    return (keys >> key | keys << 12 - key) & 0xFFF


@lru_cache(maxsize=2048)
def matches_over_bass(keys: int) -> tuple[Match, ...]:
    """Return the likeliest matches of a set that begins with its bass.

    First types that explain all keys are sought, then types that explain all but one, and so on, until what comes next
    is too dear to matter.
    """
    found: list[Match] = []
    dearest = points.UNEXPLAINED * 12  # more than the likeliest ever costs
    others = [1 << key for key in range(1, 12) if keys & 1 << key]
    for unexplained in range(len(others) + 1):
        for left_aside in combinations(others, unexplained):
            dearest = _find(found, keys, sum(left_aside), points.UNEXPLAINED * unexplained, dearest)
        best = min(found, default=None)
        next_cost = points.UNEXPLAINED * (unexplained + 1)
        if best and best.cost + (points.FAR_BEHIND if best.unexplained else 0) < next_cost:
            break
    likely = sorted(match for match in found if match.cost <= dearest)
    return tuple(match for match in likely if not match.unexplained or likely[0].unexplained)


def _find(found: list[Match], keys: int, left_aside: int, price: int, dearest: int) -> int:
    """Add the matches that leave just some keys unexplained, at a price; the bass may be foreign besides.

    What costs more than ``dearest`` is passed over. Returns what the dearest may cost from now on.
    """
    rows, unexplained = _rows(), left_aside.bit_count()
    explained = keys & ~left_aside
    for root in range(12):
        above, bass = _from(explained, root), -root % 12
        for cost, kind, lacking in rows.get(above, ()):
            cost += price
            if cost > dearest:
                break
            cost += kind.bass_costs[bass]
            if cost <= dearest and not lacking & _from(left_aside, root):
                found.append(Match(cost, root, kind.rank, kind, lacking, unexplained, False))
                dearest = min(dearest, cost + points.FAR_BEHIND)
        upper = above & ~(1 << bass)
        for cost, kind, lacking in rows.get(upper, ()):
            cost += price + points.FOREIGN_BASS
            # a bass beside the chord makes a slash chord only under a chord that is whole without it
            if cost > dearest or upper.bit_count() < 3:
                break
            cost += len(kind.degrees) if lacking else 0
            if cost <= dearest and not lacking & _from(left_aside | 1, root):
                found.append(Match(cost, root, kind.rank, kind, lacking, unexplained, True))
                dearest = min(dearest, cost + points.FAR_BEHIND)
    return dearest


@lru_cache(maxsize=1)
def named_types() -> tuple[NamedType, ...]:
    """Return the types of NAMED_TYPES, by rank."""
    suffixes = {suffix: suffix_degrees(suffix) for suffix in points.NAMED_TYPES}
    ranked = sorted(suffixes, key=lambda suffix: (len(suffixes[suffix]), points.NAMED_TYPES[suffix]))
    return tuple(_named_type(rank, suffixes[suffix], points.NAMED_TYPES[suffix]) for rank, suffix in enumerate(ranked))


def _named_type(rank: int, degrees: tuple[Degree, ...], cost: int) -> NamedType:
    left_out = usually_left_out(degrees)
    missing_costs = tuple((1 << degree.semitones % 12, missing_cost(degree, left_out)) for degree in degrees)
    by_key = {degree.semitones % 12: degree for degree in degrees}
    at = tuple(by_key.get(key) for key in range(12))
    prices = points.POWER_BASS_COSTS if len(degrees) == 2 else points.BASS_COSTS
    bass_costs = tuple(prices.get(degree.number if degree else 0, points.OTHER_BASS) for degree in at)
    return NamedType(rank, degrees, sum(bit for bit, _ in missing_costs), cost, missing_costs, at, bass_costs)


def missing_cost(degree: Degree, left_out: tuple[Degree, ...]) -> int:
    """Return what a name costs where a degree of its type doesn't sound; ``left_out`` is usually left out."""
    if degree in left_out:
        return points.MISSING_USUAL
    match degree.number, degree.alteration:
        case 1, _:
            return points.MISSING_ROOT
        case 5, 0:
            return points.MISSING_FIFTH
        case 3, _:
            return points.MISSING_THIRD
    return points.MISSING_OTHER


@lru_cache(maxsize=1)
def _rows() -> dict[int, list[_Row]]:
    """Return, by each set of keys above a root, the types that it is at least half of, the cheapest first."""
    rows: dict[int, list[_Row]] = {}
    for kind in named_types():
        parts = [(kind.bits, kind.cost)]
        for bit, price in kind.missing_costs:
            parts += [(keys ^ bit, cost + price) for keys, cost in parts]
        least = (len(kind.degrees) + 1) // 2
        for keys, cost in parts:
            if keys.bit_count() >= least:
                rows.setdefault(keys, []).append(_Row(cost, kind, kind.bits ^ keys))
    for row in rows.values():
        row.sort(key=lambda part: part.cost)
    return rows
