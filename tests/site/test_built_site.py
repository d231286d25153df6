"""Checks the whole built site: its build, its links, its rules and its tables."""

from __future__ import annotations

import gzip
import json
import re
from collections import Counter, deque

import pytest

from understave.addresses.slugs import parse_chord_slug
from understave.entries.glossary import Glossary
from understave.entries.values import KINDS

from ..built_site import BuiltSite, PageFacts

HOST = "https://lanternfield.example"
BASE = f"{HOST}/glossary"
"""The demo site's address, from its mkdocs.yml."""


def rooted(site: BuiltSite, glossary: Glossary) -> list[str]:
    """Return the addresses of all chords under a root."""
    return [row["permalink"] for row in site.data if parse_chord_slug(row["permalink"].strip("/"), glossary)]


def pages(site: BuiltSite) -> dict[str, PageFacts]:
    """Return the pages that a reader meets: without the one for addresses that aren't there."""
    return {address: facts for address, facts in site.pages.items() if address != "/404.html"}


def test_strict_build_passes_without_a_warning(demo: BuiltSite) -> None:
    said = demo.build.stdout + demo.build.stderr
    assert demo.build.returncode == 0
    assert "built in" in said, "the log that warnings would stand in"
    assert not re.search(r"\b(WARNING|ERROR|CRITICAL|Traceback|\w*Warning)\b", said)


def test_build_leaves_nothing_in_the_repository(demo: BuiltSite) -> None:
    if demo.before is None:
        pytest.skip("no git here")
    assert demo.after == demo.before


def test_build_leaves_nothing_beside_the_site(demo: BuiltSite) -> None:
    assert [path.name for path in demo.folder.parent.iterdir()] == [demo.folder.name]


def test_site_has_1500_pages_at_least(demo: BuiltSite) -> None:
    assert len(pages(demo)) >= 1500


def test_every_link_resolves(demo: BuiltSite) -> None:
    ids = {address: set(facts.ids) for address, facts in demo.pages.items()}
    dead, followed = set(), 0
    for address, facts in pages(demo).items():
        for link in set(facts.links):
            target = demo.target(address, link)
            if target is None:
                continue
            followed += 1
            path, anchor = target
            if not demo.resolves(path) or (anchor and anchor not in ids.get(path, ())):
                dead.add((address, link))
    assert followed > 10 * len(demo.pages)
    assert sorted(dead)[:20] == []


def test_what_pages_load_is_there(demo: BuiltSite) -> None:
    missing = set()
    for address, facts in pages(demo).items():
        assert facts.loads, address
        for link in facts.loads:
            target = demo.target(address, link)
            in_page = link.startswith("#")
            if target is None or not (link[1:] in facts.ids if in_page else demo.resolves(target[0])):
                missing.add((address, link))
    assert sorted(missing)[:20] == []


def test_every_page_is_three_steps_from_home_at_most(demo: BuiltSite) -> None:
    steps, waiting = {"/": 0}, deque(["/"])
    while waiting:
        address = waiting.popleft()
        for link in demo.pages[address].links:
            target = demo.target(address, link)
            if target and target[0] in demo.pages and target[0] not in steps:
                steps[target[0]] = steps[address] + 1
                waiting.append(target[0])
    far = [row["permalink"] for row in demo.data if steps.get(row["permalink"], 99) > 3]
    assert far == []


def test_no_source_reaches_the_site_but_scores_that_are_handed_out(demo: BuiltSite) -> None:
    files = [path for path in demo.folder.rglob("*") if path.is_file()]
    assert len(files) > 1500
    assert [path for path in files if path.suffix in (".yaml", ".yml", ".md", ".po")] == []
    scores = {path.relative_to(demo.folder).as_posix() for path in files if path.suffix == ".musicxml"}
    lessons = {row["permalink"].split("/")[2] for row in demo.data if row["permalink"].startswith("/lessons/")}
    assert scores == {f"lessons/{name}/{name}.musicxml" for name in lessons - {""}}


def test_no_page_has_a_style_attribute(demo: BuiltSite) -> None:
    assert {address: facts.styled for address, facts in demo.pages.items() if facts.styled} == {}


def test_nothing_is_loaded_from_another_host(demo: BuiltSite) -> None:
    outside = {
        (address, link)
        for address, facts in demo.pages.items()
        for link in facts.loads
        if demo.target(address, link) is None
    }
    sheets = list(demo.folder.rglob("*.css"))
    assert any(sheet.name == "understave.css" for sheet in sheets)
    for sheet in sheets:
        for found in re.findall(r"(?:url\(\s*|@import\s+)['\"]?((?:https?:)?//[^'\")\s]+)", sheet.read_text("utf-8")):
            outside.add((sheet.name, found))
    assert outside == set()


def test_ids_are_unique_on_every_page(demo: BuiltSite) -> None:
    twice = {
        address: [name for name, count in Counter(facts.ids).items() if count > 1]
        for address, facts in demo.pages.items()
    }
    assert {address: names for address, names in twice.items() if names} == {}


def test_every_picture_says_in_words_what_it_shows(demo: BuiltSite) -> None:
    wordless, seen = [], 0
    for address, facts in demo.pages.items():
        for picture in facts.pictures:
            seen += 1
            named = picture.attributes.get("aria-labelledby", "?"), picture.attributes.get("aria-describedby", "?")
            known = all(name in facts.ids for name in named)
            if not (known and picture.title.strip() and picture.description.strip()):
                wordless.append(address)
    assert seen > 5000
    assert wordless == []


WORDS = {
    "": 0,
    " flat": -1,
    " sharp": 1,
    " double flat": -2,
    " double sharp": 2,
    " triple flat": -3,
    " triple sharp": 3,
}
PITCH = re.compile(r"\b([A-G])((?: double| triple)?(?: flat| sharp))? -?\d\b")


def said_tones(words: str) -> list[str]:
    """Return, in ASCII, the tones that a picture's words name with their octaves."""
    sizes = [(letter, WORDS[rest]) for letter, rest in PITCH.findall(words)]
    return [letter + ("#" * size if size > 0 else "b" * -size) for letter, size in sizes]


def test_words_of_notation_name_every_note_that_is_drawn(demo: BuiltSite, glossary: Glossary) -> None:
    wrong = []
    for address in rooted(demo, glossary):
        row = demo.row[address]
        shown = set()
        for picture in demo.pages[address].pictures:
            said = said_tones(picture.description)
            if "notation" in picture.attributes["class"] and len(said) != len(picture.notes):
                wrong.append((address, picture.description))
            shown |= set(said)
            if not set(said) <= set(row["tones"]):
                wrong.append((address, picture.description))
        if row["tones"][0] not in shown:
            wrong.append((address, "no root"))
    assert wrong[:10] == []


def test_site_data_lists_every_page_that_we_make(demo: BuiltSite) -> None:
    ours = {address for address, facts in demo.pages.items() if facts.is_entry} - {"/404.html"}
    listed = [row["permalink"] for row in demo.data]
    assert listed == sorted(set(listed))
    assert set(listed) == ours
    for row in demo.data:
        assert set(row) == {"permalink", "symbol", "degrees", "tones", "hash"}
        assert re.fullmatch(r"[0-9a-f]{8,64}", row["hash"])
        assert len(row["degrees"]) in (0, len(row["tones"]))
    assert len({row["hash"] for row in demo.data}) == len(demo.data), "no two pages hold the same"


def test_every_entry_has_a_page_of_its_own(demo: BuiltSite, glossary: Glossary) -> None:
    wanted = {f"/{entry.folder}/{name}/" for name, entry in glossary.entries.items()}
    assert len(wanted) > 200
    assert wanted <= set(demo.row)
    assert {f"/{kind.folder}/" for kind in KINDS} <= set(demo.row)


def test_search_index_has_entries_and_no_rooted_page(demo: BuiltSite, glossary: Glossary) -> None:
    index = json.loads((demo.folder / "search" / "search_index.json").read_text("utf-8"))
    found = {"/" + document["location"].partition("#")[0] for document in index["docs"]}
    assert found & set(rooted(demo, glossary)) == set()
    assert {f"/{entry.folder}/{name}/" for name, entry in glossary.entries.items()} <= found
    added = next(document for document in index["docs"] if document["location"] == "added-tones/added-second/")
    assert "C, D, E and G" in added["text"], "the indexed text is what the page says"


def test_sitemap_lists_every_page_and_has_no_date(demo: BuiltSite) -> None:
    text = (demo.folder / "sitemap.xml").read_text("utf-8")
    packed = (demo.folder / "sitemap.xml.gz").read_bytes()
    assert gzip.decompress(packed).decode() == text
    assert packed[4:8] == bytes(4), "the time in the gzip header (RFC 1952, MTIME)"
    assert "lastmod" not in text
    assert not re.search(r"\b20\d\d-\d\d-\d\d\b", text)
    listed = re.findall(r"<loc>([^<]+)</loc>", text)
    assert len(listed) == len(set(listed))
    assert {link.removeprefix(BASE) for link in listed} >= set(demo.row)


def test_site_works_from_a_folder_below_the_host(demo: BuiltSite) -> None:
    absolute = {
        (address, link)
        for address, facts in pages(demo).items()
        for link in (*facts.links, *facts.loads)
        if link.startswith("/") or link.startswith(HOST)
    }
    assert sorted(absolute)[:10] == []
    climbing = {
        (address, link)
        for address, facts in pages(demo).items()
        for link in (*facts.links, *facts.loads)
        if link.split("/").count("..") > address.count("/") - 1
    }
    assert sorted(climbing)[:10] == []


def test_page_for_unknown_addresses_finds_its_parts(demo: BuiltSite) -> None:
    # it is served at any depth, so that its links carry the site's path instead
    facts = demo.pages["/404.html"]
    own = [link for link in (*facts.links, *facts.loads) if not link.startswith(("#", "https:"))]
    assert own
    for link in own:
        assert link.startswith("/glossary/"), link
        target = demo.target("/", link.removeprefix("/glossary"))
        assert target, link
        assert demo.resolves(target[0]), link


def test_every_page_carries_the_policy(demo: BuiltSite) -> None:
    policy = (
        '<meta charset="utf-8"><meta http-equiv="Content-Security-Policy" content="default-src \'none\'; script-src'
    )
    pages = [path for path in demo.folder.rglob("*.html") if policy not in path.read_text("utf-8")]
    assert pages == []
