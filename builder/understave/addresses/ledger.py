"""The ledger of published permalinks: what has once been linked must resolve for ever.

It has a line an entry, lesson or guide: its id, and how many pages it stands for. One that goes away needs a redirect
from its old address to one that answers now; what moves more than once is followed to the end.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
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
    address_of_guide,
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

_OLD_ADDRESS = re.compile(r"/(?:[a-z]+(?:-[a-z]+)*/|(?:\*|[a-g](?:-flat|-sharp)?)-)[a-z0-9]+(?:-[a-z0-9]+)*/")

_FOLDERS = (*(kind.folder for kind in KINDS), "lessons")

_SUFFIXES: dict[Extent, tuple[str, ...]] = {
    "one-page": (),
    "roots": INVERSION_SUFFIXES[:1],
    "roots-and-inversions": INVERSION_SUFFIXES,
}
"""The positions that have pages under all roots."""


NO_REDIRECTS: Mapping[str, str] = MappingProxyType({})


class LedgerFile(Shape):
    """What has once been published, and where it leads now."""

    entries: dict[str, Extent] = Field(default_factory=dict)
    """The ids that have been published, and how many pages each has; a guide is guides/ID."""
    redirects: dict[str, str] = Field(default_factory=dict)
    """From an old address to one that answers now: /terms/bar/ to /terms/measure/. A chord's pages under all roots
    follow it; in /*-minor-first-inversion/ the * stands for each root."""


@dataclass(frozen=True)
class Now:
    """What a site has now. ``broken`` has the addresses of what doesn't read, by id: it isn't gone."""

    glossary: Glossary
    lessons: Collection[str] = ()
    guides: Collection[str] = ()
    broken: Mapping[str, str] = field(default_factory=dict)

    @cached_property
    def extents(self) -> dict[str, Extent]:
        """How many pages each entry, lesson and guide has."""
        entries = {name: _extent(entry) for name, entry in self.glossary.entries.items()}
        others = [*self.lessons, *(f"guides/{name}" for name in self.guides)]
        return {**entries, **dict.fromkeys(others, "one-page")}

    @cached_property
    def addresses(self) -> set[str]:
        """Every address that answers."""
        entries = {address_of_entry(name, entry) for name, entry in self.glossary.entries.items()}
        chords = map(address_of_chord, chord_places(self.glossary))
        others = (*map(address_of_lesson, self.lessons), *map(address_of_guide, self.guides))
        return {*entries, *chords, *others, *self.broken.values(), COUNTING_ADDRESS, KEYS_ADDRESS}

    def address_of(self, name: str) -> str:
        """Return the address of an id that there is."""
        if name in self.glossary.entries:
            return address_of_entry(name, self.glossary.entries[name])
        return f"/{name}/" if "/" in name else address_of_lesson(name)


@dataclass(frozen=True)
class Ledger:
    """What has been published, and the ``document`` it was read from."""

    file: LedgerFile
    document: Document

    def faults(self, now: Now) -> list[Fault]:
        """Return a fault for every published page that would go missing, and for every redirect that leads nowhere."""
        faults = [self._gone(name, now) for name in self.gone(now)]
        for name, lost in self.lost(now).items():
            faults.append(
                self.document.fault(
                    ("entries", name),
                    f"{name!r} now has {now.extents[name]}",
                    f"the published {self.file.entries[name]}, or redirects from the pages that are lost",
                    f"add under redirects: '{lost[0]}: {_kept(lost[0], name, now)}'",
                )
            )
        return [*faults, *self._redirect_faults(now)]

    def gone(self, now: Now) -> list[str]:
        """Return the published ids that are gone, with no redirect from the address that they had."""
        there = {*now.extents, *now.broken}
        return [name for name in self.file.entries if name not in there and not self._redirects_from(name)]

    def lost(self, now: Now) -> dict[str, list[str]]:
        """Return the published pages that an entry no longer has, without redirects, by id; * stands for the root."""
        found: dict[str, list[str]] = {}
        for name, extent in self.file.entries.items():
            if name in now.extents and _ORDER.index(now.extents[name]) < _ORDER.index(extent):
                kept = {f"/*-{name}{suffix}/" for suffix in _SUFFIXES[now.extents[name]]}
                pages = [f"/*-{name}{suffix}/" for suffix in _SUFFIXES[extent]]
                missing = [page for page in pages if page not in kept and page not in self.file.redirects]
                found |= {name: missing} if missing else {}
        return found

    def _redirect_faults(self, now: Now) -> Iterator[Fault]:
        table = self._table(now.glossary)
        ends = _flattened(table)
        for old, new in self.file.redirects.items():
            place = ("redirects", old)
            pages = list(_under_all_roots(old, new))
            if any(page in now.addresses for page, _ in pages) or not _OLD_ADDRESS.fullmatch(old):
                found, expected = f"a redirect from {old!r}", "an old address such as /terms/bar/"
                yield self.document.fault(place, found, expected, at_key=True)
            elif not ends[pages[0][0]]:
                found = f"a redirect from {old!r} to {new!r}, which leads back to it"
                yield self.document.fault(place, found, "an address that exists at the end")
            elif not ("*" in old and now.broken) and any(end not in now.addresses | table.keys() for _, end in pages):
                yield self.document.fault(
                    place, f"a redirect to {new!r}", "an address that exists", nearest(new, now.addresses)
                )

    def _redirects_from(self, name: str) -> list[str]:
        """Return the redirected old addresses of an id that is gone."""
        return [old for old in _old_addresses(name) if old in self.file.redirects]

    def _gone(self, name: str, now: Now) -> Fault:
        close = _closest(name, now.extents)
        old, new = _pair(name, close, now) if close else (f"/FOLDER/{name}/", "/FOLDER/THE-NEW-ID/")
        return self.document.fault(
            ("entries", name),
            f"the published entry {name!r} is gone",
            "the entry, or a redirect from its old address",
            f"add under redirects: '{old}: {new}'",
            at_key=True,
        )

    def unlisted(self, now: Now) -> dict[str, Extent]:
        """Return what is published now and isn't listed yet, or with fewer pages."""
        listed = {name: _ORDER.index(extent) for name, extent in self.file.entries.items()}
        return {name: extent for name, extent in now.extents.items() if listed.get(name, -1) < _ORDER.index(extent)}

    def proposed(self, now: Now) -> dict[str, str]:
        """Return redirects that would mend what is gone or lost, from the old address to the new.

        What is gone leads to what is new and has as many pages, if one is alike or there is only one; else to what is
        most alike.
        """
        gone = self.gone(now)
        fresh = {name: extent for name, extent in now.extents.items() if name not in self.file.entries}
        found: dict[str, str] = {}
        for name in gone:
            alike = [other for other, extent in fresh.items() if extent == self.file.entries[name]]
            only = alike[0] if len(alike) == len(gone) == 1 else None
            close = _closest(name, alike) or only or _closest(name, now.extents)
            found |= [_pair(name, close, now)] if close else []
        return found | {page: _kept(page, name, now) for name, lost in self.lost(now).items() for page in lost}

    def redirected(self, glossary: Glossary) -> dict[str, str]:
        """Return every redirected page: its old address, and the address that answers now, however often it moved."""
        return _flattened(self._table(glossary))

    def _table(self, glossary: Glossary) -> dict[str, str]:
        """Return every redirected page and where its line leads."""
        table: dict[str, str] = {}
        for old, new in self.file.redirects.items():
            table |= _under_all_roots(old, new)
            if "*" in old or old.count("/") != 3:
                continue
            name, target = old.split("/")[2], new.split("/")[2] if new.count("/") == 3 else ""
            table |= _rooted_redirects(
                name, self.file.entries.get(name, "one-page"), new, self._suffixes(target, glossary)
            )
        return table

    def _suffixes(self, name: str, glossary: Glossary) -> tuple[str, ...]:
        """Return the positions that have pages under all roots, of an entry that there is or that was published."""
        entry = glossary.entries.get(name)
        if entry is None:
            return _SUFFIXES[self.file.entries.get(name, "one-page")]
        return INVERSION_SUFFIXES[: inversions(entry)] if isinstance(entry, Spelled) else ()


def _under_all_roots(old: str, new: str) -> Iterator[tuple[str, str]]:
    """Yield the pages of a line of redirects, the * in it being each root in turn."""
    for slug in map(root_slug, ROOTS) if "*" in old else ("*",):
        yield old.replace("*", slug), new.replace("*", slug)


def _rooted_redirects(old: str, extent: Extent, own: str, positions: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    """Yield the redirects of an entry's pages under all roots, to ``own`` or the pages of the same position there."""
    new = own.split("/")[2] if positions else ""
    for slug in map(root_slug, ROOTS):
        for suffix in _SUFFIXES[extent]:
            kept = suffix if suffix in positions else ""
            yield f"/{slug}-{old}{suffix}/", f"/{slug}-{new}{kept}/" if positions else own


def _flattened(table: Mapping[str, str]) -> dict[str, str]:
    """Return where each address leads in the end; an empty text for one that leads back to itself."""
    ends: dict[str, str] = {}
    for old in table:
        way: dict[str, None] = {}
        at = old
        while at in table and at not in ends and at not in way:
            way[at] = None
            at = table[at]
        end = "" if at in way else ends.get(at, at)
        ends |= dict.fromkeys(way, end)
    return ends


def _old_addresses(name: str) -> list[str]:
    """Return the addresses that an id may have had."""
    return [f"/{name}/"] if "/" in name else [f"/{folder}/{name}/" for folder in _FOLDERS]


def _pair(old: str, new: str, now: Now) -> tuple[str, str]:
    """Return the redirect of an id that is gone to one that there is, taken to be of the same kind."""
    target = now.address_of(new)
    return (f"/{old}/" if "/" in old else f"/{target.split('/')[1]}/{old}/"), target


def _kept(page: str, name: str, now: Now) -> str:
    """Return what answers for a lost page of an entry: its root position, or the entry's own page."""
    return now.address_of(name) if now.extents[name] == "one-page" else f"/*-{name}/"


def _closest(name: str, known: Iterable[str]) -> str:
    """Return the id most like one; empty where none is like it."""
    return nearest(name, known).removeprefix("nearest: ").strip("'")


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


def _extent(entry: Entry) -> Extent:
    if inversions(entry) > 1:
        return "roots-and-inversions"
    return "roots" if isinstance(entry, Spelled) else "one-page"


def read_ledger(path: Path | None) -> tuple[Ledger | None, list[Fault]]:
    """Read the ledger. Returns None and the faults if it can't be read; one that isn't there yet is empty."""
    if path is None or not path.exists():
        return Ledger(LedgerFile(), Document(shown_path(path) if path else "")), []
    document = read_yaml(path, shown_path(path))
    file = build(LedgerFile, document)
    return (Ledger(file, document), []) if file else (None, document.faults)


def write_ledger(
    path: Path, ledger: Ledger, fresh: Mapping[str, Extent], redirects: Mapping[str, str] = NO_REDIRECTS
) -> None:
    """Write the ledger with lines added in order; all that stands in it stays, comments too."""
    lines = ledger.document.text.splitlines() or [
        "# Published permalinks. What stands here stays; `understave check --fix` adds what is new."
    ]
    _add(lines, "entries", ledger.file.entries, fresh)
    if redirects:
        _add(lines, "redirects", ledger.file.redirects, redirects)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")


def _add(lines: list[str], block: str, standing: Mapping[str, str], fresh: Mapping[str, str]) -> None:
    """Add lines to a block of the ledger, which is made if it isn't there."""
    opening = next((index for index, line in enumerate(lines) if line.startswith(f"{block}:")), None)
    if opening is None:
        lines.append(f"{block}:")
    elif re.match(rf"{block}:\s*[^\s#]", lines[opening]):  # written in braces: opened out, a line each
        lines[opening : opening + 1] = [f"{block}:", *(f"  {key}: {value}" for key, value in standing.items())]
    for key, value in sorted(fresh.items()):
        _insert(lines, block, key, value)


def _insert(lines: list[str], block: str, name: str, value: str) -> None:
    """Put a line among the others, before the first that comes after it; one that stands there is replaced."""
    start = next(index for index, line in enumerate(lines) if line.startswith(f"{block}:")) + 1
    end = next((index for index in range(start, len(lines)) if re.match(r"\S", lines[index])), len(lines))
    place = end
    for index in range(start, end):
        key = lines[index].split("#")[0].partition(":")[0].strip()
        if key == name:
            lines[index] = f"  {name}: {value}"
            return
        if key > name:
            place = index
            break
    lines.insert(place, f"  {name}: {value}")
