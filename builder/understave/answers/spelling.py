"""Spelling: a written symbol → its readings, each with its tones, as JSON values and as text."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from understave.entries.glossary import Glossary
from understave.entries.lookup import parts_of, symbol_of
from understave.phrases.catalogue import phrase, phrase_ids
from understave.phrases.names import chord_name
from understave.phrases.slashes import bass_sentence
from understave.phrases.typesetting import degree_label, listed, symbol_text, tone_text
from understave.theory.chords import Chord, usually_left_out
from understave.theory.symbols import Reading, SymbolError, nearest_readable, read_symbol

Json = dict[str, Any]


def spell(text: str, glossary: Glossary, language: str = "") -> Json:
    """Return one item of ``understave spell --json``; an unreadable symbol carries its ``error`` and no readings."""
    try:
        readings = read_symbol(text, language)
    except SymbolError as error:
        return {"symbol": text, "readings": [], "error": error_value(text, error)}
    return {"symbol": text, "readings": [reading_value(reading, glossary) for reading in readings], "error": None}


def error_value(text: str, error: SymbolError) -> Json:
    """Return why a text doesn't read, at which offset (from 0), and the nearest symbol that does, or None."""
    near = nearest_readable(text, error)
    values = {"text": text, "expected": phrase(f"expected-{error.expected}"), "at": error.at + 1}
    message = phrase("unreadable-near", **values, nearest=near) if near else phrase("unreadable", **values)
    return {"message": " ".join(message.split()), "at": error.at, "nearest": near}


def reading_value(reading: Reading, glossary: Glossary) -> Json:
    """Return a reading for JSON: notes and symbols in ASCII, the reason in words."""
    chord = reading.chord
    if chord is None:
        return {
            "symbol": "N.C.", "chord": None, "parts": [], "root": None, "bass": None, "bass_respelled": None,
            "degrees": [], "tones": [], "usually_left_out": [], "inversion": None, "why": phrase("why-no-chord"),
        }  # fmt: skip
    parts = parts_of(chord, glossary)
    return {
        "symbol": symbol_of(chord, glossary),
        "chord": parts.own,
        "parts": list(parts.ids),
        "root": str(chord.root),
        "bass": str(chord.bass),
        "bass_respelled": str(chord.bass_respelled) if chord.bass_respelled else None,
        "degrees": [str(degree) for degree in chord.degrees],
        "tones": [str(tone) for tone in chord.tones],
        "usually_left_out": [str(degree) for degree in usually_left_out(chord.degrees)],
        "inversion": chord.inversion,
        "why": why(reading, glossary),
    }


def why(reading: Reading, glossary: Glossary) -> str:
    """Return the reason of a reading as a sentence."""
    if reading.chord is None:
        return phrase("why-no-chord")
    if f"why-{reading.why}" in phrase_ids():
        return phrase(f"why-{reading.why}")
    symbol = symbol_text(symbol_of(reading.chord, glossary))
    if parts_of(reading.chord, glossary).own is None:
        return phrase("why-composed", symbol=symbol)
    return phrase("why-plain", symbol=symbol, name=chord_name(reading.chord, glossary))


def spell_text(item: Json, language: str = "") -> str:
    """Return an item of `spell` as lines that a teacher could read out."""
    if item["error"]:
        return str(item["error"]["message"])
    lines = []
    readings = read_symbol(item["symbol"], language)
    for number, (value, reading) in enumerate(zip(item["readings"], readings, strict=True)):
        head = symbol_text(item["symbol"]) if number == 0 else "  or"
        if reading.chord is None:
            lines.append(f"{head}: {value['why']}")
            continue
        tones = ", ".join(_tones(reading.chord))
        lines.append(f"{head}: {symbol_text(value['symbol'])} = {tones}")
        lines += [f"    {line}" for line in _remarks(reading.chord, value)]
    return "\n".join(lines)


def _tones(chord: Chord) -> Iterable[str]:
    for tone, degree in zip(chord.tones, chord.degrees, strict=True):
        yield f"{tone_text(tone)} ({degree_label(degree)})"


def _remarks(chord: Chord, value: Json) -> Iterable[str]:
    yield value["why"]
    if value["usually_left_out"]:
        left_out = listed([degree_label(degree) for degree in usually_left_out(chord.degrees)])
        yield phrase("spell-left-out", degrees=left_out)
    if chord.bass != chord.root:
        decides = phrase("lowest-decides") if chord.inversion is not None else ""
        yield f"{bass_sentence(chord)} {decides}".rstrip()
