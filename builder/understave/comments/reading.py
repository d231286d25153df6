"""A CSV of comments → comments one by one, in whatever encoding it was saved; a bad row is told and passed over.

The file is read as a stream: memory stays flat and time grows with its length.
"""

from __future__ import annotations

import codecs
import csv
import io
from collections import deque
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from understave.entries.faults import Fault, nearest, shown
from understave.entries.folders import shown_path

COLUMNS = ("id", "text", "lesson", "author", "posted", "likes", "parent", "by_me")
"""The columns that are read, by the name in the first row; the first two must be there."""

LONGEST_RECORD = 100_000
"""The most characters of one comment's row: more is taken for a quotation mark that is never closed."""

MOST_LINES = 1_000
"""The most lines of one comment's row."""

_YES = frozenset({"1", "true", "yes", "y", "x", "t"})

Progress = Callable[[int], None]
"""Called with the number of bytes read so far."""


class CommentsError(ValueError):
    """A file of comments can't be read at all; the message is one line with the place."""


@dataclass(frozen=True)
class Comment:
    """A comment as the file has it. ``line`` is where its row starts; ``by_me`` marks the teacher's own."""

    id: str
    text: str
    line: int
    lesson: str = ""
    author: str = ""
    posted: str = ""
    likes: int = 0
    parent: str = ""
    by_me: bool = False


@dataclass(frozen=True)
class BadRow:
    """A row that doesn't read. ``id`` is the comment's, or empty where that is part of what doesn't read."""

    fault: Fault
    id: str = ""


def read_comments(path: Path, progress: Progress = lambda done: None) -> Iterator[Comment | BadRow]:
    """Yield each row of a CSV as a comment or as what is wrong with it.

    Reads UTF-8 (single bytes that are none are taken for Windows-1252), UTF-16, and commas, semicolons or tabs between
    values. Raises CommentsError for a file that can't be opened or lacks the columns.
    """
    shown_as = shown_path(path)
    try:
        with path.open("rb") as raw:
            yield from _rows(_Lines(raw, progress), shown_as)
    except OSError as error:
        raise CommentsError(f"{shown_as}:1:1: unreadable: {error.strerror}; a readable CSV of comments") from None


def _as_windows(error: UnicodeError) -> tuple[str, int]:
    """Read bytes that are no UTF-8 as Windows-1252, what even that lacks as the replacement character."""
    assert isinstance(error, UnicodeDecodeError)
    return error.object[error.start : error.end].decode("cp1252", "replace"), error.end


codecs.register_error("understave-windows", _as_windows)


def _encoding(start: bytes) -> str:
    if start.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return "utf-16"
    if start[1:2] == b"\0" and start[3:4] == b"\0":
        return "utf-16-le"
    if start[:1] == b"\0" and start[2:3] == b"\0":
        return "utf-16-be"
    return "utf-8-sig"


class _Lines:
    """The lines of a file with their numbers; lines that were taken too early can be put back."""

    def __init__(self, raw: BinaryIO, progress: Progress) -> None:
        start = raw.read(4)
        raw.seek(0)
        encoding = _encoding(start)
        errors = "understave-windows" if encoding == "utf-8-sig" else "replace"
        self._raw, self._progress = raw, progress
        self._text = io.TextIOWrapper(raw, encoding, errors, newline="")
        self._back: deque[tuple[int, str]] = deque()
        self._number = 0

    def next(self) -> tuple[int, str] | None:
        """Return the next line with its number, from 1; None at the end. A line beyond LONGEST_RECORD is cut there."""
        if self._back:
            return self._back.popleft()
        line = self._text.readline(LONGEST_RECORD + 1)
        if not line:
            return None
        rest = line
        while len(rest) > LONGEST_RECORD and rest[-1] not in "\r\n":
            rest = self._text.readline(LONGEST_RECORD + 1)
        self._number += 1
        self._progress(self._raw.tell())
        return self._number, line

    def put_back(self, lines: list[tuple[int, str]]) -> None:
        self._back.extendleft(reversed(lines))


@dataclass(frozen=True)
class _Record:
    """One row: where it starts, its first line, and its values; None where it doesn't read, ``problem`` says why."""

    line: int
    start: str
    values: list[str] | None
    problem: tuple[str, str] = ("", "")

    def looks_whole(self, width: int, delimiter: str, place: int) -> bool:
        """Tell whether this is a row of its own, its id at ``place``, and not what is left of a broken one."""
        values = self.values if self.values is not None else self.start.split(delimiter, place + 1)
        if len(values) <= place or (self.values is not None and len(values) != width):
            return False
        return bool(values[place].strip()) and not any(letter.isspace() for letter in values[place].strip())


def _record(lines: _Lines, delimiter: str) -> _Record | None:
    """Return the next row, None at the end. After one that doesn't read, reading goes on at its second line."""
    first = lines.next()
    if first is None:
        return None
    taken, quotes, size = [first], first[1].count('"'), len(first[1])
    while quotes % 2 and size <= LONGEST_RECORD and len(taken) < MOST_LINES and (more := lines.next()):
        taken.append(more)
        quotes += more[1].count('"')
        size += len(more[1])
    number, start = first
    if quotes % 2 or size > LONGEST_RECORD:
        lines.put_back(taken[1:])
        if size > LONGEST_RECORD:
            return _Record(number, start, None, (f"more than {LONGEST_RECORD} characters", "one comment a row"))
        return _Record(
            number, start, None, ("a quotation mark that is never closed", 'one " before and one after a text')
        )
    try:
        rows = csv.reader((text for _, text in taken), delimiter=delimiter, strict=True)
        return _Record(number, start, next(rows, []))
    except csv.Error:
        lines.put_back(taken[1:])
        return _Record(number, start, None, ("a broken quotation mark", 'a " within a text written twice'))


def _rows(lines: _Lines, shown_as: str) -> Iterator[Comment | BadRow]:
    columns, delimiter, width = _header(lines, shown_as)
    after_broken = False
    while (record := _record(lines, delimiter)) is not None:
        if after_broken and not record.looks_whole(width, delimiter, columns["id"]):
            continue
        after_broken = record.values is None
        if record.values is None:
            yield BadRow(Fault(shown_as, record.line, 1, *record.problem))
        elif any(value.strip() for value in record.values):
            yield _comment(record.values, record.line, columns, width, shown_as)


def _header(lines: _Lines, shown_as: str) -> tuple[dict[str, int], str, int]:
    """Return the place of each column, what stands between values, and how many values a row has."""
    first = lines.next()
    if first is None:
        raise CommentsError(f"{shown_as}:1:1: an empty file; a row with the columns id and text")
    lines.put_back([first])
    delimiter = max(",;\t", key=first[1].count)
    record = _record(lines, delimiter)
    assert record is not None
    if record.values is None:
        raise CommentsError(f"{shown_as}:1:1: {record.problem[0]}; a row with the columns id and text")
    names = [value.replace("\0", "").strip().casefold() for value in record.values]
    for needed in COLUMNS[:2]:
        if needed not in names:
            hint = nearest(needed, names)
            found = f"no column {needed!r} among {shown(', '.join(names))}"
            expected = "a first row with the columns id and text"
            raise CommentsError(str(Fault(shown_as, 1, 1, found, expected, hint)))
    return {name: names.index(name) for name in COLUMNS if name in names}, delimiter, len(names)


def _comment(values: list[str], line: int, columns: dict[str, int], width: int, shown_as: str) -> Comment | BadRow:
    def value(name: str) -> str:
        place = columns.get(name, width)
        return values[place].strip() if place < len(values) else ""

    def bad(found: str, expected: str) -> BadRow:
        return BadRow(Fault(shown_as, line, 1, found, expected), value("id").replace("\0", ""))

    if any("\0" in item for item in values):
        return bad("a NUL character", "text")
    if len(values) > width and any(item.strip() for item in values[width:]):
        return bad(f"{len(values)} values under {width} columns", "quotation marks round a text with commas")
    if len(values) <= max(columns["id"], columns["text"]):
        return bad(f"{len(values)} of {width} values", "an id and a text")
    if not value("id"):
        return bad("no id", "each comment's own id")
    likes = value("likes")
    return Comment(
        value("id"),
        value("text"),
        line,
        value("lesson"),
        value("author"),
        value("posted"),
        int(likes) if likes.isascii() and likes.isdigit() and len(likes) < 10 else 0,
        value("parent"),
        value("by_me").casefold() in _YES,
    )
