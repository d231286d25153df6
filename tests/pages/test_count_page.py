"""Checks the page that counts a viewer's measure: its values, its table, and how much of it is fetched."""

from __future__ import annotations

import gzip
import json
from fractions import Fraction
from pathlib import Path

import pytest

from understave.engraving.note_glyphs import NOTES, RESTS, note_glyphs
from understave.entries.values import CountingSystem
from understave.pages.assets import browser_assets, tables
from understave.pages.count_page import METERS, count_page
from understave.pages.tables.counting import counting_table
from understave.theory.counting import PositionSystem
from understave.theory.rhythms import Meter, parse_meter, recip_length

OWN_SCRIPTS = (
    "count-page.js", "count-blocks.js", "count-answer.js", "count-sentences.js", "counting.js", "rhythms.js",
    "fractions.js", "counting-table.js", "counting.json",
)  # fmt: skip

MOST_BYTES = 17_000
"""What the page may fetch of its own, each file compressed."""


@pytest.fixture(scope="module")
def table(glossary):
    """The table, as scripts read it."""
    return json.loads(json.dumps(counting_table(glossary)))


def test_offered_meters_read_and_fit_their_beats():
    assert all(sum(parse_meter(text).beats()) == parse_meter(text).length for text in METERS)


def test_buttons_have_the_note_of_a_triplet_where_there_is_one(lanternfield):
    values = count_page(lanternfield).values()["values"]
    triplets = {value["token"]: value["triplet"] for value in values}
    # Humdrum **recip: 12 is a triplet eighth, a twelfth of a whole note (from memory)
    assert triplets == {"1": "", "2": "3", "4": "6", "8": "12", "16": "24", "32": "48"}
    assert all(recip_length(own) * 3 == recip_length(token) * 2 for token, own in triplets.items() if own)


def test_page_starts_with_the_sites_own_system(lanternfield):
    values = count_page(lanternfield).values()
    assert values["usual_system"] == lanternfield.project.counting_system
    assert [system["id"] for system in values["systems"]] == list(lanternfield.glossary.of(CountingSystem))
    assert values["guides"], "without scripts it leads to the guides that count"


def test_every_note_and_rest_with_a_button_has_an_outline():
    glyphs = note_glyphs()
    assert set(glyphs) == {*NOTES, *(f"{token}r" for token in RESTS)}
    assert set(NOTES) == set(RESTS)
    assert all(outline.startswith("M") and outline.endswith("z") for outline in glyphs.values())


@pytest.mark.parametrize("unit", [1, 2, 4, 8, 16, 32])
def test_table_has_the_beats_of_every_meter(table, unit):
    for count in range(1, 65):
        sizes = table["beatSizes"][str(unit)][count - 1]
        beats = sizes if isinstance(sizes, list) else [sizes] * (count // sizes)
        assert tuple(Fraction(size, unit) for size in beats) == Meter((count,), unit).beats()


def test_table_has_the_words_of_every_place(table, glossary):
    for name, entry in glossary.of(CountingSystem).items():
        row = table["systems"][name]
        if not isinstance(entry.system, PositionSystem):
            assert "words" not in row
            continue
        for parts in range(1, 65):
            words = row["words"][row["rows"][parts - 1]]
            places = (str(Fraction(place, parts)) for place in range(parts))
            assert tuple(map(words.get, places)) == entry.system.words_at(parts)


def test_what_the_page_fetches_is_light(lanternfield):
    assets = {Path(path).name: text for path, text in browser_assets(tables(lanternfield)).items()}
    weights = {name: len(gzip.compress(assets[name].encode(), mtime=0)) for name in OWN_SCRIPTS}
    assert sum(weights.values()) <= MOST_BYTES, weights
