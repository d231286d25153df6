"""Checks what a phone shows first, that nothing scrolls sideways, and that the indexes' rows suit a thumb."""

from __future__ import annotations

from itertools import pairwise

import pytest

from ..built_site import BuiltSite
from .conftest import Watch

PHONE, NARROW, DESK = (390, 844), (360, 740), (1280, 800)

CHORDS = [
    "/a-flat-minor-eleventh/",
    "/c-altered-dominant/",
    "/c-dominant-thirteenth/",
    "/f-sharp-dominant-seventh-sharp-fifth-sharp-ninth/",
    "/b-flat-minor-seventh-flat-ninth/",
    "/chord-symbols/minor-eleventh/",
    "/g-added-second/",
    "/c-flat-diminished-seventh-third-inversion/",
    "/slash-chords/first-inversion/",
]

INDEXES = [
    "/chord-symbols/",
    "/slash-chords/",
    "/added-tones/",
    "/counting-systems/",
    "/rhythm-figures/",
    "/terms/",
    "/guides/",
    "/roots/",
    "/roots/f-sharp/",
]

TARGET = 24
"""The least size of a target in CSS pixels (WCAG 2.2, success criterion 2.5.8)."""


@pytest.mark.parametrize("address", CHORDS)
def test_symbol_answer_and_staff_stand_in_the_first_screen(look: Watch, base: str, address: str) -> None:
    with look(PHONE) as seen:
        seen.page.goto(base + address)
        bottoms = [
            seen.page.locator(part).first.evaluate("part => part.getBoundingClientRect().bottom")
            for part in ("h1 .big", "h1", ".answer", "figure.staff svg")
        ]
        assert bottoms == sorted(bottoms)
        assert bottoms[-1] <= PHONE[1]


@pytest.mark.parametrize(
    "address", [*CHORDS, *INDEXES, "/", "/lessons/", "/guides/how-symbols-are-written/", "/terms/key/"]
)
@pytest.mark.parametrize("size", [NARROW, DESK], ids=["narrow", "desk"])
def test_nothing_scrolls_sideways(look: Watch, base: str, address: str, size: tuple[int, int]) -> None:
    with look(size) as seen:
        seen.page.goto(base + address)
        seen.page.wait_for_selector("html[data-note-names]")
        assert seen.page.evaluate("() => document.documentElement.scrollWidth") <= size[0]


@pytest.mark.parametrize("address", INDEXES)
def test_rows_of_an_index_suit_a_thumb(look: Watch, base: str, address: str) -> None:
    with look(PHONE) as seen:
        seen.page.goto(base + address)
        links = seen.page.locator("article.entry :is(table, ul.letters) a")
        boxes = links.evaluate_all("links => links.map(link => link.getBoundingClientRect().toJSON())")
        assert len(boxes) > 5
        assert [box for box in boxes if box["height"] < TARGET or box["width"] < 8] == []
        crossing = [
            (one, other)
            for one, other in pairwise(boxes)
            if one["bottom"] > other["top"] + 1
            and one["right"] > other["left"] + 1
            and one["left"] < other["right"] - 1
        ]
        assert crossing == []


@pytest.mark.parametrize("address", ["/terms/", "/rhythm-figures/", "/guides/"])
def test_no_word_of_a_name_is_broken(look: Watch, base: str, address: str) -> None:
    with look(NARROW) as seen:
        seen.page.goto(base + address)
        broken = seen.page.locator("table.by-word th a").evaluate_all(
            """links => links.filter(link => {
              const range = document.createRange();
              const text = link.firstChild;
              return [...text.data.matchAll(/\\S+/g)].some(({ 0: word, index }) => {
                range.setStart(text, index);
                range.setEnd(text, index + word.length);
                return range.getClientRects().length > 1;
              });
            }).map(link => link.textContent)"""
        )
        assert broken == []


def test_tables_by_word_are_tables_to_a_screen_reader_on_a_phone(look: Watch, base: str) -> None:
    with look(PHONE) as seen:
        seen.page.goto(base + "/terms/")
        rows = seen.page.get_by_role("row")
        assert rows.count() > 20
        assert rows.first.get_by_role("rowheader").count() == rows.first.get_by_role("cell").count() == 1


def test_the_menu_is_short_and_leads_to_the_guides(watch: Watch, base: str, demo: BuiltSite) -> None:
    with watch(DESK) as seen:
        seen.page.goto(base + "/")
        menu = [text.strip() for text in seen.page.locator(".md-nav--primary .md-nav__link").all_inner_texts()]
        assert "Guides" in menu
        assert len(menu) <= 14
        seen.page.locator(".md-nav--primary").get_by_role("link", name="Guides").click()
        titles = seen.page.locator("table.by-word th a").all_inner_texts()
        guides = [path for path in (demo.folder / "guides").iterdir() if path.is_dir()]
        assert len(titles) == len(guides) > 5
        seen.page.get_by_role("link", name=titles[0], exact=True).click()
        seen.page.locator(".crumbs a").click()
        assert seen.page.url == base + "/guides/"


def test_a_symbol_is_set_alike_wherever_it_stands(look: Watch, base: str) -> None:
    with look(DESK) as seen:
        found = []
        for address in ("/c-minor-eleventh/", "/chord-symbols/minor-eleventh/", "/chord-symbols/", "/roots/c/"):
            seen.page.goto(base + address)
            found += seen.page.locator("article.entry .symbol").evaluate_all(
                "symbols => symbols.filter(one => one.textContent === 'Cm11').map(one => one.outerHTML)"
            )
        assert len(found) > 6
        assert set(found) == {'<span class="symbol">Cm<sup>11</sup></span>'}
