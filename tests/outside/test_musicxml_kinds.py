"""Checks the chord types against MusicXML 4.0, type kind-value, in the XSD that the PyPI package musicxml carries."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from importlib.resources import files
from pathlib import Path

import pytest

from understave.entries.kept import load_glossary
from understave.entries.schema import MUSICXML_KINDS
from understave.entries.values import ChordSymbol, Spelled, Term

CONTENT = Path(__file__).parents[2] / "content"
GLOSSARY = load_glossary(CONTENT)

XSD = files("musicxml") / "generate_classes" / "musicxml_4_0.xsd"
NAMESPACE = {"xs": "http://www.w3.org/2001/XMLSchema"}

UNCLAIMED = {
    "other": "the kind for chords that MusicXML has no name for",
    "none": "N.C., which is no chord",
    "pedal": "a pedal point: a bass under other chords, no chord by itself",
}
"""The kinds that no entry claims, and why."""


def kind_value() -> ET.Element:
    root = ET.fromstring(XSD.read_bytes())
    (found,) = root.findall("xs:simpleType[@name='kind-value']", NAMESPACE)
    return found


def xsd_kinds() -> list[str]:
    # MusicXML 4.0, kind-value: its enumeration
    return [item.get("value", "") for item in kind_value().findall("xs:restriction/xs:enumeration", NAMESPACE)]


def claims(kind: str) -> list[str]:
    entries: dict[str, ChordSymbol | Term] = {**GLOSSARY.of(ChordSymbol), **GLOSSARY.of(Term)}
    return [name for name, entry in entries.items() if entry.musicxml == kind]


def test_our_list_of_kinds_is_the_xsds() -> None:
    # MusicXML 4.0, kind-value: 33 values
    assert len(xsd_kinds()) == 33
    assert sorted(MUSICXML_KINDS) == sorted(xsd_kinds())


@pytest.mark.parametrize("kind", xsd_kinds())
def test_each_kind_is_claimed_by_exactly_one_entry(kind: str) -> None:
    # MusicXML 4.0, kind-value
    assert len(claims(kind)) == (0 if kind in UNCLAIMED else 1), claims(kind)


SIZES = {
    "minor third": "b3", "major third": "3", "perfect fifth": "5", "augmented fifth": "#5", "diminished fifth": "b5",
    "minor seventh": "b7", "major seventh": "7", "diminished seventh": "bb7", "added sixth": "6", "major second": "2",
    "perfect fourth": "4", "major ninth": "9", "perfect 11th": "11", "major 13th": "13",
}  # fmt: skip
"""The intervals that the XSD's documentation names, as degrees (the mapping is ours, common practice)."""

TRIADS = {"major triad": "1 3 5", "minor triad": "1 b3 5", "diminished triad": "1 b3 b5", "augmented triad": "1 3 #5"}


def documented() -> dict[str, str]:
    """Return what the XSD's documentation says of each kind: ``dominant (major triad, minor seventh)``."""
    (text,) = kind_value().findall("xs:annotation/xs:documentation", NAMESPACE)
    rows = (line.strip() for line in (text.text or "").splitlines())
    return {
        row.partition(" (")[0]: row.partition(" (")[2].rstrip(")") for row in rows if row.endswith(")") and " (" in row
    }


def documented_degrees(kind: str) -> set[str]:
    """Return the degrees that the documentation of a kind names, other kinds in it taken apart."""
    degrees: set[str] = {"1"}
    for part in documented()[kind].split(", "):
        if part in TRIADS:
            degrees |= set(TRIADS[part].split())
        elif part in SIZES:
            degrees.add(SIZES[part])
        else:
            degrees |= documented_degrees("dominant" if part == "dominant-seventh" else part)  # its prose says both
    return degrees


@pytest.mark.parametrize("name", [name for name, entry in GLOSSARY.of(ChordSymbol).items() if entry.musicxml])
def test_an_entry_has_the_degrees_that_the_xsd_documents(name: str) -> None:
    # MusicXML 4.0, kind-value: its documentation names the intervals of each kind
    entry = GLOSSARY.entries[name]
    assert isinstance(entry, Spelled)
    assert isinstance(entry, ChordSymbol)
    assert entry.musicxml
    assert set(map(str, entry.degrees)) == documented_degrees(entry.musicxml)
