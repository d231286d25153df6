"""Slugs: ASCII and spelled out, one for each page, never to change."""

from __future__ import annotations

from dataclasses import dataclass

from understave.entries.glossary import Glossary
from understave.entries.values import ChordSymbol, Entry
from understave.theory.tones import ROOTS, Tone

INVERSION_SUFFIXES = ("", "-first-inversion", "-second-inversion", "-third-inversion")

COUNTING_ADDRESS = "/count-this-measure/"

KEYS_ADDRESS = "/what-are-these-notes/"
"""The address of the page on which viewers count a measure of their own."""

_ACCIDENTALS = {-1: "-flat", 0: "", 1: "-sharp"}


@dataclass(frozen=True)
class ChordPlace:
    """What a rooted page is about: an entry under a root, in an inversion (0 is root position)."""

    root: Tone
    entry: str
    inversion: int = 0


def root_slug(root: Tone) -> str:
    """Return ``a-flat`` for A♭; roots with a double accidental have no page. Raises KeyError for those."""
    return root.letter.lower() + _ACCIDENTALS[root.alteration]


def has_page(root: Tone) -> bool:
    """Tell whether chords under this root have pages of their own."""
    return root.alteration in _ACCIDENTALS


def chord_slug(place: ChordPlace) -> str:
    """Return ``a-flat-minor-first-inversion``."""
    return f"{root_slug(place.root)}-{place.entry}{INVERSION_SUFFIXES[place.inversion]}"


def parse_chord_slug(slug: str, glossary: Glossary) -> ChordPlace | None:
    """Return what the page of a slug is about, or None if no page has it."""
    for root in sorted(ROOTS, key=lambda root: -abs(root.alteration)):
        rest = slug.removeprefix(root_slug(root) + "-")
        if rest == slug:
            continue
        for inversion in (1, 2, 3, 0):
            entry = rest.removesuffix(INVERSION_SUFFIXES[inversion])
            known = entry in glossary.chords and inversion < inversions(glossary.entries[entry])
            if known and (inversion == 0 or entry != rest):
                return ChordPlace(root, entry, inversion)
    return None


def inversions(entry: Entry) -> int:
    """Return how many positions of an entry have pages: 3 of a triad, 4 of a seventh chord, else 1."""
    if isinstance(entry, ChordSymbol) and {degree.number for degree in entry.degrees} in ({1, 3, 5}, {1, 3, 5, 7}):
        return len(entry.degrees)
    return 1


def chord_places(glossary: Glossary) -> list[ChordPlace]:
    """Return every rooted page: each chord type and added tone under 21 roots, with its inversions."""
    return [
        ChordPlace(root, name, inversion)
        for name, entry in glossary.chords.items()
        for root in ROOTS
        for inversion in range(inversions(entry))
    ]


def address_of_chord(place: ChordPlace) -> str:
    """Return the address of a rooted page, without a host: ``/a-flat-minor-eleventh/``."""
    return f"/{chord_slug(place)}/"


def addresses_of_chord(name: str, entry: Entry) -> list[str]:
    """Return the addresses of a chord type's or an added tone's pages: its own, then the rooted ones."""
    places = (ChordPlace(root, name, inversion) for root in ROOTS for inversion in range(inversions(entry)))
    return [address_of_entry(name, entry), *map(address_of_chord, places)]


def address_of_guide(name: str) -> str:
    """Return the address of a guide: ``/guides/pickups/``."""
    return f"/guides/{name}/"


def address_of_entry(name: str, entry: Entry | type[Entry]) -> str:
    """Return the address of the own page of an entry, or of one of a kind: ``/chord-symbols/minor-eleventh/``."""
    return f"/{entry.folder}/{name}/"


def address_of_root(root: Tone) -> str:
    """Return the address of the index of all chords under a root."""
    return f"/roots/{root_slug(root)}/"


WRITING_ADDRESS = "/write/"
"""The address of the page on how entries are written."""


def address_of_writing(kind: str) -> str:
    """Return the address of the page on how files of a kind are written: ``/write/chord-symbol/``."""
    return f"/write/{kind}/"


def address_of_level(level: str) -> str:
    """Return ``/levels/beginner/``."""
    return f"/levels/{level}/"


def address_of_lesson(name: str) -> str:
    """Return the address of a lesson's page."""
    return f"/lessons/{name}/"


def address_of_handout(name: str) -> str:
    """Return ``/handouts/first-chords/``."""
    return f"/handouts/{name}/"
