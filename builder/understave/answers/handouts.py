"""Hand-picked handouts: a YAML file each, with a title and the chords and rhythms that one sheet is to hold."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

from pydantic import Field

from understave.addresses.slugs import address_of_chord, address_of_entry, chord_places, parse_chord_slug
from understave.entries.faults import Fault, nearest, shown
from understave.entries.folders import id_faults, shown_path
from understave.entries.glossary import Glossary
from understave.entries.schema import Prose, Shape, Typed
from understave.entries.shaping import build
from understave.entries.values import RhythmFigure, SlashChord, Spelled
from understave.entries.yaml_files import read_yaml
from understave.lessons.schema import Line
from understave.theory.chords import Chord
from understave.theory.symbols import SymbolError, read_symbol
from understave.theory.tones import Tone

FOLDER = "handouts"
"""The folder of the content that holds them."""

MOST = 8
"""The most chords and rhythms of one handout: what one sheet holds."""

EXPECTED = "a chord symbol, the address of a chord's page, or the id of a chord or rhythm"

SHOWN_ON = Tone("C")
"""The root of an entry that is picked without one."""

Item = Chord | str
"""A chord, or the id of a rhythm figure."""


class HandoutFile(Shape):
    """A handout: chords and rhythms of one's own choice for one sheet of paper."""

    title: Line
    """What the sheet is called."""
    intro: Prose | None = None
    """A sentence or two under the title."""
    entries: Annotated[tuple[Typed, ...], Field(min_length=1)]
    """What it shows, in order: chord symbols, addresses of chords' pages, ids of chords and rhythms."""


@dataclass(frozen=True)
class Handout:
    """A hand-picked handout."""

    title: str
    intro: str
    items: tuple[Item, ...]


class _NoItem(ValueError):
    """A text names nothing that a handout can show; ``found`` says what it is, ``hint`` the nearest right thing."""

    def __init__(self, found: str, hint: str) -> None:
        super().__init__(found)
        self.found, self.hint = found, hint


def read_handouts(content: Path, glossary: Glossary | None) -> tuple[dict[str, Handout], list[Fault]]:
    """Return the handouts below ``content`` by id, and the faults of all; none are made without a glossary."""
    handouts: dict[str, Handout] = {}
    faults: list[Fault] = []
    folder = content / FOLDER
    for path in sorted(folder.iterdir()) if folder.is_dir() else ():
        if path.name.startswith("."):
            continue
        handout, problems = _read(path, glossary)
        faults += problems
        if handout is not None:
            handouts[path.stem] = handout
    return handouts, faults


def _read(path: Path, glossary: Glossary | None) -> tuple[Handout | None, list[Fault]]:
    if path.is_dir() or path.suffix != ".yaml":
        return None, [Fault(shown_path(path), 1, 1, f"the file {shown(path.name)}", "a handout that ends in .yaml")]
    document = read_yaml(path, shown_path(path))
    file = build(HandoutFile, document)
    faults = [*id_faults(path), *document.faults]
    if file is None or glossary is None:
        return None, faults
    if len(file.entries) > MOST:
        faults.append(document.fault(("entries", MOST), f"{len(file.entries)} entries", f"at most {MOST} on one sheet"))
        return None, faults
    items: list[Item] = []
    for index, text in enumerate(file.entries):
        try:
            item = _item(text, glossary)
        except _NoItem as error:
            faults.append(document.fault(("entries", index), error.found, EXPECTED, error.hint))
            continue
        if item in items:
            faults.append(document.fault(("entries", index), f"{shown(text)} a second time", "each of them once"))
        items.append(item)
    return (None if faults else Handout(file.title, file.intro or "", tuple(items))), faults


def _item(text: str, glossary: Glossary) -> Item:
    """Return what a text names. Raises _NoItem for one that names nothing a handout can show."""
    if text.startswith("/"):
        return _at_address(text, glossary)
    if text in glossary.entries:
        return _of_entry(text, glossary)
    try:
        chord = read_symbol(text)[0].chord
    except SymbolError:
        raise _NoItem(shown(text), nearest(text, glossary.entries)) from None
    if chord is None:
        raise _NoItem(f"{shown(text)}, which is no chord", "")
    return chord


def _of_entry(name: str, glossary: Glossary) -> Item:
    match glossary.entries[name]:
        case Spelled() as entry:
            return Chord(SHOWN_ON, entry.degrees)
        case SlashChord() as entry:
            return Chord(SHOWN_ON, glossary.chords[entry.chord].degrees, SHOWN_ON.at(entry.bass))
        case RhythmFigure():
            return name
        case entry:
            raise _NoItem(f"{shown(name)}, which is neither chord nor rhythm ({entry.folder})", "")


def _at_address(address: str, glossary: Glossary) -> Item:
    place = parse_chord_slug(address.strip("/"), glossary)
    if place is not None and address == f"/{address.strip('/')}/":
        degrees = glossary.chords[place.entry].degrees
        return Chord(place.root, degrees, place.root.at(degrees[place.inversion]) if place.inversion else None)
    name = address.strip("/").rpartition("/")[2]
    if name in glossary.entries and address_of_entry(name, glossary.entries[name]) == address:
        return _of_entry(name, glossary)
    raise _NoItem(f"the address {shown(address)}", nearest(address, _addresses(glossary)))


def _addresses(glossary: Glossary) -> Iterator[str]:
    """Yield the addresses of all pages that a handout can show."""
    for place in chord_places(glossary):
        yield address_of_chord(place)
    for name, entry in glossary.entries.items():
        if isinstance(entry, Spelled | SlashChord | RhythmFigure):
            yield address_of_entry(name, entry)
