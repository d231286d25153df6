"""The chord types that naming considers, as data: how common each is, and what a name may lack.

The suffixes are in the house style. Costs are points, lower is likelier; their order is common practice, their sizes
are ours and chosen so that the cases of tests/theory/test_naming.py come out.
"""

from __future__ import annotations

NAMED_TYPES: dict[str, int] = {
    "": 0, "m": 0, "7": 2, "m7": 2, "maj7": 2, "dim": 4, "sus4": 4, "sus2": 5, "m7b5": 4, "dim7": 4, "aug": 5,
    "6": 5, "m6": 5, "add9": 4, "m(add9)": 5, "5": 3, "9": 6, "m9": 6, "maj9": 6, "7sus4": 5, "9sus4": 7, "6/9": 8,
    "m6/9": 10, "m(maj7)": 8, "7b9": 7, "7#9": 9, "7#5": 8, "7b5": 9, "maj7#5": 11, "maj7b5": 13, "7#11": 10,
    "maj7#11": 9, "9#11": 11, "m11": 9, "11": 12, "13": 9, "m13": 12, "maj13": 12, "7b13": 11, "7b9b13": 13,
    "m7(add11)": 10, "add11": 11, "m(add11)": 11, "7(add13)": 10, "13sus4": 11, "9#5": 12, "9b5": 13, "m9b5": 12,
    "7b5b9": 15, "7b5#9": 16, "7#5b9": 14, "7#5#9": 14, "7b9#11": 14, "7#9#11": 15, "7#9b13": 14, "13b9": 13,
    "13#9": 15, "13#11": 14, "7sus4b9": 13, "m(maj9)": 11, "maj7sus4": 13, "maj7sus2": 13, "7sus2": 11,
    "dim(maj7)": 13, "m7#5": 14, "m(#5)": 16, "(b5)": 13, "sus2sus4": 12, "addb9": 16, "addb6": 15, "m(addb6)": 14,
    "add#11": 13, "5(add9)": 9, "m7b9": 14, "m11b5": 14, "maj9#11": 12, "maj9#5": 16, "maj13#11": 14, "maj11": 15,
}  # fmt: skip
"""By suffix: how many points a name costs for being rare."""

MISSING_FIFTH = 4
MISSING_USUAL = 1
"""A degree that players usually leave out."""
MISSING_THIRD = 16
MISSING_ROOT = 30
MISSING_OTHER = 34
"""Any other degree: without it the name would say what isn't there."""
UNEXPLAINED = 30
"""A sounding note that is no chord tone."""
FOREIGN_BASS = 7
"""A lowest note that is no chord tone: a slash chord."""
MISSPELLED = 3
"""A note that the score spells as another tone."""
BASS_COSTS = {1: 0, 3: 5, 5: 7, 7: 7}
"""By the number of the degree in the bass: root position first, then the inversions."""
POWER_BASS_COSTS = {1: 0, 5: 4}
"""The same for a chord of two notes: a bare fourth is a fifth turned over (common practice), and no suspension."""
OTHER_BASS = 16
"""A ninth, an added tone and so on in the bass."""
KEY_COSTS = (0, 2, 4, 7)
"""By a chord's distance from the key, where one is given: enough to decide between names of the same notes whose bass
speaks for neither."""
MOST_NAMINGS = 6
"""How many names are given at most."""
FAR_BEHIND = 18
"""Names that cost this much more than the best are not given."""
