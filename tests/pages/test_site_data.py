"""Checks the small files beside the pages: understave.json and redirects."""

from __future__ import annotations

import json
import re

from understave.pages.page import Fact, Page
from understave.pages.site import content_hash, redirect_html, site_data

PAGES = [
    Page("/g-minor/", "", "", "", dict, fact=Fact("Gm", ("1", "b3", "5"), ("G", "Bb", "D"))),
    Page("/", "", "", "", dict),
]


def test_site_data_is_sorted_and_a_line_a_page() -> None:
    text = site_data((page.address, page.fact, f"{number:016x}") for number, page in enumerate(PAGES))
    assert [row["permalink"] for row in json.loads(text)["pages"]] == ["/", "/g-minor/"]
    assert json.loads(text)["pages"][1] == {
        "permalink": "/g-minor/", "symbol": "Gm", "degrees": ["1", "b3", "5"], "tones": ["G", "Bb", "D"],
        "hash": "0" * 16,
    }  # fmt: skip
    assert len(text.splitlines()) == 2 + len(PAGES)
    assert text.isascii()


def test_hash_changes_with_the_content() -> None:
    assert content_hash("C E G") == content_hash("C E G")
    assert content_hash("C E G") != content_hash("C E♭ G")


def test_redirect_is_a_plain_link_that_needs_no_script() -> None:
    html = redirect_html("../../terms/measure/")
    assert '<a href="../../terms/measure/">' in html
    assert '<link rel="canonical" href="../../terms/measure/">' in html
    assert re.search(r'http-equiv="refresh" content="0; ?url=\.\./\.\./terms/measure/"', html)
    assert "noindex" in html
    assert "style=" not in html
    assert not re.search(r"https?://", html)
