"""Checks that every rooted page has one slug, that a slug leads back to its page, and that no two pages share one."""

from __future__ import annotations

import re

import pytest

from understave.addresses.slugs import (
    ChordPlace,
    address_of_chord,
    address_of_entry,
    address_of_lesson,
    address_of_root,
    chord_places,
    chord_slug,
    has_page,
    inversions,
    parse_chord_slug,
    root_slug,
)
from understave.entries.kept import load_glossary
from understave.theory.tones import ROOTS, parse_tone


@pytest.mark.parametrize(
    ("root", "entry", "inversion", "slug"),
    [
        ("Ab", "minor-eleventh", 0, "a-flat-minor-eleventh"),
        ("Ab", "minor", 1, "a-flat-minor-first-inversion"),
        ("A", "minor", 2, "a-minor-second-inversion"),
        ("F#", "dominant-seventh", 3, "f-sharp-dominant-seventh-third-inversion"),
        ("B", "added-flat-ninth", 0, "b-added-flat-ninth"),
    ],
)
def test_a_slug_is_spelled_out(root, entry, inversion, slug, glossary):
    place = ChordPlace(parse_tone(root), entry, inversion)
    assert chord_slug(place) == slug
    assert parse_chord_slug(slug, glossary) == place
    assert address_of_chord(place) == f"/{slug}/"


def test_every_rooted_page_is_found_by_its_slug(glossary):
    places = chord_places(glossary)
    assert len(places) >= 21 * 75
    for place in places:
        assert parse_chord_slug(chord_slug(place), glossary) == place


def test_every_chord_has_a_page_under_all_roots(glossary):
    rooted = {(place.root, place.entry) for place in chord_places(glossary) if place.inversion == 0}
    assert rooted == {(root, name) for root in ROOTS for name in glossary.chords}


@pytest.mark.parametrize(
    "slug",
    [
        "",
        "a",
        "a-flat",
        "h-minor",
        "a-flat-flat-minor",
        "b-double-flat-minor",
        "a-minr",
        "minor",
        "A-minor",
        "a-minor-",
        "a-minor-third-inversion",
        "a-minor-eleventh-first-inversion",
        "a-minor-first-inversion-first-inversion",
        "a-triad",
        "a--minor",
        "a-first-inversion",
    ],
)
def test_other_slugs_are_no_page(slug, glossary):
    assert parse_chord_slug(slug, glossary) is None


def test_all_addresses_are_distinct_and_plain(glossary, lanternfield):
    """The addresses of the whole site, with each of the indexes."""
    addresses = [address_of_chord(place) for place in chord_places(glossary)]
    addresses += [address_of_entry(name, entry) for name, entry in glossary.entries.items()]
    addresses += [address_of_root(root) for root in ROOTS]
    addresses += [address_of_lesson(name) for name in lanternfield.lessons]
    addresses += [
        f"/{folder}/" for folder in {entry.folder for entry in glossary.entries.values()} | {"roots", "lessons"}
    ]
    assert len(set(addresses)) == len(addresses)
    for address in addresses:
        assert re.fullmatch(r"/[a-z0-9]+(?:-[a-z0-9]+)*/(?:[a-z0-9]+(?:-[a-z0-9]+)*/)?", address)


@pytest.mark.parametrize(
    ("name", "positions"),
    [
        ("major", 3),
        ("minor", 3),
        ("diminished", 3),
        ("augmented", 3),
        ("dominant-seventh", 4),
        ("diminished-seventh", 4),
        ("half-diminished", 4),
        ("major-sixth", 1),
        ("power-chord", 1),
        ("suspended-fourth", 1),
        ("dominant-ninth", 1),
        ("added-ninth", 1),
        ("first-inversion", 1),
        ("measure", 1),
    ],
)
def test_triads_and_seventh_chords_have_pages_for_their_inversions(name, positions, glossary):
    assert inversions(glossary.entries[name]) == positions


def test_roots_with_double_accidentals_have_no_page():
    assert all(has_page(root) for root in ROOTS)
    assert not has_page(parse_tone("Bbb"))
    with pytest.raises(KeyError):
        root_slug(parse_tone("F##"))


def test_two_entries_whose_pages_would_share_an_address_are_a_fault(small_content, write_files):
    """/c-major-first-inversion/ can't be a chord type of its own and the first inversion of C major."""
    from understave.answers.checking import check_paths
    from understave.answers.configuration import Project

    other = (
        small_content["chord-symbols/major.yaml"]
        .replace("name: major", "name: suspended fourth")
        .replace('["", "maj", "M"]', '["sus4"]')
        .replace('["1", "3", "5"]', '["1", "4", "5"]')
        .replace("musicxml: major\n", "")
    )
    content = write_files({**small_content, "chord-symbols/major-first-inversion.yaml": other})
    faults = check_paths(Project(content), ())
    places = chord_places(load_glossary(content)) if not faults else []
    assert len({chord_slug(place) for place in places}) == len(places)
    assert [fault.file for fault in faults] == ["content/chord-symbols/major-first-inversion.yaml"]
