"""The home page and the indexes: from each, every page is at most three steps away."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from itertools import groupby
from typing import Any

from understave.addresses.slugs import (
    ChordPlace,
    address_of_chord,
    address_of_entry,
    address_of_guide,
    address_of_lesson,
    address_of_root,
    inversions,
)  # fmt: skip
from understave.entries.glossary import Glossary, order_of_chords
from understave.entries.values import KINDS, Entry, Guide, SlashChord, Spelled
from understave.lessons.lesson import Lesson
from understave.pages.page import Page
from understave.pages.prose import list_html
from understave.phrases.catalogue import phrase
from understave.phrases.typesetting import tone_text
from understave.theory.tones import ROOTS, Tone

OWN_INDEX = "index"
"""The id of a guide that stands in the place of the guides' index."""


@dataclass(frozen=True)
class IndexPages:
    """Makes the home page, an index for each kind of entry and each root, and the index of guides."""

    title: str
    glossary: Glossary
    guides: dict[str, Guide]
    lessons: dict[str, Lesson]
    handouts: int = 0
    """How many handouts were picked by hand."""
    corrections: str = ""
    """The address of the page of corrections, if there is one."""

    def __iter__(self) -> Iterator[Page]:
        yield Page("/", self.title, phrase("home-answer"), "home.html", self._home, searchable=True)
        for kind in KINDS:
            if self.glossary.of(kind):
                yield self._index(kind.folder, partial(self._kind_groups, kind))
        if self.guides and OWN_INDEX not in self.guides:
            yield self._index("guides", self._guide_groups)
        title, intro = phrase("kind-roots"), phrase("intro-roots")
        values = {"title": title, "intro": intro, "roots": _letters()}
        yield Page("/roots/", title, intro, "roots.html", lambda: values, searchable=True)
        for root in ROOTS:
            title = tone_text(root)
            yield Page(
                address_of_root(root),
                title,
                phrase("intro-root", root=title),
                "index.html",
                partial(self._root_values, root),
            )

    def _index(self, folder: str, groups: Any) -> Page:
        title, intro = phrase(f"kind-{folder}"), phrase(f"intro-{folder}")
        return Page(
            f"/{folder}/",
            title,
            intro,
            "index.html",
            lambda: {"title": title, "intro": intro, "groups": groups()},
            searchable=True,
        )

    def _home(self) -> dict[str, Any]:
        counts = {kind.folder: len(self.glossary.of(kind)) for kind in KINDS}
        counts |= {"guides": len(self.guides), "handouts": self.handouts}
        return {
            "title": self.title,
            "corrections": self.corrections,
            "roots": _letters(),
            "kinds": [
                {
                    "address": f"/{folder}/",
                    "question": phrase(f"question-{folder}"),
                    "count": phrase("count-pages", count=count),
                }
                for folder, count in counts.items()
                if count
            ],
            "lessons": [
                {"address": address_of_lesson(name), "title": lesson.file.title, "level": lesson.file.level}
                for name, lesson in self.lessons.items()
            ],
        }

    def _kind_groups(self, kind: type[Entry]) -> list[dict[str, Any]]:
        entries = self.glossary.of(kind)
        if not issubclass(kind, Spelled):
            return [
                {
                    "name": "",
                    "by_word": kind is not SlashChord,
                    "rows": [self._row(name, entry) for name, entry in sorted(entries.items(), key=_by_name)],
                }
            ]
        return _families([(name, entry) for name, entry in self.glossary.chords.items() if name in entries], self._row)

    def _row(self, name: str, entry: Entry) -> dict[str, Any]:
        symbol = f"C{entry.written[0]}" if isinstance(entry, Spelled) else None
        if isinstance(entry, SlashChord):
            symbol = next((text for text in entry.example.split() if "/" in text and "6/9" not in text), None)
        return {
            "address": address_of_entry(name, entry),
            "symbol": symbol,
            "name": entry.name,
            "summary": list_html(entry),
            "links": [],
        }

    def _guide_groups(self) -> list[dict[str, Any]]:
        rows = [
            {"address": address_of_guide(name), "name": guide.title, "summary": guide.description}
            for name, guide in sorted(self.guides.items(), key=lambda item: item[1].title.casefold())
        ]
        return [{"name": "", "by_word": True, "rows": rows}]

    def _root_values(self, root: Tone) -> dict[str, Any]:
        def row(name: str, entry: Entry) -> dict[str, Any]:
            assert isinstance(entry, Spelled)
            places = [ChordPlace(root, name, inversion) for inversion in range(inversions(entry))]
            links = [
                {
                    "address": address_of_chord(place),
                    "symbol": f"{root}{entry.written[0]}/{root.at(entry.degrees[place.inversion])}",
                }
                for place in places[1:]
            ]
            return {
                "address": address_of_chord(places[0]),
                "symbol": f"{root}{entry.written[0]}",
                "name": entry.name,
                "summary": "",
                "links": links,
            }

        title = tone_text(root)
        return {
            "title": title,
            "intro": phrase("intro-root", root=title),
            "groups": _families(list(self.glossary.chords.items()), row),
        }


def _letters() -> list[dict[str, str]]:
    """Return the letters that symbols start with: they are printed so in scores, whatever the notes are called."""
    return [{"letter": str(root), "address": address_of_root(root)} for root in ROOTS]


def _by_name(item: tuple[str, Entry]) -> tuple[str, str]:
    return item[1].name.casefold(), item[0]


def _families(entries: list[tuple[str, Any]], row: Any) -> list[dict[str, Any]]:
    """Return chord types grouped by the highest number in their stack."""
    groups = groupby(entries, key=lambda item: order_of_chords(item[1].degrees)[0])
    return [
        {
            "name": phrase(f"family-{family}"),
            "id": f"family-{family}",
            "by_word": False,
            "rows": [row(name, entry) for name, entry in members],
        }
        for family, members in groups
    ]
