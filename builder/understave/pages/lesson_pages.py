"""A page for each lesson: its chords measure by measure, each symbol with its second in the video."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

from understave.addresses.slugs import address_of_entry, address_of_lesson, address_of_level
from understave.answers.configuration import NOTATION, Project
from understave.answers.describing import figure_count, page_of
from understave.answers.explaining import (
    Explained,
    alone_sentence,
    explain,
    hand_notes,
    other_name_sentence,
    verdict_sentence,
)
from understave.answers.measure_counts import counts_of
from understave.answers.measure_pictures import measure_excerpt
from understave.answers.measure_words import measure_sentences
from understave.answers.project import Loaded
from understave.answers.simplifying import simplification_sentences
from understave.entries.glossary import Glossary
from understave.entries.lookup import symbol_of
from understave.lessons.lesson import Lesson, Met
from understave.lessons.rhythms_met import RhythmMet, rhythms_met
from understave.lessons.score_files import musicxml_of
from understave.lessons.siblings import Simplification, simplifications
from understave.lessons.times import time_text
from understave.pages.handouts import chord_row, degrees_of
from understave.pages.other_keys import OtherKeys
from understave.pages.page import LINK, Figure, Page
from understave.pages.playing import played_measure
from understave.pages.prose import list_html
from understave.phrases.catalogue import phrase
from understave.phrases.counting import measure_words, place_words
from understave.phrases.names import chord_name
from understave.phrases.typesetting import COPIED, HTML, TEXT, Setting, key_words, numeral_html
from understave.theory.chords import Chord
from understave.theory.keys import numeral_in, parse_key
from understave.theory.tones import SpellingError

MEASURES_A_LINE = 4


MANY_CHORDS = 12
"""The most chords of a lesson whose practice sheet has room for two staves."""


@dataclass(frozen=True)
class ShownMeasure:
    """A measure that a page shows: the lines of its count that its picture doesn't have, it in words, its picture."""

    number: int
    lines: list[str]
    words: list[str]
    figure: Figure | None


@dataclass(frozen=True)
class LessonPages:
    """Makes the lessons' pages."""

    loaded: Loaded

    @property
    def glossary(self) -> Glossary:
        """The glossary that symbols lead to."""
        return self.loaded.glossary

    def __iter__(self) -> Iterator[Page]:
        simpler = simplifications(self.loaded.lessons.values())
        for name, lesson in self.loaded.lessons.items():
            intro = lesson_intro(lesson, TEXT)
            measures = self._measures(lesson)
            values = partial(self._values, lesson, measures, simpler.get(name))
            figures = tuple(measure.figure for measure in measures if measure.figure)
            address = address_of_lesson(name)
            yield Page(
                address,
                lesson.file.title,
                intro,
                "lesson.html",
                values,
                figures,
                searchable=True,
                answer=partial(_reply, lesson),
            )

    def _measures(self, lesson: Lesson) -> list[ShownMeasure]:
        """Return the measures that the site's setting shows, each with its picture and its count."""
        shown = self.loaded.project.notation
        numbers = [measure.number for measure in lesson.score.measures]
        if shown == "passages":
            explained = [section.explains for section in lesson.file.sections if section.explains]
            numbers = [number for number in numbers if any(first <= number <= last for first, last in explained)]
        if shown == "none" or not lesson.file.rights:
            return []
        return [self._measure(lesson, number) for number in numbers]

    def _measure(self, lesson: Lesson, number: int) -> ShownMeasure:
        counts = counts_of(lesson, number, self.loaded.counting_system)
        under = counts.get("both") or counts.get("right")
        folder = self.loaded.project.lessons
        excerpt = measure_excerpt(lesson, number, folder, self.glossary, under.counts if under else ())
        lines = {hand: phrase(f"measure-count-{hand}", line=counted.line) for hand, counted in counts.items()}
        title, in_words = phrase("measure-title", measure=number), " ".join(lines.values())
        figure = None
        if excerpt:
            figure = Figure(excerpt, title, in_words, played_measure(lesson, number, under), in_words=False)
        told = [line for hand, line in lines.items() if figure is None or hand != "both"]
        return ShownMeasure(number, told, measure_sentences(lesson, number, self.glossary, HTML), figure)

    def _values(self, lesson: Lesson, measures: list[ShownMeasure], simpler: Simplification | None) -> dict[str, Any]:
        file = lesson.file
        entries = ((name, self.glossary.entries[name]) for name in file.teaches)
        return {
            "title": file.title,
            "level_address": address_of_level(file.level),
            "level_name": phrase(f"level-{file.level}"),
            "intro": lesson_intro(lesson, HTML),
            "corrected": file.corrected,
            "errata": sorted(file.errata, key=lambda erratum: (erratum.measure, erratum.date)),
            "download": download_path(lesson) if may_download(lesson, self.loaded.project) else "",
            "progression": self._progression(lesson) if file.rights else [],
            "symbols": self._explained_rows(lesson),
            **self._chords(lesson),
            "rhythms": [self._rhythm_row(lesson, met) for met in rhythms_met(lesson, self.glossary)],
            "measures": [
                {"number": one.number, "lines": one.lines, "words": one.words, "drawn": one.figure is not None}
                for one in measures
            ],
            "simpler": simplification_sentences(simpler, self.glossary, HTML) if simpler else [],
            "beside": _beside(simpler) if simpler else {},
            "other_keys": OtherKeys(self.glossary).values(lesson) if file.rights else {},
            "teaches": [
                {
                    "address": address_of_entry(name, entry),
                    "name": entry.name,
                    "summary": list_html(entry),
                }
                for name, entry in entries
            ],
            "sections": [
                {"time": time_text(section.at), "name": section.name, "video": lesson.link(section.at)}
                for section in file.sections
            ],
        }

    def _progression(self, lesson: Lesson) -> list[list[dict[str, Any]]]:
        symbols = defaultdict(list)
        for met in lesson.symbols:
            symbols[met.measure].append(self._symbol_row(lesson, met))
        cells = [{"measure": measure.number, "symbols": symbols[measure.number]} for measure in lesson.score.measures]
        return [cells[start : start + MEASURES_A_LINE] for start in range(0, len(cells), MEASURES_A_LINE)]

    def _explained_rows(self, lesson: Lesson) -> list[dict[str, Any]]:
        """Return a row for each symbol; without rights for each only where it stands first."""
        explained, seen = [], set()
        for one in explain(lesson):
            if lesson.file.rights or one.met.chord not in seen:
                explained.append(one)
            seen.add(one.met.chord)
        return [{**self._symbol_row(lesson, one.met), "told": list(self._told(one))} for one in explained]

    def _told(self, one: Explained) -> Iterator[str]:
        """Yield what isn't plain: how symbol and sound differ, what hands hold where the left alone misleads."""
        if one.verdict is None:
            return
        if one.verdict.kind != "agrees":
            yield verdict_sentence(one, self.glossary, HTML)
        if other := other_name_sentence(one, self.glossary, HTML):
            yield other
        if one.left_alone is not None and not one.left_says_it:
            yield alone_sentence(one.left_alone, self.glossary, HTML)
            for key, hand in (("left", one.verdict.left), ("right", one.verdict.right)):
                if hand:
                    yield phrase("picture-hand", hand=phrase(key), notes=hand_notes(hand, HTML))

    def _chords(self, lesson: Lesson) -> dict[str, Any]:
        """Return a row for each chord of a lesson, in order, and what its sheets need to know of them all."""
        rows = [
            {**chord_row(chord, self.glossary), "degrees": degrees_of(chord)}
            for chord in dict.fromkeys(met.chord for met in lesson.symbols if met.chord)
        ]
        return {
            "chords": rows,
            "fingers": any(row["fingers"] for row in rows),
            "empty_staves": 2 if len(rows) <= MANY_CHORDS else 1,
        }

    def _rhythm_row(self, lesson: Lesson, met: RhythmMet) -> dict[str, Any]:
        """Return a rhythm figure's row: where it is met first, how it is counted there, and what it is."""
        entry = self.glossary.entries[met.figure]
        return {
            "name": entry.name,
            "page": address_of_entry(met.figure, entry),
            "where": measure_words(met.measure),
            "time": time_text(met.seconds) if met.seconds is not None else "",
            "video": lesson.link(met.seconds) if met.seconds is not None else "",
            "count": figure_count(lesson, met, self.loaded.counting_system),
            "summary": list_html(entry),
        }

    def _symbol_row(self, lesson: Lesson, met: Met) -> dict[str, Any]:
        values: dict[str, Any] = {"where": place_words(met.measure, met.beat), "time": "", "video": ""}
        if met.seconds is not None:
            values |= {"time": time_text(met.seconds), "video": lesson.link(met.seconds)}
        if met.chord is None:
            page = (
                address_of_entry("no-chord", self.glossary.entries["no-chord"])
                if "no-chord" in self.glossary.entries
                else ""
            )
            return {**values, "numeral": "", "symbol": "N.C.", "name": phrase("why-no-chord"), "page": page}
        return {
            **values,
            "symbol": symbol_of(met.chord, self.glossary),
            "numeral": _numeral(met.chord, lesson.file.key),
            "name": chord_name(met.chord, self.glossary, HTML),
            "page": page_of(met.chord, self.glossary) or "",
        }


def may_download(lesson: Lesson, project: Project) -> bool:
    """Tell whether a lesson's score may be handed out: with rights, where the site shows all of its measures."""
    return lesson.file.rights is not None and project.notation == NOTATION[0]


def download_path(lesson: Lesson) -> str:
    """Return where a lesson's score lies in the site."""
    return f"lessons/{lesson.id}/{lesson.id}.musicxml"


def downloads(loaded: Loaded) -> dict[str, bytes]:
    """Return the scores that may be handed out, as MusicXML by their paths in the site."""
    folder = loaded.project.lessons or Path()
    return {
        download_path(lesson): musicxml_of(folder / lesson.file.score)
        for lesson in loaded.lessons.values()
        if may_download(lesson, loaded.project)
    }


def _reply(lesson: Lesson) -> str:
    """Return what leads a viewer to a lesson's page."""
    file = lesson.file
    values = {"title": file.title, "level": file.level, "key": key_words(file.key, COPIED)}
    return phrase("reply-lesson", **values, link=LINK)


def _numeral(chord: Chord, key: str) -> str:
    """Return a chord's numeral in the lesson's key as HTML, empty for one outside of it."""
    try:
        found = numeral_in(chord, parse_key(key))
    except SpellingError:
        return ""
    return numeral_html(found) if found else ""


def _beside(simpler: Simplification) -> dict[str, str]:
    other = simpler.harder
    return {"title": other.file.title, "level": other.file.level, "address": address_of_lesson(other.id)}


def lesson_intro(lesson: Lesson, setting: Setting) -> str:
    """Return the sentence that introduces a lesson: its level, key and tune."""
    file = lesson.file
    return phrase("intro-lesson", level=file.level.capitalize(), key=key_words(file.key, setting), tune=file.tune)
