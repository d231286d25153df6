"""Faults of files: one line each, with the place, what stood there, what was expected and the nearest right thing."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, order=True)
class Fault:
    """A fault of one file. ``line`` and ``column`` count from 1."""

    file: str
    line: int
    column: int
    found: str
    expected: str
    nearest: str = ""

    def __str__(self) -> str:
        parts = [self.found, self.expected, self.nearest] if self.nearest else [self.found, self.expected]
        told = f"{self.file}:{self.line}:{self.column}: {'; '.join(' '.join(part.split()) for part in parts)}"
        return "".join(letter if letter.isprintable() else repr(letter)[1:-1] for letter in told)


class Faulty(Exception):
    """Some files have faults; ``faults`` are sorted, each once."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(sorted(set(faults)))
        super().__init__("\n".join(map(str, self.faults)))


def nearest(word: str, known: Iterable[str]) -> str:
    """Return the hint that names the known word closest to ``word``, or an empty text."""
    close = difflib.get_close_matches(word, list(known), n=1, cutoff=0.6)
    return f"nearest: {close[0]!r}" if close else ""


def shown(text: object, limit: int = 60) -> str:
    """Return a text quoted on one line, without control characters, cut at ``limit``."""
    plain = str(text)
    return repr(plain if len(plain) <= limit else plain[: limit - 1] + "…")
