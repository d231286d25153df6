"""Single notes and rests as glyphs, for buttons and for blocks: the outlines of the music font, by recip token."""

from __future__ import annotations

import re
from functools import lru_cache
from importlib.resources import files

NOTES = {"1": "E1D2", "2": "E1D3", "4": "E1D5", "8": "E1D7", "16": "E1D9", "32": "E1DB"}
"""Notes with their stems up, by recip token (SMuFL's code points)."""

RESTS = {"1": "E4E3", "2": "E4E4", "4": "E4E5", "8": "E4E6", "16": "E4E7", "32": "E4E8"}
"""Rests likewise."""

LINE = "M-90 -8h480v16h-480z"
"""A piece of the staff line under which a whole rest hangs and on which a half rest lies."""

_OUTLINE = re.compile(r' d="([^"]+)"')


@lru_cache(maxsize=1)
def note_glyphs() -> dict[str, str]:
    """Return outlines by recip token, rests with an r: paths that y goes up in, 250 units to a staff space."""
    rests = {f"{token}r": _outline(code) + (LINE if token in ("1", "2") else "") for token, code in RESTS.items()}
    return {token: _outline(code) for token, code in NOTES.items()} | rests


def _outline(code: str) -> str:
    match = _OUTLINE.search(files("verovio").joinpath("data", "Leipzig", f"{code}.xml").read_text("utf-8"))
    assert match is not None
    return match[1]
