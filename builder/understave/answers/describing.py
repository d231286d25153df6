"""The text block for a video's description: chapters, symbols with links, how the rhythm is counted."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from textwrap import shorten

from understave.addresses.slugs import (
    ChordPlace,
    address_of_chord,
    address_of_entry,
    address_of_lesson,
    has_page,
    inversions,
)  # fmt: skip
from understave.answers.measure_counts import count_of, counts_of
from understave.entries.glossary import Glossary
from understave.entries.lookup import parts_of, symbol_of
from understave.entries.values import CountingSystem
from understave.lessons.chapters import Chapter, chapters
from understave.lessons.lesson import Lesson, Met
from understave.lessons.rhythms_met import RhythmMet, rhythms_met
from understave.lessons.schema import LONGEST_LINE, Stretch
from understave.lessons.times import time_text
from understave.phrases.catalogue import phrase
from understave.phrases.counting import division_sentences, mark_sentences, measure_words, whose_measure
from understave.phrases.names import chord_name
from understave.phrases.typesetting import key_words, symbol_text
from understave.theory.chords import Chord

LIMIT = 5000
"""The characters that a video site's description has fewer than (common practice)."""

SHORTENED = {"teaches": 1, "rhythms": 3, "symbols": 3, "chapters": 4}
"""Which blocks of a long description give way, in turn, and how many lines with the heading stay at least."""


@dataclass(frozen=True)
class FirstMet:
    """A symbol where a lesson first meets it, and the page that explains it."""

    chord: Chord
    met: Met
    page: str


def page_of(chord: Chord, glossary: Glossary) -> str | None:
    """Return the address of the page that explains a chord best, None if no page does.

    An inversion leads to its own page where it has one, any other slash to its pattern, a chord without an entry to
    its base.
    """
    parts = parts_of(chord, glossary)
    base = parts.own or parts.base
    if base is None:
        return None
    if not has_page(chord.root):
        return address_of_entry(base, glossary.entries[base])
    inversion = chord.inversion if chord.bass != chord.root else 0
    if inversion is not None and inversion < inversions(glossary.entries[base]) and parts.own:
        return address_of_chord(ChordPlace(chord.root, base, inversion))
    if parts.slash:
        return address_of_entry(parts.slash, glossary.entries[parts.slash])
    return address_of_chord(ChordPlace(chord.root, base))


def first_met(lesson: Lesson, glossary: Glossary) -> list[FirstMet]:
    """Return each symbol of a lesson once, where it first stands."""
    seen: dict[str, FirstMet] = {}
    for met in lesson.symbols:
        if met.chord is not None:
            page = page_of(met.chord, glossary)
            if page is not None:
                seen.setdefault(symbol_of(met.chord, glossary), FirstMet(met.chord, met, page))
    return list(seen.values())


def describe(lesson: Lesson, glossary: Glossary, site: str, system: CountingSystem | None) -> str:
    """Return the description of a lesson's video in plain text, below LIMIT characters; ``site`` is its address.

    The lesson's link stands in the first hundred characters, chapters start at 0:00 (common practice). In a text that
    would be too long the blocks of SHORTENED lose lines from their ends, the first of them first, and say how many.
    ``system`` is what rhythms are counted in; without one their counts are left out.
    """
    blocks = dict(_blocks(lesson, glossary, site.rstrip("/"), system))
    for key, fewest in SHORTENED.items():
        blocks[key] = _shortened(blocks[key], fewest, len(_joined(blocks)) - LIMIT + 1)
    return _joined(blocks)


def _shortened(lines: list[str], fewest: int, surplus: int) -> list[str]:
    """Return a block without so many characters, in whole lines from its end; ``fewest`` lines stay."""
    kept = list(lines)
    while surplus > 0 and len(kept) > fewest:
        if len(kept) == len(lines):
            surplus += len(phrase("describe-more", count=len(lines))) + 1
        surplus -= len(plain_line(kept.pop())) + 1
    left_out = len(lines) - len(kept)
    return [*kept, phrase("describe-more", count=left_out)] if left_out else kept


def _joined(blocks: dict[str, list[str]]) -> str:
    return "\n\n".join("\n".join(map(plain_line, block)) for block in blocks.values() if len(block) > 1) + "\n"


def plain_line(line: str) -> str:
    """Return a line as video sites take it: one line, no angle brackets (common practice)."""
    return " ".join(line.split()).replace("<", "‹").replace(">", "›")


def _blocks(
    lesson: Lesson, glossary: Glossary, site: str, system: CountingSystem | None
) -> Iterator[tuple[str, list[str]]]:
    """Yield each block's key and its lines, the first of them its heading."""
    file = lesson.file
    link = site + address_of_lesson(lesson.id)
    title = phrase("describe-title", title=shorten(file.title, LONGEST_LINE, placeholder="…"), level=file.level)
    tune = phrase("describe-tune", tune=file.tune, key=key_words(file.key))
    yield "title", [phrase("describe-first", link=link), "", title, tune]
    yield "chapters", [phrase("describe-chapters"), *map(chapter_line, chapters(file))]
    symbols = [_symbol_line(first, glossary, site) for first in first_met(lesson, glossary)]
    yield "symbols", [phrase("describe-symbols"), *symbols]
    yield "rhythms", [phrase("describe-rhythms"), *_rhythm_lines(lesson, glossary, site, system)]
    yield "teaches", [phrase("describe-teaches"), *(_teaching_line(name, glossary, site) for name in file.teaches)]


def chapter_line(chapter: Chapter) -> str:
    """Return a chapter as video sites read it: its time, then its name."""
    if chapter.stretch is None:
        return f"{time_text(chapter.at)} {' / '.join(chapter.names)}"
    return f"{time_text(chapter.at)} {_playing(chapter.stretch)}"


def _playing(stretch: Stretch) -> str:
    first, last = stretch.measures
    measures = phrase("describe-measure", measure=first) if first == last else ""
    return phrase(
        "describe-playing",
        measures=measures or phrase("describe-measures", first=first, last=last),
        hands=phrase(f"describe-hands-{stretch.hands}"),
        tempo=phrase("describe-slow" if stretch.tempo == "slow" else "describe-at-tempo"),
    )


def _symbol_line(first: FirstMet, glossary: Glossary, site: str) -> str:
    values = {
        "symbol": symbol_text(symbol_of(first.chord, glossary)),
        "name": chord_name(first.chord, glossary),
        "place": _place(first.met.measure, first.met.seconds),
        "link": site + first.page,
    }
    return phrase("describe-symbol", **values)


def _place(measure: int, seconds: int | None) -> str:
    """Return the measure, and when it is heard if it ever is."""
    where = whose_measure(measure)
    return where if seconds is None else phrase("describe-heard", where=where, time=time_text(seconds))


def _rhythm_lines(lesson: Lesson, glossary: Glossary, site: str, system: CountingSystem | None) -> Iterator[str]:
    """Yield how the fullest measure is counted and why, then each rhythm figure that is met, with its count."""
    lines = list(_fullest_lines(lesson, system))
    for met in rhythms_met(lesson, glossary):
        entry = glossary.entries[met.figure]
        values = {"name": _capital(entry.name), "place": _place(met.measure, met.seconds)}
        counted = figure_count(lesson, met, system)
        link = site + address_of_entry(met.figure, entry)
        lines.append(phrase("describe-rhythm", **values, count=f"{counted} " if counted else "", link=link))
    yield from mark_sentences("".join(line.partition("https://")[0] for line in lines))
    yield from lines


def _fullest_lines(lesson: Lesson, system: CountingSystem | None) -> Iterator[str]:
    measure = fullest_measure(lesson)
    if measure is not None:
        for hand, counted in counts_of(lesson, measure, system).items():
            whose = phrase(f"measure-count-{hand}", line=counted.line)
            why = " ".join(division_sentences(counted))
            yield phrase("describe-count", where=_capital(measure_words(measure)), count=whose, why=why)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def figure_count(lesson: Lesson, met: RhythmMet, system: CountingSystem | None) -> str:
    """Return how the measure of a figure is counted in its hand, as the lesson's page says it; empty without words."""
    counted = count_of(lesson, met.hand, met.measure, system) if system else None
    return phrase(f"measure-count-{met.hand}", line=counted.line) if counted else ""


def fullest_measure(lesson: Lesson) -> int | None:
    """Return the number of the first measure in which most notes are struck."""
    struck = Counter(lesson.score.measure_at(note.at).number for note in lesson.score.notes if not note.held)
    return min(struck, key=lambda number: (-struck[number], number), default=None)


def _teaching_line(name: str, glossary: Glossary, site: str) -> str:
    entry = glossary.entries[name]
    return phrase("describe-teach", name=entry.name, link=site + address_of_entry(name, entry))
