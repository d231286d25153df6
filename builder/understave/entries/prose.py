"""The prose of entries: what stands in braces, where links lead, and what no text may hold."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from html.parser import HTMLParser

import markdown

from understave.theory.symbols import SymbolError, read_symbol
from understave.theory.tones import Degree, SpellingError, Tone, parse_degree, parse_tone

_OPEN, _CLOSE = "\ue000", "\ue001"

_SCHEME = re.compile(r"[A-Za-z][A-Za-z0-9+.-]*:|//")

LONE_BRACE = re.compile(r"[{}]")

BRACES = re.compile(r"\{\{|\}\}|\{([^{}\n]*)\}")
"""A brace with its content; doubled braces stay text."""

_FORBIDDEN = (
    (re.compile(r"<[A-Za-z/!?]"), "raw HTML", "plain Markdown"),
    (re.compile(r"&#?\w{1,30};"), "an HTML entity", "the character itself"),
    (re.compile(r"^ {0,3}#", re.M), "a heading", "paragraphs: the page has its own headings"),
    (re.compile(r"^ {0,3}(?:=+|-+)\s*$", re.M), "a heading or rule", "paragraphs"),
    (re.compile(r"!\["), "a picture", "no pictures: the page draws its own"),
    (re.compile(r"^ {0,3}\[[^\]\n]{1,200}\]:", re.M), "a link reference", "the link written in place"),
    (re.compile(r"[\u202a-\u202e\u2066-\u2069\u200e\u200f]"), "a direction mark", "text without control characters"),
    (re.compile(r"[\x00-\x08\x0b-\x1f\x7f]"), "a control character", "text without control characters"),
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
    for offset, target in links(text):
        if _SCHEME.match(target) and not target.startswith("https://"):
            yield Remark(offset, f"a link to {target!r}", "the id of an entry, or an https:// address")


def _brace_remarks(content: str, offset: int, rooted: bool) -> Iterator[Remark]:
    try:
        filled = read_brace(content)
    except SpellingError:
        yield Remark(offset, f"{{{content}}}", "a degree, symbol, name, a note or a chord symbol in braces")
        return
    if not rooted and filled.what in ("tone", "symbol", "name"):
        yield Remark(offset, f"{{{content}}}", "a fixed note or symbol: this kind of entry has no root")


def linked_ids(text: str) -> Iterator[tuple[int, str]]:
    """Yield every link to another entry: its offset and the id."""
    for offset, target in links(text):
        if not _SCHEME.match(target):
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
    if "[" not in text and "<" not in text:
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
