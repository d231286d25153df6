"""Pages that are made: their content as HTML and what else is told of them, kept between builds."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import asdict, dataclass
from pathlib import Path

from understave.engraving.shelf import Shelf
from understave.engraving.studio import Progress, Studio
from understave.pages.batches import Batch
from understave.pages.page import Fact, Page, render

SHELF = "pages.sqlite"

_PICTURE = re.compile(r"<svg\b.*?</svg>(?:</svg>)?", re.S)
"""A picture of notation holds another one."""

AHEAD = 3
"""How many batches are made while the pictures of the first of them are drawn."""


@dataclass(frozen=True)
class Listed:
    """What is known of every page of the site all the while: its address, its title, whether its text is searched."""

    key: str
    address: str
    title: str
    searchable: bool


@dataclass(frozen=True)
class Made:
    """A page with its content, which stands between the theme's header and footer."""

    address: str
    title: str
    description: str
    kind: str
    fact: Fact
    reply: str
    html: str

    @property
    def folder(self) -> str:
        """Where the page lies."""
        return self.address.rstrip("/").rpartition("/")[0]

    @property
    def searched(self) -> str:
        """The content as the full-text search reads it: without what pictures say, which the page says beside them."""
        return _PICTURE.sub("", self.html)


def made_page(page: Page, studio: Studio) -> Made:
    """Return a page with its content."""
    html = render(page, studio)
    return Made(page.address, page.title, page.description, page.kind, page.fact, page.reply, html)


class PageShelf:
    """Makes the pages of batches that aren't kept, and finds those that are, one at a time.

    A batch is kept under its key as a list of its pages and of the keys of their pictures; each page under the batch's
    key and its address.
    """

    def __init__(self, cache: Path | None, studio: Studio) -> None:
        self._shelf = Shelf(cache / SHELF if cache else None)
        self._studio = studio
        self._kept: set[str] = set()
        self._pictures: set[str] = set()

    def __getitem__(self, listed: Listed) -> Made:
        values = json.loads(self._shelf[listed.key])
        fact = values["fact"]
        return Made(**{**values, "fact": Fact(fact["symbol"], tuple(fact["degrees"]), tuple(fact["tones"]))})

    def listed(self, site: str, batches: Callable[[], Iterable[Batch]], progress: Progress) -> Iterator[Listed]:
        """Yield every page of a site's batches, once they are all made; the same ``site`` means the same batches.

        Raises EngravingError.
        """
        for key in json.loads(self.text(site, lambda: json.dumps(self._made(batches(), progress)))):
            self._kept.add(key)
            index = json.loads(self._shelf[key])
            self._pictures.update(index["pictures"])
            for address, title, searchable in index["pages"]:
                listed = Listed(_page_key(key, address), address, title, searchable)
                self._kept.add(listed.key)
                yield listed

    def text(self, key: str, make: Callable[[], str]) -> str:
        """Return the text that is kept under a key, or make it."""
        self._kept.add(key)
        if key not in self._shelf:
            self._shelf[key] = make()
        return self._shelf[key]

    def keep(self, pictures: set[str]) -> None:
        """Forget what isn't listed any more; of pictures keep ``pictures`` (their keys) and those of listed pages."""
        for key in self._shelf.keys() - self._kept:
            del self._shelf[key]
        self._shelf.commit()
        self._studio.forget_all_but(self._pictures | pictures)

    def close(self) -> None:
        """Let go of the cache's file."""
        self._shelf.close()

    def _made(self, batches: Iterable[Batch], progress: Progress) -> list[str]:
        """Make the batches that aren't kept. Returns the keys of all."""
        wanted = list(batches)
        missing = [batch for batch in wanted if batch.key not in self._shelf]
        waiting: list[tuple[Batch, list[Page]]] = []
        done = 0
        for batch in [*missing, *[None] * AHEAD]:
            if batch is not None:
                pages = list(batch.pages())
                self._studio.order(figure.picture for page in pages for figure in page.figures)
                waiting.append((batch, pages))
            if waiting and (batch is None or len(waiting) > AHEAD):
                self._finish(*waiting.pop(0))
                done += 1
                progress(done, len(missing))
        return [batch.key for batch in wanted]

    def _finish(self, batch: Batch, pages: list[Page]) -> None:
        for page in pages:
            made = made_page(page, self._studio)
            self._shelf[_page_key(batch.key, page.address)] = json.dumps(asdict(made), ensure_ascii=False)
        index = {
            "pages": [(page.address, page.title, page.searchable) for page in pages],
            "pictures": sorted({figure.picture.key for page in pages for figure in page.figures}),
        }
        self._shelf[batch.key] = json.dumps(index, ensure_ascii=False)
        self._shelf.commit()


def _page_key(batch: str, address: str) -> str:
    return f"{batch} {address}"
