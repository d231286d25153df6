"""Looks at the pages for editors: every field of every schema stands on them, and the examples that a test builds."""

from __future__ import annotations

import re
from html import unescape

import pytest

from understave.answers.new_files import NEW
from understave.answers.schemas import KINDS, example_text, schema_of
from understave.entries.prose import read_brace
from understave.pages.page import Page, render
from understave.pages.writing import writing_pages
from understave.phrases.catalogue import phrase

PAGES = {page.address: page for page in writing_pages()}


class NoDrawings:
    """These pages have no pictures."""

    def __getitem__(self, picture: object) -> object:
        raise AssertionError(picture)


def html_of(page: Page) -> str:
    return render(page, NoDrawings())


def test_there_is_an_index_and_a_page_for_each_kind():
    assert list(PAGES) == ["/write/", *(f"/write/{name}/" for name in KINDS)]
    index = html_of(PAGES["/write/"])
    assert re.findall(r'<th [^>]*><a href="([^"]*)"', index) == [f"../write/{name}/" for name in KINDS]
    assert not any(page.searchable for page in PAGES.values()), "viewers look for music"


@pytest.mark.parametrize("name", KINDS)
def test_a_page_tells_every_field_and_shows_the_examples_as_they_are(name):
    html = html_of(PAGES[f"/write/{name}/"])
    schema = schema_of(KINDS[name])
    listed = re.findall(r"<th [^>]*><code>([a-z_]+(?:: [a-z_]+)*)</code></th>", html)
    assert set(schema["properties"]) <= set(listed)
    inner = {field for part in schema.get("$defs", {}).values() for field in part["properties"]}
    assert inner <= {field.rpartition(": ")[2] for field in listed}
    shown = [unescape(text) for text in re.findall(r"<pre><code>(.*?)</code></pre>", html, re.DOTALL)]
    assert shown == [example_text(path) for path in KINDS[name].examples]
    assert (f"understave new {name} ID" in html) == (name in NEW)
    assert f'href="../../schemas/{name}.json"' in html


def test_what_is_said_of_braces_is_true():
    kinds = {"degree": "tone", "symbol": "symbol", "over": "symbol", "name": "name", "note": "note", "chord": "chord"}
    for key, what in {**kinds, "letter": "chord"}.items():
        for brace in re.findall(r"\{([^}]*)\}", phrase(f"write-brace-{key}")):
            assert read_brace(brace).what == what
    html = html_of(PAGES["/write/term/"])
    assert "{chord C}" in html
    assert "{chord C}" not in html_of(PAGES["/write/levels/"])
