"""A lesson's progression in other keys, for its page: twelve keys with tones, instruments, a guitar with a capo."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from understave.answers.other_keys import tones_of
from understave.entries.glossary import Glossary
from understave.entries.lookup import symbol_of
from understave.lessons.lesson import Lesson
from understave.lessons.other_keys import key_of, lesson_in
from understave.phrases.catalogue import phrase
from understave.phrases.typesetting import HTML, key_text, tone_html
from understave.theory.chords import Chord
from understave.theory.keys import Key
from understave.theory.tones import parse_tone
from understave.theory.transposing import INSTRUMENTS, read_by, twelve_keys, under_capo

CAPO_FRETS = range(1, 8)
"""The frets that are shown; higher ones leave little of the neck."""


@dataclass(frozen=True)
class OtherKeys:
    """Makes the values of the part of a lesson's page that shows other keys."""

    glossary: Glossary

    def values(self, lesson: Lesson) -> dict[str, Any]:
        """Return what other_keys.html shows; nothing for a lesson without chords."""
        if not any(met.chord for met in lesson.symbols):
            return {}
        own = key_of(lesson)
        return {
            "keys_of_instruments": {name.lower(): tone_html(parse_tone(name)) for name in INSTRUMENTS},
            "twelve": [self._key(lesson, key) for key in twelve_keys(own)[1:]],
            "readers": [
                {
                    "who": phrase("instruments-in", instrument=tone_html(parse_tone(name))),
                    **self._read(lesson, read_by(own, name)),
                }
                for name in INSTRUMENTS
            ],
            "capo": [
                {"who": phrase("capo-at", fret=fret), **self._read(lesson, under_capo(own, fret))}
                for fret in CAPO_FRETS
            ],
        }

    def _key(self, lesson: Lesson, key: Key) -> dict[str, Any]:
        """Return a key's name, the progression by measure, and each of its chords with its tones."""
        moved = lesson_in(lesson, key)
        chords = list(dict.fromkeys(met.chord for met in moved.symbols if met.chord))
        return {
            **self._read(lesson, key),
            "chords": [{"symbol": symbol_of(chord, self.glossary), "tones": tones_of(chord)} for chord in chords],
        }

    def _read(self, lesson: Lesson, key: Key) -> dict[str, Any]:
        """Return a key's name and the progression as it is read there, measure by measure."""
        by_measure: dict[int, list[str]] = {}
        for met in lesson_in(lesson, key).symbols:
            by_measure.setdefault(met.measure, []).append(self._symbol(met.chord))
        return {"key": key_text(key, HTML), "measures": list(by_measure.items())}

    def _symbol(self, chord: Chord | None) -> str:
        return symbol_of(chord, self.glossary) if chord else "N.C."
