"""The index of lessons: by level and by what they teach, with how many of each."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from understave.addresses.slugs import address_of_entry, address_of_lesson, address_of_level
from understave.entries.glossary import Glossary
from understave.entries.values import KINDS
from understave.lessons.lesson import Lesson
from understave.lessons.schema import LEVELS
from understave.pages.page import Page
from understave.phrases.catalogue import phrase
from understave.phrases.typesetting import HTML, key_words

ADDRESS = "/lessons/"


@dataclass(frozen=True)
class LessonIndex:
    """Makes the index of lessons; without lessons there is none."""

    glossary: Glossary
    lessons: dict[str, Lesson]

    def __iter__(self) -> Iterator[Page]:
        if self.lessons:
            title, intro = phrase("kind-lessons"), phrase("intro-lessons")
            yield Page(ADDRESS, title, intro, "lessons.html", self._values, searchable=True)

    def _values(self) -> dict[str, Any]:
        return {
            "title": phrase("kind-lessons"),
            "intro": phrase("intro-lessons"),
            "levels": list(self._levels()),
            "kinds": list(self._kinds()),
        }

    def _levels(self) -> Iterator[dict[str, Any]]:
        for level in LEVELS:
            own = [lesson for lesson in self.lessons.values() if lesson.file.level == level]
            if own:
                yield {
                    "id": level,
                    "name": phrase(f"level-{level}"),
                    "address": address_of_level(level),
                    "count": lesson_count(len(own)),
                    "rows": [{**_row(lesson), "about": _about(lesson)} for lesson in own],
                }

    def _kinds(self) -> Iterator[dict[str, Any]]:
        """Yield the kinds of entry that lessons teach, each with its entries by name."""
        taught = defaultdict(list)
        for lesson in self.lessons.values():
            for name in dict.fromkeys(lesson.file.teaches):
                taught[name].append(lesson)
        for kind in KINDS:
            entries = self.glossary.of(kind)
            rows = [
                {
                    "address": address_of_entry(name, entries[name]),
                    "name": entries[name].name,
                    "count": lesson_count(len(taught[name])),
                    "lessons": [_row(lesson) for lesson in taught[name]],
                }
                for name in sorted(taught.keys() & entries.keys(), key=lambda name: (entries[name].name, name))
            ]
            if rows:
                count = len({lesson.id for name in taught.keys() & entries.keys() for lesson in taught[name]})
                title = phrase(f"kind-{kind.folder}")
                yield {"id": kind.folder, "name": title, "count": lesson_count(count), "rows": rows}


def _row(lesson: Lesson) -> dict[str, str]:
    return {"address": address_of_lesson(lesson.id), "title": lesson.file.title}


def _about(lesson: Lesson) -> str:
    return phrase("lesson-about", key=key_words(lesson.file.key, HTML), tune=lesson.file.tune)


def lesson_count(number: int) -> str:
    """Return how many lessons in words."""
    return phrase("count-lesson" if number == 1 else "count-lessons", count=number)
