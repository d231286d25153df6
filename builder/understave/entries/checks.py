"""What is checked of entries once they are typed: each by itself, then against the others."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from understave.entries import prose
from understave.entries.faults import Fault, nearest, shown
from understave.entries.glossary import Glossary
from understave.entries.leftovers import LEFTOVER
from understave.entries.schema import LONGEST_TEXT, MUSICXML_KINDS
from understave.entries.sources import spelled_otherwise
from understave.entries.values import ChordSymbol, Entry, SlashChord, Spelled, Term
from understave.entries.yaml_files import Document, Place, Scalar
from understave.theory.chords import in_order
from understave.theory.symbols import SymbolError, nearest_readable, read_symbol


def faults_alone(entry: Entry, document: Document) -> Iterator[Fault]:
    """Yield what is wrong with an entry by itself: its prose, its written forms, its symbols."""
    yield from _prose_faults(type(entry), document)
    if isinstance(entry, Spelled):
        yield from _check_name(entry, document)
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


def faults_of_parts(kind: type[Entry], document: Document) -> Iterator[Fault]:
    """Yield what is wrong with the texts and the written forms of an entry whose shape is wrong."""
    yield from _prose_faults(kind, document)
    for index, form in _items(document, "written") if issubclass(kind, Spelled) else ():
        yield from _unreadable(form, ("written", index), document)


def _prose_faults(kind: type[Entry], document: Document) -> Iterator[Fault]:
    for key, text in _texts(document):
        for remark in prose.remarks(text, rooted=issubclass(kind, Spelled | SlashChord)):
            yield document.fault_within(key, remark.offset, remark.found, remark.expected)


def _texts(document: Document) -> Iterator[tuple[str, str]]:
    """Yield the texts of a document that aren't too long to look at, by key."""
    for key in ("summary", "text"):
        text = document.value.get(key) if isinstance(document.value, dict) else None
        if isinstance(text, Scalar) and text.kind == "text" and len(text) <= LONGEST_TEXT:
            yield key, str(text)


def _items(document: Document, key: str) -> Iterator[tuple[int, str]]:
    """Yield the items of a list in a document, and their places in it."""
    listed = document.value.get(key) if isinstance(document.value, dict) else None
    for index, item in enumerate(listed if isinstance(listed, list) else ()):
        if isinstance(item, Scalar) and not LEFTOVER.search(item):
            yield index, str(item)


def _unreadable(form: str, place: Place, document: Document) -> Iterator[Fault]:
    try:
        read_symbol("C" + form)
    except SymbolError as error:
        yield document.fault(
            place, f"the form {form!r}", "what may stand after a root", _near("C" + form, error, cut=1)
        )


def _check_name(entry: Spelled, document: Document) -> Iterator[Fault]:
    """Check that a name that reads as a chord names these degrees; one that doesn't read may be any."""
    try:
        found = [reading.chord.degrees for reading in read_symbol(f"C {entry.name}") if reading.chord]
    except SymbolError:
        return
    if found and entry.degrees not in found:
        yield document.fault(
            ("name",),
            f"the name {entry.name!r}, which reads as {' '.join(map(str, found[0]))}",
            f"a name of {' '.join(map(str, entry.degrees))}",
        )


def _near(text: str, error: SymbolError, cut: int = 0) -> str:
    """Return the hint that names the nearest readable symbol, its first ``cut`` characters left away."""
    near = (nearest_readable(text, error) or "")[cut:]
    return f"nearest: {near!r}" if near else ""


def _check_written(entry: Spelled, document: Document) -> Iterator[Fault]:
    for index, form in enumerate(entry.written):
        place: Place = ("written", index)
        if unreadable := list(_unreadable(form, place, document)):
            yield from unreadable
            continue
        readings = read_symbol("C" + form)
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


def faults_together(glossary: Glossary, documents: dict[str, Document], ids: set[str]) -> Iterator[Fault]:
    """Yield what is wrong between entries: claims made twice, links that lead nowhere. ``ids`` has broken ones too."""
    yield from _check_claims(glossary, documents)
    for name, document in documents.items():
        for index, other in _items(document, "easily_confused_with"):
            if other not in ids or other == name:
                yield document.fault(
                    ("easily_confused_with", index),
                    f"the id {other!r}",
                    "the id of another entry",
                    nearest(other, ids - {name}),
                )
        for key, text in _texts(document):
            for offset, target in prose.linked_ids(text):
                if target not in ids:
                    yield document.fault_within(
                        key, offset, f"a link to {shown(target)}", "the id of an entry", nearest(target, ids)
                    )
    for name, entry in glossary.of(SlashChord).items():
        yield from _check_pattern(entry, documents[name], glossary, ids)
    sources = {(name, index): text for name in documents for index, text in _items(documents[name], "sources")}
    for (name, index), usual in spelled_otherwise(sources).items():
        found = f"the source {sources[name, index]!r}"
        expected = "a source spelled as in other entries"
        yield documents[name].fault(("sources", index), found, expected, f"nearest: {usual!r}")


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
