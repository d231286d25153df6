"""What a page is before it is rendered, and how links and pictures get into it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any, Protocol

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from understave.engraving.finishing import Drawing, place, sprite
from understave.engraving.keyboard import HATCH
from understave.engraving.studio import Drawable
from understave.pages.playing import Plays
from understave.phrases.catalogue import phrase
from understave.phrases.typesetting import degree_label, symbol_html, tone_html

SKIP_TO = "page"
"""The id that the link past the header leads to."""

LINK = "{link}"
"""Where a reply has the page's link; scripts put it in."""


class Drawings(Protocol):
    """Where drawings of pictures are found."""

    def __getitem__(self, picture: Drawable) -> Drawing:
        """Return the drawing of a picture."""


@dataclass(frozen=True)
class Figure:
    """A picture on a page: its title, in words what it shows, and what it plays."""

    picture: Drawable
    title: str
    words: str
    plays: Plays | None = None
    in_words: bool = True
    """Whether the words stand below the picture for whoever asks; else the page has them elsewhere."""


@dataclass(frozen=True)
class Fact:
    """What `understave.json` tells of a page beside its address: symbol, degrees and tones in ASCII."""

    symbol: str = ""
    degrees: tuple[str, ...] = ()
    tones: tuple[str, ...] = ()


@dataclass(frozen=True)
class Page:
    """A page to be: its address, its words for the result list, its template and its values.

    ``values`` are computed when the page is rendered, so that thousands of pages cost no memory before.
    """

    address: str
    title: str
    description: str
    template: str
    values: Callable[[], dict[str, Any]]
    figures: tuple[Figure, ...] = ()
    searchable: bool = False
    fact: Fact = field(default_factory=Fact)
    kind: str = ""
    """The folder of the entry that the page explains; empty for pages that explain none."""
    answer: Callable[[], str] | None = None
    """What a reply to a question says, set in `COPIED`, with a place for the link; else it is the description."""

    @property
    def reply(self) -> str:
        """A reply that can be pasted under a question: set in `COPIED`, with ``{link}`` in the page's place."""
        return self.answer() if self.answer else phrase("reply-page", answer=self.description, link=LINK)


def source_of(address: str) -> str:
    """Return the name of a page's source file, as MkDocs wants it."""
    return f"{address.strip('/')}/index.md" if address != "/" else "index.md"


def depth_of(address: str) -> int:
    """Return how many folders deep a page lies."""
    return address.strip("/").count("/") + 1 if address != "/" else 0


@lru_cache(maxsize=1)
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("understave.pages"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.globals["phrase"] = phrase
    environment.filters["symbol"] = symbol_html
    environment.filters["tone"] = tone_html
    environment.filters["label"] = degree_label
    return environment


def render(page: Page, drawings: Drawings) -> str:
    """Return the page's HTML, between the theme's header and footer."""
    pictures = placed_pictures(page.figures, drawings)
    html = _environment().get_template(page.template).render(**page.values(), pictures=pictures)
    html = html.replace("<article ", f'<article id="{SKIP_TO}" ', 1)
    hatch = HATCH if 'class="keyboard"' in html else ""
    return relative_links(glyphs_of(page.figures, drawings) + hatch + html, depth_of(page.address))


def placed_pictures(figures: Sequence[Figure], drawings: Drawings) -> list[Markup]:
    """Return the pictures of a page as inline SVG, each with what plays it, and it in words.

    The first one that plays has the caution.
    """
    parts: Any = _environment().get_template("parts.html").module
    first = next((figure for figure in figures if figure.plays), None)
    pictures = []
    for number, figure in enumerate(figures, 1):
        svg = Markup(place(drawings[figure.picture], f"p{number}", figure.title, figure.words))
        player = parts.player(figure.plays, f"p{number}", figure is first) if figure.plays else ""
        told = parts.words([figure.words]) if figure.in_words else ""
        pictures.append(svg + player + told)
    return pictures


def glyphs_of(figures: Sequence[Figure], drawings: Drawings) -> str:
    """Return the glyphs that a page's pictures share, to stand before them."""
    return sprite([drawings[figure.picture] for figure in figures])


def relative_links(html: str, depth: int) -> str:
    """Return HTML whose links from the site's root (``@/…``) lead there from a page ``depth`` folders deep."""
    return html.replace('="@/', f'="{"../" * depth or "./"}')


def linked(address: str, content: str) -> Markup:
    """Return a link from the site's root around HTML."""
    return Markup(f'<a href="@{address}">{content}</a>')
