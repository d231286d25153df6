"""Comments that aren't meant for a teacher: scripts, formulas, orders to a machine. Nothing of them is copied."""

from __future__ import annotations

import re

MARKS = (
    "<script", "</script", "<iframe", "<img", "<svg", "<object", "<embed", "<style", "<link", "<meta", "<form", "<body",
    "javascript:", "vbscript:", "data:text/html", "onerror=", "onload=", "onclick=", "onmouseover=", "document.cookie",
    "hyperlink(", "importxml(", "importdata(", "webservice(", "=cmd|", "cmd|'", "|' /c", "' or '1'='1", "drop table",
    "union select", "{{", "{%", "${", "#{", "<%", "<?php", "<!--", "<![cdata", "&lt;script", "%3cscript", "rm -rf", "../../",
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
