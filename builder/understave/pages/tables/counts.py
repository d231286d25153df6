"""What rhythm figures sound like when they are counted, for finding a figure by what is said."""

from __future__ import annotations

from itertools import groupby
from typing import Any

from understave.entries.glossary import Glossary
from understave.entries.values import CountingSystem, RhythmFigure
from understave.theory.counting import PositionSystem, count

Json = dict[str, Any]

COMMON_TIME = "4/4"
"""Among figures that are said alike, those of common time come first."""


def counts_table(glossary: Glossary) -> Json:
    """Return for each figure its lines by counting system, and for each system the beats it knows.

    Beats of a line are parted by a bar. A beat is the words said where notes start, parted by spaces; its number is
    written n.
    """
    systems = glossary.of(CountingSystem)
    figures: dict[str, list[str]] = {}
    entries = sorted(glossary.of(RhythmFigure).items(), key=lambda item: item[1].meter != COMMON_TIME)
    for name, figure in entries:
        lines = (_beats(figure, entry) for entry in systems.values())
        figures[name] = list(dict.fromkeys("|".join(line) for line in lines if line))
    return {
        "figures": figures,
        "systems": {name: _own_beats(entry) for name, entry in systems.items()},
    }


def _own_beats(entry: CountingSystem) -> list[str]:
    system = entry.system
    lists = system.words.values()
    return [" ".join(words) for words in lists]


def _beats(figure: RhythmFigure, entry: CountingSystem) -> list[str]:
    """Return the beats of a figure as a system says them; nothing where it lacks a word."""
    counts = count(figure.parsed, entry.system).counts
    if any(one.sounds and not one.says for one in counts):
        return []
    numbers = isinstance(entry.system, PositionSystem) and entry.system.numbers
    beats = []
    for _, places in groupby(counts, key=lambda one: (one.measure, one.beat)):
        words = [("n" if numbers and one.in_beat == 0 else one.says or "") for one in places if one.sounds]
        beats.append(" ".join(words))
    return beats
