"""MusicXML → measures, symbols and notes as plain values. Runs in a spawned worker: music21 leaves caches."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterable
from fractions import Fraction
from pathlib import Path
from typing import Any

Plain = dict[str, Any]
"""A value that JSON can hold; times are fractions of a whole note as text."""


def prepare(folder: str) -> None:
    """Give the worker a folder of its own, so that music21 leaves nothing in the user's."""
    os.environ["HOME"] = folder
    tempfile.tempdir = folder


def read_score(path: str) -> Plain:
    """Return ``{"measures", "symbols", "notes"}`` of a MusicXML file. Raises whatever music21 raises."""
    from music21 import converter, stream

    score = converter.parse(Path(path), format="musicxml", forceSource=True)
    parts = list(score.getElementsByClass(stream.Part))
    return {
        "measures": _measures(parts[0].getElementsByClass(stream.Measure)),
        "symbols": _once(symbol for part in parts for symbol in _symbols(part)),
        "notes": [note for index, part in enumerate(parts) for note in _notes(part, "right" if index == 0 else "left")],
    }


def _whole(quarters: Any) -> str:
    """Return a length in quarters as a fraction of a whole note, exactly."""
    return str(Fraction(quarters).limit_denominator(10080) / 4)


def _measures(measures: Iterable[Any]) -> list[Plain]:
    found, meter = [], "4/4"
    for measure in measures:
        meter = measure.timeSignature.ratioString if measure.timeSignature else meter
        length = _whole(measure.highestTime)
        found.append({"number": int(measure.number), "at": _whole(measure.offset), "length": length, "meter": meter})
    return found


def _once(symbols: Iterable[Plain]) -> list[Plain]:
    """Return symbols without those that a second staff repeats: music21 copies one that names no staff."""
    kept: list[Plain] = []
    for symbol in symbols:
        if symbol not in kept:
            kept.append(symbol)
    return kept


def _symbols(part: Any) -> list[Plain]:
    from music21 import harmony, stream

    kinds = {ours: theirs for theirs, ours in harmony.CHORD_ALIASES.items() if theirs in _MUSICXML_NAMES}
    found = []
    for measure in part.getElementsByClass(stream.Measure):
        for symbol in measure.recurse().getElementsByClass(harmony.Harmony):
            if not isinstance(symbol, harmony.ChordSymbol):
                continue
            place = measure.offset + symbol.getOffsetInHierarchy(measure)
            none = isinstance(symbol, harmony.NoChord)
            found.append(
                {
                    "measure": int(measure.number),
                    "at": _whole(place),
                    "root": "" if none else _tone(symbol.root()),
                    "kind": "none" if none else kinds.get(symbol.chordKind, symbol.chordKind),
                    "bass": "" if none or symbol.bass() is None else _tone(symbol.bass()),
                    "degrees": [
                        [change.modType, int(change.degree), int(change.interval.semitones) if change.interval else 0]
                        for change in symbol.chordStepModifications
                    ],
                }
            )
    return found


_MUSICXML_NAMES = {"dominant", "half-diminished", "major-minor"}
"""The MusicXML kinds that music21 keeps under other names."""


def _tone(pitch: Any) -> str:
    return str(pitch.name).replace("-", "b")


def _notes(part: Any, hand: str) -> list[Plain]:
    from music21 import harmony

    notes = []
    for element in part.flatten().notes:
        if isinstance(element, harmony.Harmony) or element.duration.isGrace:
            continue
        for note in element.notes if element.isChord else [element]:
            notes.append(
                {
                    "pitch": _tone(note.pitch) + str(note.pitch.octave),
                    "at": _whole(element.offset),
                    "length": _whole(element.quarterLength),
                    "hand": hand,
                    "held": note.tie is not None and note.tie.type in ("stop", "continue"),
                }
            )
    return notes
