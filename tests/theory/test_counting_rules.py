"""Checks the rows that counting decides by: each asks for facts that can hold, each decides, one always holds."""

from __future__ import annotations

from itertools import product

import pytest

from understave.theory.counting import PositionSystem, count
from understave.theory.counting_rules import BEAT_FACTS, MOST_PARTS, PASSAGE_FACTS, RULES
from understave.theory.deciding import AMOUNTS, beat_facts, decided, facts_of, parts_amounts, passage_facts
from understave.theory.rhythms import parse_meter, parse_rhythm

BEATS = {
    beat_facts(needs, dotted, group)
    for needs in range(1, MOST_PARTS + 2)
    for dotted, group in ((False, 0), (True, 0), (False, 2), (True, 3), (False, 4), (False, 5), (True, 6))
}
PASSAGES = {passage_facts(frozenset(beats), each) for beats in [(), *product(BEATS, BEATS)] for each in (False, True)}


def names(rows):
    return {name.removeprefix("!") for when, _ in rows for name in when.split()}


def test_rules_ask_only_for_facts_that_can_hold():
    known = frozenset().union(*BEATS)
    assert names(BEAT_FACTS) <= known
    assert names(PASSAGE_FACTS) <= known
    passages = frozenset().union(*PASSAGES)
    assert names(RULES["parts"]) <= known | passages
    assert names(RULES["feel"]) <= known


def test_amounts_of_parts_are_known():
    assert {name for _, gives in RULES["parts"] for name in gives.split()} == set(AMOUNTS)


@pytest.mark.parametrize("rule", RULES)
def test_the_last_row_of_a_rule_always_holds(rule):
    assert RULES[rule][-1][0] == ""
    assert decided(rule, facts_of()) == RULES[rule][-1][1]


def test_every_row_for_parts_decides_for_some_beat():
    given = {decided("parts", beat, passage) for beat in BEATS for passage in PASSAGES}
    assert given == {gives for _, gives in RULES["parts"]}
    assert all(parts_amounts(beat, passage)[0] < len(AMOUNTS) for beat in BEATS for passage in PASSAGES)


@pytest.mark.parametrize(
    ("meter", "rhythm", "each_beat", "parts"),
    [
        # common practice: the smallest division that the passage needs, three where the beat has three parts
        ("4/4", "4 4 4 4", False, [1, 1, 1, 1]),
        ("4/4", "4 8 8 16 16 16 16 4", False, [4, 4, 4, 4]),
        ("4/4", "4 8 8 16 16 16 16 4", True, [1, 2, 4, 1]),
        ("2/4", "12 12 12 8 8", False, [3, 2]),
        ("6/8", "4. 8 8 8", False, [3, 3]),
        ("6/8", "4. 4.", False, [1, 1]),
        ("6/8", "8. 8. 8 8 8", False, [2, 3]),
        # our own settled rule: the groups of 5/8 take their small notes as soon as any group is divided
        ("5/8", "4. 8 8", False, [3, 2]),
        ("5/8", "4. 4", False, [1, 1]),
        ("2/4", "28 28 28 28 28 28 28 4", False, [7, 1]),
        ("1/4", "132 " * 33, False, [0]),
    ],
)
def test_parts_of_each_beat(meter, rhythm, each_beat, parts):
    syllables = PositionSystem({2: ("ta", "di"), 3: ("ta", "ki", "da")})
    counted = count(parse_rhythm(rhythm, parse_meter(meter)), syllables, each_beat=each_beat)
    assert list(counted.parts) == parts
