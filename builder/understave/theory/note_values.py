"""Lengths → the notes, rests and ties that write them: one note where one will do, cut at bar lines.

What begins or ends within a tuplet is cut at the beats around it, so that the tuplet closes there. A tuplet wider than
a beat stays whole where nothing starts within it but its own equal parts: three quarter-note triplets, not six eighths.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import lcm

from understave.theory.rhythms import Event, Measure, Meter, Rhythm, odd_part, recip_length, recip_token


@dataclass(frozen=True)
class Frame:
    """A measure to be filled: its number, place, length and meter; ``missing`` is what it lacks at its front."""

    number: int
    at: Fraction
    length: Fraction
    meter: Meter
    missing: Fraction = Fraction(0)

    @property
    def end(self) -> Fraction:
        """Where it ends."""
        return self.at + self.length

    def odd(self, place: Fraction) -> int:
        """Return the odd factor of a place in the measure: more than 1 within a tuplet."""
        return odd_part((place - self.at + self.missing).denominator)

    def beats(self) -> list[Fraction]:
        """Return where the beats start and end; a frame longer than its meter goes on in the last beat's length."""
        places, lengths = [self.at - self.missing], self.meter.beats()
        while places[-1] < self.end:
            places.append(places[-1] + lengths[min(len(places), len(lengths)) - 1])
        return places


@dataclass(frozen=True)
class Stretch:
    """A note or rest of any length, from ``at`` up to ``end``, in whole notes."""

    at: Fraction
    end: Fraction
    rests: bool = False
    held: bool = False
    """Whether a note sounds on from before, so that nothing new starts."""


def written(frames: Sequence[Frame], stretches: Sequence[Stretch], in_two: Collection[Fraction] = ()) -> Rhythm:
    """Return the rhythm of ``stretches`` that follow each other and fill the frames, in linear time.

    ``in_two`` holds where beats start that no wide tuplet may cover.
    """
    measures = []
    index = 0
    for frame in frames:
        while stretches[index].end <= frame.at:
            index += 1
        last = index
        while last < len(stretches) and stretches[last].at < frame.end:
            last += 1
        measures.append(_measure(frame, stretches[index:last], in_two))
    return Rhythm(tuple(measures))


def _measure(frame: Frame, stretches: Sequence[Stretch], in_two: Collection[Fraction]) -> Measure:
    """Return a measure of what lies in it of ``stretches``."""
    beats = frame.beats()
    wide = _wide_tuplets(frame, [*(max(one.at, frame.at) for one in stretches), frame.end], beats, in_two)
    events: list[Event] = []
    for one in stretches:
        at, end = max(one.at, frame.at), min(one.end, frame.end)
        cuts = [at, end] if at in wide else _cuts(frame, at, end, beats)
        tokens = [token for start, stop in pairwise(cuts) for token in _tokens(frame, start, stop)]
        for number, token in enumerate(tokens):
            held = not one.rests and (number > 0 or one.held or one.at < frame.at)
            holds = not one.rests and (number < len(tokens) - 1 or one.end > frame.end)
            events.append(Event(at, recip_length(token), token, one.rests, held, holds))
            at += recip_length(token)
    return Measure(frame.number, frame.at, frame.meter, tuple(events), frame.missing)


def _wide_tuplets(
    frame: Frame, borders: Sequence[Fraction], beats: Sequence[Fraction], in_two: Collection[Fraction]
) -> set[Fraction]:
    """Return the borders at which notes of a tuplet start that is cut into equal parts only."""
    wide: set[Fraction] = set()
    start = borders[0]
    inside: list[Fraction] = []
    for border in borders[1:]:
        if frame.odd(border) > 1:
            inside.append(border)
            continue
        if inside and frame.odd(start) == 1:
            part = (border - start) / lcm(*(frame.odd(place) for place in inside))
            equal = all(((place - start) / part).denominator == 1 for place in inside)
            covered = beats[bisect_left(beats, start) : bisect_left(beats, border)]
            if equal and part.numerator == 1 and not any(beat in in_two for beat in covered):
                wide |= {start, *inside}
        start, inside = border, []
    return wide


def _cuts(frame: Frame, at: Fraction, end: Fraction, beats: Sequence[Fraction]) -> list[Fraction]:
    """Return where a stretch is cut: at the first beat if it starts within a tuplet, at the last if it ends in one."""
    first, last = bisect_right(beats, at), bisect_left(beats, end) - 1
    cuts = {at, end}
    if first <= last and frame.odd(at) > 1:
        cuts.add(beats[first])
    if first <= last and frame.odd(end) > 1:
        cuts.add(beats[last])
    return sorted(cuts)


def _tokens(frame: Frame, at: Fraction, end: Fraction) -> Iterator[str]:
    """Yield the tokens that write a stretch, the longest first; each belongs to the tuplet that it stands in."""
    tuplet = frame.odd(at)
    token = recip_token(end - at, tuplet)
    if token:
        yield token
        return
    tuplet = lcm(tuplet, frame.odd(end))
    while at < end:
        token = _longest(end - at, tuplet)
        yield token
        at += recip_length(token)


def _longest(length: Fraction, tuplet: int) -> str:
    """Return the longest plain or dotted value of a tuplet that fits into a length."""
    plain = dotted = tuplet
    while Fraction(1, plain) > length:
        plain *= 2
    while Fraction(3, 2 * dotted) > length:
        dotted *= 2
    return f"{plain}" if 2 * dotted > 3 * plain else f"{dotted}."
