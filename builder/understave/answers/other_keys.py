"""A lesson for others: in a singer's key, as another instrument reads it, for a guitar with a capo."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from understave.answers.explaining import ExplainError
from understave.entries.faults import nearest
from understave.entries.glossary import Glossary
from understave.entries.lookup import symbol_of
from understave.lessons.lesson import Lesson, Met
from understave.lessons.other_keys import key_of, lesson_in
from understave.phrases.catalogue import phrase
from understave.phrases.typesetting import key_text, symbol_text
from understave.theory.chords import Chord
from understave.theory.tones import Tone
from understave.theory.transposing import INSTRUMENTS, KeyProblem, key_like, read_by, readable, under_capo


@dataclass(frozen=True)
class Other:
    """What else than the lesson's own key is asked for: a key, an instrument of INSTRUMENTS, the fret of a capo."""

    key: str | None = None
    instrument: str | None = None
    capo: int | None = None

    @property
    def is_for_reading(self) -> bool:
        """Whether symbols are asked for, and not what the piano plays."""
        return self.instrument is not None or self.capo is not None


def moved(lesson: Lesson, other: Other) -> tuple[Lesson, list[str]]:
    """Return the lesson as others need it, and sentences that say in which key, and why by another name.

    Raises ExplainError for a key, an instrument or a fret that isn't there.
    """
    own = key_of(lesson)
    try:
        asked = key_like(other.key, own) if other.key is not None else own
        key = readable(asked, own.signature)
        sentences = [phrase("other-key-easier", asked=key_text(asked), key=key_text(key))] if key != asked else []
        if other.key is not None:
            sentences.append(phrase("other-key", key=key_text(key), own=key_text(own)))
        if other.instrument is not None:
            sounding, key = key, read_by(key, other.instrument)
            sentences.append(
                phrase(
                    "other-instrument",
                    instrument=symbol_text(other.instrument),
                    key=key_text(key),
                    sounding=key_text(sounding),
                )
            )
        if other.capo is not None:
            sounding, key = key, under_capo(key, other.capo)
            sentences.append(phrase("other-capo", fret=other.capo, key=key_text(key), sounding=key_text(sounding)))
    except KeyProblem as problem:
        raise ExplainError(_told(problem)) from None
    return lesson_in(lesson, key), sentences


def symbol_lines(symbols: Iterable[Met], glossary: Glossary) -> Iterator[str]:
    """Yield a line a measure: its symbols, as they are read."""
    by_measure: dict[int, list[str]] = {}
    for met in symbols:
        by_measure.setdefault(met.measure, []).append(
            symbol_text(symbol_of(met.chord, glossary)) if met.chord else "N.C."
        )
    for measure, names in by_measure.items():
        yield phrase("other-symbols", measure=measure, symbols="  ".join(names))


def tones_of(chord: Chord) -> list[Tone]:
    """Return a chord's tones from the root; a foreign bass stands first, since it is the lowest."""
    return [*([chord.bass] if chord.bass not in chord.tones else []), *chord.tones]


def _told(problem: KeyProblem) -> str:
    details = dict(zip(("found", "expected"), problem.details, strict=False))
    hint = nearest(str(details["found"]), INSTRUMENTS) if problem.problem == "no-instrument" else ""
    return phrase(problem.problem, **details) + (f"; {hint}" if hint else "")
