"""Printing chord symbols in one style, composed from their degrees.

The style: m, dim, aug, maj; alterations stacked after the number (7b9#11); a triad's altered fifth and every addition
that isn't to a plain major triad in brackets; sus after the number; omissions last. Set from common practice.
"""

from __future__ import annotations

from functools import lru_cache

from understave.theory.chords import Chord
from understave.theory.sortings import ALTERATIONS, PRINTED, PRINTED_WHOLE, sorted_out
from understave.theory.tones import Degree


def print_symbol(chord: Chord) -> str:
    """Return the chord's symbol in ASCII: root, suffix, and the bass where it isn't the root."""
    slash = f"/{chord.bass}" if chord.bass != chord.root else ""
    return f"{chord.root}{print_suffix(chord.degrees)}{slash}"


@lru_cache(maxsize=4096)
def print_suffix(degrees: tuple[Degree, ...]) -> str:
    """Return what stands after the root, in ASCII."""
    texts = tuple(map(str, degrees))
    if whole := PRINTED_WHOLE.get(" ".join(texts)):
        return whole
    given, bag = sorted_out(texts, PRINTED)
    left = [text for text in texts[1:] if text in bag]
    return "".join(given) + _endings(left, bag, plain=not given)


def _endings(left: list[str], bag: set[str], plain: bool) -> str:
    """Return alterations, additions and omissions, in the order of their numbers."""
    alterations = ALTERATIONS["seventh" if "seventh" in bag else ""]
    altered = "".join(text for text in left if text in alterations)
    added = ",".join(f"add{text}" for text in left if text not in alterations)
    omitted = "".join(f"({text})" for text in ("no3", "no5") if text in bag)
    stacked = bool({"number", "suspended"} & bag)
    if altered and not stacked:
        altered = f"({altered})"
    if added and not (plain and "," not in added and not altered and not omitted):
        added = f"({added})"
    return altered + added + omitted
