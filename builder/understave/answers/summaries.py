"""An entry's one sentence as plain text, its braces filled for the root C, as on the entry's own page."""

from __future__ import annotations

import re

from understave.entries.prose import BRACES, read_brace
from understave.entries.values import Entry, Spelled
from understave.phrases.typesetting import symbol_text, tone_text
from understave.theory.tones import Tone

ROOT = Tone("C")
"""The root that a type's own page is spelled on."""


def summary_text(entry: Entry) -> str:
    """Return the summary with true accidentals and nothing in braces."""
    return BRACES.sub(lambda match: _filled(match, entry), entry.summary)


def _filled(match: re.Match[str], entry: Entry) -> str:
    if match[1] is None:
        return match[0][0]
    filled = read_brace(match[1])
    match filled.what:
        case "tone" if filled.degree is not None:
            return tone_text(ROOT.at(filled.degree))
        case "note" if filled.tone is not None:
            return tone_text(filled.tone)
        case "chord":
            return symbol_text(filled.text)
        case "symbol" if isinstance(entry, Spelled):
            bass = f"/{ROOT.at(filled.degree)}" if filled.degree is not None else ""
            return symbol_text(f"{ROOT}{entry.written[0]}{bass}")
    return entry.name
