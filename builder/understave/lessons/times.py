"""Times in a video: 1:05 as text, whole seconds as values."""

from __future__ import annotations

import re

_TIME = re.compile(r"(?:(\d{1,2}):)?(\d{1,2}):(\d{2})")


class TimeFormatError(ValueError):
    """A text is no time."""


def parse_time(text: str) -> int:
    """Return the seconds of 1:05 or 1:02:03. Raises TimeFormatError for anything else, 1:75 among it."""
    match = _TIME.fullmatch(text)
    if not match or int(match[3]) > 59 or (match[1] and int(match[2]) > 59):
        raise TimeFormatError(text)
    return int(match[1] or 0) * 3600 + int(match[2]) * 60 + int(match[3])


def time_text(seconds: int) -> str:
    """Return 1:05, or 1:02:03 from an hour on."""
    hours, rest = divmod(seconds, 3600)
    minutes, left = divmod(rest, 60)
    return f"{hours}:{minutes:02}:{left:02}" if hours else f"{minutes}:{left:02}"
