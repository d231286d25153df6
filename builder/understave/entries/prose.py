"""The prose of entries: what stands in braces, where links lead, and what no text may hold."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from html.parser import HTMLParser

import markdown

from understave.entries.faults import shown
from understave.theory.symbols import SymbolError, read_symbol
from understave.theory.tones import Degree, SpellingError, Tone, parse_degree, parse_tone

_OPEN, _CLOSE = "\ue000", "\ue001"

_SCHEME = re.compile(r"[A-Za-z][A-Za-z0-9+.-]*:|[/\\\\]{2}")

_PASSED_OVER = re.compile(r"[\x00-\x20\x7f]+")
"""What browsers leave out of an address before they look at its scheme (WHATWG URL Standard, basic URL parser)."""

LONE_BRACE = re.compile(r"[{}]")

BRACES = re.compile(r"\{\{|\}\}|\{([^{}\n]*)\}")
"""A brace with its content; doubled braces stay text."""

MOST_BRACKETS = 100
"""The most opening brackets of one text: the time that Markdown takes grows with their square."""

_STAIRS = re.compile(r"^[ \t]*(?:>[ \t]*|(?:[-+*]|\d{1,9}[.)])[ \t]+){4}", re.M)
"""Lists and quotations begun within each other on one line, each of which Markdown reads within the one before."""

RAW_HTML = re.compile(r"<[A-Za-z/!?]")

_NOWHERE = (
    (RAW_HTML, "raw HTML", "plain Markdown"),
    (re.compile(r"!\["), "a picture", "no pictures: the page draws its own"),
    (re.compile(r"^ {0,3}\[[^\]\n]{1,200}\]:", re.M), "a link reference", "the link written in place"),
    (re.compile(r"[\u202a-\u202e\u2066-\u2069\u200e\u200f]"), "a direction mark", "text without control characters"),
    (re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f]"), "a control character", "text without control characters"),
)
"""What neither an entry nor a guide may hold."""

_FORBIDDEN = (
    (re.compile(r"&#?\w{1,30};"), "an HTML entity", "the character itself"),
    (re.compile(r"^ {0,3}#", re.M), "a heading", "paragraphs: the page has its own headings"),
    (re.compile(r"^ {0,3}(?:=+|-+)\s*$", re.M), "a heading or rule", "paragraphs"),
    *_NOWHERE,
)


@dataclass(frozen=True)
class Filled:
    """What a brace asks for.

    ``what`` is tone (``degree`` above the page's root), symbol (with ``degree`` in the bass, if any), name, note
    (a fixed ``tone``) or chord (a fixed symbol, in ``text`` as written; ``{chord C}`` where a letter alone is one).
    """

    what: str
    text: str = ""
    degree: Degree | None = None
    tone: Tone | None = None


@dataclass(frozen=True)
class Remark:
    """Something wrong with a text, at an ``offset`` into it."""

    offset: int
    found: str
    expected: str


def read_brace(content: str) -> Filled:
    """Return what stands in a pair of braces. Raises SpellingError for what nothing can fill."""
    if content == "name":
        return Filled("name")
    if content.startswith("chord "):
        return Filled("chord", text=_symbol(content.removeprefix("chord ")))
    if content == "symbol":
        return Filled("symbol")
    if content.startswith("symbol/"):
        return Filled("symbol", degree=parse_degree(content.removeprefix("symbol/")))
    try:
        return Filled("tone", degree=parse_degree(content))
    except SpellingError:
        pass
    try:
        return Filled("note", tone=parse_tone(content))
    except SpellingError:
        pass
    return Filled("chord", text=_symbol(content))


def _symbol(text: str) -> str:
    """Return a text that reads as a symbol. Raises SpellingError for any other."""
    try:
        read_symbol(text)
    except SymbolError:
        raise SpellingError(text) from None
    return text


def remarks(text: str, *, rooted: bool) -> Iterator[Remark]:
    """Yield what is wrong with a text by itself. ``rooted`` tells whether the entry's pages have a root."""
    for pattern, found, expected in _FORBIDDEN:
        for match in pattern.finditer(text):
            yield Remark(match.start(), found, expected)
    for match in BRACES.finditer(text):
        if match[1] is not None:
            yield from _brace_remarks(match[1], match.start(), rooted)
    for match in LONE_BRACE.finditer(BRACES.sub(lambda match: " " * len(match[0]), text)):
        yield Remark(match.start(), text[match.start() :].split()[0][:40], "a brace that is closed on its line")
    yield from heavy_remarks(text)
    yield from link_remarks(text, "the id of an entry, or an https:// address")


def guide_remarks(text: str) -> Iterator[Remark]:
    """Yield what is wrong with the Markdown of a guide: it is a page of its own, so headings and rules may stand."""
    for pattern, found, expected in _NOWHERE:
        for match in pattern.finditer(text):
            yield Remark(match.start(), found, expected)
    yield from heavy_remarks(text)
    yield from link_remarks(text, "a page of the site, or an https:// address")


def heavy_remarks(text: str) -> Iterator[Remark]:
    """Yield what Markdown would take too long over, or lose itself in; such a text is never given to it."""
    if (count := text.count("[")) > MOST_BRACKETS:
        yield Remark(text.index("["), f"{count} opening brackets", f"at most {MOST_BRACKETS}")
    if stairs := _STAIRS.search(text):
        yield Remark(stairs.start(), "lists within lists on one line", "a list of one level, or a paragraph")


def link_remarks(text: str, expected: str) -> Iterator[Remark]:
    """Yield the links that lead anywhere but to the site itself or to an https:// address."""
    for offset, target in links(text):
        if _has_scheme(target) and not target.startswith("https://"):
            yield Remark(offset, f"a link to {shown(target)}", expected)


def _has_scheme(target: str) -> bool:
    return _SCHEME.match(_PASSED_OVER.sub("", target)) is not None


def _brace_remarks(content: str, offset: int, rooted: bool) -> Iterator[Remark]:
    try:
        filled = read_brace(content)
    except SpellingError:
        cut = content if len(content) < 60 else f"{content[:58]}…"
        yield Remark(offset, f"{{{cut}}}", "a degree, symbol, name, a note or a chord symbol in braces")
        return
    if not rooted and filled.what in ("tone", "symbol", "name"):
        yield Remark(offset, f"{{{content}}}", "a fixed note or symbol: this kind of entry has no root")


def linked_ids(text: str) -> Iterator[tuple[int, str]]:
    """Yield every link to another entry: its offset and the id."""
    for offset, target in links(text):
        if not _has_scheme(target):
            yield offset, target


class _Targets(HTMLParser):
    """Collects where links lead."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note the target of a link."""
        self.found += [value or "" for name, value in attrs if tag == "a" and name == "href"]


def links(text: str) -> Iterator[tuple[int, str]]:
    """Yield every link of a text as Markdown finds it: where its target stands, and the target."""
    if ("[" not in text and "<" not in text) or any(heavy_remarks(text)):
        return
    parser = _Targets()
    parser.feed(markdown_html(text))
    place = 0
    for target in parser.found:
        place = max(text.find(target, place), text.find("](", place), 0)
        found = text.find(target, place)
        yield found if found >= 0 else place, target


@lru_cache(maxsize=4096)
def markdown_html(text: str) -> str:
    """Return a text as the HTML that Markdown makes of it, unsafe as yet; braces pass through as they stand."""
    shielded = text.replace("{", _OPEN).replace("}", _CLOSE)
    return markdown.markdown(shielded).replace(_OPEN, "{").replace(_CLOSE, "}")
