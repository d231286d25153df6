"""A folder of entries → the glossary: every entry typed, checked alone and against the others."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any, TypeVar, get_args

from pydantic import ValidationError

from understave.entries import prose
from understave.entries.faults import Fault, Faulty, nearest, shown
from understave.entries.schema import (
    KINDS,
    MUSICXML_KINDS,
    AddedTone,
    ChordSymbol,
    CountingSystem,
    Entry,
    Shape,
    SlashChord,
    Spelled,
    Term,
)  # fmt: skip
from understave.entries.yaml_files import Document, Place, Scalar, read_yaml
from understave.theory.chords import in_order
from understave.theory.symbols import SymbolError, nearest_readable, read_symbol
from understave.theory.tones import Degree

OTHER_FOLDERS = ("guides", "replies")
"""Folders of the content that hold no entries."""

_ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
_ROOT_LIKE = re.compile(r"(?:flat|sharp|[a-h])(?:-|$)")

Kind = TypeVar("Kind", bound=Entry)
Model = TypeVar("Model", bound=Shape)


@dataclass
class Glossary:
    """All entries by id; what is asked of them is found here."""

    entries: dict[str, Entry] = field(default_factory=dict)

    def of(self, kind: type[Kind]) -> dict[str, Kind]:
        """Return the entries of one kind by id, in the order of their ids."""
        return {name: entry for name, entry in self.entries.items() if isinstance(entry, kind)}

    @cached_property
    def chords(self) -> dict[str, Spelled]:
        """Chord types and added tones, by id: simple before extended."""
        found: dict[str, Spelled] = {**self.of(ChordSymbol), **self.of(AddedTone)}
        return dict(sorted(found.items(), key=lambda item: order_of_chords(item[1].degrees)))

    @cached_property
    def by_degrees(self) -> dict[tuple[Degree, ...], str]:
        """The id of the chord type or added tone with exactly these degrees."""
        return {entry.degrees: name for name, entry in self.chords.items()}

    @cached_property
    def confusions(self) -> dict[str, tuple[str, ...]]:
        """The ids of what each entry is easily confused with, stated on either side, its own first."""
        table: dict[str, dict[str, None]] = {name: {} for name in self.entries}
        for name, entry in self.entries.items():
            table[name].update(dict.fromkeys(entry.easily_confused_with))
        for name, entry in self.entries.items():
            for other in entry.easily_confused_with:
                table[other].setdefault(name)
        return {name: tuple(others) for name, others in table.items()}


def order_of_chords(degrees: tuple[Degree, ...]) -> tuple[object, ...]:
    """Return the sorting key of a chord type: the highest natural number first, then size, then degrees."""
    top = max((degree.number for degree in degrees), default=1)
    return (top if top > 5 else 5, len(degrees), tuple(degree.rank for degree in degrees))


def load_glossary(content: Path) -> Glossary:
    """Read every entry below ``content``. Raises Faulty with all faults of all files."""
    glossary, faults = read_glossary(content)
    if faults:
        raise Faulty(faults)
    return glossary


def read_glossary(content: Path) -> tuple[Glossary, list[Fault]]:
    """Return the entries that can be read, and the faults of all files."""
    files = list(entry_files(content))
    faults = [fault for _, _, problems in files for fault in problems]
    documents: dict[str, Document] = {}
    glossary = Glossary()
    for path, kind, problems in files:
        if kind is None or problems:
            continue
        document = read_yaml(path, shown_path(path))
        entry = build(kind, document)
        faults += document.faults
        if path.stem in documents:
            faults.append(
                Fault(
                    document.file,
                    1,
                    1,
                    f"the id {path.stem!r} a second time",
                    f"an id that {documents[path.stem].file} hasn't taken",
                )
            )
        elif entry is not None:
            documents[path.stem] = document
            glossary.entries[path.stem] = entry
        else:
            documents[path.stem] = document
    for name in glossary.entries:
        faults += _check_alone(glossary.entries[name], documents[name])
    ids = {path.stem for path, kind, _ in files if kind is not None}
    faults += _check_together(glossary, documents, ids)
    return glossary, faults


def shown_path(path: Path) -> str:
    """Return a path as faults show it: from the current folder where it lies below, with / between folders."""
    try:
        return path.absolute().relative_to(Path.cwd()).as_posix()
    except ValueError:
        return path.as_posix()


def entry_files(content: Path) -> Iterator[tuple[Path, type[Entry] | None, list[Fault]]]:
    """Yield every file below ``content`` in order, its kind, and what is wrong with its place or name."""
    folders = {kind.folder: kind for kind in KINDS}
    if not content.is_dir():
        yield content, None, [Fault(shown_path(content), 1, 1, "no such folder", "a folder of entries")]
        return
    for top in sorted(content.iterdir()):
        if top.name.startswith("."):
            continue
        if top.is_dir() and top.name in OTHER_FOLDERS:
            continue
        if not top.is_dir() or top.name not in folders:
            hint = nearest(top.name, folders)
            wanted = f"a folder of entries: {', '.join(folders)}"
            yield (
                top,
                None,
                [
                    Fault(
                        shown_path(top),
                        1,
                        1,
                        f"an unknown {'folder' if top.is_dir() else 'file'} {shown(top.name)}",
                        wanted,
                        hint,
                    )
                ],
            )
            continue
        for path in sorted(top.iterdir()):
            if not path.name.startswith("."):
                yield path, folders[top.name], list(_name_faults(path, folders[top.name]))


def id_faults(path: Path) -> Iterator[Fault]:
    """Yield what is wrong with the name of a file whose stem is an id."""
    where = (shown_path(path), 1, 1)
    if not _ID.fullmatch(path.stem):
        plain = re.sub(r"[^a-z0-9]+", "-", path.stem.lower()).strip("-")
        hint = f"nearest: {plain!r}" if plain else ""
        yield Fault(*where, f"the id {shown(path.stem)}", "small letters a-z, digits and single hyphens", hint)


def _name_faults(path: Path, kind: type[Entry]) -> Iterator[Fault]:
    where = (shown_path(path), 1, 1)
    if path.is_symlink():
        yield Fault(*where, "a link to another file", "the file itself")
    elif path.is_dir():
        yield Fault(*where, f"a folder {shown(path.name)}", "entries only, one file each")
    elif path.suffix != ".yaml":
        yield Fault(
            *where,
            f"the ending {shown(path.suffix)}",
            "the ending .yaml",
            f"nearest: {path.stem}.yaml" if path.suffix == ".yml" else "",
        )
    elif not _ID.fullmatch(path.stem):
        yield from id_faults(path)
    elif _ROOT_LIKE.match(path.stem) and kind is not CountingSystem:
        yield Fault(*where, f"the id {shown(path.stem)}", "an id that starts with no note name, flat or sharp")


def build(model: type[Model], document: Document) -> Model | None:
    """Return the document as ``model``, or None with the document's ``faults`` extended."""
    if document.value is None:
        return None
    if not isinstance(document.value, dict):
        document.faults.append(document.fault((), "a list or a bare text", "a mapping of keys to values"))
        return None
    try:
        return model.model_validate(document.value)
    except ValidationError as error:
        for problem in error.errors(include_url=False):
            document.faults.append(_model_fault(problem, model, document))
        return None


def _model_fault(problem: Any, model: type[Shape], document: Document) -> Fault:
    place: Place = tuple(part for part in problem["loc"] if part != "[key]")
    context = problem.get("ctx", {})
    match problem["type"]:
        case "entry":
            where = (*place, *context.get("at", ()))
            return document.fault(where, context["found"], context["expected"], context["hint"])
        case "extra_forbidden":
            known = _keys_of(_model_at(model, place[:-1]))
            return document.fault(
                place,
                f"the key {str(place[-1])!r}",
                f"one of {', '.join(known)}",
                nearest(str(place[-1]), known),
                at_key=True,
            )
        case "missing":
            return document.fault(place[:-1], f"no {place[-1]!r}", f"the key {str(place[-1])!r}")
        case "tuple_type" | "list_type":
            found = shown(problem["input"]) if isinstance(problem["input"], Scalar) else "a mapping"
            return document.fault(
                place,
                found,
                "a list in brackets",
                f"nearest: [{shown(problem['input'])}]" if isinstance(problem["input"], Scalar) else "",
            )
        case "dict_type" | "model_type":
            return document.fault(place, shown(problem["input"]), "a mapping of keys to values")
        case "too_short":
            return document.fault(place, "too few items", f"at least {context['min_length']}")
        case "literal_error":
            options = re.findall(r"'([^']*)'", context["expected"])
            return document.fault(
                place, shown(problem["input"]), f"one of {', '.join(options)}", nearest(str(problem["input"]), options)
            )
    return document.fault(place, shown(problem["input"]), problem["msg"])


def _keys_of(model: type[Shape]) -> list[str]:
    return [info.alias or name for name, info in model.model_fields.items()]


def _model_at(model: type[Shape], place: Place) -> type[Shape]:
    """Return the model of the mapping at a place: the shape inside a field, or inside the items of a list."""
    for part in place:
        if isinstance(part, int):
            continue
        info = next((info for name, info in model.model_fields.items() if (info.alias or name) == part), None)
        inner = _shape_in(info.annotation) if info else None
        if inner is None:
            return model
        model = inner
    return model


def _shape_in(annotation: object) -> type[Shape] | None:
    if isinstance(annotation, type) and issubclass(annotation, Shape):
        return annotation
    return next((shape for part in get_args(annotation) if (shape := _shape_in(part))), None)


def _check_alone(entry: Entry, document: Document) -> Iterator[Fault]:
    rooted = isinstance(entry, Spelled | SlashChord)
    for key in ("summary", "text"):
        text = getattr(entry, key)
        for remark in prose.remarks(text, rooted=rooted):
            yield document.fault_within(key, remark.offset, remark.found, remark.expected)
    if isinstance(entry, Spelled):
        yield from _check_written(entry, document)
    if isinstance(entry, SlashChord):
        for symbol in entry.example.split():
            try:
                read_symbol(symbol)
            except SymbolError as error:
                yield document.fault(
                    ("example",),
                    f"the symbol {symbol!r}",
                    "a readable chord symbol",
                    _near(symbol, error),
                )
    if isinstance(entry, ChordSymbol | Term) and entry.musicxml is not None and entry.musicxml not in MUSICXML_KINDS:
        yield document.fault(
            ("musicxml",),
            f"the kind {entry.musicxml!r}",
            "a kind of MusicXML 4.0",
            nearest(entry.musicxml, MUSICXML_KINDS),
        )


def _near(text: str, error: SymbolError, cut: int = 0) -> str:
    """Return the hint that names the nearest readable symbol, its first ``cut`` characters left away."""
    near = (nearest_readable(text, error) or "")[cut:]
    return f"nearest: {near!r}" if near else ""


def _check_written(entry: Spelled, document: Document) -> Iterator[Fault]:
    for index, form in enumerate(entry.written):
        place: Place = ("written", index)
        try:
            readings = read_symbol("C" + form)
        except SymbolError as error:
            yield document.fault(
                place,
                f"the form {form!r}",
                "what may stand after a root",
                _near("C" + form, error, cut=1),
            )
            continue
        found = [reading.chord.degrees for reading in readings if reading.chord]
        if entry.degrees not in found:
            spelled = " ".join(map(str, found[0])) if found else "nothing"
            yield document.fault(
                place, f"the form {form!r}, which reads as {spelled}", f"a form of {' '.join(map(str, entry.degrees))}"
            )
    for index, also in enumerate(entry.also_read):
        try:
            senses = [reading.chord.degrees for reading in read_symbol("C" + also.as_) if reading.chord]
        except SymbolError:
            senses = []
        if entry.degrees not in senses:
            yield document.fault(
                ("also_read", index),
                f"the form {also.as_!r}",
                f"a form that can mean {' '.join(map(str, entry.degrees))}",
            )


def _check_together(glossary: Glossary, documents: dict[str, Document], ids: set[str]) -> Iterator[Fault]:
    yield from _check_claims(glossary, documents)
    for name, entry in glossary.entries.items():
        document = documents[name]
        for index, other in enumerate(entry.easily_confused_with):
            if other not in ids or other == name:
                yield document.fault(
                    ("easily_confused_with", index),
                    f"the id {other!r}",
                    "the id of another entry",
                    nearest(other, ids - {name}),
                )
        for key in ("summary", "text"):
            for offset, target in prose.linked_ids(getattr(entry, key)):
                if target not in ids:
                    yield document.fault_within(
                        key, offset, f"a link to {shown(target)}", "the id of an entry", nearest(target, ids)
                    )
        if isinstance(entry, SlashChord):
            yield from _check_pattern(entry, document, glossary, ids)


def _check_claims(glossary: Glossary, documents: dict[str, Document]) -> Iterator[Fault]:
    """Check that each written form, each set of degrees and each MusicXML kind has one owner."""
    claims: dict[tuple[str, object], str] = {}
    for name, entry in glossary.entries.items():
        mine: Iterable[tuple[str, object, Place]] = ()
        if isinstance(entry, Spelled):
            mine = [("the form", form, ("written", index)) for index, form in enumerate(entry.written)]
            mine = [*mine, ("the degrees", " ".join(map(str, entry.degrees)), ("degrees",))]
        kind = getattr(entry, "musicxml", None)
        for what, value, place in (*mine, *([("the kind", kind, ("musicxml",))] if kind else [])):
            owner = claims.setdefault((what, value), name)
            if owner != name or (what == "the form" and _claimed_before(entry, value, place)):
                yield documents[name].fault(
                    place, f"{what} {str(value)!r}", f"what {documents[owner].file} doesn't claim already"
                )


def _claimed_before(entry: Entry, form: object, place: Place) -> bool:
    return isinstance(entry, Spelled) and entry.written.index(str(form)) != place[1]


def _check_pattern(entry: SlashChord, document: Document, glossary: Glossary, ids: set[str]) -> Iterator[Fault]:
    types = glossary.of(ChordSymbol)
    if entry.chord not in types:
        broken = entry.chord in ids and entry.chord not in glossary.entries
        if not broken:
            yield document.fault(
                ("chord",), f"the id {entry.chord!r}", "the id of a chord type", nearest(entry.chord, types)
            )
        return
    wanted = types[entry.chord].degrees
    for symbol in entry.example.split():
        try:
            readings = read_symbol(symbol)
        except SymbolError:
            return
        for chord in (reading.chord for reading in readings):
            if chord and in_order(chord.degrees) == wanted and chord.root.at(entry.bass) == chord.bass:
                return
    yield document.fault(
        ("example",), shown(entry.example), f"a {types[entry.chord].name} chord over its {entry.bass} among the symbols"
    )
