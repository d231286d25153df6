"""The front matter of a page: all of its Markdown source."""

from __future__ import annotations

import json

from markupsafe import escape

from understave.pages.page import Page


def front_matter(page: Page) -> str:
    """Return the front matter: title and description; rooted pages stay out of the full-text search.

    The theme puts a description into an attribute as it stands.
    """
    about = str(escape(page.description))
    lines = ["---", f"title: {_quoted(page.title)}", f"description: {_quoted(about)}", "hide: [toc]"]
    if not page.searchable:
        lines += ["search:", "  exclude: true"]
    return "\n".join([*lines, "---", ""])


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)
