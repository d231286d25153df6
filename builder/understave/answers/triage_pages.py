"""Triage for reading: the list of the command, the report, and the sheet for a question round.

The report and the sheet are files of their own without scripts; whatever viewers wrote is escaped, and what would steer
a screen is named. Comments pass one by one and wait in temporary files, so that memory stays flat.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import TextIO

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from understave.answers.measure_counts import counts_of
from understave.answers.measure_pictures import MeasurePictures
from understave.answers.triaging import Group, Linked, Tally, Triage, Triaged
from understave.comments.hostile import visible
from understave.entries.glossary import Glossary
from understave.entries.values import CountingSystem
from understave.lessons.times import time_text
from understave.phrases.catalogue import phrase
from understave.phrases.typesetting import symbol_text

SECTIONS = ("mistakes", "open", "answered", "rest")
"""What a report lists, in order: mistakes first, then questions, then what is answered and what asks nothing."""

IN_MEMORY = 1 << 20
"""How many characters of a section stay in memory before they go to a temporary file."""

QUOTE = 240
"""The most characters of a comment in the list of the command."""


def section_of(triaged: Triaged) -> str:
    """Return the section that a comment is listed in."""
    if triaged.answered:
        return "answered"
    if triaged.mistake:
        return "mistakes"
    return "rest" if triaged.topics[0] in ("thanks", "off-topic") else "open"


class Spool:
    """Pieces of text by section, kept aside until all comments have passed."""

    def __init__(self) -> None:
        self._files: dict[str, TextIO] = {
            name: tempfile.SpooledTemporaryFile(IN_MEMORY, "w+", encoding="utf-8", newline="")  # type: ignore[misc] # noqa: SIM115
            for name in SECTIONS
        }

    def add(self, section: str, text: str) -> None:
        """Add a piece to a section."""
        self._files[section].write(text)

    def read(self, section: str) -> Iterator[str]:
        """Yield a section's text in blocks."""
        file = self._files[section]
        file.seek(0)
        while block := file.read(1 << 16):
            yield block

    def is_empty(self, section: str) -> bool:
        """Tell whether nothing was added to a section."""
        return self._files[section].tell() == 0

    def close(self) -> None:
        """Drop the temporary files."""
        for file in self._files.values():
            file.close()


@lru_cache(maxsize=1)
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("understave.answers"), autoescape=True, undefined=StrictUndefined, trim_blocks=True,
        lstrip_blocks=True,
    )  # fmt: skip
    environment.globals["phrase"] = phrase
    environment.filters["visible"] = visible
    environment.filters["time"] = time_text
    environment.filters["symbol"] = symbol_text
    return environment


class Report:
    """The report: comments are added one by one, then the whole is written."""

    def __init__(self, site: str) -> None:
        self._site, self._spool = site.rstrip("/"), Spool()
        self._item = _environment().get_template("report_item.html")

    def add(self, triaged: Triaged) -> None:
        """Add a comment; the teacher's own are left out."""
        if triaged.asking is not None:
            self._spool.add(section_of(triaged), self._item.render(item=triaged, site=self._site))

    def write(self, file: TextIO, tally: Tally) -> None:
        """Write the report."""
        top = _environment().get_template("report.html")
        often = _environment().get_template("report_often.html")
        file.write(top.render(tally=tally))
        for section in SECTIONS:
            if not self._spool.is_empty(section):
                file.write(Markup("<section><h2>{}</h2>\n").format(phrase(f"triage-section-{section}")))
                file.writelines(self._spool.read(section))
                file.write("</section>\n")
            if section == SECTIONS[0]:
                file.write(often.render(tally=tally, site=self._site))
        file.write("</main>\n</body>\n</html>\n")
        self._spool.close()


class Listing:
    """The list of the command, for reading in a terminal."""

    def __init__(self) -> None:
        self._spool = Spool()

    def add(self, triaged: Triaged) -> None:
        """Add a comment; the teacher's own are left out."""
        if triaged.asking is not None:
            self._spool.add(section_of(triaged), "\n".join(_lines(triaged)) + "\n\n")

    def lines(self, tally: Tally) -> Iterator[str]:
        """Yield the list in blocks of text, mistakes first, then what is asked often and what has no entry."""
        counts = tally.value()
        yield (
            phrase("triage-counts", **{name: counts[name] for name in ("comments", "mistakes", "answered", "drafts")})
            + "\n\n"
        )
        for section in SECTIONS:
            if not self._spool.is_empty(section):
                yield phrase(f"triage-section-{section}") + "\n\n"
                yield from self._spool.read(section)
        if often := tally.often():
            yield phrase("triage-often") + "\n"
            yield from (f"  {group.count} × {_group_name(group)}\n" for group in often)
            yield "\n"
        if missing := tally.unanswered():
            yield phrase("triage-missing") + "\n"
            yield from (
                f"  {item['count']} × {item['missing'] or phrase('triage-no-words')}: "
                + f"{', '.join(map(visible, item['comments']))}\n"
                for item in missing
            )
        self._spool.close()


def _lines(triaged: Triaged) -> Iterator[str]:
    comment, asking = triaged.comment, triaged.asking
    assert asking is not None
    where = [triaged.lesson.id] if triaged.lesson else []
    where += [time_text(asking.places.at)] if asking.places.at is not None else []
    where += [phrase("in-measure", measure=asking.places.measure)] if asking.places.measure is not None else []
    yield "  ".join([visible(comment.id, 60), ", ".join(triaged.topics), asking.language, *where])
    yield "  " + (phrase("triage-not-shown") if asking.hostile else visible(comment.text, QUOTE))
    for linked in triaged.entries:
        yield f"  → {linked.page}"
    if triaged.text:
        yield "  " + phrase("triage-draft", draft=triaged.text)


def _group_name(group: Group) -> str:
    return symbol_text(group.symbol) if group.symbol else group.entry or group.page


@dataclass(frozen=True)
class Card:
    """One question on the sheet."""

    triaged: Triaged
    count: int
    hands: tuple[str, str] | None
    points: tuple[str, ...]
    linked: Linked | None
    notation: Markup
    measure: int | None


def sheet(
    groups: list[Group],
    triage: Triage,
    glossary: Glossary,
    pictures: MeasurePictures,
    system: CountingSystem | None,
    site: str,
) -> str:
    """Return the sheet for a question round as one page to print; measures are counted by a ``system``."""
    chosen = [(group, group.best) for group in groups if group.best is not None]
    bars = {
        best.comment.id: (best.lesson, measure)
        for _, best in chosen
        if best.lesson is not None and (measure := _measure(best)) is not None
    }
    pictures.draw(bars.values())
    cards = []
    for group, best in chosen:
        bar = bars.get(best.comment.id)
        linked = best.entries[0] if best.entries else None
        cards.append(
            Card(
                best,
                group.count,
                triage.hands(best),
                tuple(_points(best, linked, triage, glossary, system))[:MOST_POINTS],
                linked,
                Markup(pictures.svg(*bar) if bar else ""),  # our own drawing
                _measure(best),
            )
        )
    template = _environment().get_template("sheet.html")
    return template.render(cards=cards, glyphs=Markup(pictures.glyphs), site=site.rstrip("/"))


def _count_points(triaged: Triaged, system: CountingSystem | None) -> Iterator[str]:
    measure = _measure(triaged)
    if triaged.lesson is not None and measure is not None:
        for hand, counted in counts_of(triaged.lesson, measure, system).items():
            whose = "sheet-point-count" if hand == "both" else f"sheet-point-count-{hand}"
            yield phrase(whose, measure=measure, line=counted.line)
    yield phrase("sheet-point-tap")


def _measure(triaged: Triaged) -> int | None:
    """Return the measure that a question is about: the one that its draft speaks of, or the one that it names."""
    if triaged.draft and triaged.draft.bar:
        return triaged.draft.measure
    return triaged.measure


MOST_POINTS = 3


def _points(
    triaged: Triaged, linked: Linked | None, triage: Triage, glossary: Glossary, system: CountingSystem | None
) -> Iterator[str]:
    """Yield what to say: the tones, what each hand plays, the entry's first sentence, what it is confused with.

    Where counting is asked, the count of the measure comes first.
    """
    if triaged.topics[0] == "counting":
        yield from _count_points(triaged, system)
    if triaged.asking and triaged.asking.mentions:
        chord = triaged.asking.mentions[0].chord
        yield phrase(
            "sheet-point-tones", symbol=symbol_text(triaged.entries[0].symbol or ""), tones=triage.tones(chord)
        )
    if hands := triage.hands(triaged):
        yield phrase("sheet-point-hands", left=hands[0], right=hands[1])
    if linked is None:
        return
    yield triage.summary(linked.entry)
    others = [glossary.entries[name].name for name in glossary.confusions.get(linked.entry, ())][:3]
    if others:
        yield phrase("sheet-point-confused", names=", ".join(others))
    yield phrase("sheet-point-show", link=linked.page)
