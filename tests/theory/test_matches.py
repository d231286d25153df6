"""Matching keys with chord types: what is looked up is what trying every type on every root would give.

`tried` is the rule at its plainest, from the docstrings of `naming_types.py`; any reader of the tables can walk it.
"""

from __future__ import annotations

import pytest

from understave.theory import naming_types as points
from understave.theory.matches import NamedType, matches, named_types
from understave.theory.tones import LINE_OF_FIFTHS, ROOTS, Tone, parse_degree, tone_at

Tried = tuple[int, int, int, int, int, bool]
"""Cost, root above the bass, the type's rank, what it lacks, how much is unexplained, whether the bass is foreign."""


def tried(keys: int, root: int, kind: NamedType) -> Tried | None:
    """Try one type on one root against keys above a bass."""
    above = {(key - root) % 12 for key in range(12) if keys >> key & 1}
    own = {key for key in range(12) if kind.bits >> key & 1}
    bass = -root % 12
    foreign = bass not in own
    if 2 * len(own & above) < len(own) or (foreign and len(own & above) < 3):
        return None
    lacking = sum(1 << key for key in own - above)
    unexplained = len(above - own) - foreign
    cost = kind.cost + points.UNEXPLAINED * unexplained
    cost += sum(price for bit, price in kind.missing_costs if bit & lacking)
    cost += points.FOREIGN_BASS + len(own) * (lacking > 0) if foreign else kind.bass_costs[bass]
    return cost, root, kind.rank, lacking, unexplained, foreign


def by_trying(keys: int) -> list[Tried]:
    found = sorted(match for root in range(12) for kind in named_types() if (match := tried(keys, root, kind)))
    best = found[0]
    return [match for match in found if match[0] <= best[0] + points.FAR_BEHIND and (best[4] or not match[4])]


@pytest.mark.parametrize("size", range(2, 13))
def test_what_is_looked_up_is_what_trying_gives(size: int) -> None:
    """All 2,048 sets of intervals over a bass but the bass alone; every eleventh of the sets of middling size."""
    sets = [keys for keys in range(1, 4096, 2) if keys.bit_count() == size]
    for keys in sets[:: 1 if len(sets) < 100 else 11]:
        looked_up = [(m.cost, m.root, m.rank, m.lacking, m.unexplained, m.foreign_bass) for m in matches(keys, bass=0)]
        assert looked_up == by_trying(keys), bin(keys)


def test_a_set_moves_with_its_bass() -> None:
    keys = 0b000010010001
    for bass in range(12):
        assert matches((keys << bass | keys >> 12 - bass) & 0xFFF, bass) == matches(keys, 0)


def test_types_are_distinct_and_hold_each_key_once() -> None:
    types = named_types()
    assert len({kind.degrees for kind in types}) == len(types)
    assert all(kind.bits.bit_count() == len(kind.degrees) for kind in types)
    assert [kind.rank for kind in types] == list(range(len(types)))


def test_the_line_of_fifths_spells_as_letters_do() -> None:
    # common practice: each sharp is seven fifths up
    assert [Tone(letter).fifths for letter in LINE_OF_FIFTHS] == [-1, 0, 1, 2, 3, 4, 5]
    for root in ROOTS:
        assert tone_at(root.fifths) == root
        for kind in named_types():
            for degree in kind.degrees:
                assert tone_at(root.fifths + degree.fifths) == root.at(degree)
    assert parse_degree("b3").fifths == -3
