"""Where pages are heard in lessons: each address → the lessons and seconds that lead to it."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import Any

from understave.addresses.slugs import address_of_entry, address_of_lesson
from understave.answers.describing import page_of
from understave.entries.glossary import Glossary
from understave.entries.lookup import parts_of, symbol_of
from understave.lessons.lesson import Lesson
from understave.lessons.rhythms_met import rhythms_met
from understave.lessons.times import time_text
from understave.phrases.counting import measure_words


@dataclass(frozen=True)
class Hearing:
    """A place in a lesson where something sounds; ``symbol`` is empty for a rhythm.

    ``seconds`` is None where the video doesn't play it.
    """

    lesson: Lesson
    symbol: str
    measure: int
    seconds: int | None

    def row(self) -> dict[str, Any]:
        """Return the values of a line on a page."""
        heard = self.seconds is not None
        return {
            "lesson": self.lesson.file.title,
            "page": address_of_lesson(self.lesson.id),
            "symbol": self.symbol,
            "where": measure_words(self.measure),
            "time": time_text(self.seconds) if self.seconds is not None else "",
            "video": self.lesson.link(self.seconds) if heard and self.seconds is not None else "",
        }


def hearings(lessons: dict[str, Lesson], glossary: Glossary) -> dict[str, list[Hearing]]:
    """Return, for every address that lessons lead to, where it is heard: in order, each symbol once a lesson."""
    table: dict[str, dict[tuple[str, str], Hearing]] = defaultdict(dict)
    for lesson in lessons.values():
        for met in lesson.symbols:
            if met.chord is None:
                continue
            symbol = symbol_of(met.chord, glossary)
            hearing = Hearing(lesson, symbol, met.measure, met.seconds)
            addresses = {address_of_entry(name, glossary.entries[name]) for name in parts_of(met.chord, glossary).ids}
            page = page_of(met.chord, glossary)
            for address in sorted(addresses | ({page} if page else set())):
                table[address].setdefault((lesson.id, symbol), hearing)
        for rhythm in rhythms_met(lesson, glossary):
            address = address_of_entry(rhythm.figure, glossary.entries[rhythm.figure])
            table[address][lesson.id, ""] = Hearing(lesson, "", rhythm.measure, rhythm.seconds)
    return {address: list(found.values()) for address, found in table.items()}
