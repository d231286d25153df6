"""Checks the full-text search in the browser: entries are found, and the thousands of rooted pages don't flood it."""

from __future__ import annotations

from urllib.parse import urlsplit

import pytest

from understave.addresses.slugs import parse_chord_slug
from understave.entries.glossary import Glossary

from .conftest import Watch


def hits(watch: Watch, base: str, words: str) -> list[str]:
    """Return the addresses that a search finds, best first."""
    with watch((1280, 900)) as seen:
        seen.page.goto(base + "/terms/tie/")
        box = seen.page.locator(".md-search__input")
        box.click()
        box.press_sequentially(words)
        first = seen.page.locator(".md-search-result__item").first
        first.wait_for()
        seen.page.wait_for_timeout(300)
        links = seen.page.locator(".md-search-result__item a.md-search-result__link").evaluate_all(
            "links => links.map(link => link.href)"
        )
        assert seen.said == []
        assert seen.hosts() == {"127.0.0.1"}
    prefix = urlsplit(base).path
    return [urlsplit(link).path.removeprefix(prefix) for link in links]


@pytest.mark.parametrize(
    ("words", "address"),
    [
        ("added second", "/added-tones/added-second/"),
        ("takadimi", "/counting-systems/takadimi/"),
        ("paper lanterns", "/lessons/paper-lanterns-at-low-tide/"),
    ],
)
def test_search_finds_entries_first_and_no_rooted_page(
    watch: Watch, base: str, glossary: Glossary, words: str, address: str
) -> None:
    found = hits(watch, base, words)
    assert address in found[:3]
    assert [link for link in found if parse_chord_slug(link.strip("/"), glossary)] == []
