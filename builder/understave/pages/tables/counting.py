"""The rules of rhythms and of counting, the systems' words and the sentences, as the page that counts walks them."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from understave.addresses.slugs import address_of_entry
from understave.entries.glossary import Glossary
from understave.entries.values import CountingSystem
from understave.phrases.catalogue import phrase_ids, phrase_text
from understave.theory import counting_rules, rhythms
from understave.theory.counting import NO_WORD, PositionSystem, System
from understave.theory.rhythms import Meter

Json = dict[str, Any]

SPOKEN = (
    "count-", "value-", "note-", "parts-", "brackets-mean", "dash-means", "measure-beat", "pickup-beat", "said-list",
)  # fmt: skip
"""The beginnings of the ids of the sentences that counting says."""

OWN = ("count-page",)
"""The beginnings of those among them that stand in pages as they are."""


def counting_table(glossary: Glossary) -> Json:
    """Return what reads a rhythm, counts it in every system of the glossary and says why."""
    return {
        "tokenForm": _script_pattern(rhythms.TOKEN_FORM.pattern),
        "meterForm": _script_pattern(rhythms.METER_FORM.pattern),
        "mostInGroup": rhythms.MOST_IN_GROUP,
        "finest": rhythms.FINEST,
        "beatSizes": {str(unit): [_beat_sizes(count, unit) for count in _COUNTS] for unit in rhythms.UNITS},
        "beats": {name: str(length) for name, length in rhythms.BEATS.items()},
        "mostParts": counting_rules.MOST_PARTS,
        "beatFacts": counting_rules.BEAT_FACTS,
        "passageFacts": counting_rules.PASSAGE_FACTS,
        "rules": counting_rules.RULES,
        "noWord": NO_WORD,
        "systems": {
            name: {"name": entry.name, "address": address_of_entry(name, entry), **_system(entry.system)}
            for name, entry in glossary.of(CountingSystem).items()
        },
        "phrases": {name: phrase_text(name) for name in sorted(phrase_ids()) if _is_spoken(name)},
    }


def _is_spoken(name: str) -> bool:
    return name.startswith(SPOKEN) and not name.startswith(OWN)


_COUNTS = range(1, rhythms.MOST_IN_GROUP + 1)


def _script_pattern(pattern: str) -> str:
    """Return a pattern as scripts write it: they name groups without the P."""
    return pattern.replace("(?P<", "(?<")


def _beat_sizes(count: int, unit: int) -> int | list[int]:
    """Return how many notes each beat of a measure of ``count`` notes holds; one number where all hold as many."""
    sizes = [int(length * unit) for length in Meter((count,), unit).beats()]
    return sizes[0] if len(set(sizes)) == 1 else sizes


def _system(system: System) -> Json:
    """Return a system's words: by what is written, or by the fraction of the beat where they stand.

    The latter in ``words``, rows of words by fractions, and in ``rows``, which of them each number of parts has.
    """
    if not isinstance(system, PositionSystem):
        return {"values": {" ".join(tokens): words for tokens, words in system.words.items()}}
    rows: list[dict[str, str]] = []
    numbers = []
    for parts in _COUNTS:
        row = {str(Fraction(place, parts)): word for place, word in enumerate(system.words_at(parts)) if word}
        if row not in rows:
            rows.append(row)
        numbers.append(rows.index(row))
    return {"numbers": system.numbers, "beats": system.beats, "words": rows, "rows": numbers}
