"""The whole site as pages, and what `understave.json` tells of them."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator

from understave.answers.project import Loaded
from understave.pages.batches import site_batches
from understave.pages.page import Fact, Page
from understave.pages.policy import with_policy
from understave.phrases.catalogue import phrase, spoken_language


def site_pages(loaded: Loaded, title: str) -> Iterator[Page]:
    """Yield every page that the builder makes."""
    for batch in site_batches(loaded, title):
        yield from batch.pages()


def content_hash(html: str) -> str:
    """Return a short hash of a page's content."""
    return hashlib.sha256(html.encode()).hexdigest()[:16]


def site_data(pages: Iterable[tuple[str, Fact, str]]) -> str:
    """Return `understave.json` for pages' addresses, facts and hashes: a line a page, in the order of addresses."""
    rows = sorted(
        (
            {
                "permalink": address,
                "symbol": fact.symbol,
                "degrees": fact.degrees,
                "tones": fact.tones,
                "hash": digest,
            }
            for address, fact, digest in pages
        ),
        key=lambda row: str(row["permalink"]),
    )
    lines = ",\n".join(json.dumps(row, separators=(",", ":")) for row in rows)
    return f'{{"pages":[\n{lines}\n]}}\n'


def redirect_html(target: str) -> str:
    """Return a small page that leads from an old address to a new one, relative to it.

    A script keeps the anchor; without scripts the page leads on by itself, and by a plain link.
    """
    return with_policy(
        f'<!doctype html><html lang="{spoken_language()}"><head><meta charset="utf-8"><title>{phrase("moved")}</title>'
        f'<meta name="robots" content="noindex"><link rel="canonical" href="{target}">'
        f'<script>location.replace("{target}" + location.hash)</script>'
        f'<noscript><meta http-equiv="refresh" content="0; url={target}"></noscript></head>'
        f'<body><p>{phrase("moved-to")} <a href="{target}">{target}</a></p></body></html>\n'
    )
