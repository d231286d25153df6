"""Counting: a rhythm → what is said at each place, and a count → the rhythms that it says, as JSON and as text."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import inf
from typing import Any

from understave.entries.faults import nearest
from understave.entries.rhythm_faults import rhythm_problem
from understave.entries.values import CountingSystem
from understave.phrases.catalogue import phrase
from understave.phrases.counting import count_sentences, measure_words
from understave.theory.counting import Count, Counted, System, count
from understave.theory.finding import beats_without_word, find
from understave.theory.rhythms import BEATS, Rhythm, RhythmError, parse_meter, parse_rhythm

Json = dict[str, Any]

USUAL_METER = "4/4"
"""The meter of a rhythm for which none is given."""

Systems = Mapping[str, CountingSystem]


class CountError(ValueError):
    """A rhythm, a meter, a beat, a system or a line can't be read; the message is one line."""


def count_rhythm(
    text: str, systems: Systems, system: str, meter: str = USUAL_METER, beat: str | None = None, each_beat: bool = False
) -> tuple[Rhythm, Counted]:
    """Return a rhythm written in recip tokens, and its count. Raises CountError."""
    entry = _system(system, systems)
    try:
        rhythm = parse_rhythm(text, parse_meter(meter))
        return rhythm, count(rhythm, entry.system, beat, each_beat)
    except RhythmError as error:
        raise _told(error) from None


def count_value(rhythm: Rhythm, counted: Counted, system: str) -> Json:
    """Return the value of ``understave count RHYTHM --json``."""
    return {
        "meter": str(rhythm.measures[0].meter),
        "system": system,
        "line": counted.line,
        "counts": [_place_value(one) for one in counted.counts],
    }


def _place_value(one: Count) -> Json:
    return {
        "measure": one.measure,
        "beat": one.beat,
        "in_beat": str(one.in_beat),
        "at": str(one.at),
        "length": str(one.length),
        "says": one.says,
        "sounds": one.sounds,
        "note": one.note or None,
    }


def count_title(rhythm: Rhythm, name: str) -> str:
    """Return what a rhythm's count stands under: its meter and the system's name."""
    return phrase("count-title", meter=rhythm.measures[0].meter, system=name)


def count_text(rhythm: Rhythm, counted: Counted, name: str) -> str:
    """Return a table of each measure, its notes over its count; the line; and why it is counted so."""
    lines = [count_title(rhythm, name), ""]
    for rows in _tables(rhythm, counted):
        lines += [*rows, ""]
    return "\n".join([*lines, counted.line, "", *count_sentences(counted)])


def _tables(rhythm: Rhythm, counted: Counted) -> Iterator[list[str]]:
    """Yield two rows for each measure: the tokens of its notes, and the words under them."""
    index = 0
    for measure in rhythm.measures:
        tokens = {event.at: event.written for event in measure.events}
        end = measure.end
        columns = []
        while index < len(counted.counts) and counted.counts[index].at < end:
            one = counted.counts[index]
            columns.append((tokens.get(one.at, ""), one.word))
            index += 1
        widths = [max(map(len, column)) for column in columns]
        heads = (measure_words(measure.number), "")
        side = len(heads[0])
        yield [
            "  ".join(
                [head.ljust(side), *(column[row].ljust(width) for column, width in zip(columns, widths, strict=True))]
            ).rstrip()
            for row, head in enumerate(heads)
        ]


def find_rhythms(
    line: str, systems: Systems, usual: str, system: str | None = None, meter: str | None = None
) -> tuple[str, tuple[Rhythm, ...]]:
    """Return the system of a count and the rhythms that it says, the plainest first.

    Without a system all are tried: that wins in which most beats have their own word, then the site's ``usual`` one,
    then the first by its id. Raises CountError.
    """
    names: Sequence[str] = [system] if system else [usual, *sorted(set(systems) - {usual})]
    found: list[tuple[int, str, tuple[Rhythm, ...]]] = []
    errors = []
    for name in names:
        own = _system(name, systems).system
        try:
            found.append((beats_without_word(line, own), name, find(line, own, parse_meter(meter) if meter else None)))
        except RhythmError as error:
            errors.append(error)
    if not found:
        raise _told(max(errors, key=_read_words))
    _, name, rhythms = min(found, key=lambda one: one[0])
    return name, rhythms


def _read_words(error: RhythmError) -> float:
    """Return how far a line was read before the error; what is wrong with the whole of it comes first."""
    return int(error.details[1]) if error.problem in ("unknown-word", "words-do-not-fit") else inf


def recounted(rhythms: Sequence[Rhythm], system: System) -> list[tuple[Rhythm, Counted]]:
    """Return the rhythms that a count says, each with its own count."""
    return [(rhythm, count(rhythm, system)) for rhythm in rhythms]


def find_value(system: str, rhythms: Sequence[Rhythm]) -> Json:
    """Return the value of ``understave count --find LINE --json``."""
    return {
        "system": system,
        "rhythms": [{"recip": rhythm.recip, "meter": str(rhythm.measures[0].meter)} for rhythm in rhythms],
    }


def find_text(name: str, rhythms: Sequence[Rhythm]) -> str:
    """Return the rhythms that a count says, a line each."""
    lines = [phrase("found-rhythm", meter=rhythm.measures[0].meter, recip=rhythm.recip) for rhythm in rhythms]
    return "\n".join([phrase("found-in-system", system=name), *(f"  {line}" for line in lines)])


def _system(name: str, systems: Systems) -> CountingSystem:
    if name not in systems:
        hint = nearest(name, systems)
        raise CountError(phrase("no-system", name=name, systems=", ".join(systems)) + (f"; {hint}" if hint else ""))
    return systems[name]


def _told(error: RhythmError) -> CountError:
    found, expected = rhythm_problem(error)
    hint = nearest(error.details[0], (*BEATS, "measure")) if error.problem == "no-beat" else ""
    return CountError("; ".join(filter(None, (phrase("found-expected", found=found, expected=expected), hint))))
