"""The whole site's pages in batches that are made together, each with a key of all that its pages say.

A batch whose key is known from an earlier build needn't be made again. Its key holds the values that its pages are made
of, not the files: the entries' words, the lessons, the sentences, and the code that makes them.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, fields
from functools import partial
from pathlib import Path

from understave.addresses.slugs import addresses_of_chord
from understave.answers.project import Loaded
from understave.entries.glossary import Glossary
from understave.entries.values import CountingSystem, Entry, Spelled
from understave.lessons.score_files import musicxml_of
from understave.pages.chords import ChordPages
from understave.pages.corrections import CorrectionPages
from understave.pages.count_page import count_page
from understave.pages.handouts import HandoutPages
from understave.pages.heard import Hearing, hearings
from understave.pages.indexes import IndexPages
from understave.pages.keys_page import keys_page
from understave.pages.lesson_index import LessonIndex
from understave.pages.lesson_pages import LessonPages
from understave.pages.level_pages import LevelPages
from understave.pages.others import OtherPages
from understave.pages.page import Page
from understave.pages.writing import writing_pages
from understave.phrases.catalogue import phrase_ids, phrase_text, spoken_language

CODE = Path(__file__).parents[1]
"""The package: other code may make other pages."""

OWN_WORDS = ("text", "sources")
"""What only an entry's own pages say of it."""

OWN_TO_CHORDS = (*OWN_WORDS, "summary", "asked_as", "since", "corrected")
"""What no page of another chord says of an entry."""


@dataclass(frozen=True)
class Batch:
    """Pages that are made together; the same key means the same pages."""

    key: str
    pages: Callable[[], Iterable[Page]]


def site_batches(loaded: Loaded, title: str) -> Iterator[Batch]:
    """Yield every page that the builder makes, in batches. ``title`` is the site's."""
    glossary, lessons = loaded.glossary, loaded.lessons
    heard = hearings(lessons, glossary)
    base = _base(loaded, title)
    others = (*base, *_beside_entries(loaded), _told(glossary, OWN_WORDS, Spelled))
    corrections = tuple(CorrectionPages(loaded))
    corrected = corrections[0].address if corrections else ""
    indexes = IndexPages(title, glossary, loaded.guides, lessons, len(loaded.handouts), corrected)
    yield Batch(_digest("indexes", others), indexes.__iter__)
    yield Batch(_digest("others", others), OtherPages(glossary, heard, loaded.project.counting_system).__iter__)
    yield Batch(_digest("lesson index", others), LessonIndex(glossary, lessons).__iter__)
    yield Batch(_digest("lessons", (*others, _scores(loaded))), LessonPages(loaded).__iter__)
    yield Batch(_digest("levels", others), LevelPages(loaded).__iter__)
    yield Batch(_digest("single pages", others), partial(_single_pages, loaded, corrections))
    chords = ChordPages(glossary, heard)
    near = (*base, _told(glossary, OWN_TO_CHORDS, Entry))
    for name, entry in glossary.chords.items():
        yield Batch(_digest(name, (*near, entry, _heard(heard, name, entry))), partial(chords.of_entry, name))


def site_key(loaded: Loaded, title: str) -> str:
    """Return a key of all batches of a site."""
    values = (*_base(loaded, title), *_beside_entries(loaded), loaded.glossary, _scores(loaded))
    return _digest("site", values)


def tables_key(loaded: Loaded) -> str:
    """Return a key of what the browser's tables are made of."""
    return _digest("tables", (*_base(loaded, ""), loaded.guides, _told(loaded.glossary, OWN_WORDS, Entry)))


def _base(loaded: Loaded, title: str) -> tuple[object, ...]:
    """Return what every page is made of."""
    return _code(), _sentences(), loaded.project, title


def _beside_entries(loaded: Loaded) -> tuple[object, ...]:
    return loaded.guides, loaded.handouts, loaded.lessons, loaded.levels, loaded.ledger, loaded.replies


def _single_pages(loaded: Loaded, corrections: tuple[Page, ...]) -> Iterator[Page]:
    yield from corrections
    yield from HandoutPages(loaded)
    if loaded.glossary.chords:
        yield keys_page()
    if loaded.glossary.of(CountingSystem):
        yield count_page(loaded)
    yield from writing_pages()


def _digest(name: str, values: tuple[object, ...]) -> str:
    return hashlib.sha256(repr((name, values)).encode()).hexdigest()[:32]


def _code() -> str:
    """Return what tells one state of the package from another."""
    digest = hashlib.sha256()
    for folder, _, names in sorted(os.walk(CODE)):
        for path in sorted(Path(folder, name) for name in names if not folder.endswith("__pycache__")):
            state = path.stat()
            digest.update(f"{path.relative_to(CODE)} {state.st_size} {state.st_mtime_ns}\n".encode())
    return digest.hexdigest()


def _sentences() -> str:
    return _digest(spoken_language(), tuple((name, phrase_text(name)) for name in sorted(phrase_ids())))


def _scores(loaded: Loaded) -> tuple[str, ...]:
    """Return hashes of the scores, whose measures are drawn from their files."""
    folder = loaded.project.lessons or Path()
    paths = (folder / lesson.file.score for lesson in loaded.lessons.values())
    return tuple(hashlib.sha256(musicxml_of(path)).hexdigest() for path in paths if path.is_file())


def _told(glossary: Glossary, without: tuple[str, ...], kind: type[Entry]) -> str:
    """Return a hash of all entries, those of a ``kind`` without some of their fields."""
    entries = [(name, entry.folder, _fields(entry, without, kind)) for name, entry in glossary.entries.items()]
    return _digest("entries", tuple(entries))


def _fields(entry: Entry, without: tuple[str, ...], kind: type[Entry]) -> tuple[object, ...]:
    left_out = without if isinstance(entry, kind) else ()
    return tuple(getattr(entry, field.name) for field in fields(entry) if field.name not in left_out)


def _heard(heard: dict[str, list[Hearing]], name: str, entry: Spelled) -> list[list[dict[str, object]]]:
    """Return what the lists of lessons on an entry's pages say."""
    return [[one.row() for one in heard.get(address, [])] for address in addresses_of_chord(name, entry)]
