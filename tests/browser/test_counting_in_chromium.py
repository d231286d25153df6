"""Compares counting in the browser with the core: both walk the same rows and must come to the same answers."""

from __future__ import annotations

import json
import random
from itertools import pairwise
from typing import Any

from understave.entries.glossary import Glossary
from understave.entries.values import CountingSystem, RhythmFigure
from understave.phrases.counting import count_sentences
from understave.theory.counting import Counted, count
from understave.theory.rhythms import BEATS, RhythmError, parse_meter, parse_rhythm

SEED = 12

METERS = ("2/4", "3/4", "4/4", "2/2", "3/8", "6/8", "9/8", "12/8", "5/8", "7/8", "3/2", "6/4", "2+3/8", "3+3+2/8",
          "5/4", "8/8", "1/4", "3+4/16")  # fmt: skip

PLAIN = ("1", "2", "2.", "4", "4.", "8", "8.", "16", "16.", "32")
FILLINGS = {
    "1/4": ("4", "8 8", "16 16 16 16", "8 16 16", "16 8 16", "8. 16", "12 12 12", "6 12", "12 6", "12r 12 12", "4r",
            "8r 8", "8 8r", "24 24 24 8", "20 20 20 20 20", "24 24 24 24 24 24", "32 32 16 8", "28 28 28 28 28 28 28"),
    "3/8": ("4.", "8 8 8", "4 8", "8 4", "8. 16 8", "16 16 16 16 16 16", "8r 8 8", "8. 8.", "16. 16. 16. 16."),
    "1/2": ("2", "4. 8", "8 4.", "8 4 8", "6 6 6", "2r", "4 4r", "3 6", "3 12 12", "10 10 10 10 10"),
    "1/8": ("8", "16 16", "8r", "24 24 24", "16r 16"),
    "1/16": ("16", "32 32", "16r"),
}  # fmt: skip
"""Fillings of a length, from plain notes to tuplets, so that many measures add up."""

SIZES = {"1/4": 8, "3/8": 12, "1/2": 16, "1/8": 4, "1/16": 2}
"""Their lengths in 32nds."""

WRONG = (
    "9",
    "x",
    "8....",
    "[8",
    "8]",
    "_8",
    "[8r",
    "|",
    "*M3/4",
    "*M4/x",
    "4 12",
    "0",
    "00r",
    "9999",
    "7 11 13",
    "\ufeff8",
)


def made_rhythm(chance: random.Random, meter: str) -> str:
    """Return a rhythm of one to three measures that mostly add up, with ties, rests, pickups and other meters."""
    length = int(parse_meter(meter).length * 32)
    measures = [filled(chance, length) for _ in range(chance.randint(1, 3))]
    pickup = chance.random() < 0.15 and length > 8
    if pickup:
        front = chance.randrange(4, length, 4)
        measures = [filled(chance, front), *measures]
        if chance.random() < 0.5:
            measures[-1] = filled(chance, length - front)
    tokens = tied(chance, [token for measure in measures for token in [*measure, "|"]][:-1])
    if not pickup and chance.random() < 0.6:
        tokens = [token for token in tokens if token != "|"]
    if not pickup and chance.random() < 0.2:
        other = chance.choice(METERS)
        tokens += [f"*M{other}", *filled(chance, int(parse_meter(other).length * 32))]
    if chance.random() < 0.2:
        place = chance.randrange(len(tokens))
        tokens[place : place + chance.randint(0, 1)] = chance.choice([*PLAIN, *WRONG]).split()
    return chance.choice((" ", " ", " ", "  ")).join(tokens)


def filled(chance: random.Random, length: int) -> list[str]:
    """Return tokens that fill so many 32nds."""
    tokens = []
    while length:
        fits = [name for name, size in SIZES.items() if size <= length]
        name = chance.choice(fits)
        tokens += chance.choice(FILLINGS[name]).split()
        length -= SIZES[name]
    return tokens


def tied(chance: random.Random, tokens: list[str]) -> list[str]:
    """Return tokens with some notes tied to the next."""
    notes = [place for place, token in enumerate(tokens) if token != "|"]
    holding = {
        one for one, other in pairwise(notes) if "r" not in tokens[one] + tokens[other] and chance.random() < 0.15
    }
    held = {other for one, other in pairwise(notes) if one in holding}
    for place in notes:
        marks = (place in held, place in holding)
        tokens[place] = {
            (False, True): f"[{tokens[place]}", (True, True): f"_{tokens[place]}", (True, False): f"{tokens[place]}]",
        }.get(marks, tokens[place])  # fmt: skip
    return tokens


def counted_value(counted: Counted) -> dict[str, Any]:
    """Return everything that a count tells."""
    return {
        "line": counted.line,
        "counts": [
            {
                "measure": one.measure, "beat": one.beat, "in_beat": str(one.in_beat), "at": str(one.at),
                "length": str(one.length), "says": one.says, "sounds": one.sounds, "note": one.note,
            }
            for one in counted.counts
        ],
        "beats": [
            {
                "measure": one.measure, "beat": one.beat, "at": str(one.at), "length": str(one.length),
                "needs": one.needs, "parts": one.parts, "feel": one.feel, "why": one.why,
            }
            for one in counted.beats
        ],
        "changes": [
            {"measure": one.measure, "beat": one.beat, "before": one.before, "after": one.after, "even": one.even}
            for one in counted.changes
        ],
    }  # fmt: skip


def answer_here(case: dict[str, str], glossary: Glossary) -> dict[str, Any]:
    """Return what the core answers."""
    system = glossary.of(CountingSystem)[case["system"]].system
    try:
        counted = count(parse_rhythm(case["rhythm"], parse_meter(case["meter"])), system, case["beat"] or None)
    except RhythmError as error:
        return {"error": [error.problem, *error.details]}
    return {"counted": counted_value(counted), "sentences": count_sentences(counted)}


def answers_there(scripts: Any, cases: list[dict[str, str]]) -> list[dict[str, Any]]:
    """Return what the scripts answer, in the core's shape."""
    found = []
    for one in scripts("count-answer.js", "answer", [[case] for case in cases]):
        if one["error"]:
            found.append({"error": [one["error"]["problem"], *map(str, one["error"]["details"].values())]})
        else:
            found.append({"counted": one["counted"], "sentences": one["sentences"]})
    return found


def differences(scripts: Any, glossary: Glossary, cases: list[dict[str, str]]) -> tuple[int, list[Any]]:
    """Return how many rhythms are counted, and where the two sides differ."""
    here = [answer_here(case, glossary) for case in cases]
    there = answers_there(scripts, cases)
    different = [
        (case, json.dumps(one)[:600], json.dumps(other)[:600])
        for case, one, other in zip(cases, here, there, strict=True)
        if one != other
    ]
    return sum(1 for one in here if "counted" in one), different


def test_thousands_of_made_rhythms_are_counted_alike_on_both_sides(scripts: Any, glossary: Glossary) -> None:
    chance = random.Random(SEED)
    systems = sorted(glossary.of(CountingSystem))
    cases = []
    for _ in range(4000):
        meter = chance.choice(METERS)
        beat = chance.choice(["", *BEATS, "measure", "beet"]) if chance.random() < 0.4 else ""
        system = chance.choice(systems)
        cases.append({"rhythm": made_rhythm(chance, meter), "meter": meter, "system": system, "beat": beat})
    counted, different = differences(scripts, glossary, cases)
    assert counted > 2500
    assert len(cases) - counted > 500
    assert different[:3] == []


def test_every_figure_of_the_glossary_is_counted_alike_in_every_system(scripts: Any, glossary: Glossary) -> None:
    cases = [
        {"rhythm": figure.rhythm, "meter": figure.meter, "system": system, "beat": ""}
        for figure in glossary.of(RhythmFigure).values()
        for system in glossary.of(CountingSystem)
    ]
    counted, different = differences(scripts, glossary, cases)
    assert counted == len(cases)
    assert different[:3] == []


def test_rhythms_at_the_edge_are_answered_alike(scripts: Any, glossary: Glossary) -> None:
    rhythms = [
        ("", "4/4"), ("   ", "4/4"), ("|", "4/4"), ("4 |", "4/4"), ("4 | 4 4 4", "4/4"), ("4 | | 2.", "4/4"),
        ("4 4 4 4", "0/4"), ("4", "65/4"), ("4", "64/4"), ("4", "04/4"), ("4 4 4 4", "4/3"), ("8 8 8", "1+1+1/8"),
        ("0 0", "16/4"), ("00", "16/4"), ("000", "32/4"), ("[1 1]", "4/4"), ("[4 | 4]", "2/4"), ("[4", "1/4"),
        ("4 4 *M3/4 4 4 4", "2/4"), ("*M3/4 4 4 4 *M2/4 4 4", "4/4"), ("4 *M3/4 4 4 4", "4/4"),
        ("12 | 6 12 4 4 4 6", "4/4"), ("12 12 4", "4/4"), ("12 8 8 8 8 8 8", "4/4"), ("6 6 6 2", "4/4"),
        (" ".join(["132"] * 33), "1/4"), (" ".join(["64"] * 64), "4/4"), ("9973 9967 9949", "4/4"),
        (" ".join(["16"] * 33), "33/16"), ("2. 2 4 4 8 8", "33+31/8"), ("4\x1c4\u30004\x854", "4/4"),
        ("4\ufeff4", "2/4"),
    ]  # fmt: skip
    cases = [
        {"rhythm": rhythm, "meter": meter, "system": system, "beat": beat}
        for rhythm, meter in rhythms
        for system in ("e-and-a", "gordon", "kodaly", "takadimi")
        for beat in ("", "half", "measure")
    ]
    counted, different = differences(scripts, glossary, cases)
    assert 0 < counted < len(cases)
    assert different[:3] == []


def test_an_unknown_system_is_an_error(scripts: Any) -> None:
    case = {"rhythm": "4 4 4 4", "meter": "4/4", "system": "constructor", "beat": ""}
    assert answers_there(scripts, [case]) == [{"error": ["no-system", "constructor"]}]
