"""Checks that lessons and the pages of their symbols lead to each other, and that descriptions' links resolve."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from ..built_site import BuiltSite, Node, understave

ROOT = Path(__file__).parents[2]
LESSONS = sorted(path.stem for path in (ROOT / "site_examples" / "lanternfield" / "lessons").glob("*.yaml"))
BASE = "https://lanternfield.example/glossary"
"""The demo site's address, from its mkdocs.yml."""


def symbol_rows(site: BuiltSite, lesson: str) -> list[tuple[str, str, str]]:
    """Return each symbol of a lesson's page in order: as printed, its page's address, its place in the video."""
    address = f"/lessons/{lesson}/"
    rows = site.entry(address).after_heading("symbols").one("tbody").all("tr")
    found = []
    for row in rows:
        head = row.one("th")
        target = site.target(address, head.one("a").attributes["href"])
        assert target
        videos = [link.attributes["href"] for link in row.all("a") if "://" in link.attributes["href"]]
        found.append((head.text, target[0], videos[0] if videos else ""))
    return found


def test_there_are_lessons() -> None:
    assert LESSONS


@pytest.mark.parametrize("lesson", LESSONS)
def test_symbols_and_lesson_lead_to_each_other(demo: BuiltSite, lesson: str) -> None:
    rows = symbol_rows(demo, lesson)
    assert rows
    first: dict[tuple[str, str], str] = {}
    for symbol, page, video in rows:
        first.setdefault((symbol, page), video)
    for (symbol, page), video in first.items():
        if page.startswith("/terms/"):
            continue
        lines = [
            item
            for item in demo.entry(page).after_heading("lessons").all("li")
            if any(demo.target(page, link) == (f"/lessons/{lesson}/", "") for link in links(item))
        ]
        assert any(symbol in item.text and (not video or video in links(item)) for item in lines), (symbol, page, video)


def links(node: Node) -> list[str]:
    """Return where the links in an element lead."""
    return [link.attributes["href"] for link in node.all("a")]


@pytest.mark.parametrize("lesson", LESSONS)
def test_pages_of_chord_types_lead_to_the_lesson_too(demo: BuiltSite, lesson: str) -> None:
    types = {
        target[0]
        for _, page, _ in symbol_rows(demo, lesson)
        for link in links(demo.entry(page).one("p", "crumbs"))
        if (target := demo.target(page, link)) and target[0].count("/") == 3
    }
    assert types
    for address in types:
        heard = demo.entry(address).after_heading("lessons")
        assert any(demo.target(address, link) == (f"/lessons/{lesson}/", "") for link in links(heard)), address


@pytest.mark.parametrize("lesson", LESSONS)
def test_times_are_said_as_the_video_is_asked_for(demo: BuiltSite, lesson: str) -> None:
    found = [link for link in demo.entry(f"/lessons/{lesson}/").all("a") if "://" in link.attributes["href"]]
    assert found
    for link in found:
        minutes, seconds = link.text.split(":")
        assert link.attributes["href"].endswith(f"={60 * int(minutes) + int(seconds)}"), link.text


@pytest.mark.parametrize("lesson", LESSONS)
def test_every_link_of_a_description_resolves(demo: BuiltSite, lesson: str) -> None:
    answer = understave("describe", lesson)
    assert answer.returncode == 0, answer.stderr
    found = re.findall(r"https://\S+", answer.stdout)
    assert len(found) > 5
    assert found[0] == f"{BASE}/lessons/{lesson}/"
    for link in found:
        assert link.startswith(BASE + "/"), link
        assert link.removeprefix(BASE) in demo.row, link


@pytest.mark.parametrize("lesson", LESSONS)
def test_description_has_every_symbol_of_the_page(demo: BuiltSite, lesson: str) -> None:
    answer = understave("describe", lesson).stdout
    for symbol, page, _ in symbol_rows(demo, lesson):
        if not page.startswith("/terms/"):
            lines = [line for line in answer.splitlines() if line.startswith(f"{symbol} ") and page in line]
            assert lines, symbol
