"""A reader of comments with the project's own entries and standing answers."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from understave.answers.triaging import asked_as, asked_for, entry_names
from understave.comments.asking import Asking, Reader
from understave.entries.guides import read_guides
from understave.entries.kept import load_glossary
from understave.entries.lookup import symbol_of
from understave.entries.replies import read_replies

CONTENT = Path(__file__).parents[2] / "content"


@cache
def _glossary():
    return load_glossary(CONTENT)


@cache
def _reader() -> Reader:
    replies, faults = read_replies(CONTENT, _glossary().entries)
    assert faults == []
    guides, _ = read_guides(CONTENT, None)
    return Reader(entry_names(_glossary()), asked_for(replies), asked_as(_glossary(), guides))


def asking(text: str) -> Asking:
    return _reader().asking(text)


def symbols(text: str) -> list[str]:
    """The chords that a comment names, as they are printed."""
    return [symbol_of(mention.chord, _glossary()) for mention in asking(text).mentions]
