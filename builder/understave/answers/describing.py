"""The text block for a video's description: chapters, symbols with links, what the lesson teaches."""

from __future__ import annotations

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
from understave.entries.glossary import Glossary
from understave.entries.lookup import parts_of, symbol_of
from understave.lessons.lesson import Lesson, Met
from understave.lessons.schema import LONGEST_LINE
from understave.lessons.times import time_text
from understave.phrases.catalogue import phrase
from understave.phrases.names import chord_name
from understave.phrases.typesetting import key_words, symbol_text
from understave.theory.chords import Chord

LIMIT = 5000
"""The longest description that video sites take, in characters (common practice)."""


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


def describe(lesson: Lesson, glossary: Glossary, site: str) -> str:
    """Return the description of a lesson's video in plain text, LIMIT characters at most; ``site`` is its address.

    The lesson's link stands in the first hundred characters, chapters start at 0:00 (common practice).
    """
    blocks = [list(block) for block in _blocks(lesson, glossary, site.rstrip("/"))]
    while len(_joined(blocks)) > LIMIT and any(len(block) > 2 for block in blocks):
        max(blocks, key=len).pop()
    return _joined(blocks)


def _joined(blocks: list[list[str]]) -> str:
    return "\n\n".join("\n".join(block) for block in blocks) + "\n"


def _blocks(lesson: Lesson, glossary: Glossary, site: str) -> Iterator[list[str]]:
    file = lesson.file
    link = site + address_of_lesson(lesson.id)
    yield [phrase("describe-first", link=link)]
    yield [
        phrase("describe-title", title=shorten(file.title, LONGEST_LINE, placeholder="…"), level=file.level),
        phrase("describe-tune", tune=file.tune, key=key_words(file.key)),
    ]
    yield [phrase("describe-chapters"), *(f"{time_text(section.at)} {section.name}" for section in file.sections)]
    symbols = [_symbol_line(first, glossary, site) for first in first_met(lesson, glossary)]
    if symbols:
        yield [phrase("describe-symbols"), *symbols]
    if file.teaches:
        yield [phrase("describe-teaches"), *(_teaching_line(name, glossary, site) for name in file.teaches)]


def _symbol_line(first: FirstMet, glossary: Glossary, site: str) -> str:
    values = {
        "symbol": symbol_text(symbol_of(first.chord, glossary)),
        "name": chord_name(first.chord, glossary),
        "measure": first.met.measure,
        "link": site + first.page,
    }
    if first.met.seconds is None:
        return phrase("describe-symbol-unheard", **values)
    return phrase("describe-symbol", **values, time=time_text(first.met.seconds))


def _teaching_line(name: str, glossary: Glossary, site: str) -> str:
    entry = glossary.entries[name]
    return phrase("describe-teach", name=entry.name, link=site + address_of_entry(name, entry))
