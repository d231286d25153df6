"""The names of every set of keys over every bass, from the core's own naming: the browser only looks them up."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

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
    key beside a root, ``alone`` a key by itself. ``names`` has a text for each of the 2,048 sets of semitones above
    the bass, by the set's number (the semitone 1 counts 1, the semitone 2 counts 2, the semitone 3 counts 4 …): three
    characters a name, likeliest first, for the root's semitones above the bass, the type, and the reason in ``whys``,
    counted from ``first`` on.
    """
    types = {suffix_degrees(suffix): number for number, suffix in enumerate(NAMED_TYPES)}
    whys: dict[str, int] = {}

    def written(naming: Naming) -> str:
        why = whys.setdefault(naming.why, len(whys))
        numbers = (naming.chord.root.pitch_class, types[naming.chord.degrees], why)
        return "".join(chr(ord(FIRST) + number) for number in numbers)

    names = [
        "".join(map(written, name_keys([0, *(key for key in range(1, 12) if number >> (key - 1) & 1)])))
        for number in range(1, 2048)
    ]
    return {
        "types": [" ".join(map(str, degrees)) for degrees in types],
        "roots": [" ".join(str(tone_at(spelled_alone(key, degrees))) for key in range(12)) for degrees in types],
        "alone": " ".join(str(tone_at(SPELLINGS[key][0])) for key in range(12)),
        "beside": {
            str(root): " ".join(str(tone_at(spelled_beside(root.fifths, key))) for key in range(12)) for root in ROOTS
        },
        "first": FIRST,
        "whys": list(whys),
        "names": ["", *names],
    }
