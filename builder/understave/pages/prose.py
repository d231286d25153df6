"""The prose of entries: Markdown → safe HTML once an entry, its braces and links filled for each page."""

from __future__ import annotations

import re
from functools import lru_cache
from html import escape, unescape

import nh3
from markupsafe import Markup

from understave.addresses.slugs import address_of_entry
from understave.entries.glossary import Glossary
from understave.entries.prose import BRACES, Filled, linked_ids, markdown_html, read_brace
from understave.entries.values import Entry, Spelled
from understave.phrases.typesetting import symbol_html, symbol_text, tone_text, tone_words
from understave.theory.tones import Degree, Tone

ALLOWED = {"p", "em", "strong", "a", "ul", "ol", "li", "code", "br"}
"""The elements that prose may have."""

_TAG = re.compile(r"<[^>]*>")


class Rooted:
    """What braces are filled with: a ``root``, the printed ``suffix`` and the spoken ``name`` of what follows it."""

    def __init__(self, root: Tone, suffix: str, name: str) -> None:
        self.root, self.suffix, self.name = root, suffix, name

    def symbol(self, bass: Degree | None) -> str:
        """Return the page's symbol in ASCII, over one of its degrees if asked."""
        return f"{self.root}{self.suffix}" + (f"/{self.root.at(bass)}" if bass else "")

    def spoken(self) -> str:
        """Return how the page's chord is said."""
        return f"{tone_words(self.root)} {self.name}"


def rooted_on_c(entry: Entry) -> Rooted | None:
    """Return what an entry's braces are filled with in lists: its chord on C, if it has a root at all."""
    return Rooted(Tone("C"), entry.written[0], entry.name) if isinstance(entry, Spelled) else None


def prose_html(text: str, glossary: Glossary, rooted: Rooted | None = None) -> Markup:
    """Return a text as HTML, its braces filled; links to entries start at the site's root."""
    names = sorted({name for _, name in linked_ids(text)})
    html = _safe_html(text, tuple((name, address_of_entry(name, glossary.entries[name])) for name in names))
    return Markup(BRACES.sub(lambda match: _filled_html(match, rooted), html))


def line_html(text: str, glossary: Glossary, rooted: Rooted | None = None) -> Markup:
    """Return one sentence as HTML without a paragraph around it."""
    return Markup(prose_html(text, glossary, rooted).strip().removeprefix("<p>").removesuffix("</p>"))


def prose_text(text: str, rooted: Rooted | None = None) -> str:
    """Return a text without marks and links, its braces filled with typeset characters."""
    plain = unescape(_TAG.sub("", markdown_html(text)))
    return " ".join(BRACES.sub(lambda match: _filled_text(match, rooted), plain).split())


@lru_cache(maxsize=2048)
def _safe_html(text: str, addresses: tuple[tuple[str, str], ...]) -> str:
    """Return Markdown as HTML that can't hurt; braces pass through as they stand, ids become addresses."""
    clean = nh3.clean(
        markdown_html(text),
        tags=ALLOWED,
        attributes={"a": {"href"}},
        url_schemes={"https"},
        link_rel="noopener noreferrer",
    )
    for name, address in addresses:
        clean = clean.replace(f'<a href="{name}" rel="noopener noreferrer">', f'<a href="@{address}">')
    return clean


def _filled(match: re.Match[str]) -> Filled | None:
    return read_brace(match[1].replace("&amp;", "&")) if match[1] is not None else None


def _filled_html(match: re.Match[str], rooted: Rooted | None) -> str:
    filled = _filled(match)
    if filled is None:
        return match[0]
    if filled.what in ("tone", "note"):
        return f'<span class="tone">{escape(_filled_text(match, rooted))}</span>'
    if filled.what == "symbol" and rooted:
        return symbol_html(rooted.symbol(filled.degree))
    if filled.what == "chord":
        return symbol_html(filled.text)
    return escape(_filled_text(match, rooted))


def _filled_text(match: re.Match[str], rooted: Rooted | None) -> str:
    filled = _filled(match)
    if filled is None:
        return match[0]
    if filled.what == "note" and filled.tone:
        return tone_text(filled.tone)
    if filled.what == "chord":
        return symbol_text(filled.text)
    assert rooted is not None
    if filled.what == "tone" and filled.degree:
        return tone_text(rooted.root.at(filled.degree))
    return symbol_text(rooted.symbol(filled.degree)) if filled.what == "symbol" else rooted.spoken()
