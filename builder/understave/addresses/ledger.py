"""The ledger of published permalinks: what has once been linked must resolve for ever.

It has a line an entry or lesson: its id, and how many pages it stands for. An entry that goes away needs a redirect
from its old address to one that answers now.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Literal

from pydantic import Field

from understave.addresses.slugs import (
    COUNTING_ADDRESS,
    INVERSION_SUFFIXES,
    KEYS_ADDRESS,
    address_of_chord,
    address_of_entry,
    address_of_lesson,
    chord_places,
    inversions,
    root_slug,
)
from understave.entries.faults import Fault, nearest
from understave.entries.folders import shown_path
from understave.entries.glossary import Glossary
from understave.entries.schema import Shape
from understave.entries.shaping import build
from understave.entries.values import KINDS, Entry, Spelled
from understave.entries.yaml_files import Document, read_yaml
from understave.theory.tones import ROOTS

Extent = Literal["one-page", "roots", "roots-and-inversions"]

_ORDER: tuple[Extent, ...] = ("one-page", "roots", "roots-and-inversions")

_OLD_ADDRESS = re.compile(r"/([a-z]+(?:-[a-z]+)*)/[a-z0-9]+(?:-[a-z0-9]+)*/")

_FOLDERS = (*(kind.folder for kind in KINDS), "lessons")


NOTHING_BROKEN: Mapping[str, str] = MappingProxyType({})


class LedgerFile(Shape):
    """What has once been published, and where it leads now."""

    entries: dict[str, Extent] = Field(default_factory=dict)
    """The ids that have been published, and how many pages each has."""
    redirects: dict[str, str] = Field(default_factory=dict)
    """From an entry's old address to one that answers now: /terms/bar/ to /terms/measure/."""


@dataclass(frozen=True)
class Ledger:
    """What has been published, and the ``document`` it was read from."""

    file: LedgerFile
    document: Document

    def faults(
        self, glossary: Glossary, lessons: Iterable[str], broken: Mapping[str, str] = NOTHING_BROKEN
    ) -> list[Fault]:
        """Return a fault for every published page that would go missing, and for every redirect to nowhere.

        ``broken`` has the addresses of entries and lessons that don't read, by id: they aren't gone.
        """
        now = extents(glossary, lessons)
        faults = []
        for name, extent in self.file.entries.items():
            if name not in now and name not in broken and not self._redirects_from(name):
                faults.append(self._gone(name, glossary))
            elif name in now and _ORDER.index(now[name]) < _ORDER.index(extent):
                place = ("entries", name)
                faults.append(self.document.fault(place, f"{name!r} now has {now[name]}", f"the published {extent}"))
        addresses = {*_addresses(glossary, lessons), *broken.values()}
        for old, new in self.file.redirects.items():
            place = ("redirects", old)
            if old in addresses or not _OLD_ADDRESS.fullmatch(old):
                faults.append(
                    self.document.fault(
                        place, f"a redirect from {old!r}", "an old address such as /terms/bar/", at_key=True
                    )
                )
            elif new not in addresses:
                faults.append(
                    self.document.fault(
                        place, f"a redirect to {new!r}", "an address that exists", nearest(new, addresses)
                    )
                )
        return faults

    def _redirects_from(self, name: str) -> list[str]:
        """Return the redirected old addresses of an id that is gone."""
        return [old for old in (f"/{folder}/{name}/" for folder in _FOLDERS) if old in self.file.redirects]

    def _gone(self, name: str, glossary: Glossary) -> Fault:
        close = nearest(name, glossary.entries).removeprefix("nearest: ").strip("'")
        folder = glossary.entries[close].folder if close else "FOLDER"
        return self.document.fault(
            ("entries", name),
            f"the published entry {name!r} is gone",
            "the entry, or a redirect from its old address",
            f"add under redirects: '/{folder}/{name}/: /{folder}/{close or 'THE-NEW-ID'}/'",
            at_key=True,
        )

    def unlisted(self, glossary: Glossary, lessons: Iterable[str]) -> dict[str, Extent]:
        """Return what is published now and isn't listed yet, or with fewer pages."""
        listed = self.file.entries
        return {name: extent for name, extent in extents(glossary, lessons).items() if listed.get(name) != extent}

    def redirected(self, glossary: Glossary) -> dict[str, str]:
        """Return every redirected page: its old address, and the address that answers now."""
        table: dict[str, str] = {}
        for old, new in self.file.redirects.items():
            table[old] = new
            name, target = old.split("/")[2], new.split("/")[2]
            extent = self.file.entries.get(name, "one-page")
            if extent != "one-page":
                table |= _rooted_redirects(name, extent, new, target, glossary.entries.get(target))
        return table


def address_faults(glossary: Glossary) -> list[tuple[str, str]]:
    """Return the entries whose pages another entry's pages already have the addresses of: the id, and the address."""
    taken: dict[str, str] = {}
    clashes: dict[str, str] = {}
    for place in chord_places(glossary):
        address = address_of_chord(place)
        owner = taken.setdefault(address, place.entry)
        if owner != place.entry:
            clashes.setdefault(max(owner, place.entry, key=len), address)
    return sorted(clashes.items())


def _rooted_redirects(old: str, extent: Extent, own: str, new: str, entry: Entry | None) -> dict[str, str]:
    table = {}
    positions = INVERSION_SUFFIXES if extent == "roots-and-inversions" else INVERSION_SUFFIXES[:1]
    for root in map(root_slug, ROOTS):
        for inversion, suffix in enumerate(positions):
            kept = suffix if entry and inversion < inversions(entry) else ""
            table[f"/{root}-{old}{suffix}/"] = f"/{root}-{new}{kept}/" if isinstance(entry, Spelled) else own
    return table


def _addresses(glossary: Glossary, lessons: Iterable[str]) -> set[str]:
    entries = {address_of_entry(name, entry) for name, entry in glossary.entries.items()}
    return {*entries, *map(address_of_lesson, lessons), COUNTING_ADDRESS, KEYS_ADDRESS}


def _extent(entry: Entry) -> Extent:
    if inversions(entry) > 1:
        return "roots-and-inversions"
    return "roots" if isinstance(entry, Spelled) else "one-page"


def extents(glossary: Glossary, lessons: Iterable[str]) -> dict[str, Extent]:
    """Return how many pages each entry and lesson has now."""
    entries = {name: _extent(entry) for name, entry in glossary.entries.items()}
    return {**entries, **dict.fromkeys(lessons, "one-page")}


def read_ledger(path: Path | None) -> tuple[Ledger | None, list[Fault]]:
    """Read the ledger. Returns None and the faults if it can't be read; one that isn't there yet is empty."""
    if path is None or not path.exists():
        return Ledger(LedgerFile(), Document(shown_path(path) if path else "")), []
    document = read_yaml(path, shown_path(path))
    file = build(LedgerFile, document)
    return (Ledger(file, document), []) if file else (None, document.faults)


def write_ledger(path: Path, ledger: Ledger, fresh: Mapping[str, Extent]) -> None:
    """Write the ledger with ``fresh`` lines added in order; all that stands in it stays, comments too."""
    lines = ledger.document.text.splitlines() or [
        "# Published permalinks. What stands here stays; `understave check --fix` adds what is new."
    ]
    opening = next((index for index, line in enumerate(lines) if line.startswith("entries:")), None)
    if opening is None:
        lines.append("entries:")
    elif re.match(r"entries:\s*[^\s#]", lines[opening]):  # written in braces: opened out, a line an entry
        lines[opening : opening + 1] = [
            "entries:",
            *(f"  {name}: {size}" for name, size in ledger.file.entries.items()),
        ]
    for name, extent in sorted(fresh.items()):
        _insert(lines, name, extent)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")


def _insert(lines: list[str], name: str, extent: Extent) -> None:
    """Put an entry's line among the others, before the first that comes after it; one that stands there is replaced."""
    start = next(index for index, line in enumerate(lines) if line.startswith("entries:")) + 1
    end = next((index for index in range(start, len(lines)) if re.match(r"\S", lines[index])), len(lines))
    place = end
    for index in range(start, end):
        key = lines[index].split("#")[0].partition(":")[0].strip()
        if key == name:
            lines[index] = f"  {name}: {extent}"
            return
        if key > name:
            place = index
            break
    lines.insert(place, f"  {name}: {extent}")
