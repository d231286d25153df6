"""The theme around pages: rendered once for all pages of a folder, then filled with each page's own words.

What differs between two pages of a folder that stand outside of the navigation is their title, description, address,
content, what machines read, and whether accidentals are shown. A frame is the theme's page with marks in these places.
The first two pages of a kind are rendered both ways: a theme that shows more of a page is then used page after page.
"""

from __future__ import annotations

import re
from collections import Counter
from copy import copy
from typing import Any

from jinja2 import Environment, pass_context
from jinja2.runtime import Context
from markupsafe import escape
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files
from mkdocs.structure.pages import Page as MkDocsPage
from mkdocs.structure.toc import TableOfContents, get_toc

from understave.pages.head import head, shows_accidentals
from understave.pages.made import Listed, Made
from understave.pages.page import SKIP_TO

TEMPLATE = "framed.html"
"""The template of our pages: it asks `Frames`."""

PROOFS = 2

_MARK = re.compile(r"\0(\w+)[^\0]*\0")

_CONTENT = {False: "\0content <h1\0", True: "\0content <h1 ♭<\0"}
"""The mark of the content, with what the theme looks for in it: a heading, and shown accidentals."""

NO_TOC = TableOfContents([])


class GlossaryPage(MkDocsPage):
    """A page that needs neither Markdown nor front matter; ``made`` is there while the page is built."""

    def __init__(self, listed: Listed, name: str | None, file: File, config: MkDocsConfig) -> None:
        super().__init__(name, file, config)
        self.listed = listed
        self.made: Made | None = None

    def read_source(self, config: MkDocsConfig) -> None:
        """Take the title; the content comes when the page is built."""
        self.markdown = ""
        self.meta = {"title": self.listed.title, "template": TEMPLATE}

    def render(self, config: MkDocsConfig, files: Files) -> None:
        """There is nothing to render."""
        self.content = ""
        self.toc = NO_TOC
        self.present_anchor_ids = set()

    def show(self, made: Made, searched: str) -> None:
        """Hold the page's content while it is built. ``searched`` is what the search may know of it."""
        self.made = made
        self.content = searched
        self.toc = get_toc([{"level": 1, "id": SKIP_TO, "name": made.title, "children": []}])
        self.meta.update(hide=["toc"], search={"exclude": not self.listed.searchable})

    def let_go(self) -> None:
        """Drop the content, which is written."""
        self.made = None
        self.content = ""
        self.toc = NO_TOC


class Frames:
    """Renders pages with the theme of ``env``."""

    def __init__(self, env: Environment, config: MkDocsConfig) -> None:
        self._theme = env.get_template("main.html")
        self._config = config
        self._frames: dict[tuple[str, bool], list[str]] = {}
        self._proven: Counter[tuple[str, bool]] = Counter()
        self._fits = True

    @pass_context
    def html(self, context: Context, page: GlossaryPage) -> str:
        """Return a page as HTML. ``context`` is what MkDocs gave its template."""
        assert page.made is not None
        words = self._words(page, page.made)
        if not self._fits or not _is_plain(page.made) or page in context["nav"].pages:
            return self._themed(context, page, words)
        like = page.made.folder, shows_accidentals(page.made.html)
        if like not in self._frames:
            marks = {name: f"\0{name}\0" for name in words} | {"content": _CONTENT[like[1]]}
            self._frames[like] = _MARK.split(self._themed(context, page, marks))
        framed = "".join(words[part] if number % 2 else part for number, part in enumerate(self._frames[like]))
        if self._proven[like] == PROOFS:
            return framed
        self._proven[like] += 1
        themed = self._themed(context, page, words)
        self._fits = themed == framed
        return themed

    def _words(self, page: GlossaryPage, made: Made) -> dict[str, str]:
        """Return what is a page's own, as the theme puts it in."""
        return {
            "title": made.title,
            "description": escape(made.description),  # the theme puts it into an attribute as it stands
            "address": page.canonical_url or "",
            "reply": escape(made.reply),
            "head": head(made, self._config.site_url or "", self._config.site_name),
            "content": made.html,
        }

    def _themed(self, context: Context, page: GlossaryPage, words: dict[str, str]) -> str:
        """Return the theme's own page around some words."""
        shown: Any = copy(page)
        shown.canonical_url = words["address"]
        shown.content = words["content"]
        shown.head = words["head"]
        own = {name: words[name] for name in ("title", "description", "reply")}
        shown.meta = {name: value for name, value in page.meta.items() if name != "template"} | own
        return self._theme.render({**context.get_all(), "page": shown})


def _is_plain(made: Made) -> bool:
    """Tell whether a theme may escape a page's title or strip tags from it without changing it."""
    return not re.search("""[<>&"']""", made.title)
