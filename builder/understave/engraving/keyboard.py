"""The piano keyboard as SVG: which keys each hand holds, told apart by pattern and by the letters L and R."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from understave.phrases.catalogue import phrase
from understave.phrases.typesetting import tone_text
from understave.theory.tones import Pitch

WHITE = (0, 2, 4, 5, 7, 9, 11)
WIDTH, HEIGHT = 14, 62
BLACK_WIDTH, BLACK_HEIGHT = 8, 38
ABOVE, BELOW = 13, 26
"""Room for the hands' letters above the keys, and for the tones' names below: black keys' first."""

ENLARGED = 1.5
"""Pixels a unit, where there is room."""

HATCH = (
    '<svg class="glyphs" width="0" height="0" aria-hidden="true"><defs>'
    '<pattern id="hatch" width="3" height="3" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
    '<path class="hatch-paper" d="M0 0h3v3H0z"/><path class="hatch-line" d="M0 0v3"/></pattern></defs></svg>'
)
"""The right hand's pattern; it stands once on a page with keyboards."""


def keyboard(left: Sequence[Pitch], right: Sequence[Pitch], name: str, title: str, words: str) -> str:
    """Return the keyboard with the keys that two hands hold; ids start with ``name``."""
    keys = [pitch.key for pitch in (*left, *right)]
    first, last = _first_white(min(keys) - 2), _last_white(max(keys) + 2)
    whites = [key for key in range(first, last + 1) if key % 12 in WHITE]
    blacks = [key for key in range(first, last + 1) if key % 12 not in WHITE]
    places = {key: index * WIDTH for index, key in enumerate(whites)}
    width = len(whites) * WIDTH
    outline = "".join(f"M{places[key]} {ABOVE}v{HEIGHT}h{WIDTH}v-{HEIGHT}z" for key in whites)
    dark = "".join(f"M{_black(key, places)} {ABOVE}v{BLACK_HEIGHT}h{BLACK_WIDTH}v-{BLACK_HEIGHT}z" for key in blacks)
    hands = (("left", left), ("right", right))
    marks = "".join(_mark(pitch, hand, places) for hand, pitches in hands for pitch in pitches)
    return (
        f'<svg class="keyboard" id="{name}" viewBox="-1 0 {width + 2} {ABOVE + HEIGHT + BELOW}" '
        f'width="{round((width + 2) * ENLARGED)}" height="{round((ABOVE + HEIGHT + BELOW) * ENLARGED)}" role="img" '
        f'aria-labelledby="{name}-t" aria-describedby="{name}-d">'
        f'<title id="{name}-t">{escape(title)}</title><desc id="{name}-d">{escape(words)}</desc>'
        f'<path class="white-keys" d="{outline}"/><path class="black-keys" d="{dark}"/>{marks}</svg>'
    )


def _first_white(key: int) -> int:
    while key % 12 not in (0, 5):
        key -= 1
    return key


def _last_white(key: int) -> int:
    while key % 12 not in (4, 11):
        key += 1
    return key


def _black(key: int, places: dict[int, int]) -> int:
    """Return the left edge of a black key."""
    return places[key - 1] + WIDTH - BLACK_WIDTH // 2


def _mark(pitch: Pitch, hand: str, places: dict[int, int]) -> str:
    black = pitch.key not in places
    middle = _black(pitch.key, places) + BLACK_WIDTH / 2 if black else places[pitch.key] + WIDTH / 2
    height = ABOVE + (BLACK_HEIGHT - 7 if black else HEIGHT - 9)
    radius = 3.2 if black else 4.4
    name = ABOVE + HEIGHT + (10 if black else 21)
    kind = f"held-{hand[0]} on-black" if black else f"held-{hand[0]}"
    return (
        f'<circle class="{kind}" data-key="{pitch.key}" cx="{middle:g}" cy="{height:g}" r="{radius}"/>'
        f'<text class="hand" x="{middle:g}" y="9">{escape(phrase(f"hand-letter-{hand}"))}</text>'
        f'<text class="key-name" x="{middle:g}" y="{name}">{tone_text(pitch.tone)}</text>'
    )
