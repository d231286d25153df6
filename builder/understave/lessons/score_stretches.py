"""Scores cut into stretches at measures, beats or symbols, each with its notes and the bass that is held through it."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from typing import Literal

from understave.lessons.scores import Score, ScoreMeasure, ScoreNote
from understave.theory.hearing import SpanNote
from understave.theory.stretches import LEFT, StretchNote, first_bass
from understave.theory.tones import Pitch

Every = Literal["measure", "beat", "symbol"]

AROUND = Fraction(1)
"""How much before and after a stretch shows how its notes are reached and left, in whole notes."""


@dataclass(frozen=True)
class Stretch:
    """A stretch of a score: where it starts (``in_beat``, ``at`` and ``length`` in whole notes) and what sounds there.

    ``notes`` are timed from its start and hold those shortly before and after it too.
    """

    measure: ScoreMeasure
    beat: int
    in_beat: Fraction
    at: Fraction
    length: Fraction
    notes: tuple[StretchNote, ...]

    @property
    def beat_length(self) -> Fraction:
        """The length of the beat in which it starts, in whole notes."""
        return self.measure.meter.beats()[self.beat - 1]

    @property
    def sounding(self) -> list[StretchNote]:
        """The notes that sound within it."""
        return [note for note in self.notes if note.onset < self.length and note.end > 0]

    def span(self) -> list[SpanNote]:
        """Return what sounds within the stretch for the span model; the right hand is the upper part."""
        return [
            SpanNote(
                note.pitch,
                max(note.onset, Fraction(0)),
                min(note.end, self.length) - max(note.onset, Fraction(0)),
                int(note.hand == LEFT),
            )
            for note in self.sounding
        ]


def stretches(score: Score, every: Every) -> list[Stretch]:
    """Return a score's stretches in the order of its pages, each once.

    A symbol lasts until the next one; nothing stands before the first.
    """
    notes = joined(score.notes)
    near: list[ScoreNote] = []
    waiting = 0
    found = []
    for start, end in _cuts(score, every):
        while waiting < len(notes) and notes[waiting].at < end + AROUND:
            near.append(notes[waiting])
            waiting += 1
        near = [note for note in near if note.at + note.length >= start - AROUND]
        around = tuple(StretchNote(note.pitch, note.at - start, note.length, note.hand) for note in near)
        found.append(Stretch(score.measure_at(start), *score.beat_at(start), start, end - start, around))
    return found


def _cuts(score: Score, every: Every) -> Iterator[tuple[Fraction, Fraction]]:
    if every == "symbol":
        end = max(score.measures[-1].at + score.measures[-1].length, score.symbols[-1].at if score.symbols else 0)
        times = sorted({symbol.at for symbol in score.symbols})
        yield from zip(times, [*times[1:], end], strict=True) if times else ()
        return
    for measure in score.measures:
        end = measure.at + measure.length
        if every == "measure":
            yield measure.at, end
            continue
        edges = [edge for edge in _beat_edges(measure) if measure.at < edge < end]
        yield from pairwise([measure.at, *edges, end])


def _beat_edges(measure: ScoreMeasure) -> Iterator[Fraction]:
    """Yield where the beats of a measure after its first begin."""
    at = measure.at - measure.missing
    for length in measure.meter.beats()[:-1]:
        at += length
        yield at


def basses(score: Score, found: Sequence[Stretch], roots: Sequence[int | None]) -> list[Pitch | None]:
    """Return the bass of each stretch, None where nothing sounds. ``roots`` has the likeliest root of each.

    A bass once struck and then held, pedaled or outlined by a broken chord stays the bass until the next symbol or
    pedal change; where no symbols stand, until the measure or the root changes.
    """
    symbols = [symbol.at for symbol in score.symbols]
    pedals = [mark.at for mark in score.pedals]
    bass: Pitch | None = None
    struck, struck_root = 0, None
    kept: list[Pitch | None] = []
    for place, (stretch, root) in enumerate(zip(found, roots, strict=True)):
        sounding = stretch.sounding
        if not sounding:
            kept.append(None)
            continue
        own = first_bass(sounding, stretch.length, stretch.beat_length)
        since = found[struck].at
        stays = (
            bass is not None
            and own.key > bass.key
            and bisect_right(symbols, since) == bisect_right(symbols, stretch.at)
            and (
                _is_pedaled(score, pedals, since, stretch.at)
                or (
                    stretch.measure is found[struck].measure
                    and (bisect_right(symbols, since) > 0 or root == struck_root)
                    and _is_outlined(bass, own, stretch)
                )
            )
        )
        if not stays:
            bass, struck, struck_root = own, place, root
        kept.append(bass)
    return kept


def _is_pedaled(score: Score, times: Sequence[Fraction], since: Fraction, until: Fraction) -> bool:
    """Return whether the pedal is down at ``since`` and not moved up to ``until``; ``times`` are those of its marks."""
    before = bisect_right(times, since)
    return before > 0 and score.pedals[before - 1].does != "stop" and bisect_right(times, until) == before


def _is_outlined(bass: Pitch, own: Pitch, stretch: Stretch) -> bool:
    """Return whether the lowest note of a stretch goes on with a chord that was begun on ``bass``.

    It is reached by leap and no longer than the beat; a step or a long note is a new bass.
    """
    lengths = [note.duration for note in stretch.sounding if note.pitch == own]
    return own.key - bass.key > 2 and max(lengths) <= stretch.beat_length


def joined(notes: Sequence[ScoreNote]) -> list[ScoreNote]:
    """Return notes by onset, those that are tied together as one long note."""
    whole: list[ScoreNote] = []
    open_at: dict[tuple[Pitch, str, Fraction], int] = {}
    for note in sorted(notes, key=lambda note: note.at):
        place = open_at.pop((note.pitch, note.hand, note.at), None) if note.held else None
        if place is None:
            place = len(whole)
            whole.append(note)
        else:
            whole[place] = replace(whole[place], length=whole[place].length + note.length)
        open_at[note.pitch, note.hand, note.at + note.length] = place
    return whole
