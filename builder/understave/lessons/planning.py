"""Planning: what each lesson is the first to use at its level, and what it leans on from earlier ones.

Lessons are in the order of their dates. Whatever a score uses is a `Used`: a symbol, a chord type, a slash chord, an
added tone, a way to divide the beat, a key; a hand's span is new where it is wider than any before.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal, get_args

from understave.entries.glossary import Glossary
from understave.entries.lookup import parts_of, symbol_of
from understave.entries.values import AddedTone
from understave.lessons.demands import HANDS, demands_of
from understave.lessons.hands_rhythm import rhythm_of
from understave.lessons.lesson import Lesson, Met
from understave.lessons.score_files import ScoreError
from understave.theory.counting import System, count
from understave.theory.rhythms import RhythmError, recip_token

Kind = Literal["symbol", "chord-symbol", "inversion", "slash-chord", "added-tone", "division", "meter", "span", "key"]

KINDS: tuple[Kind, ...] = get_args(Kind)
"""What is told of, in this order."""


@dataclass(frozen=True)
class Used:
    """Something a lesson uses: its ``kind`` and ``name``, and the first ``measure`` with it (None for the whole).

    The name is a printed symbol; an entry's id for chord types, slash chords and added tones; the number of an
    inversion (1 to 3); the note value that a beat is divided into (8, 12) for a division; 6/8; a key's name. A span's
    name is the hand, its ``size`` the semitones.
    """

    kind: Kind
    name: str
    measure: int | None = None
    size: int = 0


@dataclass(frozen=True)
class Plan:
    """A lesson among others: what is ``new`` at its level, and what it ``leans`` on.

    The keys of ``leans`` are the ids of the lessons of its level that were the first to use it.
    """

    lesson: Lesson
    new: tuple[Used, ...]
    leans: dict[str, tuple[Used, ...]]


def plans(lessons: Iterable[Lesson], glossary: Glossary, system: System | None) -> dict[str, Plan]:
    """Return the plan of each lesson by its id; ``lessons`` in the order of their dates.

    Without a counting system no divisions are told of.
    """
    first: dict[str, dict[tuple[Kind, str], str]] = {}
    widest: dict[str, dict[str, int]] = {}
    found = {}
    for lesson in lessons:
        own, spans = first.setdefault(lesson.file.level, {}), widest.setdefault(lesson.file.level, {})
        new: list[Used] = []
        leans: dict[str, list[Used]] = {}
        for used in uses(lesson, glossary, system):
            if used.kind == "span":
                if used.size > spans.get(used.name, 0):
                    spans[used.name] = used.size
                    new.append(used)
            elif (earlier := own.get((used.kind, used.name))) is not None:
                leans.setdefault(earlier, []).append(used)
            else:
                own[used.kind, used.name] = lesson.id
                new.append(used)
        found[lesson.id] = Plan(lesson, tuple(new), {name: tuple(items) for name, items in leans.items()})
    return found


def uses(lesson: Lesson, glossary: Glossary, system: System | None) -> list[Used]:
    """Return what a lesson uses, each thing once, kind by kind and in the order of the score."""
    found: dict[tuple[Kind, str], Used] = {}
    for used in _all_uses(lesson, glossary, system):
        found.setdefault((used.kind, used.name), used)
    return sorted(found.values(), key=lambda used: KINDS.index(used.kind))


def _all_uses(lesson: Lesson, glossary: Glossary, system: System | None) -> Iterator[Used]:
    for met in lesson.symbols:
        yield from _of_symbol(met, glossary)
    if system is not None:
        yield from _divisions(lesson, system)
    for measure in lesson.score.measures:
        yield Used("meter", str(measure.meter), measure.number)
    if lesson.score.notes:
        for hand, grip in demands_of(lesson.score).widest.items():
            yield Used("span", hand, grip.measure, grip.span)
    yield Used("key", lesson.file.key)


def _of_symbol(met: Met, glossary: Glossary) -> Iterator[Used]:
    if met.chord is None:
        return
    parts = parts_of(met.chord, glossary)
    yield Used("symbol", symbol_of(met.chord, glossary), met.measure)
    for name in (parts.own or parts.base, *parts.added):
        if name is not None:
            kind: Kind = "added-tone" if isinstance(glossary.entries[name], AddedTone) else "chord-symbol"
            yield Used(kind, name, met.measure)
    if met.chord.bass == met.chord.root:
        return
    if met.chord.inversion is not None:
        yield Used("inversion", str(met.chord.inversion), met.measure)
    elif parts.slash is not None:
        yield Used("slash-chord", parts.slash, met.measure)


def _divisions(lesson: Lesson, system: System) -> Iterator[Used]:
    """Yield the parts that each hand's beats are counted in: eighths, triplet eighths, sixteenths."""
    for hand in HANDS:
        try:
            counted = count(rhythm_of(lesson.score, hand), system, each_beat=True)
        except (RhythmError, ScoreError):
            continue
        for beat in counted.beats:
            if beat.parts > 1:
                yield Used("division", recip_token(beat.length / beat.parts), beat.measure)
