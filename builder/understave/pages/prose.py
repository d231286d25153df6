"""The prose of entries: Markdown → safe HTML once an entry, its braces and links filled for each page."""

from __future__ import annotations

import re
from functools import lru_cache
from html import unescape

import nh3
from markupsafe import Markup, escape

from understave.addresses.slugs import address_of_entry
from understave.entries.glossary import Glossary
from understave.entries.prose import BRACES, linked_ids, markdown_html, read_brace
from understave.entries.values import Entry, Spelled
from understave.phrases.names import said_chord
from understave.phrases.typesetting import HTML, TEXT, Setting
from understave.theory.tones import Degree, SpellingError, Tone

ALLOWED = {"p", "em", "strong", "a", "ul", "ol", "li", "code", "br"}
"""The elements that prose may have."""

_GUIDE_ALLOWED = ALLOWED | {
    "h1", "h2", "h3", "h4", "h5", "h6", "hr", "pre", "blockquote", "figure", "div", "span", "del", "sup", "sub", "dl",
    "dt", "dd", "table", "thead", "tbody", "tr", "th", "td",
}  # fmt: skip
"""The elements that Markdown makes of a guide, with the usual extensions."""

_TAG = re.compile(r"<[^<>]*>")

_CODE_OR_BRACE = re.compile(r"<(pre|code)\b.*?</\1>|\{([^{}\n]*)\}", re.S)


class Rooted:
    """What braces are filled with: a ``root``, the printed ``suffix`` and the spoken ``name`` of what follows it."""

    def __init__(self, root: Tone, suffix: str, name: str) -> None:
        self.root, self.suffix, self.name = root, suffix, name

    def symbol(self, bass: Degree | None) -> str:
        """Return the page's symbol in ASCII, over one of its degrees if asked."""
        return f"{self.root}{self.suffix}" + (f"/{self.root.at(bass)}" if bass else "")

    def spoken(self, setting: Setting) -> str:
        """Return how the page's chord is said."""
        return said_chord(self.root, self.name, self.root, setting)


def rooted_on_c(entry: Entry) -> Rooted | None:
    """Return what an entry's braces are filled with in lists: its chord on C, if it has a root at all."""
    return Rooted(Tone("C"), entry.written[0], entry.name) if isinstance(entry, Spelled) else None


def prose_html(text: str, glossary: Glossary, rooted: Rooted | None = None) -> Markup:
    """Return a text as HTML, its braces filled; links to entries start at the site's root."""
    names = sorted({name for _, name in linked_ids(text)})
    html = _safe_html(text, tuple((name, address_of_entry(name, glossary.entries[name])) for name in names))
    return Markup(BRACES.sub(lambda match: escape(_filled(match, rooted, HTML)), html))


def line_html(text: str, glossary: Glossary, rooted: Rooted | None = None) -> Markup:
    """Return one sentence as HTML without a paragraph around it."""
    return Markup(prose_html(text, glossary, rooted).strip().removeprefix("<p>").removesuffix("</p>"))


def list_html(entry: Entry) -> Markup:
    """Return an entry's summary as it stands in lists: without links, on C if it has a root."""
    plain = " ".join(nh3.clean(markdown_html(entry.summary), tags=set()).split())
    return Markup(BRACES.sub(lambda match: escape(_filled(match, rooted_on_c(entry), HTML)), plain))


def guide_html(html: str) -> str:
    """Return a guide's HTML, nothing left in it that could run, with the fixed notes and symbols in its braces set.

    All else in braces, and code, stays.
    """
    clean = nh3.clean(
        html,
        tags=_GUIDE_ALLOWED,
        attributes={"*": {"class", "id", "title"}, "a": {"href"}, "figure": {"data-example"}, "ol": {"start"}},
        url_schemes={"https"},
        link_rel=None,
    )
    return _CODE_OR_BRACE.sub(_fixed, clean)


def _fixed(match: re.Match[str]) -> str:
    try:
        filled = read_brace(unescape(match[2] or ""))
    except SpellingError:
        return match[0]
    if filled.what == "note" and filled.tone:
        return HTML.tone(filled.tone)
    return HTML.symbol(filled.text) if filled.what == "chord" else match[0]


def prose_text(text: str, rooted: Rooted | None = None, setting: Setting = TEXT) -> str:
    """Return a text without marks and links, its braces filled."""
    plain = unescape(_TAG.sub("", markdown_html(text)))
    return " ".join(BRACES.sub(lambda match: _filled(match, rooted, setting), plain).split())


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


def _filled(match: re.Match[str], rooted: Rooted | None, setting: Setting) -> str:
    if match[1] is None:
        return match[0]
    filled = read_brace(match[1].replace("&amp;", "&"))
    if filled.what == "note" and filled.tone:
        return setting.tone(filled.tone)
    if filled.what == "chord":
        return setting.symbol(filled.text)
    assert rooted is not None
    if filled.what == "tone" and filled.degree:
        return setting.tone(rooted.root.at(filled.degree))
    return setting.symbol(rooted.symbol(filled.degree)) if filled.what == "symbol" else rooted.spoken(setting)
