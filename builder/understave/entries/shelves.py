"""Files that keep what was worked out before: written whole or not at all, and told of when they are damaged.

What they hold can always be worked out again, so nothing that befalls them stops a command.
"""

from __future__ import annotations

import logging
import os
from contextlib import suppress
from pathlib import Path

log = logging.getLogger(__name__)


def keep_text(path: Path, text: str) -> None:
    """Put a text in a file, which holds the old or the new one whatever happens. Where it can't be, that is told."""
    aside = path.with_name(f"{path.name}.{os.getpid()}")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        aside.write_text(text, encoding="utf-8")
        aside.replace(path)
    except OSError as error:
        log.warning("%s: can't be kept: %s; it is worked out each time", path, error.strerror)
        with suppress(OSError):
            aside.unlink()


def tell_damaged(path: Path) -> None:
    """Tell that a file holds nothing that can be used."""
    log.warning("%s: damaged, or of another version; what it held is worked out again", path)
