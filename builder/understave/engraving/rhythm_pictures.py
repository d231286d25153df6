"""Rhythms on a single line, beamed by the beat, with what is said under the notes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import count as count_up
from math import lcm

from understave.engraving import mei
from understave.engraving.pictures import Picture
from understave.theory.counting import Count
from understave.theory.rhythms import Event, Measure, Rhythm
from understave.theory.together import Together

RHYTHM_OPTIONS = (("pageWidth", 700), ("spacingNonLinear", 0.55), ("measureMinWidth", 8))


def rhythm_picture(rhythm: Rhythm, counts: Sequence[Count], scale: float = 0.6) -> Picture:
    """Return a rhythm with its count; places where nothing new starts stand in brackets."""
    measures = []
    names = (f"e{number}" for number in count_up())
    previous = None
    for index, measure in enumerate(rhythm.measures):
        content = "".join(_chunk_content(chunk, _beat_ends(measure), names) for chunk in _chunks(measure))
        change = "" if previous in (None, measure.meter) else _meter_change(measure)
        last = index == len(rhythm.measures) - 1
        measures.append(change + mei.measure([content], "".join(_words(measure, counts)), last=last))
        previous = measure.meter
    first = rhythm.measures[0].meter
    definition = mei.rhythm_staff("+".join(map(str, first.groups)), first.unit)
    drawn = tuple(f"e{number}" for number in range(len(rhythm.events)))
    return Picture(mei.document(definition, measures), RHYTHM_OPTIONS, scale=scale, notes=drawn)


def hands_picture(both: Together, counts: Sequence[Count], scale: float = 0.6) -> Picture:
    """Return two hands' rhythms over the one count that both share."""
    names = (f"e{number}" for number in count_up())
    measures = []
    last = len(both.right.measures) - 1
    for index, hands in enumerate(zip(both.right.measures, both.left.measures, strict=True)):
        staves = [
            "".join(_chunk_content(chunk, _beat_ends(measure), names, stem) for chunk in _chunks(measure))
            for measure, stem in zip(hands, ("up", "down"), strict=True)
        ]
        change = "" if index == 0 or hands[0].meter == both.right.measures[index - 1].meter else _meter_change(hands[0])
        measures.append(change + mei.measure(staves, "".join(_words(hands[0], counts, 2)), last=index == last))
    first = both.right.measures[0].meter
    definition = mei.hands_staves("+".join(map(str, first.groups)), first.unit)
    drawn = tuple(f"e{number}" for number in range(len(both.right.events) + len(both.left.events)))
    return Picture(mei.document(definition, measures), RHYTHM_OPTIONS, scale=scale, notes=drawn)


def _meter_change(measure: Measure) -> str:
    groups = "+".join(map(str, measure.meter.groups))
    return f'<scoreDef meter.count="{groups}" meter.unit="{measure.meter.unit}"/>'


def _words(measure: Measure, counts: Sequence[Count], staff: int = 1) -> Iterator[str]:
    for one in counts:
        if one.measure == measure.number:
            place = (one.at - measure.at) * measure.meter.unit + 1
            yield mei.word_below(one.word, f"{float(place):.5f}".rstrip("0").rstrip("."), staff)


def _beat_ends(measure: Measure) -> list[Fraction]:
    ends, at = [], measure.at - measure.missing
    for length in measure.meter.beats():
        at += length
        ends.append(at)
    return ends


def _beat_of(at: Fraction, ends: list[Fraction]) -> int:
    return next((number for number, end in enumerate(ends) if at < end), len(ends))


def _chunks(measure: Measure) -> Iterator[list[Event]]:
    """Yield stretches of plain notes, and the notes of each tuplet together, up to a beat's end."""
    ends = _beat_ends(measure)
    chunk: list[Event] = []
    for event in measure.events:
        if chunk and chunk[-1].tuplet != event.tuplet:
            yield chunk
            chunk = []
        chunk.append(event)
        end = event.at + event.length
        total = end - chunk[0].at
        if event.tuplet != 1 and total.denominator & (total.denominator - 1) == 0 and end in ends:
            yield chunk
            chunk = []
    if chunk:
        yield chunk


def _chunk_content(chunk: list[Event], ends: list[Fraction], names: Iterator[str], stem: str = "up") -> str:
    runs = list(_runs(chunk, ends))
    inner = "".join(_run_content(run, names, stem) for run in runs)
    if chunk[0].tuplet == 1:
        return inner
    count, base = _ratio(chunk)
    # a bracket is left out only where one beam already holds the whole figure together
    visible = "false" if len(runs) == 1 and len(chunk) > 1 else "true"
    place = "above" if stem == "up" else "below"
    marks = f'num="{count}" numbase="{base}" num.place="{place}" bracket.place="{place}" bracket.visible="{visible}"'
    return f"<tuplet {marks}>{inner}</tuplet>"


def _runs(chunk: list[Event], ends: list[Fraction]) -> Iterator[list[Event]]:
    """Yield notes that share a beam: short notes of one beat with no rest between; all others alone."""
    run: list[Event] = []
    for event in chunk:
        short = _note_value(event) >= 8 and not event.rests
        if run and not (short and _beat_of(event.at, ends) == _beat_of(run[0].at, ends)):
            yield run
            run = []
        if short:
            run.append(event)
        else:
            yield [event]
    if run:
        yield run


def _run_content(run: list[Event], names: Iterator[str], stem: str) -> str:
    notes = "".join(_element(event, next(names), stem) for event in run)
    return f"<beam>{notes}</beam>" if len(run) > 1 else notes


def _ratio(group: list[Event]) -> tuple[int, int]:
    """Return how many of the smallest notes the tuplet holds, and how many plain ones they stand for."""
    smallest = lcm(*(int(event.token.rstrip(".")) for event in group))
    total = sum((event.length for event in group), Fraction(0))
    odd = group[0].tuplet
    base = 1 << (odd.bit_length() - 1)
    count = int(total * smallest)
    return count, count * base // odd


def _note_value(event: Event) -> int:
    """Return the written value of an event, its tuplet taken away: 8 for a triplet eighth."""
    odd = event.tuplet
    return int(event.token.rstrip(".")) * (1 << (odd.bit_length() - 1)) // odd


def _element(event: Event, name: str, stem: str) -> str:
    dots = event.token.count(".")
    values = f'xml:id="{name}" dur="{_note_value(event)}"' + (f' dots="{dots}"' if dots else "")
    if event.rests:
        return f'<rest {values} loc="0"/>'
    tie = {(True, True): "m", (True, False): "t", (False, True): "i"}.get((event.held, event.holds), "")
    return f'<note {values} loc="0" stem.dir="{stem}"' + (f' tie="{tie}"' if tie else "") + "/>"
