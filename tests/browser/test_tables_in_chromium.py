"""Compares the scripts with the core in the browser: both walk the same tables and must come to the same answers."""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Any

from understave.answers.spelling import reading_value
from understave.entries.glossary import Glossary
from understave.theory import grammar
from understave.theory.naming import name_keys
from understave.theory.symbols import SymbolError, nearest_readable, read_symbol

CASES = json.loads((Path(__file__).parents[1] / "theory" / "symbol_cases.json").read_text("utf-8"))

SEED = 20

FORMS = sorted(
    {*grammar.LETTER_TOKENS, *grammar.WORD_TOKENS, *grammar.ROOT_SIGNS, *grammar.BASS_MARKS, *grammar.BASS_TAILS}
)
COMMON = ["m", "maj", "7", "9", "11", "13", "6", "b5", "#5", "b9", "#9", "#11", "b13", "(", ")", "add", "sus", "/", "-"]


def as_spelled(text: str, language: str, glossary: Glossary) -> dict[str, Any]:
    """Return what the core reads, with the ids of its reasons."""
    try:
        readings = read_symbol(text, language)
    except SymbolError as error:
        found = {"expected": error.expected, "at": error.at, "nearest": nearest_readable(text, error)}
        return {"symbol": text, "readings": [], "error": found}
    values = [{**reading_value(reading, glossary), "why": reading.why} for reading in readings]
    return {"symbol": text, "readings": values, "error": None}


def generated(count: int) -> list[tuple[str, str]]:
    """Return texts that look like symbols, some with a language; most of them read."""
    chance = random.Random(SEED)
    languages = sorted(grammar.LANGUAGES)
    found = []
    for _ in range(count):
        language = chance.choice([*languages, "", "", "", "", ""])
        names = sorted(grammar.LANGUAGES[language].notes) if language else []
        words = sorted(grammar.LANGUAGES[language].words) if language else []
        root = chance.choice([*"ABCDEFG", *names]) + chance.choice(["", "", "b", "#", "x", "♭", " flat", "-sharp"])
        pool = chance.choice([COMMON, COMMON, FORMS, [*FORMS, *words], sorted(grammar.CHARACTERS)])
        suffix = "".join(chance.choice(["", "", " "]) + chance.choice(pool) for _ in range(chance.randint(0, 4)))
        bass = chance.choice(["", "", "", "/" + chance.choice("ABCDEFG"), " over Eb", "/9", " with G in the bass"])
        found.append((root + suffix + bass, language))
    return found


def compared(scripts: Any, glossary: Glossary, texts: list[tuple[str, str]]) -> tuple[int, list[Any]]:
    """Return how many texts read, and where the two sides differ."""
    there = scripts("spelled.js", "readSymbol", [[text, language] for text, language in texts])
    here = [as_spelled(text, language, glossary) for text, language in texts]
    differences = [(one, other) for one, other in zip(here, there, strict=True) if one != other]
    return sum(1 for one in here if one["readings"]), differences


def test_shared_cases_read_alike_on_both_sides(scripts: Any, glossary: Glossary) -> None:
    texts = [(case["text"], case.get("language", "")) for case in CASES]
    read, differences = compared(scripts, glossary, texts)
    assert read > 400
    assert differences[:3] == []


def test_thousands_of_made_symbols_read_alike_on_both_sides(scripts: Any, glossary: Glossary) -> None:
    read, differences = compared(scripts, glossary, generated(6000))
    assert read > 1500
    assert differences[:3] == []


def test_every_set_of_keys_over_every_bass_is_named_alike_on_both_sides(scripts: Any) -> None:
    sets = [
        [bass, *(bass + key for key in range(1, 12) if number >> (key - 1) & 1)]
        for number in range(2048)
        for bass in (48 + number % 12, 48 + (number * 5 + 7) % 12)
    ]
    script = scripts("names.js", "nameKeys", [[keys] for keys in sets])
    differences = []
    for keys, there in zip(sets, script, strict=True):
        here = [
            (
                str(one.chord.root), list(map(str, one.chord.degrees)), str(one.chord.bass), one.why,
                list(map(str, one.missing)), [str(pitch.tone) for pitch, _ in one.right],
            )
            for one in name_keys(keys)
        ]  # fmt: skip
        other = [
            (
                name(one["chord"]["root"]), one["chord"]["degrees"], name(one["chord"]["bass"]), one["why"],
                one["missing"], [name(tone) for tone in one["tones"]],
            )
            for one in there
        ]  # fmt: skip
        if here != other:
            differences.append((keys, here, other))
    assert len(sets) == 4096
    assert differences[:3] == []


def name(tone: dict[str, Any]) -> str:
    """Return a tone of the scripts in ASCII."""
    return str(tone["letter"]) + ("#" * tone["size"] if tone["size"] > 0 else "b" * -tone["size"])
