"""The page on which viewers tap what both hands hold and read its name; scripts walk the naming's table there."""

from __future__ import annotations

import json

from markupsafe import Markup

from understave.addresses.slugs import KEYS_ADDRESS
from understave.pages.page import Page
from understave.phrases.catalogue import phrase, phrase_ids, phrase_text

SAID = ("keys-page-", "naming-")
"""The beginnings of the ids of the sentences that the page's scripts say."""

ALSO_SAID = ("picture-hand", "left", "right", "first-inversion", "second-inversion", "third-inversion")


def keys_page() -> Page:
    """Return the page. Its answer is the scripts'; without them it leads to the chords."""
    title, answer = phrase("keys-page-title"), phrase("keys-page-answer")
    return Page(KEYS_ADDRESS, title, answer, "keys.html", lambda: {"phrases": _phrases()}, searchable=True)


def _phrases() -> Markup:
    """Return the sentences as JSON that no text in it can end early."""
    said = {name: phrase_text(name) for name in sorted(phrase_ids()) if name.startswith(SAID)}
    said |= {name: phrase_text(name) for name in ALSO_SAID}
    return Markup(json.dumps(said, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c"))
