"""The entries as the look-up answers with them, and the words that find them."""

from __future__ import annotations

from typing import Any

from understave.addresses.slugs import COUNTING_ADDRESS, INVERSION_SUFFIXES, KEYS_ADDRESS, inversions, root_slug
from understave.answers.project import Loaded
from understave.entries.glossary import Glossary
from understave.entries.lookup import added_tone, slash_patterns
from understave.entries.values import KINDS, CountingSystem, Entry, RhythmFigure, Spelled, Term
from understave.pages.lesson_pages import lesson_intro
from understave.pages.prose import prose_text, rooted_on_c
from understave.phrases.catalogue import phrase
from understave.phrases.typesetting import COPIED
from understave.theory.counting import count
from understave.theory.tones import DEGREES, ROOTS, parse_degree

Json = dict[str, Any]


def glossary_table(loaded: Loaded) -> Json:
    """Return the chord types and added tones in the site's order, every other page with a name, and where they lie."""
    glossary = loaded.glossary
    return {
        "chords": _columns([_chord_row(name, entry) for name, entry in glossary.chords.items()]),
        "bases": glossary.bases,
        "adds": {
            degree: found for degree in DEGREES if (found := added_tone(parse_degree(degree), glossary)) is not None
        },
        "slashes": [
            {"id": name, "chord": entry.chord, "bass": str(entry.bass.simple)}
            for name, entry in slash_patterns(glossary)
        ],
        "pages": _columns(
            [
                *_entry_rows(loaded),
                *_lesson_rows(loaded),
                *_guide_rows(loaded),
                *_tool_rows(glossary),
                *_index_rows(glossary),
            ]
        ),
        "rootSlugs": {str(root): root_slug(root) for root in ROOTS},
        "inversionSuffixes": INVERSION_SUFFIXES,
    }


def _columns(rows: list[Json]) -> Json:
    """Return rows as columns by their keys, the words of each parted by bars: on the wire that is a tenth smaller."""
    keys = dict.fromkeys(key for row in rows for key in row)
    return {**{key: [row.get(key) for row in rows] for key in keys}, "words": ["|".join(row["words"]) for row in rows]}


def _chord_row(name: str, entry: Spelled) -> Json:
    return {
        "id": name,
        "kind": entry.folder,
        **_named(name, entry.name),
        "written": entry.written[0],
        "degrees": list(map(str, entry.degrees)),
        "positions": inversions(entry),
        "line": prose_text(entry.summary, rooted_on_c(entry), COPIED),
        "words": list(entry.asked_as),
    }


def _named(identity: str, name: str) -> Json:
    """Return a name, unless the id says it."""
    return {} if name == identity.replace("-", " ") else {"name": name}


def _entry_rows(loaded: Loaded) -> list[Json]:
    return [
        {
            "id": name,
            "kind": entry.folder,
            **_named(name, entry.name),
            "line": prose_text(entry.summary, rooted_on_c(entry), COPIED),
            "words": list(dict.fromkeys([*(entry.also_called if isinstance(entry, Term) else ()), *entry.asked_as])),
            **_counted(entry, loaded),
        }
        for name, entry in loaded.glossary.entries.items()
        if not isinstance(entry, Spelled)
    ]


def _counted(entry: Entry, loaded: Loaded) -> Json:
    """Return how the site counts a figure."""
    system = loaded.counting_system
    if not isinstance(entry, RhythmFigure) or system is None:
        return {}
    return {"count": count(entry.parsed, system.system).line}


def _lesson_rows(loaded: Loaded) -> list[Json]:
    return [
        {
            "id": name,
            "kind": "lessons",
            "name": lesson.file.title,
            "line": lesson_intro(lesson, COPIED),
            "words": [],
        }
        for name, lesson in loaded.lessons.items()
    ]


def _guide_rows(loaded: Loaded) -> list[Json]:
    return [
        {
            "id": name,
            "kind": "guides",
            "name": guide.title,
            "line": guide.description or phrase("look-up-guide"),
            "words": list(guide.asked_as),
        }
        for name, guide in loaded.guides.items()
    ]


TOOL_WORDS = {
    KEYS_ADDRESS: (
        "identify chord", "recognize a chord", "work out a chord", "chord from keys", "reverse chord look-up",
        "chord finder", "unknown chord",
    ),
    COUNTING_ADDRESS: (
        "count this bar", "count my bar", "count my measure", "count my rhythm", "count a rhythm", "rhythm counter",
        "rhythm calculator", "type a rhythm", "check my counting",
    ),
}  # fmt: skip
"""How viewers ask for the pages on which they name notes and count measures of their own, by address.

Each phrase needs a word that is no filler, or any idle question would find the page.
"""

INDEX_WORDS = {
    "chord-symbols": ("list of chords", "all chords", "chord dictionary"),
    "added-tones": ("all add chords",),
    "slash-chords": ("all slash chords",),
    "counting-systems": ("ways to count", "list of counting systems"),
    "rhythm-figures": ("list of rhythms", "all rhythms"),
    "terms": ("list of terms", "music words", "vocabulary", "glossary"),
    "roots": ("chords by root", "list of roots"),
}
"""How viewers ask for a list of all entries of a kind, by its folder, and of all chords by their roots."""


def _tool_rows(glossary: Glossary) -> list[Json]:
    """Return the pages on which viewers name notes and count measures of their own."""
    keys = {"id": "tapped-keys", "name": phrase("keys-page-name"), "line": phrase("keys-page-answer")}
    count = {"id": "count-this-measure", "name": phrase("count-page-title"), "line": phrase("count-page-answer")}
    tools = {KEYS_ADDRESS: keys, **({COUNTING_ADDRESS: count} if glossary.of(CountingSystem) else {})}
    return [
        {**row, "kind": "indexes", "words": list(TOOL_WORDS[address]), "address": address}
        for address, row in tools.items()
    ]


def _index_rows(glossary: Glossary) -> list[Json]:
    folders = [kind.folder for kind in KINDS if glossary.of(kind)] + ["roots"]
    return [
        {
            "id": folder,
            "kind": "indexes",
            "name": phrase(f"kind-{folder}"),
            "line": phrase(f"intro-{folder}"),
            "words": list(INDEX_WORDS[folder]),
            "address": f"/{folder}/",
        }
        for folder in folders
    ]
