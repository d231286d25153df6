"""The rows of `counting_rules.py`, walked: which facts hold, and what a rule decides by them."""

from __future__ import annotations

from functools import lru_cache

from understave.theory.counting_rules import BEAT_FACTS, MOST_PARTS, PASSAGE_FACTS, RULES

Facts = frozenset[str]

NO_FACTS: Facts = frozenset()

AMOUNTS = ("none", "needs", "group", "finest", "three")
"""What rows for parts may name, in the order in which `parts_amounts` gives their places."""


def _holds(when: str, facts: Facts) -> bool:
    return all((name.removeprefix("!") in facts) != name.startswith("!") for name in when.split())


def facts_of(**told: bool) -> Facts:
    """Return the names of the facts that hold."""
    return frozenset(name for name, holds in told.items() if holds)


@lru_cache(maxsize=4096)
def beat_facts(needs: int, dotted: bool, group: int) -> Facts:
    """Return what holds of a beat that needs so many equal parts; ``group`` is its number of small notes, or 0."""
    facts = facts_of(
        whole=needs == 1,
        thirds=needs % 3 == 0,
        halves=not needs & (needs - 1),
        fine=needs > MOST_PARTS,
        dotted=dotted,
        group=group > 0,
        even_group=group > 0 and not group & (group - 1),
        fills_group=group > 0 and needs % group == 0,
    )
    for when, fact in BEAT_FACTS:
        if _holds(when, facts):
            facts |= {fact}
    return facts


@lru_cache(maxsize=4096)
def passage_facts(beats: frozenset[Facts], each_beat: bool) -> Facts:
    """Return what holds of a passage with beats of these kinds."""
    found = {fact for when, fact in PASSAGE_FACTS if any(_holds(when, facts) for facts in beats)}
    return frozenset(found) | facts_of(each_beat=each_beat)


@lru_cache(maxsize=4096)
def decided(rule: str, facts: Facts, more: Facts = NO_FACTS) -> str:
    """Return what the first row of a rule gives that holds by facts of two kinds together."""
    both = facts | more
    return next(gives for when, gives in RULES[rule] if _holds(when, both))


@lru_cache(maxsize=4096)
def parts_amounts(beat: Facts, passage: Facts) -> tuple[int, int]:
    """Return the places in AMOUNTS of the one or two amounts of which the largest is counted."""
    names = decided("parts", beat, passage).split()
    return AMOUNTS.index(names[0]), AMOUNTS.index(names[-1])
