"""Holds the built site against its budget, and says which page or file is over."""

from __future__ import annotations

import gzip
import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

import pytest

from ..built_site import BuiltSite

BUDGET = tomllib.loads(Path(__file__).with_name("budget.toml").read_text("utf-8"))

SHARED = {"note-names.js", "note-names.json"}
"""What the look-up uses and pages fetch by themselves, the table only where other note names are chosen."""

PICTURE = re.compile(r'<svg xmlns="[^"]*" class="notation".*?</svg></svg>', re.S)


def packed(content: bytes | str) -> int:
    return len(gzip.compress(content.encode() if isinstance(content, str) else content, 9))


def over(sizes: Mapping[str, int], most: int) -> dict[str, int]:
    """Return what is over a limit, the heaviest first."""
    return dict(sorted(((name, size) for name, size in sizes.items() if size > most), key=lambda row: -row[1]))


def files(site: BuiltSite, names: Iterable[str]) -> dict[str, int]:
    return {name: packed((site.assets / name).read_bytes()) for name in names}


def ours(site: BuiltSite, ending: str) -> set[str]:
    return {path.name for path in site.assets.glob(f"*{ending}")}


def pages(site: BuiltSite) -> Iterator[tuple[str, str]]:
    """Yield every page with its kind in the budget and its address; pages that moved are none."""
    for address, facts in site.pages.items():
        if facts.moved or not address.endswith("/"):
            continue
        if re.fullmatch(r"/lessons/[^/]+/", address):
            yield "lesson_page", address
        else:
            yield "chord_page" if 'class="entry chord-page"' in site.html(address) else "other_page", address


def test_no_page_is_over(demo: BuiltSite) -> None:
    sizes: dict[str, dict[str, int]] = {"chord_page": {}, "lesson_page": {}, "other_page": {}}
    for kind, address in pages(demo):
        sizes[kind][address] = packed(demo.html(address))
    assert len(sizes["chord_page"]) > 2_000
    assert len(sizes["lesson_page"]) > 5
    assert {kind: over(found, BUDGET["gzip"][kind]) for kind, found in sizes.items()} == {kind: {} for kind in sizes}


def test_no_picture_of_a_chord_is_over_or_brings_a_font(demo: BuiltSite) -> None:
    sizes = {
        f"{address} {number}": packed(picture)
        for kind, address in pages(demo)
        if kind == "chord_page"
        for number, picture in enumerate(PICTURE.findall(demo.html(address)), 1)
    }
    assert len(sizes) > 4_000
    assert over(sizes, BUDGET["gzip"]["chord_picture"]) == {}
    assert [address for _, address in pages(demo) if "@font-face" in demo.html(address)] == []


def test_styles_and_scripts_are_within_theirs(demo: BuiltSite) -> None:
    look_up = demo.fetched_from("box.js") - SHARED
    parts = {
        "styles": ours(demo, ".css"),
        "look_up": look_up,
        "other_scripts": ours(demo, ".js") - look_up,
        "other_tables": ours(demo, ".json") - look_up,
    }
    assert {"tables.json", "answers.js", "symbols.js"} <= look_up
    for part, names in parts.items():
        sizes = files(demo, names)
        assert sizes
        assert sum(sizes.values()) <= BUDGET["gzip"][part], (part, dict(sorted(sizes.items(), key=lambda row: -row[1])))


def test_the_whole_site_is_within_its_room_on_the_disk(demo: BuiltSite) -> None:
    sizes = {path: path.stat().st_size for path in demo.folder.rglob("*") if path.is_file()}
    count = sum(1 for path in sizes if path.name == "index.html")
    heaviest = sorted(sizes.items(), key=lambda row: -row[1])[:5]
    assert sum(sizes.values()) / count <= BUDGET["disk"]["page_on_average"], heaviest


@pytest.mark.parametrize(("sizes", "named"), [({"a": 3, "b": 5, "c": 4}, ["b", "c"]), ({"a": 3}, [])])
def test_what_is_over_is_named_heaviest_first(sizes: dict[str, int], named: list[str]) -> None:
    assert list(over(sizes, 3)) == named
