"""A page for each lesson: its chords measure by measure, each symbol with its second in the video."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from typing import Any

from understave.addresses.slugs import address_of_entry, address_of_lesson
from understave.answers.describing import page_of
from understave.entries.glossary import Glossary
from understave.entries.lookup import symbol_of
from understave.lessons.lesson import Lesson, Met
from understave.lessons.schema import LessonFile
from understave.lessons.times import time_text
from understave.pages.page import Page
from understave.pages.prose import prose_text, rooted_on_c
from understave.phrases.catalogue import phrase
from understave.phrases.names import chord_name
from understave.phrases.typesetting import key_words

MEASURES_A_LINE = 4


@dataclass(frozen=True)
class LessonPages:
    """Makes the lessons' pages."""

    lessons: dict[str, Lesson]
    glossary: Glossary

    def __iter__(self) -> Iterator[Page]:
        for name, lesson in self.lessons.items():
            intro = lesson_intro(lesson)
            values = partial(self._values, lesson, intro)
            yield Page(address_of_lesson(name), lesson.file.title, intro, "lesson.html", values, searchable=True)

    def _values(self, lesson: Lesson, intro: str) -> dict[str, Any]:
        file = lesson.file
        entries = ((name, self.glossary.entries[name]) for name in file.teaches)
        return {
            "title": file.title,
            "intro": intro,
            "corrected": _corrected(file),
            "progression": self._progression(lesson) if file.rights else [],
            "symbols": [self._symbol_row(lesson, met) for met in lesson.symbols],
            "teaches": [
                {
                    "address": address_of_entry(name, entry),
                    "name": entry.name,
                    "summary": prose_text(entry.summary, rooted_on_c(entry)),
                }
                for name, entry in entries
            ],
            "sections": [
                {"time": time_text(section.at), "name": section.name, "video": lesson.link(section.at)}
                for section in file.sections
            ],
        }

    def _progression(self, lesson: Lesson) -> list[list[dict[str, Any]]]:
        cells = [
            {
                "measure": measure.number,
                "symbols": [self._symbol_row(lesson, met) for met in lesson.symbols if met.measure == measure.number],
            }
            for measure in lesson.score.measures
        ]
        return [cells[start : start + MEASURES_A_LINE] for start in range(0, len(cells), MEASURES_A_LINE)]

    def _symbol_row(self, lesson: Lesson, met: Met) -> dict[str, Any]:
        values: dict[str, Any] = {"measure": met.measure, "beat": met.beat, "time": "", "video": ""}
        if met.seconds is not None:
            values |= {"time": time_text(met.seconds), "video": lesson.link(met.seconds)}
        if met.chord is None:
            page = (
                address_of_entry("no-chord", self.glossary.entries["no-chord"])
                if "no-chord" in self.glossary.entries
                else ""
            )
            return {**values, "symbol": "N.C.", "name": phrase("why-no-chord"), "page": page}
        return {
            **values,
            "symbol": symbol_of(met.chord, self.glossary),
            "name": chord_name(met.chord, self.glossary),
            "page": page_of(met.chord, self.glossary) or "",
        }


def _corrected(file: LessonFile) -> str:
    if file.corrected is None:
        return ""
    return phrase("corrected", **dict(file.corrected))


def lesson_intro(lesson: Lesson) -> str:
    """Return the sentence that introduces a lesson: its level, key and tune."""
    file = lesson.file
    return phrase("intro-lesson", level=file.level.capitalize(), key=key_words(file.key), tune=file.tune)
