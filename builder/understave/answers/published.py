"""Texts as they were published: read within a bound, and held against what they should be."""

from __future__ import annotations

from difflib import unified_diff
from pathlib import Path

from understave.entries.faults import Fault, Faulty
from understave.entries.folders import shown_path

LONGEST_PUBLISHED = 1 << 16
"""The most bytes of one published text: a description has 5,000 characters at most, a comment twice that."""


def published_text(path: Path) -> str:
    """Return a text that was published. Raises Faulty for what isn't UTF-8, can't be opened or is too long."""
    try:
        if path.stat().st_size > LONGEST_PUBLISHED:
            found = f"a text of over {LONGEST_PUBLISHED} bytes"
            raise Faulty([Fault(shown_path(path), 1, 1, found, "a description or a comment")])
        return path.read_text(encoding="utf-8-sig")
    except (OSError, ValueError):
        raise Faulty([Fault(shown_path(path), 1, 1, "a text that doesn't read", "UTF-8 text")]) from None


def difference(published: str, current: str, file: str, name: str) -> str:
    """Return what has to change in a published text, as a unified diff; empty where nothing has.

    ``file`` is what it was published as, ``name`` what it should be. Line endings, blanks at the ends of lines, and
    empty lines before and after all are forgiven: a web form changes those.
    """
    lines = unified_diff(_lines(published), _lines(current), file, name, lineterm="")
    return "\n".join(lines)


def _lines(text: str) -> list[str]:
    return [line.rstrip() for line in text.strip().splitlines()]
