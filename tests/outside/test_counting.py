"""Checks the counting systems' words against their published tables, and recip durations against Humdrum's definition.

Each table names its source. All are from memory: none of the books was at hand.
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from understave.entries.kept import load_glossary
from understave.entries.values import CountingSystem
from understave.theory.counting import count
from understave.theory.rhythms import RhythmError, parse_meter, parse_rhythm, recip_length

SYSTEMS = {
    name: entry.system
    for name, entry in load_glossary(Path(__file__).parents[2] / "content").of(CountingSystem).items()
}

# R. Hoffman, W. Pelto and J. W. White, "Takadimi: A Beat-Oriented System of Rhythm Pedagogy", Journal of Music Theory
# Pedagogy 10 (1996), from memory: the attack-point syllables of a divided beat, simple (a quarter note) and compound (a
# dotted quarter), whole and in part. The same notes under another beat unit have the same syllables.
TAKADIMI = [
    ("4", "1/4", "ta"),
    ("8 8", "1/4", "ta di"),
    ("16 16 16 16", "1/4", "ta ka di mi"),
    ("16 16 8", "1/4", "ta ka di"),
    ("8 16 16", "1/4", "ta di mi"),
    ("8. 16", "1/4", "ta mi"),
    ("16 8.", "1/4", "ta ka"),
    ("16 8 16", "1/4", "ta ka mi"),
    ("8r 8", "1/4", "di"),
    ("8r 16 16", "1/4", "di mi"),
    ("16r 16 8", "1/4", "ka di"),
    ("12 12 12", "1/4", "ta ki da"),
    ("6 12", "1/4", "ta da"),
    ("12 6", "1/4", "ta ki"),
    ("24 24 24 24 24 24", "1/4", "ta va ki di da ma"),
    ("4.", "3/8", "ta"),
    ("8 8 8", "3/8", "ta ki da"),
    ("4 8", "3/8", "ta da"),
    ("8 4", "3/8", "ta ki"),
    ("8r 8 8", "3/8", "ki da"),
    ("16 16 16 16 16 16", "3/8", "ta va ki di da ma"),
    ("8 16 16 8", "3/8", "ta ki di da"),
    ("8. 16 8", "3/8", "ta di da"),
    ("8 8 16 16", "3/8", "ta ki da ma"),
    ("8. 8.", "3/8", "ta di"),
    ("2", "1/2", "ta"),
    ("4 4", "1/2", "ta di"),
    ("8 8 8 8", "1/2", "ta ka di mi"),
    ("4. 8", "1/2", "ta mi"),
    ("6 6 6", "1/2", "ta ki da"),
    ("4 4 4", "3/4", "ta ki da"),
]
COMPOUND = {"3/8": "dotted-quarter", "3/4": "dotted-half"}

# E. E. Gordon, Learning Sequences in Music, from memory: macrobeat du, microbeats de, or da di, divisions ta.
GORDON = [
    ("4 8 8", "2/4", "du du de"),
    ("16 16 16 16", "1/4", "du ta de ta"),
    ("8 16 16", "1/4", "du de ta"),
    ("16 16 8", "1/4", "du ta de"),
    ("12 12 12", "1/4", "du da di"),
    ("8 8 8 4.", "6/8", "du da di du"),
    ("16 16 16 16 16 16 4.", "6/8", "du ta da ta di ta du"),
    ("4 8 4.", "6/8", "du di du"),
    ("4 4 4", "3/4", "du da di"),
]

# The Eastman counting syllables (A. I. McHose and R. N. Tibbs, Sight-Singing Manual, as taught since), from memory.
EASTMAN = [
    ("4 8 8", "2/4", "1 2 te"),
    ("16 16 16 16 4", "2/4", "1 ta te ta 2"),
    ("8 16 16 4", "2/4", "1 te ta 2"),
    ("8. 16 4", "2/4", "1 ta 2"),
    ("4 12 12 12", "2/4", "1 2 la li"),
    ("8 8 8 4 8", "6/8", "1 la li 2 li"),
    ("16 16 16 16 16 16 4.", "6/8", "1 ta la ta li ta 2"),
]

# Kodály's syllables as they are taught in English (after E. Chevé), from memory; schools differ in the dotted ones.
KODALY = [
    ("4 4 4 4", "4/4", "ta ta ta ta"),
    ("8 8 4 2", "4/4", "ti ti ta ta-a"),
    ("16 16 16 16 4", "2/4", "ti ka ti ka ta"),
    ("8 16 16 4", "2/4", "ti ti ka ta"),
    ("16 16 8 4", "2/4", "ti ka ti ta"),
    ("8 4 8", "2/4", "ti ta ti"),
    ("4. 8", "2/4", "tam ti"),
    ("12 12 12 4", "2/4", "tri o la ta"),
]


def spoken(text: str, meter: str, system: str) -> str:
    """Return what is said where a new note sounds; a missing word shows as a dash."""
    beat = COMPOUND.get(meter) if system == "takadimi" else None
    counted = count(parse_rhythm(text, parse_meter(meter)), SYSTEMS[system], beat)
    return " ".join(one.word for one in counted.counts if one.sounds)


@pytest.mark.parametrize(("text", "meter", "expected"), TAKADIMI)
def test_takadimi(text: str, meter: str, expected: str) -> None:
    assert spoken(text, meter, "takadimi") == expected


@pytest.mark.parametrize(("text", "meter", "expected"), GORDON)
def test_gordon(text: str, meter: str, expected: str) -> None:
    assert spoken(text, meter, "gordon") == expected


@pytest.mark.parametrize(("text", "meter", "expected"), EASTMAN)
def test_eastman(text: str, meter: str, expected: str) -> None:
    assert spoken(text, meter, "eastman") == expected


@pytest.mark.parametrize(("text", "meter", "expected"), KODALY)
def test_kodaly(text: str, meter: str, expected: str) -> None:
    assert spoken(text, meter, "kodaly") == expected


# Humdrum's **recip representation (D. Huron, Humdrum Reference Manual), from memory: the number is the reciprocal of
# the length, whole note 1; 0 is a breve and 00 a long; each dot adds half of what went before.
RECIP = {
    "1": "1", "2": "1/2", "4": "1/4", "8": "1/8", "16": "1/16", "32": "1/32", "64": "1/64", "128": "1/128",
    "0": "2", "00": "4", "0.": "3",
    "1.": "3/2", "2.": "3/4", "4.": "3/8", "8.": "3/16", "16.": "3/32", "4..": "7/16", "8..": "7/32", "4...": "15/32",
    "3": "1/3", "6": "1/6", "12": "1/12", "24": "1/24", "48": "1/48", "6.": "1/4", "12.": "1/8",
    "5": "1/5", "10": "1/10", "20": "1/20", "7": "1/7", "28": "1/28", "9": "1/9", "36": "1/36",
}  # fmt: skip

# Later **recip writes rational lengths as denominator%numerator: 3%2 is two thirds of a whole note. Ours takes the
# classic tokens only and refuses these by name.
NOT_READ = ("3%2", "1%3", "8%9")


@pytest.mark.parametrize(("token", "length"), RECIP.items())
def test_recip_lengths(token: str, length: str) -> None:
    assert recip_length(token) == Fraction(length)


@pytest.mark.parametrize("token", NOT_READ)
def test_rational_recip_is_refused_by_name(token: str) -> None:
    with pytest.raises(RhythmError) as caught:
        parse_rhythm(f"4 {token}", parse_meter("4/4"))
    assert (caught.value.problem, caught.value.details) == ("unknown-token", (token, "2"))
