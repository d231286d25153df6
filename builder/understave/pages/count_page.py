"""The page on which viewers build a measure and read its count; scripts walk the counting's table there."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from understave.addresses.slugs import COUNTING_ADDRESS, address_of_guide
from understave.answers.counting import USUAL_METER
from understave.answers.project import Loaded
from understave.engraving.note_glyphs import NOTES, note_glyphs
from understave.entries.values import CountingSystem
from understave.pages.page import Page
from understave.phrases.catalogue import phrase
from understave.theory.rhythms import recip_length, recip_token

METERS = ("2/4", "3/4", "4/4", "5/4", "2/2", "3/8", "6/8", "9/8", "12/8", "5/8", "7/8")
"""The meters that are offered; any other can be typed."""


def count_page(loaded: Loaded) -> Page:
    """Return the page. Its answer is the scripts'; without them it leads to the guides that count."""
    title, answer = phrase("count-page-title"), phrase("count-page-answer")
    return Page(COUNTING_ADDRESS, title, answer, "count.html", lambda: _values(loaded), searchable=True)


def _values(loaded: Loaded) -> dict[str, Any]:
    systems = loaded.glossary.of(CountingSystem)
    usual = loaded.project.counting_system
    return {
        "meters": METERS,
        "usual_meter": USUAL_METER,
        "systems": [{"id": name, "name": system.name} for name, system in systems.items()],
        "usual_system": usual if usual in systems else next(iter(systems)),
        "values": [
            {"token": token, "triplet": _in_triplet(token), "name": phrase(f"count-page-value-{token}")}
            for token in NOTES
        ],
        "glyphs": note_glyphs(),
        "guides": [
            {"title": guide.title, "address": address_of_guide(name)}
            for name, guide in loaded.guides.items()
            if guide.examples
        ],
    }


def _in_triplet(token: str) -> str:
    """Return the token of a note value within a triplet, three in the time of two; empty where there is none."""
    return recip_token(recip_length(token) * Fraction(2, 3), 3)
