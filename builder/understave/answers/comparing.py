"""Two built sites: what changed for readers, from the data that each site carries."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from understave.phrases.catalogue import phrase
from understave.phrases.typesetting import symbol_text

SITE_DATA = "understave.json"

MOST_LISTED = 40
"""How many of a kind are listed; the rest are counted."""

Row = dict[str, Any]


class NoSiteError(ValueError):
    """A folder holds no built site; the message is one line."""


@dataclass(frozen=True)
class Comparison:
    """What changed from one site to another: permalinks ``added``, ``changed`` and ``gone``, in order.

    ``reads`` are symbols with other degrees than before, ``spelled`` symbols with the same degrees in other tones, each
    with the old and the new; ``printed`` are permalinks with the symbol that stood and stands there.
    """

    added: tuple[str, ...]
    changed: tuple[str, ...]
    gone: tuple[str, ...]
    reads: tuple[tuple[str, str, str], ...]
    spelled: tuple[tuple[str, str, str], ...]
    printed: tuple[tuple[str, str, str], ...]


def read_site(folder: Path) -> dict[str, Row]:
    """Return a built site's pages by permalink. Raises NoSiteError for a folder without them."""
    path = folder / SITE_DATA
    try:
        pages = json.loads(path.read_text(encoding="utf-8"))["pages"]
        return {str(row["permalink"]): row for row in pages}
    except OSError as error:
        raise NoSiteError(phrase("compare-no-site", path=path, reason=error.strerror)) from None
    except (ValueError, KeyError, TypeError):
        raise NoSiteError(phrase("compare-no-data", path=path)) from None


def compare(old: dict[str, Row], new: dict[str, Row]) -> Comparison:
    """Return what changed from one site's pages to another's."""
    both = sorted(old.keys() & new.keys())
    pairs = [(old[name], new[name]) for name in both]
    before, after = _by_symbol(old), _by_symbol(new)
    symbols = sorted(before.keys() & after.keys())
    return Comparison(
        added=tuple(sorted(new.keys() - old.keys())),
        changed=tuple(name for name in both if old[name]["hash"] != new[name]["hash"]),
        gone=tuple(sorted(old.keys() - new.keys())),
        reads=tuple(_differing(symbols, before, after, "degrees")),
        spelled=tuple(
            (symbol, was, now)
            for symbol, was, now in _differing(symbols, before, after, "tones")
            if before[symbol]["degrees"] == after[symbol]["degrees"]
        ),
        printed=tuple(
            (row["permalink"], row["symbol"], now["symbol"]) for row, now in pairs if row["symbol"] != now["symbol"]
        ),
    )


def _by_symbol(pages: dict[str, Row]) -> dict[str, Row]:
    """Return the first page of each symbol."""
    rows: dict[str, Row] = {}
    for row in pages.values():
        if row["symbol"]:
            rows.setdefault(row["symbol"], row)
    return rows


def _differing(
    symbols: Sequence[str], before: dict[str, Row], after: dict[str, Row], key: str
) -> Iterator[tuple[str, str, str]]:
    for symbol in symbols:
        if before[symbol][key] != after[symbol][key]:
            yield symbol, " ".join(before[symbol][key]), " ".join(after[symbol][key])


def comparison_text(found: Comparison) -> str:
    """Return what changed as Markdown, for a terminal or the summary of a pull request."""
    blocks = [
        *_block("compare-gone", [f"`{name}`" for name in found.gone]),
        *_block("compare-reads", [_change(*row) for row in found.reads]),
        *_block("compare-spelled", [_change(*row) for row in found.spelled]),
        *_block("compare-printed", [f"`{name}`: {symbol_text(a)} → {symbol_text(b)}" for name, a, b in found.printed]),
        *_block("compare-added", [f"`{name}`" for name in found.added]),
        *_block("compare-changed", [f"`{name}`" for name in found.changed]),
    ]
    return "\n".join(blocks) if blocks else phrase("compare-same")


def _change(symbol: str, old: str, new: str) -> str:
    was, now = (" ".join(map(symbol_text, text.split())) for text in (old, new))
    return f"{symbol_text(symbol)}: {was} → {now}"


def _block(key: str, items: list[str]) -> Iterator[str]:
    if not items:
        return
    yield f"### {phrase(key, count=len(items))}"
    yield ""
    yield from (f"- {item}" for item in items[:MOST_LISTED])
    if len(items) > MOST_LISTED:
        yield f"- {phrase('compare-more', count=len(items) - MOST_LISTED)}"
    yield ""
