"""Checks what a viewer meets on the page of a chord, and that the site's tables agree with the commands."""

from __future__ import annotations

import json
import re
from pathlib import Path
from random import Random

import pytest
import yaml

from understave.addresses.slugs import parse_chord_slug
from understave.entries.glossary import Glossary

from ..built_site import BuiltSite, Node, understave

CONTENT = Path(__file__).parents[2] / "content"

SIGNS = {"♭": "b", "♯": "#", "𝄫": "bb", "𝄪": "##"}

COMMON = (
    "/c-dominant-seventh/",
    "/a-flat-minor-ninth/",
    "/f-sharp-dominant-thirteenth/",
    "/c-flat-diminished-seventh/",
    "/b-sharp-augmented/",
    "/g-added-second/",
    "/e-minor/",
    "/d-altered-dominant/",
)
"""Pages of all sizes: triads to thirteenths, added tones, triple flats and double sharps."""


def ascii_text(text: str) -> str:
    """Return typeset notes and symbols in ASCII."""
    return "".join(SIGNS.get(letter, letter) for letter in text)


def sample(site: BuiltSite, glossary: Glossary, count: int, inversion: int | None = None) -> list[str]:
    """Return some addresses of chords under a root, the same at each run."""
    known = [(row["permalink"], parse_chord_slug(row["permalink"].strip("/"), glossary)) for row in site.data]
    rooted = [address for address, place in known if place and inversion in (None, place.inversion)]
    return sorted(Random(20260314).sample(rooted, count))


def tones_in(text: str) -> set[str]:
    """Return the notes that a sentence names, in ASCII; letters inside symbols and words are none."""
    found = re.findall(r"(?<![\w♭♯/])([A-G](?:[♭♯]|𝄫|𝄪)*)(?![\w♭♯°øΔ(/+])", text)
    return set(map(ascii_text, found))


@pytest.mark.parametrize("address", COMMON)
def test_chord_page_begins_with_the_answer(demo: BuiltSite, address: str) -> None:
    page, row = demo.entry(address), demo.row[address]
    heading = page.one("h1")
    assert ascii_text(heading.one("span", "big").text) == row["symbol"]
    words = address.strip("/").replace("-", " ")
    assert heading.one("span", "say").text.lower().replace("-", " ") == words
    answer = page.one("p", "answer").text
    assert tones_in(answer) >= set(row["tones"]), answer
    order = [part.tag for part in page.content if isinstance(part, Node)]
    assert order.index("h1") < order.index("p", order.index("h1")) < order.index("figure") < order.index("h2")


@pytest.mark.parametrize("address", COMMON)
def test_chord_page_shows_staff_and_keyboard(demo: BuiltSite, address: str) -> None:
    page = demo.entry(address)
    staff, keys = page.one("figure", "staff"), page.one("figure", "keys")
    assert len(staff.all("svg", "notation")) == 1
    assert len(keys.all("svg", "keyboard")) == 1
    assert staff.one("desc").text == keys.one("desc").text


@pytest.mark.parametrize("address", COMMON)
def test_chord_page_has_the_table_of_tones(demo: BuiltSite, address: str) -> None:
    row = demo.row[address]
    table = demo.entry(address).one("table", "tones")
    assert len(table.one("thead").all("th")) == 4
    lines = [[cell.text for cell in line if cell.tag in ("th", "td")] for line in table.one("tbody").all("tr")]
    assert [ascii_text(note) for _, note, _, _ in lines] == row["tones"]
    for (degree, _, interval, job), number in zip(lines, row["degrees"], strict=True):
        assert degree == "root" if number == "1" else re.sub("[a-z]+$", "", ascii_text(degree)) == number
        assert interval
        assert job


def test_table_tells_intervals_and_jobs(demo: BuiltSite) -> None:
    # common practice
    table = demo.entry("/c-dominant-thirteenth/").one("table", "tones").one("tbody")
    lines = {line.all("td")[0].text: [cell.text for cell in line.all("td")[1:]] for line in table.all("tr")}
    assert [lines[note][0] for note in ("E", "G", "B♭", "D", "F", "A")] == [
        "major third", "perfect fifth", "minor seventh", "major ninth", "perfect eleventh", "major thirteenth",
    ]  # fmt: skip
    left_out = {note for note, (_, job) in lines.items() if "left out" in job}
    assert left_out == {"G", "F"}


@pytest.mark.parametrize("address", ["/c-dominant-seventh/", "/c-flat-diminished-seventh/", "/e-minor/"])
def test_chord_page_shows_every_position(demo: BuiltSite, address: str) -> None:
    row = demo.row[address]
    section = demo.entry(address).after_heading("inversions")
    items = section.all("li")
    assert len(items) == len(row["tones"])
    for number, item in enumerate(items):
        link = item.one("a")
        target = demo.target(address, link.attributes["href"])
        assert target
        wanted = row["symbol"] + (f"/{row['tones'][number]}" if number else "")
        assert ascii_text(link.text) == wanted == demo.row[target[0]]["symbol"]
        lowest = item.one("svg", "notation").one("desc").text.partition(" ")[0]
        assert lowest == row["tones"][number][0]


def test_chord_page_tells_other_ways_to_write_it(demo: BuiltSite, glossary: Glossary) -> None:
    for address in sample(demo, glossary, 60, inversion=0):
        place = parse_chord_slug(address.strip("/"), glossary)
        assert place
        entry = glossary.chords[place.entry]
        file = CONTENT / entry.folder / f"{place.entry}.yaml"
        others = [str(form) for form in yaml.load(file.read_text("utf-8"), yaml.BaseLoader)["written"][1:]]
        if others:
            forms = demo.entry(address).after_heading("written").all("span", "form")
            assert [ascii_text(form.text) for form in forms] == [f"{place.root}{form}" for form in others]


def test_confusions_name_the_tones_that_differ(demo: BuiltSite, glossary: Glossary) -> None:
    compared = 0
    for address in sample(demo, glossary, 120, inversion=0):
        own = demo.row[address]
        page = demo.entry(address)
        if not any(heading.attributes.get("id") == "confused" for heading in page.all("h2")):
            continue
        for item in page.after_heading("confused").all("li"):
            target = demo.target(address, item.one("a").attributes["href"])
            assert target, address
            other = demo.row[target[0]]
            if "/" in target[0].strip("/"):
                continue
            said = item.text.partition(": ")[2]
            differing = set(own["tones"]) ^ set(other["tones"])
            assert differing <= tones_in(said), (address, said)
            assert differing or "same" in said, (address, said)
            compared += 1
    assert compared > 200


def test_confusions_are_said_on_both_sides(demo: BuiltSite, glossary: Glossary) -> None:
    for name, other in (("added-second", "suspended-second"), ("minor-eleventh", "minor-ninth")):
        for one, two in ((name, other), (other, name)):
            section = demo.entry(f"/a-flat-{one}/").after_heading("confused")
            assert f"../a-flat-{two}/" in {link.attributes["href"] for link in section.all("a")}


def test_chord_page_tells_its_keys(demo: BuiltSite) -> None:
    # common practice: the diatonic seventh chords
    section = demo.entry("/d-minor-seventh/").after_heading("keys")
    homes = {item.text.rpartition(" ")[0]: item.text.rpartition(" ")[2] for item in section.all("li")}
    assert homes == {
        "C major": "ii7", "F major": "vi7", "B♭ major": "iii7", "D minor": "i7", "A minor": "iv7", "G minor": "v7",
    }  # fmt: skip


def test_chord_page_tells_melodic_forms_and_secondary_dominants_apart(demo: BuiltSite) -> None:
    # common practice: D7 is the dominant of G, which is V in C major and in C minor, VII in A minor; IV7 in A melodic
    melodic, secondary = demo.entry("/d-dominant-seventh/").all("p", "homes")
    assert [item.text for item in melodic.all("span") if "minor" in item.text] == ["A minor IV7"]
    told = [item.text for item in secondary.all("span") if "major" in item.text or "minor" in item.text]
    assert {"C major V7/V", "C minor V7/V", "A minor V7/VII", "F major V7/ii"} < set(told)
    assert demo.entry("/d-minor-sixth/").all("p", "homes")[1:] == []


def test_chord_that_no_key_holds_says_so(demo: BuiltSite) -> None:
    section = demo.entry("/c-altered-dominant/").after_heading("keys")
    assert not section.all("li")
    assert len(section.text) > 30


def test_hard_spelling_leads_to_an_easier_one(demo: BuiltSite) -> None:
    # C flat diminished seventh is spelled with a triple flat; B diminished seventh is the same keys (common practice)
    note = demo.entry("/c-flat-diminished-seventh/").one("p", "easier")
    assert demo.target("/c-flat-diminished-seventh/", note.one("a").attributes["href"]) == (
        "/b-diminished-seventh/",
        "",
    )
    assert ascii_text(note.one("a").text) == "Bdim7"
    assert demo.entry("/b-diminished-seventh/").all("p", "easier") == []


def test_inversion_page_tells_bass_position_and_the_others(demo: BuiltSite) -> None:
    address = "/b-flat-major-seventh-third-inversion/"
    page = demo.entry(address)
    assert page.one("h1").one("span", "big").text == "B♭maj7/A"
    assert "third inversion" in page.one("h1").text
    assert {"A", "Bb", "D", "F"} <= tones_in(page.one("p", "answer").text)
    assert page.one("figure", "staff").one("desc").text.startswith("Left hand: A ")
    others = {ascii_text(link.text) for link in page.after_heading("positions").all("a")}
    assert {"Bbmaj7", "Bbmaj7/D", "Bbmaj7/F"} <= others


def test_page_of_a_type_lists_all_roots(demo: BuiltSite) -> None:
    for address in ("/chord-symbols/minor-eleventh/", "/added-tones/added-second/"):
        rows = demo.entry(address).one("table", "roots").one("tbody").all("tr")
        linked = {demo.target(address, row.one("a").attributes["href"]) for row in rows}
        assert len(linked) == 21
        for row in rows:
            target = demo.target(address, row.one("a").attributes["href"])
            assert target
            assert [ascii_text(tone.text) for tone in row.all("span", "tone")] == demo.row[target[0]]["tones"]


def test_site_data_agrees_with_spell(demo: BuiltSite, glossary: Glossary) -> None:
    # a bass carries a double accidental at most, so that the third inversion of Cbdim7 has a page but no symbol to type
    drawn = sample(demo, glossary, 310)
    addresses = [address for address in drawn if not re.search("/.(bbb|###)", demo.row[address]["symbol"])][:300]
    rows = [demo.row[address] for address in addresses]
    answer = understave("spell", *(row["symbol"] for row in rows), "--json")
    assert answer.returncode == 0, answer.stderr
    items = json.loads(answer.stdout)
    assert len(items) == 300
    for address, row, item in zip(addresses, rows, items, strict=True):
        reading = item["readings"][0]
        place = parse_chord_slug(address.strip("/"), glossary)
        assert place
        assert (reading["symbol"], reading["degrees"], reading["tones"]) == (
            row["symbol"], row["degrees"], row["tones"],
        )  # fmt: skip
        assert (reading["chord"], reading["root"], reading["inversion"]) == (
            place.entry, str(place.root), place.inversion,
        )  # fmt: skip
