"""Naming a score: the likeliest symbol of every measure, every beat, or every symbol's stretch, as JSON and as text."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from understave.answers.naming import naming_value, naming_why
from understave.entries.glossary import Glossary
from understave.entries.lookup import symbol_of
from understave.lessons.score_files import ScoreError
from understave.lessons.score_stretches import Every, Stretch, basses, stretches
from understave.lessons.scores import Score, load_score
from understave.phrases.catalogue import phrase
from understave.phrases.typesetting import degree_label, listed, pitch_text, symbol_text
from understave.theory.naming import Naming
from understave.theory.spans import guess_spans
from understave.theory.stretches import name_span
from understave.theory.tones import Pitch

Json = dict[str, Any]

SCORE_ENDINGS = (".musicxml", ".mxl", ".xml")


class ScoreNamingError(ValueError):
    """What was asked about a score can't be answered; the message is one line."""


def is_score(text: str) -> bool:
    """Return whether a text names a score rather than notes: a path that is there, or one that ends like a score."""
    try:
        return text.lower().endswith(SCORE_ENDINGS) or (bool(text.strip()) and Path(text).exists())
    except (OSError, ValueError):
        return False


def read_score(text: str, every: Every | None, cache: Path | None) -> tuple[Score, Every]:
    """Return a score and how it is to be cut. Raises ScoreNamingError for no score, or without a way to cut it."""
    if not is_score(text):
        raise ScoreNamingError(phrase("score-for-every", text=text[:60]))
    if every is None:
        raise ScoreNamingError(phrase("score-not-every", path=text))
    try:
        return load_score(Path(text), cache), every
    except ScoreError as error:
        raise ScoreNamingError(phrase("score-unreadable", path=text, reason=error)) from None


def score_namings(score: Score, every: Every) -> list[tuple[Stretch, tuple[Naming, ...], Pitch | None]]:
    """Return a score's stretches with their names, likeliest first, and the bass; a silent one has neither."""
    found = stretches(score, every)
    guesses = guess_spans([stretch.span() for stretch in found])
    roots = [guess[0].root.pitch_class if guess else None for guess in guesses]
    return [
        (
            stretch,
            name_span(stretch.notes, stretch.length, beat=stretch.beat_length, bass=bass, guesses=guess)
            if bass is not None
            else (),
            bass,
        )
        for stretch, bass, guess in zip(found, basses(score, found, roots), guesses, strict=True)
    ]


def name_score(score: Score, every: Every, glossary: Glossary) -> list[Json]:
    """Return the value of ``understave name SCORE --every measure|beat|symbol --json``."""
    return [
        {
            "measure": stretch.measure.number,
            "beat": stretch.beat,
            "in_beat": str(stretch.in_beat),
            "at": str(stretch.at),
            "namings": [naming_value(naming, glossary) for naming in namings],
        }
        for stretch, namings, _ in score_namings(score, every)
    ]


def name_score_text(score: Score, every: Every, glossary: Glossary) -> str:
    """Return the names as lines that a teacher could read out: measure, beat, symbol, why."""
    lines = [line for stretch, namings, _ in score_namings(score, every) for line in _lines(stretch, namings, glossary)]
    return "\n".join(lines or [phrase("score-no-symbols")])


def _lines(stretch: Stretch, namings: tuple[Naming, ...], glossary: Glossary) -> Iterator[str]:
    place = {"measure": stretch.measure.number, "beat": stretch.beat}
    where = phrase("score-place-in-beat", **place) if stretch.in_beat else phrase("score-place", **place)
    if not namings:
        yield phrase("score-silent", place=where)
        return
    best, *others = namings
    yield phrase(
        "score-symbol", place=where, symbol=symbol_text(symbol_of(best.chord, glossary)), why=naming_why(best, glossary)
    )
    if best.missing and best.why == "sums-up":
        yield "  " + phrase("naming-missing", degrees=listed([degree_label(degree) for degree in best.missing]))
    if best.extra:
        notes = [
            phrase(f"extra-{extra.role}", note=pitch_text(extra.pitch), degree=degree_label(extra.degree))
            for extra in best.extra
        ]
        yield "  " + phrase("naming-extra", notes=listed(notes))
    if others:
        symbols = ", ".join(symbol_text(symbol_of(other.chord, glossary)) for other in others)
        yield "  " + phrase("score-others", symbols=symbols)
