"""Naming many spans: one JSON object a line in, one a line out; the spans of a piece are named together."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby
from typing import Any

from understave.answers.naming import naming_value
from understave.entries.glossary import Glossary
from understave.phrases.catalogue import phrase
from understave.theory.chords import Chord
from understave.theory.naming import Naming
from understave.theory.spans import AUGMENTED_SIXTHS, Guess, SpanNote, guess_spans
from understave.theory.stretches import StretchNote, extras, foreign_roles
from understave.theory.symbols import suffix_degrees
from understave.theory.tones import Pitch, parse_pitch

Json = dict[str, Any]

DOMINANT_SEVENTH = suffix_degrees("7")

QUARTER = Fraction(1, 4)
"""The beat that spans are taken to have."""

_TIME = re.compile(r"[0-9]{1,9}([./][0-9]{1,9})?")
"""A power of ten would cost more time than its length in digits."""

Span = tuple[str, list[SpanNote]]


def name_spans(lines: Iterable[str], glossary: Glossary) -> Iterator[Json]:
    """Yield ``{"id", "namings"}`` for each line ``{"id", "notes"}``; a line that doesn't read yields its ``error``.

    The piece is the id up to its last ``#``; neighbors in a piece are evidence for each other.
    """
    for _, piece in groupby(map(_read, lines), key=_piece_of):
        items = list(piece)
        spans = [item[1] for item in items if isinstance(item, tuple)]
        named = iter(zip(guess_spans(spans), _in_context(spans), strict=True))
        for item in items:
            if isinstance(item, dict):
                yield item
                continue
            name, notes = item
            guesses, roles = next(named)
            yield {
                "id": name,
                "namings": [naming_value(_naming(guess, notes, roles), glossary) for guess in guesses],
            }


def _piece_of(item: Span | Json) -> str:
    name = item["id"] if isinstance(item, dict) else item[0]
    return str(name).rpartition("#")[0]


def _read(line: str) -> Span | Json:
    """Return a span's id and notes, or an item with an error in words."""
    name = ""
    try:
        value = json.loads(line)
        name = str(value["id"])
        notes = [
            SpanNote(parse_pitch(note["pitch"]), _time(note["onset"]), _time(note["duration"]), int(note["part"]))
            for note in value["notes"]
        ]
    except (ValueError, KeyError, TypeError, ArithmeticError, RecursionError):
        return {"id": name, "namings": [], "error": phrase("span-unreadable", line=line.strip()[:60])}
    return name, notes


def _time(value: str | float) -> Fraction:
    """Read a fraction of a whole note. Raises ValueError or ArithmeticError for anything else."""
    if isinstance(value, str) and not _TIME.fullmatch(value):
        raise ValueError(value)
    time = Fraction(value)
    if time < 0:
        raise ValueError(value)
    return time


@dataclass(frozen=True)
class _Roles:
    """What each note of a span would be if the chord didn't have it, and how long the span is."""

    found: list[tuple[StretchNote, str]]
    length: Fraction


def _in_context(spans: Sequence[list[SpanNote]]) -> Iterator[_Roles]:
    """Yield the roles of each span's notes, which the spans beside it show. A line is a part."""
    lengths = [max((note.onset + note.duration for note in notes), default=Fraction(0)) for notes in spans]
    for place, notes in enumerate(spans):
        timed = _moved(notes, Fraction(0))
        if place:
            timed += _moved(spans[place - 1], -lengths[place - 1])
        if place + 1 < len(spans):
            timed += _moved(spans[place + 1], lengths[place])
        yield _Roles(foreign_roles(timed, lengths[place], QUARTER), lengths[place])


def _moved(notes: list[SpanNote], by: Fraction) -> list[StretchNote]:
    return [StretchNote(note.pitch, note.onset + by, note.duration, str(note.part)) for note in notes]


def _naming(guess: Guess, notes: list[SpanNote], roles: _Roles) -> Naming:
    """Return a guess as a name, with what the notes of the top part (right) and of the others (left) are in it."""
    chord = Chord(guess.root, guess.degrees, None if guess.bass == guess.root else guess.bass)
    degrees = {tone.pitch_class: degree for tone, degree in zip(chord.tones, chord.degrees, strict=True)}
    top = min((note.part for note in notes), default=0)
    hands = [
        tuple(
            (pitch, degrees.get(pitch.tone.pitch_class) or chord.root.degree_of(pitch.tone))
            for pitch in _low_to_high(note.pitch for note in notes if (note.part == top) == is_top)
        )
        for is_top in (False, True)
    ]
    sounding = {note.pitch.tone.pitch_class for note in notes}
    missing = tuple(degree for key, degree in degrees.items() if key not in sounding)
    lowest = min((pitch for hand in hands for pitch, _ in hand), key=lambda pitch: (pitch.key, pitch.line))
    extra = extras(roles.found, guess.root, degrees, lowest, roles.length)
    why = AUGMENTED_SIXTHS.get(guess.degrees, "sums-up")
    read_as = _read_as(chord) if guess.degrees in AUGMENTED_SIXTHS else None
    return Naming(chord, -guess.score, missing, extra, hands[0], hands[1], why, read_as)


def _read_as(sixth: Chord) -> Chord:
    """Return the dominant seventh on the keys of a German or Italian sixth: on the tone that is usually in the bass."""
    root = sixth.tones[1]
    seventh = Chord(root, DOMINANT_SEVENTH)
    bass = next((tone for tone in seventh.tones if tone.pitch_class == sixth.bass.pitch_class), sixth.bass)
    return Chord(root, DOMINANT_SEVENTH, None if bass == root else bass)


def _low_to_high(pitches: Iterable[Pitch]) -> list[Pitch]:
    return sorted(set(pitches), key=lambda pitch: (pitch.key, pitch.line))
