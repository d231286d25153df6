"""What the browser names keys by: the chord types with their costs as the core weighs them, and reasons."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import Any

from understave.theory import naming_types as points
from understave.theory.chords import usually_left_out
from understave.theory.matches import NamedType, named_types
from understave.theory.naming import SPELLINGS, Naming, name_keys, spelled_alone, spelled_beside
from understave.theory.tones import ROOTS, tone_at

Json = dict[str, Any]


@lru_cache(maxsize=1)
def naming_table() -> Json:
    """Return the table.

    ``types`` has the degrees of each chord type, by rank, and beside it ``costs`` what the type costs, ``lacking`` what
    it costs to lack each degree, and ``basses`` what it costs to have each in the bass.
    ``points`` are the costs that are the same for all types. ``roots`` spells each type's root on the twelve keys,
    ``beside`` each key beside a root, ``alone`` a key by itself. ``whys`` has the places of each reason, as `_whys`
    writes them.
    """
    types = named_types()
    ranks = {kind.degrees: kind.rank for kind in types}
    names = [naming for number in range(1, 2048) for naming in name_keys(_semitones(number))]
    return {
        "types": [" ".join(map(str, kind.degrees)) for kind in types],
        "costs": [kind.cost for kind in types],
        "lacking": [" ".join(str(cost) for _, cost in kind.missing_costs) for kind in types],
        "basses": [_basses(kind) for kind in types],
        "points": {
            "unexplained": points.UNEXPLAINED,
            "foreignBass": points.FOREIGN_BASS,
            "farBehind": points.FAR_BEHIND,
            "most": points.MOST_NAMINGS,
        },
        "roots": [" ".join(str(tone_at(spelled_alone(key, kind.degrees))) for key in range(12)) for kind in types],
        "alone": " ".join(str(tone_at(SPELLINGS[key][0])) for key in range(12)),
        "beside": {
            str(root): " ".join(str(tone_at(spelled_beside(root.fifths, key))) for key in range(12)) for root in ROOTS
        },
        "whys": _whys((ranks[naming.chord.degrees], naming) for naming in names),
    }


def _basses(kind: NamedType) -> str:
    """Return the costs of the type's own tones in the bass, in the order of its degrees."""
    return " ".join(str(kind.bass_costs[degree.semitones % 12]) for degree in kind.degrees)


def _semitones(number: int) -> list[int]:
    """Return a set over its bass: its number counts 1 for the semitone 1, 2 for 2, 4 for 3 and so on."""
    return [0, *(key for key in range(1, 12) if number >> (key - 1) & 1)]


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
