"""What a page tells machines in its head: Open Graph text, and what it defines (schema.org)."""

from __future__ import annotations

import json
import re
from typing import Any

from markupsafe import Markup

from understave.entries.values import KINDS
from understave.pages.made import Made

SETS = frozenset(f"/{kind.folder}/" for kind in KINDS)
"""The addresses of the indexes: each is a set of terms."""


_SHOWN_ACCIDENTAL = re.compile("[♭♯♮𝄫𝄪][^<>♭♯♮𝄫𝄪]*<(?!/(?:title|desc|option)>)")
"""An accidental in text that is shown: not in an attribute, nor in what pictures and lists say."""


def shows_accidentals(html: str) -> bool:
    """Tell whether a page's HTML shows accidentals, so that their font should be fetched along with the styles."""
    return _SHOWN_ACCIDENTAL.search(html) is not None


def head(page: Made, site: str, name: str) -> Markup:
    """Return elements for a page's head. ``site`` is the site's address, ``name`` what it is called."""
    address = site.rstrip("/") + page.address
    properties = {
        "og:type": "article",
        "og:site_name": name,
        "og:title": page.title,
        "og:description": page.description,
        "og:url": address,
    }
    meta = Markup("").join(
        Markup('<meta property="{}" content="{}">').format(key, value) for key, value in properties.items()
    )
    defined = definition(page, site, name)
    return meta + (_data(defined) if defined else Markup(""))


def definition(page: Made, site: str, name: str) -> dict[str, Any] | None:
    """Return what a page defines: a schema.org DefinedTerm, or the DefinedTermSet of an index; None for others."""
    address = site.rstrip("/") + page.address
    about = {"@context": "https://schema.org", "name": page.title, "description": page.description, "url": address}
    if page.address == "/":
        return {**about, "@type": "DefinedTermSet", "name": name}
    if page.address in SETS:
        return {**about, "@type": "DefinedTermSet"}
    if not page.kind:
        return None
    code = {"termCode": page.fact.symbol} if page.fact.symbol else {}
    return {**about, "@type": "DefinedTerm", **code, "inDefinedTermSet": f"{site.rstrip('/')}/{page.kind}/"}


def _data(value: dict[str, Any]) -> Markup:
    """Return JSON that no text in it can end early."""
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c")
    return Markup('<script type="application/ld+json">{}</script>').format(Markup(text))
