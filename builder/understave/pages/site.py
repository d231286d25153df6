"""The whole site as pages, and what `understave.json` tells of them."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator

from understave.answers.project import Loaded
from understave.entries.values import CountingSystem
from understave.pages.chords import ChordPages
from understave.pages.corrections import CorrectionPages
from understave.pages.count_page import count_page
from understave.pages.handouts import HandoutPages
from understave.pages.heard import hearings
from understave.pages.indexes import IndexPages
from understave.pages.keys_page import keys_page
from understave.pages.lesson_index import LessonIndex
from understave.pages.lesson_pages import LessonPages
from understave.pages.level_pages import LevelPages
from understave.pages.others import OtherPages
from understave.pages.page import Page
from understave.pages.policy import with_policy
from understave.pages.writing import writing_pages
from understave.phrases.catalogue import phrase, spoken_language


def site_pages(loaded: Loaded, title: str) -> Iterator[Page]:
    """Yield every page that the builder makes."""
    heard = hearings(loaded.lessons, loaded.glossary)
    corrections = tuple(CorrectionPages(loaded))
    corrected = corrections[0].address if corrections else ""
    yield from IndexPages(title, loaded.glossary, loaded.guides, loaded.lessons, len(loaded.handouts), corrected)
    yield from OtherPages(loaded.glossary, heard, loaded.project.counting_system)
    yield from LessonIndex(loaded.glossary, loaded.lessons)
    yield from LessonPages(loaded)
    yield from LevelPages(loaded)
    yield from corrections
    yield from HandoutPages(loaded)
    if loaded.glossary.chords:
        yield keys_page()
    if loaded.glossary.of(CountingSystem):
        yield count_page(loaded)
    yield from writing_pages()
    yield from ChordPages(loaded.glossary, heard)


def content_hash(html: str) -> str:
    """Return a short hash of a page's content."""
    return hashlib.sha256(html.encode()).hexdigest()[:16]


def site_data(pages: Iterable[tuple[Page, str]]) -> str:
    """Return `understave.json` for pages and their content's hashes: a line a page, in the order of addresses."""
    rows = sorted(
        (
            {
                "permalink": page.address,
                "symbol": page.fact.symbol,
                "degrees": page.fact.degrees,
                "tones": page.fact.tones,
                "hash": digest,
            }
            for page, digest in pages
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
