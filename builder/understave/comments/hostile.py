"""Comments that aren't meant for a teacher: scripts, formulas, orders to a machine. Nothing of them is copied."""

from __future__ import annotations

import re
import unicodedata

MARKS = (
    "<script", "</script", "<iframe", "<img", "<svg", "<object", "<embed", "<style", "<link", "<meta", "<form", "<body",
    "javascript:", "vbscript:", "data:text/html", "onerror=", "onload=", "onclick=", "onmouseover=", "document.cookie",
    "hyperlink(", "importxml(", "importdata(", "webservice(", "=cmd|", "cmd|'", "|' /c", "' or '1'='1", "drop table",
    "union select", "{{", "{%", "${", "#{", "<%", "<?php", "<!--", "<![cdata", "&lt;script", "%3cscript", "rm -rf",
    "../../",
)  # fmt: skip
"""What stands in scripts, markup, templates and spreadsheets' formulas, in small letters."""

_FORMULA = re.compile(r"[=+\-@\t\r][\s\"']*[A-Za-z]{2,20}[(|!]|=")
_TAG = re.compile(r"</?[a-z][a-z0-9]{0,15}(?:\s[^<>]{0,300})?/?>", re.IGNORECASE)
_INVISIBLE = dict.fromkeys((0x00AD, 0x200B, 0x200C, 0x200D, 0x2060, 0xFEFF))


def is_hostile(text: str) -> bool:
    """Tell whether a text holds a script, markup, or a spreadsheet's formula."""
    small = text.translate(_INVISIBLE).lower()
    return (
        any(mark in small for mark in MARKS)
        or _FORMULA.match(text.lstrip(" \"'")) is not None
        or _TAG.search(text) is not None
    )


def visible(text: str, limit: int = 600) -> str:
    """Return a text of any comment as it may be shown: what steers a screen is named, such as [U+202E]; cut at a limit.

    Line breaks become spaces; nothing is escaped, which is the page's business.
    """
    cut = text if len(text) <= limit else text[: limit - 1] + "…"
    return "".join(map(_visible, cut))


def _visible(letter: str) -> str:
    if letter in "\n\r\t":
        return " "
    if letter in _JOINERS:
        return letter
    return f"[U+{ord(letter):04X}]" if unicodedata.category(letter) in ("Cc", "Cf", "Cs", "Co", "Cn") else letter


_JOINERS = "\u200d"
"""What joins the parts of one emoji."""
