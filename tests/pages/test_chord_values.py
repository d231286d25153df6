"""Checks what the pages of chords say: the sentence with the notes, jobs, confusions, and easier spellings."""

from __future__ import annotations

import re
from typing import Any

import pytest
from markupsafe import Markup

from understave.answers.project import Loaded
from understave.entries.glossary import Glossary
from understave.pages.chords import ChordPages
from understave.pages.page import Page
from understave.phrases.catalogue import phrase
from understave.phrases.typesetting import symbol_text

NOTE = re.compile(r"(?<![\w♭♯/])([A-G](?:♭|♯|𝄫|𝄪)*)(?![\w♭♯°øΔ(/+])")
"""A note's name in a sentence; letters inside symbols and words are none."""


@pytest.fixture(scope="module")
def pages(lanternfield: Loaded) -> dict[str, Page]:
    return {page.address: page for page in ChordPages(lanternfield.glossary, {})}


def read(value: Any) -> Any:
    """Return values as a reader has them: HTML without its tags."""
    if isinstance(value, dict):
        return {name: read(one) for name, one in value.items()}
    if isinstance(value, list):
        return [read(one) for one in value]
    return value.striptags() if isinstance(value, Markup) else value


def values(pages: dict[str, Page], address: str) -> dict[str, Any]:
    return read(pages[address].values())


def notes(sentence: str) -> str:
    return " ".join(NOTE.findall(sentence))


# Common practice, and the design's own rule: what is usually played comes first, then the full stack.
SENTENCES = [
    ("/c-major/", ["C E G"]),
    ("/c-dominant-seventh/", ["C E G B♭"]),
    ("/c-dominant-ninth/", ["C E B♭ D", "C E G B♭ D"]),
    ("/a-flat-minor-ninth/", ["A♭ C♭ G♭ B♭", "A♭ C♭ E♭ G♭ B♭"]),
    ("/c-dominant-eleventh/", ["C B♭ D F", "C E G B♭ D F"]),
    ("/c-minor-eleventh/", ["C E♭ B♭ D F", "C E♭ G B♭ D F"]),
    ("/c-dominant-thirteenth/", ["C E B♭ A D", "C E G B♭ D F A"]),
    ("/c-major-thirteenth/", ["C E B A D", "C E G B D F A"]),
    ("/c-minor-thirteenth/", ["C E♭ B♭ A D F", "C E♭ G B♭ D F A"]),
    ("/c-altered-dominant/", ["C E B♭ A♭ D♭ D♯", "C E B♭ D♭ D♯ A♭"]),
    ("/c-seventh-added-thirteenth/", ["C E G B♭ A"]),
    ("/c-six-nine/", ["C E G A D"]),
    ("/c-half-diminished-ninth/", ["C E♭ G♭ B♭ D"]),
    ("/c-flat-diminished-seventh/", ["C♭ E𝄫 G𝄫 B𝄫♭"]),
]


@pytest.mark.parametrize(("address", "said"), SENTENCES)
def test_sentence_tells_what_is_played_and_then_the_stack(
    pages: dict[str, Page], address: str, said: list[str]
) -> None:
    symbol, _, sentence = values(pages, address)["sentence"].partition(" ")
    assert symbol == symbol_text(pages[address].fact.symbol)
    assert [notes(part) for part in sentence.removesuffix(".").split(". ")] == said, sentence


def test_altered_dominant_is_played_with_one_ninth_at_a_time(pages: dict[str, Page]) -> None:
    sentence = values(pages, "/c-altered-dominant/")["sentence"]
    assert "one 9th at a time" in sentence
    assert "D♭ or D♯" in sentence


def test_thirteenth_offers_the_ninth(pages: dict[str, Page]) -> None:
    sentence = values(pages, "/c-dominant-thirteenth/")["sentence"]
    assert re.search(r"C, E, B♭ and A, with D if you like", sentence)


def test_inversion_is_told_from_its_lowest_note_up(pages: dict[str, Page]) -> None:
    sentence = values(pages, "/c-dominant-seventh-second-inversion/")["sentence"]
    first, rest = sentence.split(": ", 1)
    assert "G" in NOTE.findall(first)
    assert "5th" in first
    assert notes(rest) == "G B♭ C E"


JOBS = [
    ("/c-major/", {"root": "1", "3rd": "3", "5th": "5"}),
    ("/c-suspended-fourth/", {"4th": "sus"}),
    ("/c-suspended-second/", {"2nd": "sus"}),
    ("/c-suspended-second-and-fourth/", {"2nd": "sus", "4th": "sus"}),
    ("/c-seventh-suspended-fourth/", {"4th": "sus", "♭7th": "7"}),
    ("/c-ninth-suspended-fourth/", {"4th": "sus", "9th": "extension"}),
    ("/c-added-second/", {"2nd": "added", "3rd": "3"}),
    ("/c-added-fourth/", {"4th": "added"}),
    ("/c-added-ninth/", {"9th": "added"}),
    ("/c-major-sixth/", {"6th": "added"}),
    ("/c-six-nine/", {"6th": "added", "9th": "added"}),
    ("/c-dominant-ninth/", {"♭7th": "7", "9th": "extension"}),
    ("/c-minor-eleventh/", {"9th": "extension", "11th": "extension"}),
    ("/c-dominant-seventh-flat-ninth/", {"♭9th": "altered-extension"}),
    ("/c-dominant-seventh-sharp-eleventh/", {"♯11th": "altered-extension"}),
    ("/c-augmented/", {"♯5th": "augmented-5"}),
    ("/c-seventh-added-thirteenth/", {"13th": "added"}),
    ("/c-minor-seventh-added-eleventh/", {"11th": "added"}),
]


@pytest.mark.parametrize(("address", "jobs"), JOBS)
def test_every_tone_has_its_job(pages: dict[str, Page], address: str, jobs: dict[str, str]) -> None:
    rows = {row["degree"]: row["job"] for row in values(pages, address)["rows"]}
    for degree, job in jobs.items():
        assert rows[degree].partition(";")[0] == phrase(f"job-{job}"), degree


@pytest.mark.parametrize(
    ("address", "left_out"),
    [
        ("/c-dominant-seventh/", set()),
        ("/c-dominant-ninth/", {"5th"}),
        ("/c-dominant-eleventh/", {"3rd", "5th"}),
        ("/c-minor-eleventh/", {"5th"}),
        ("/c-dominant-thirteenth/", {"5th", "11th"}),
        ("/c-minor-thirteenth/", {"5th"}),
        ("/c-half-diminished-ninth/", set()),
        ("/c-added-ninth/", set()),
    ],
)
def test_table_says_what_is_usually_left_out(pages: dict[str, Page], address: str, left_out: set[str]) -> None:
    rows = values(pages, address)["rows"]
    assert {row["degree"] for row in rows if "left out" in row["job"]} == left_out


@pytest.mark.parametrize(
    ("address", "other", "has", "has_not"),
    [
        ("/a-flat-added-second/", "A♭sus2", set(), {"C (3rd)"}),
        ("/a-flat-suspended-second/", "A♭add2", {"C (3rd)"}, set()),
        ("/c-dominant-seventh/", "Cmaj7", {"B (7th)"}, {"B♭ (♭7th)"}),
        ("/c-minor-ninth/", "Cm7", set(), {"D (9th)"}),
        ("/c-minor-ninth/", "Cm11", {"F (11th)"}, set()),
        ("/f-sharp-minor-ninth/", "F♯9", {"A♯ (3rd)"}, {"A (♭3rd)"}),
        ("/c-flat-dominant-seventh/", "C♭m7", {"E𝄫 (♭3rd)"}, {"E♭ (3rd)"}),
    ],
)
def test_confusions_name_the_tones_that_differ(
    pages: dict[str, Page], address: str, other: str, has: set[str], has_not: set[str]
) -> None:
    differences = [item["difference"] for item in values(pages, address)["confusions"]]
    [said] = [text for text in differences if text.startswith(f"{other} ")]
    assert set(re.findall(r"[A-G][♭♯𝄫𝄪]* \([^)]*\)", said)) == has | has_not
    assert (" where " in said) == bool(has and has_not), said
    own_part = said.partition(" where ")[2] or (said if has_not and not has else "")
    assert all(tone in own_part for tone in has_not), said
    assert not any(tone in own_part for tone in has), said


def test_added_second_and_ninth_differ_by_the_octave_alone(pages: dict[str, Page]) -> None:
    [said] = [
        item["difference"]
        for item in values(pages, "/c-added-second/")["confusions"]
        if item["difference"].startswith("Cadd9 ")
    ]
    assert "octave" in said
    assert not re.search(r"\((2nd|9th)\)", said)


def test_every_confusion_on_a_root_says_what_differs(pages: dict[str, Page], glossary: Glossary) -> None:
    for name in glossary.chords:
        for item in values(pages, f"/e-flat-{name}/")["confusions"]:
            assert bool(item["difference"]) == bool(item["symbol"]), name
            if item["difference"]:
                assert item["address"].startswith("/e-flat-")


@pytest.mark.parametrize(
    ("address", "easier"),
    [
        # common practice: players read the spelling with fewer accidentals
        ("/c-flat-diminished-seventh/", "/b-diminished-seventh/"),
        ("/e-sharp-major/", "/f-major/"),
        ("/b-sharp-minor-seventh/", "/c-minor-seventh/"),
        ("/f-flat-minor/", "/e-minor/"),
        ("/b-sharp-augmented-first-inversion/", "/c-augmented-first-inversion/"),
        ("/c-flat-major/", None),
        ("/c-dominant-seventh/", None),
        ("/g-flat-dominant-seventh/", None),
    ],
)
def test_hard_spellings_lead_to_an_easier_one(pages: dict[str, Page], address: str, easier: str | None) -> None:
    offered = values(pages, address)["easier"]
    assert (offered["address"] if offered else None) == easier


def test_easier_spellings_are_the_same_keys_and_have_pages(pages: dict[str, Page]) -> None:
    offered = 0
    for address, page in pages.items():
        if address.count("/") != 2:
            continue
        easier = page.values()["easier"]
        if easier:
            offered += 1
            assert easier["address"] in pages
            assert keys(page) == keys(pages[easier["address"]])
    assert offered > 100


def keys(page: Page) -> list[int]:
    """Return a page's tones as keys within an octave."""
    steps = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
    return [(steps[tone[0]] + tone.count("#") - tone.count("b", 1)) % 12 for tone in page.fact.tones]


def test_c2_can_mean_two_chords(pages: dict[str, Page]) -> None:
    meant = {(item["form"], item["address"]) for item in values(pages, "/d-added-second/")["can_mean"]}
    assert ("D2", "/d-suspended-second/") in meant


def test_rooted_pages_stay_out_of_the_search_and_types_are_in_it(pages: dict[str, Page]) -> None:
    assert not pages["/a-flat-minor-ninth/"].searchable
    assert pages["/chord-symbols/minor-ninth/"].searchable


def test_every_rooted_page_has_a_title_of_its_own(pages: dict[str, Page]) -> None:
    titles = [page.title for page in pages.values()]
    assert len(titles) == len(set(titles))
    assert pages["/a-flat-minor-ninth/"].title == "A♭m9 · A flat minor ninth"
