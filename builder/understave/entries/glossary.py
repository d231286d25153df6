"""The glossary: every entry by id, and what is asked of them all."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import TypeVar

from understave.entries.values import AddedTone, ChordSymbol, Entry, Spelled
from understave.theory.tones import Degree

Kind = TypeVar("Kind", bound=Entry)


@dataclass
class Glossary:
    """All entries by id; what is asked of them is found here."""

    entries: dict[str, Entry] = field(default_factory=dict)

    def of(self, kind: type[Kind]) -> dict[str, Kind]:
        """Return the entries of one kind by id, in the order of their ids."""
        return {name: entry for name, entry in self.entries.items() if isinstance(entry, kind)}

    @cached_property
    def chords(self) -> dict[str, Spelled]:
        """Chord types and added tones, by id: simple before extended."""
        found: dict[str, Spelled] = {**self.of(ChordSymbol), **self.of(AddedTone)}
        return dict(sorted(found.items(), key=lambda item: order_of_chords(item[1].degrees)))

    @cached_property
    def by_degrees(self) -> dict[tuple[Degree, ...], str]:
        """The id of the chord type or added tone with exactly these degrees."""
        return {entry.degrees: name for name, entry in self.chords.items()}

    @cached_property
    def bases(self) -> tuple[str, ...]:
        """The ids of chord types in the order in which one is taken as the base of a composed chord: largest first."""
        types = self.of(ChordSymbol)
        keys = {name: (len(types[name].degrees), types[name].degrees[1].number == 3, name) for name in types}
        return tuple(sorted(types, key=keys.__getitem__, reverse=True))

    @cached_property
    def confusions(self) -> dict[str, tuple[str, ...]]:
        """The ids of what each entry is easily confused with, stated on either side, its own first."""
        table: dict[str, dict[str, None]] = {name: {} for name in self.entries}
        for name, entry in self.entries.items():
            table[name].update(dict.fromkeys(entry.easily_confused_with))
        for name, entry in self.entries.items():
            for other in entry.easily_confused_with:
                table[other].setdefault(name)
        return {name: tuple(others) for name, others in table.items()}


def order_of_chords(degrees: tuple[Degree, ...]) -> tuple[object, ...]:
    """Return the sorting key of a chord type: the highest natural number first, then size, then degrees."""
    top = max((degree.number for degree in degrees), default=1)
    return (top if top > 5 else 5, len(degrees), tuple(degree.rank for degree in degrees))
