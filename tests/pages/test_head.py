"""Checks what decides whether a page's head asks for the font of accidentals."""

from __future__ import annotations

import pytest

from understave.pages.head import shows_accidentals


@pytest.mark.parametrize(
    ("html", "shows"),
    [
        ("<p>A♭ C E♭</p>", True),
        ('<h1>F<span class="tone">♯</span></h1>', True),
        ("<svg><title>A♭</title><desc>G♭ 3, ♭7th</desc></svg>", False),
        ('<button data-copy="A♭">Copy</button>', False),
        ("<option>si♭</option>", False),
        ("<svg><title>A♭</title><text>B♭</text></svg>", True),
        ("<p>C E G</p>", False),
    ],
)
def test_only_accidentals_that_are_read_count(html: str, shows: bool) -> None:
    assert shows_accidentals(html) is shows
