"""The content security policy of a page: only the site's own files, and the theme's inline scripts by their hashes.

Content Security Policy Level 3 (W3C): a meta element in the head, before anything it applies to.
"""

from __future__ import annotations

import base64
import hashlib
import re
from functools import lru_cache

_INLINE = re.compile(r"<script>(.*?)</script>", re.S)
"""Scripts without attributes: those with a type that isn't run, or with an address, need no hash."""

_FIRST = '<meta charset="utf-8">'

REST = (
    "style-src 'self'; font-src 'self'; connect-src 'self'; worker-src 'self'; manifest-src 'self'; "
    "img-src 'self' data:; base-uri 'self'; form-action 'self'"
)
"""All but the scripts; the theme's style sheet holds its icons as data."""


def with_policy(html: str) -> str:
    """Return a page with its policy as the second element of its head."""
    hashes = dict.fromkeys(_hash(script) for script in _INLINE.findall(html))
    scripts = " ".join(["'self'", *hashes])
    policy = f"default-src 'none'; script-src {scripts}; {REST}"
    return html.replace(_FIRST, f'{_FIRST}<meta http-equiv="Content-Security-Policy" content="{policy}">', 1)


@lru_cache(maxsize=256)
def _hash(script: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()}'"
