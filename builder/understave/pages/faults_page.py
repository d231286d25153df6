"""What is shown in the place of every page while the site that is served has faults."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from understave.phrases.catalogue import phrase, spoken_language

SECONDS = 2
"""How often the page looks whether the faults are mended."""


def faults_html(lines: Iterable[str]) -> str:
    """Return a page with the lines that `understave check` prints; it is fetched anew until the site is back."""
    rows = "".join(f"<li><code>{escape(line)}</code></li>" for line in lines)
    return (
        f'<!doctype html><html lang="{spoken_language()}"><head><meta charset="utf-8">'
        f'<meta name="viewport" content="width=device-width"><meta name="color-scheme" content="light dark">'
        f'<meta http-equiv="refresh" content="{SECONDS}"><title>{phrase("serve-faults")}</title></head>'
        f"<body><h1>{phrase('serve-faults')}</h1><p>{phrase('serve-faults-more')}</p><ul>{rows}</ul></body></html>\n"
    )
