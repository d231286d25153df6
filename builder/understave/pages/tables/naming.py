"""The names of every set of keys over every bass, from the core's own naming: the browser only looks them up."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import Any

from understave.theory.chords import usually_left_out
from understave.theory.naming import SPELLINGS, Naming, name_keys, spelled_alone, spelled_beside
from understave.theory.naming_types import NAMED_TYPES
from understave.theory.symbols import suffix_degrees
from understave.theory.tones import ROOTS, tone_at

Json = dict[str, Any]

FIRST = "0"
"""The character that stands for 0; the following ones stand for 1, 2 and so on."""


@lru_cache(maxsize=1)
def naming_table() -> Json:
    """Return the table.

    ``types`` has the degrees of each chord type; ``roots`` spells each type's root on the twelve keys, ``beside`` each
    key beside a root, ``alone`` a key by itself. ``names`` has a text for each set of semitones above the bass, parted
    by commas: two characters a name, likeliest first, for the root and the type, counted from ``first`` on. Sets that
    are turns of each other stand together, since their names are much alike: they come in the order of `_turned`, and
    a root counts from the key that is 0 there. ``whys`` has the places of each reason, as `_whys` writes them.
    """
    types = {suffix_degrees(suffix): number for number, suffix in enumerate(NAMED_TYPES)}
    namings = {number: name_keys(_semitones(number)) for number in range(1, 2048)}

    def written(naming: Naming, turn: int) -> str:
        numbers = ((naming.chord.root.pitch_class - turn) % 12, types[naming.chord.degrees])
        return "".join(chr(ord(FIRST) + number) for number in numbers)

    return {
        "types": [" ".join(map(str, degrees)) for degrees in types],
        "roots": [" ".join(str(tone_at(spelled_alone(key, degrees))) for key in range(12)) for degrees in types],
        "alone": " ".join(str(tone_at(SPELLINGS[key][0])) for key in range(12)),
        "beside": {
            str(root): " ".join(str(tone_at(spelled_beside(root.fifths, key))) for key in range(12)) for root in ROOTS
        },
        "first": FIRST,
        "whys": _whys((types[naming.chord.degrees], naming) for names in namings.values() for naming in names),
        "names": ",".join(
            "".join(written(naming, _turned(number)[1]) for naming in namings[number])
            for number in sorted(namings, key=_turned)
        ),
    }


def _semitones(number: int) -> list[int]:
    """Return a set over its bass: its number counts 1 for the semitone 1, 2 for 2, 4 for 3 and so on."""
    return [0, *(key for key in range(1, 12) if number >> (key - 1) & 1)]


def _turned(number: int) -> tuple[int, int]:
    """Return the least number of twelve bits that a set makes over one of its keys, and that key."""
    bits = number << 1 | 1
    return min(((bits >> key | bits << 12 - key) & 0xFFF, key) for key in range(12) if bits >> key & 1)


def _whys(namings: Iterable[tuple[int, Naming]]) -> dict[str, str]:
    """Return the places of each reason, parted by commas: what is missing and which chord tone is the bass.

    ``3 (5)/7`` lacks its third and its fifth, which is usually left out, over its seventh; ``12:3 (5)/7`` tells the
    type too, where it decides.
    """
    found: dict[str, dict[str, set[int]]] = {}
    for kind, naming in namings:
        bass = naming.chord.root.degree_of(naming.chord.bass) if naming.chord.bass in naming.chord.tones else ""
        usual = usually_left_out(naming.chord.degrees)
        lacking = " ".join(f"({degree})" if degree in usual else str(degree) for degree in naming.missing)
        found.setdefault(f"{lacking}/{bass}", {}).setdefault(naming.why, set()).add(kind)
    rows: dict[str, list[str]] = {}
    for place, reasons in found.items():
        commonest, *others = sorted(reasons, key=lambda why: (-len(reasons[why]), why))
        rows.setdefault(commonest, []).append(place)
        for why in others:
            rows.setdefault(why, []).extend(f"{kind}:{place}" for kind in sorted(reasons[why]))
    return {why: ",".join(places) for why, places in rows.items()}
