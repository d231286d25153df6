"""Marks of unfinished work, which no file may keep."""

from __future__ import annotations

import re
from collections.abc import Iterator

from understave.entries.faults import Fault
from understave.entries.yaml_files import Document, Place, Scalar

FILL_IN = "FILL IN"
"""What stands in a new file where an editor's words are wanted."""

LEFTOVER = re.compile(rf"{FILL_IN}|\b(?:TODO|FIXME|TBD|XXX)\b")
"""A place that was left for later."""

EXPECTED = "words of your own in its place"


def leftovers(document: Document) -> dict[Place, list[Fault]]:
    """Return the places of a document that are left for later, each with a fault for every mark in it."""
    found: dict[Place, list[Fault]] = {}
    for place, scalar in _scalars(document.value, ()):
        at = scalar.start - 1
        for match in LEFTOVER.finditer(scalar):
            at = document.text.find(match[0], at + 1)
            found.setdefault(place, []).append(fault_at(document.file, document.text, at, match[0]))
    return found


def fault_at(file: str, text: str, offset: int, mark: str) -> Fault:
    """Return the fault of a mark that stands at an offset into a file's text."""
    line, column = text.count("\n", 0, offset) + 1, offset - text.rfind("\n", 0, offset)
    return Fault(file, line, column, f"{mark!r}, left for later", EXPECTED)


def _scalars(value: object, place: Place) -> Iterator[tuple[Place, Scalar]]:
    if isinstance(value, Scalar):
        yield place, value
    elif isinstance(value, dict):
        for key, inner in value.items():
            yield from _scalars(inner, (*place, key))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield from _scalars(inner, (*place, index))
