"""Printing chord symbols in one style, composed from their degrees.

The style: m, dim, aug, maj; alterations stacked after the number (7b9#11); a triad's altered fifth and every addition
that isn't to a plain major triad in brackets; sus after the number; omissions last. Set from common practice.
"""

from __future__ import annotations

from functools import lru_cache

from understave.theory.chords import Chord, in_order
from understave.theory.grammar import ALTERED
from understave.theory.tones import Degree, parse_degree

_ALTERATIONS = ("b5", "#5", "b9", "#9", "#11", "b13")


def print_symbol(chord: Chord) -> str:
    """Return the chord's symbol in ASCII: root, suffix, and the bass where it isn't the root."""
    slash = f"/{chord.bass}" if chord.bass != chord.root else ""
    return f"{chord.root}{print_suffix(chord.degrees)}{slash}"


@lru_cache(maxsize=4096)
def print_suffix(degrees: tuple[Degree, ...]) -> str:
    """Return what stands after the root, in ASCII."""
    left = {str(degree) for degree in degrees} - {"1"}
    if left == {"3", "b7", *ALTERED}:
        return "7alt"
    third = next((text for text in ("3", "b3") if text in left), "")
    suspensions = [text for text in ("2", "4") if text in left] if not third else []
    fifth = "5" if "5" in left else ""
    seventh = next((text for text in ("7", "b7", "bb7") if text in left), "")
    quality = _quality(left, third, seventh)
    left -= {third, fifth, seventh, *suspensions}
    number = _take_number(left, seventh, bool(suspensions))
    base = _base(quality, third, seventh, number)
    if quality in ("dim", "aug"):
        left -= {"b5" if quality == "dim" else "#5"}
    elif "b5" not in left and "#5" not in left and not fifth:
        left.add("no5")
    if not third and not suspensions:
        left.add("no3")
    if {"no3", "no5"} & left and base == "" and left | {"no3"} == {"no3"} and fifth:
        return "5"
    if "no3" in left and fifth and not number and not quality:
        base, left = "5", left - {"no3"}
    return (
        base
        + "".join(f"sus{text}" for text in suspensions)
        + _endings(left, base, bool(number) or bool(suspensions), seventh)
    )


def _quality(left: set[str], third: str, seventh: str) -> str:
    """Return m, dim, aug or nothing; the fifth that dim and aug hold goes with them."""
    if third == "b3":
        return "dim" if "b5" in left and "#5" not in left and seventh in ("", "bb7", "7") else "m"
    return (
        "aug" if third == "3" and "#5" in left and "b5" not in left and not seventh and not ({"6", "9"} & left) else ""
    )


def _take_number(left: set[str], seventh: str, suspended: bool) -> str:
    """Return the number that sums up the stack, and take what it implies out of ``left``."""
    if not seventh:
        if "6" in left:
            left -= {"6"}
            return "6/9" if _taken("9", left) else "6"
        return ""
    has_ninth = bool({"9", "b9", "#9"} & left)
    has_eleventh = suspended or bool({"11", "#11"} & left)
    if "13" in left and has_ninth and has_eleventh:
        left -= {"13", "11", "9"}
        return "13"
    if "11" in left and has_ninth and not suspended:
        left -= {"11", "9"}
        return "11"
    return "9" if _taken("9", left) else "7"


def _taken(text: str, left: set[str]) -> bool:
    if text not in left:
        return False
    left.remove(text)
    return True


def _base(quality: str, third: str, seventh: str, number: str) -> str:
    if seventh != "7":
        return quality + number
    return f"{quality}(maj{number})" if quality else f"maj{number}"


def _endings(left: set[str], base: str, stacked: bool, seventh: str) -> str:
    """Return alterations, additions and omissions, in the order of their numbers."""
    omissions = [text for text in ("no3", "no5") if text in left]
    degrees = [str(degree) for degree in in_order({parse_degree(text) for text in left if text[:2] != "no"})]
    altered = [text for text in degrees if text in (_ALTERATIONS if seventh else ("b5", "#5"))]
    added = [text for text in degrees if text not in altered]
    inner = "".join(altered)
    result = inner if stacked or not inner else f"({inner})"
    if added:
        words = ",".join(f"add{text}" for text in added)
        result += (
            words if base == "" and len(added) == 1 and not result and not stacked and not omissions else f"({words})"
        )
    return result + "".join(f"({text})" for text in omissions)
