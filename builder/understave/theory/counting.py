"""Counting: what is said at every place of a rhythm, in how many parts each beat is counted, and why.

One counts with the smallest division that the passage needs and no smaller; a beat in three takes three even
syllables (common practice). The walk, all of it on tables and exact numbers:

What it decides is in the rows of `counting_rules.py`.

1. A measure's beats come from its meter (``Meter.beats``), from the system (Gordon's in 3/4) or from who counts.
   Number systems count the small notes of an asymmetric meter's groups: there each of them is walked as a beat.
2. A beat needs as many equal parts as put each of its notes, rests and ties on a part: the least common multiple of
   the denominators of their places in the beat. A triplet's note asks for three, however long it is.
3. Beats in two take the finest division of all beats in two, beats in three take three, all others what they need.
4. A table for each division gives the word of each part. Where a system has no list for a division, the parts that
   a coarser list of the same kind names keep its words and the rest have none.

A system by value needs no beat: it says each note by its length, or several in a row as one figure.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property, lru_cache
from itertools import pairwise
from math import gcd, lcm
from typing import NamedTuple

from understave.theory.deciding import Facts, beat_facts, decided, facts_of, parts_amounts, passage_facts
from understave.theory.rhythms import BEATS, Event, Measure, Meter, Rhythm, RhythmError, recip_token, tuplet_of

POSITION_LISTS = (2, 3, 4, 6)
"""The divisions of a beat for which a system by position has words."""

NO_WORD = "–"
"""What the line shows where a system has no word."""


@dataclass(frozen=True)
class PositionSystem:
    """A system that says where in the beat a note falls: words for each division; ``n`` is the beat's number.

    ``beats`` picks another beat for some meters: Gordon's beat in 3/4 is the measure.
    """

    words: dict[int, tuple[str, ...]]
    beats: dict[str, str] = field(default_factory=dict)

    @cached_property
    def numbers(self) -> bool:
        """Whether beats are said as numbers."""
        return any("n" in words for words in self.words.values())

    @cached_property
    def _tables(self) -> dict[int, tuple[str | None, ...]]:
        return dict(self.words)

    def words_at(self, parts: int) -> tuple[str | None, ...]:
        """Return the word of each of ``parts`` equal parts of a beat; None where the system has none.

        A part that a coarser list of the same kind names keeps that word: the quarters of a beat among its eighths,
        the thirds among its sixths. The beat itself always keeps its own.
        """
        if parts not in self._tables:
            self._tables[parts] = self._words_of_coarser_lists(parts)
        return self._tables[parts]

    def _words_of_coarser_lists(self, parts: int) -> tuple[str | None, ...]:
        beat = next(iter(self.words.values()))[0]
        same_kind = [d for d in sorted(self.words) if parts % d == 0 and (parts % 3 == 0) == (d % 3 == 0)]
        return (
            beat,
            *(
                next((self.words[d][part * d // parts] for d in same_kind if part * d % parts == 0), None)
                for part in range(1, parts)
            ),
        )


@dataclass(frozen=True)
class ValueSystem:
    """A system that says how long a note is: words for recip tokens, or for several in a row."""

    words: dict[tuple[str, ...], tuple[str, ...]]


System = PositionSystem | ValueSystem


class Count(NamedTuple):
    """One place of the count. ``says`` is None where the system has no word; ``note`` is an id or empty.

    ``in_beat``, ``at`` and ``length`` are in whole notes; ``beat`` counts from 1. The notes are ``held``, ``rest`` and
    ``no-word``. A tuple and no dataclass, since there is one for each place of each bar and a tuple is made faster.
    """

    measure: int
    beat: int
    in_beat: Fraction
    at: Fraction
    length: Fraction
    says: str | None
    sounds: bool
    note: str = ""

    @property
    def word(self) -> str:
        """The word in the line: in brackets where no new note starts, a dash where the system has none."""
        said = self.says or NO_WORD
        return said if self.sounds else f"({said})"


@dataclass(frozen=True, slots=True)
class CountedBeat:
    """A beat and the equal parts that it is counted in.

    ``needs`` is what its own notes need, ``parts`` what is counted, ``feel`` 2 or 3 where its notes divide it so, else
    0. ``why`` is an id: ``whole`` (nothing starts within it), ``smallest`` (its shortest notes ask for it),
    ``passage`` (only other beats ask for it), ``triplet``, ``triplet-grid`` (its notes are longer than the parts of
    the triplet), ``dotted`` (the beat has three parts of its own), ``group`` (the small notes of an asymmetric
    meter), ``tuplet`` and ``by-notes`` (too fine to be counted out).
    """

    measure: int
    beat: int
    at: Fraction
    length: Fraction
    needs: int
    parts: int
    feel: int
    why: str

    @property
    def unit(self) -> Fraction:
        """The length of one counted part, in whole notes."""
        return self.length / self.parts


@dataclass(frozen=True, slots=True)
class FeelChange:
    """Where the feel goes from three to two or back, at the start of a beat.

    ``even`` is what stays the same over the change: ``beat``, ``part`` (the small notes, where a dotted beat meets a
    plain one) or ``nothing``.
    """

    measure: int
    beat: int
    before: int
    after: int
    even: str


@dataclass(frozen=True)
class Counted:
    """A rhythm counted: each place, each beat with its reason, and where the feel changes."""

    counts: tuple[Count, ...]
    walked: tuple[_Beat, ...] = field(repr=False)
    parts: tuple[int, ...] = field(repr=False)
    """In how many parts each beat was counted."""
    swung: bool = False
    """Whether the rhythm is swung: its halves sound long and short, and no feel changes."""

    @cached_property
    def beats(self) -> tuple[CountedBeat, ...]:
        """Each beat with its reason."""
        return tuple(map(_counted_beat, self.walked, self.parts))

    @property
    def line(self) -> str:
        """The count as it is said."""
        return " ".join(one.word for one in self.counts)

    @property
    def changes(self) -> tuple[FeelChange, ...]:
        """The changes between beats in two and beats in three, beats that nothing divides passed over.

        A swung passage has none: its halves already sound long and short.
        """
        if self.swung:
            return ()
        divided = [beat for beat in self.beats if beat.feel]
        return tuple(
            FeelChange(later.measure, later.beat, earlier.feel, later.feel, _even(earlier, later))
            for earlier, later in pairwise(divided)
            if earlier.feel != later.feel
        )


def _even(earlier: CountedBeat, later: CountedBeat) -> str:
    facts = facts_of(
        same_beat=earlier.length == later.length,
        same_part=earlier.length / earlier.feel == later.length / later.feel,
    )
    return decided("even", facts)


def count(rhythm: Rhythm, system: System, beat: str | None = None, each_beat: bool = False) -> Counted:
    """Return what is said at every place of ``rhythm``, in linear time.

    ``beat`` names another beat (a name of BEATS, or ``measure``); ``each_beat`` divides every beat by its own notes.
    Raises RhythmError for a beat that doesn't exist or doesn't fit the meter.
    """
    beats: list[_Beat] = []
    for measure in rhythm.measures:
        beats += _beats(measure, system, beat)
    parts = _parts(beats, each_beat)
    counts: list[Count] = []
    if isinstance(system, PositionSystem):
        for one, number in zip(beats, parts, strict=True):
            if number:
                counts += _places(one, number, system.words_at(number))
            else:
                counts += _note_places(one, system.words_at(1)[0])
    else:
        counts += _by_value(rhythm, system, beats)
    return Counted(tuple(counts), tuple(beats), tuple(parts), rhythm.swung)


def beat_length(name: str, meter: Meter) -> Fraction:
    """Return the length of a beat by name, in whole notes. Raises RhythmError for an unknown one."""
    if name == "measure":
        return meter.length
    if name not in BEATS:
        raise RhythmError("no-beat", name)
    return BEATS[name]


_Ratios = tuple[tuple[int, int], tuple[int, int], tuple[int, int]]


class Span(NamedTuple):
    """What is walked as a beat in every measure of a meter: a beat, or a small note of an asymmetric group."""

    number: int
    said: int
    """The number that number systems say."""
    in_beat: Fraction
    """Where it lies in the beat that ``number`` counts: after 0 only for small notes of a group."""
    at: Fraction
    """Where it lies in the measure."""
    length: Fraction
    dotted: bool
    """Whether the beat has three parts of its own."""
    ratios: _Ratios
    """``in_beat``, ``at`` and ``length`` as pairs of numbers, which hash faster than fractions."""
    common: int
    """The common denominator of all lengths that are walked in the measure."""
    group: int = 0
    """The number of small notes in the beat, where it is a group of an asymmetric meter."""


class _Beat(NamedTuple):
    """One beat as it is counted: its place and the events that touch it. Whole numbers are ``ticks`` to the beat."""

    measure: int
    begin: Fraction
    """Where the measure's meter begins, in whole notes."""
    span: Span
    events: tuple[Event, ...]
    places: list[int]
    """Where the events start, in ticks from the beat's start: below 0 for one held from before."""
    ticks: int
    starts: int
    ends: int
    """Where the music begins and ends, in ticks: within the beat only where a measure is short."""
    needs: int
    """The number of equal parts that the beat's own notes and rests need."""
    facts: Facts
    """What kind of beat it is, for the rows that decide."""

    @property
    def at(self) -> Fraction:
        """Where the beat starts, in whole notes."""
        return self.begin + self.span.at


def spans_of(meter: Meter, system: System, beat: str | None = None) -> tuple[Span, ...]:
    """Return what is walked as a beat in a measure: its beats, or the small notes that number systems count in groups.

    Raises RhythmError for a beat that doesn't exist or doesn't fit the meter.
    """
    if isinstance(system, ValueSystem):
        return _spans(meter, False, beat)
    own = system.beats.get(str(meter)) if system.beats and beat is None else beat
    return _spans(meter, system.numbers, own)


@lru_cache(maxsize=256)
def _spans(meter: Meter, numbers: bool, beat: str | None) -> tuple[Span, ...]:
    spans: list[Span] = []
    lengths = meter.beats(None if beat is None else beat_length(beat, meter))
    small = Fraction(1, meter.unit)
    common = lcm(meter.unit, *(length.denominator for length in lengths))
    at = Fraction(0)
    for number, length in enumerate(lengths, 1):
        group = int(length * meter.unit) if beat is None and meter.asymmetric else 0
        if group and numbers:
            spans += [_span(number, n + 1, n * small, at + n * small, small, False, common) for n in range(group)]
        else:
            dotted = length.numerator % 3 == 0
            spans.append(_span(number, number, Fraction(0), at, length, dotted, common, group))
        at += length
    return tuple(spans)


def _span(
    number: int, said: int, in_beat: Fraction, at: Fraction, length: Fraction, dotted: bool, common: int, group: int = 0
) -> Span:
    ratios = in_beat.as_integer_ratio(), at.as_integer_ratio(), length.as_integer_ratio()
    return Span(number, said, in_beat, at, length, dotted, ratios, common, group)


def _span_beyond(spans: Sequence[Span], index: int) -> Span:
    """Return a span of a measure that is longer than its meter: it goes on in the last span's length."""
    last, more = spans[-1], index - len(spans) + 1
    at = last.at + more * last.length
    return _span(
        last.number + more, last.said + more, last.in_beat, at, last.length, last.dotted, last.common, last.group
    )


def _beats(measure: Measure, system: System, beat: str | None) -> Iterator[_Beat]:
    """Yield the beats of a measure that has music, on whole numbers: ticks from where its meter begins."""
    spans = spans_of(measure.meter, system, beat)
    events, begin = measure.events, measure.at - measure.missing if measure.missing else measure.at
    borders = [event.at for event in events]
    borders.append(measure.end)
    scale = lcm(spans[0].common, begin.denominator, *[border.denominator for border in borders])
    zero = _ticks(begin, scale)
    ticks = [border.numerator * (scale // border.denominator) - zero for border in borders]
    first, index, start, music, over = 0, 0, 0, ticks[0], ticks[-1]
    while start < over:
        span = spans[index] if index < len(spans) else _span_beyond(spans, index)
        length = _ticks(span.length, scale)
        end = start + length
        while ticks[first + 1] <= start:
            first += 1
        last = bisect_left(ticks, end, first, len(events))
        if last > first:
            places = [tick - start for tick in ticks[first:last]]
            touching = events[first:last]
            needs = _needs(places, length, span.dotted, touching)
            starts, ends = max(music - start, 0), min(over - start, length)
            facts = beat_facts(needs, span.dotted, span.group)
            yield _Beat(measure.number, begin, span, touching, places, length, starts, ends, needs, facts)
        start, index = end, index + 1


def _ticks(length: Fraction, scale: int) -> int:
    return length.numerator * (scale // length.denominator)


def _needs(places: Sequence[int], ticks: int, dotted: bool, events: Sequence[Event]) -> int:
    """Return the number of equal parts of a beat that put each event on one."""
    needs = 1
    for place in places:
        if place > 0:
            needs = lcm(needs, ticks // gcd(place, ticks))
    if needs % 3 and not dotted:
        for event in events:
            if tuplet_of(event.token) % 3 == 0:
                return needs * 3
    return needs


def _parts(beats: Sequence[_Beat], each_beat: bool) -> list[int]:
    """Return in how many parts each beat is counted; 0 where its notes are too fine to be counted out."""
    finest = max((beat.needs for beat in beats if "sets_finest" in beat.facts), default=1)
    passage = passage_facts(frozenset([beat.facts for beat in beats]), each_beat)
    parts = []
    for beat in beats:
        amounts = (0, beat.needs, beat.span.group, finest, 3)
        one, other = parts_amounts(beat.facts, passage)
        parts.append(max(amounts[one], amounts[other]))
    return parts


def _counted_beat(beat: _Beat, parts: int) -> CountedBeat:
    span = beat.span
    told = facts_of(
        parts_none=parts == 0,
        parts_one=parts == 1,
        parts_three=parts == 3,
        parts_needed=parts == beat.needs,
        parts_of_group=parts == span.group,
        wide=min(event.length for event in beat.events) * parts > span.length,
    )
    feel, why = int(decided("feel", beat.facts)), decided("why", beat.facts, told)
    return CountedBeat(beat.measure, span.number, beat.at, span.length, beat.needs, parts or beat.needs, feel, why)


@lru_cache(maxsize=4096)
def _grid(ratios: _Ratios, parts: int) -> tuple[Fraction, tuple[tuple[Fraction, Fraction], ...]]:
    """Return the length of equal parts of a span, and for each its place in the beat and in the measure."""
    in_beat, at, length = (Fraction(*ratio) for ratio in ratios)
    step = length / parts
    return step, tuple((in_beat + step * part, at + step * part) for part in range(parts))


def _places(beat: _Beat, parts: int, words: tuple[str | None, ...]) -> Iterator[Count]:
    """Yield the places of a beat, from where the music begins to where it ends."""
    measure, begin, span, events, places, ticks, starts, ends, *_ = beat
    length, grid = _grid(span.ratios, parts)
    number, said = span.number, str(span.said)
    beginning = {place * parts // ticks: event for place, event in zip(places, events, strict=True)}
    event = events[0]
    for part in range(-(-starts * parts // ticks), -(-ends * parts // ticks)):
        in_beat, in_measure = grid[part]
        says = words[part]
        if says == "n":
            says = said
        if part in beginning:
            event = beginning[part]
            at, sounds = event.at, not (event.rests or event.held)
        else:
            at, sounds = begin + in_measure, False
        yield Count(measure, number, in_beat, at, length, says, sounds, _note(says, sounds, event))


def _note_places(beat: _Beat, word: str | None) -> Iterator[Count]:
    """Yield a place for each note of a beat that is too fine to be counted out; only the beat itself has a word."""
    end = beat.at + beat.span.length * Fraction(beat.ends, beat.ticks)
    for event, place in zip(beat.events, beat.places, strict=True):
        at = max(event.at, beat.at)
        says = None if place > 0 else str(beat.span.said) if word == "n" else word
        sounds = place >= 0 and event.starts
        length = min(event.at + event.length, end) - at
        in_beat = beat.span.in_beat + at - beat.at
        yield Count(beat.measure, beat.span.number, in_beat, at, length, says, sounds, _note(says, sounds, event))


_PLACE_NOTES = {
    (no_word, starts, rests): decided("place_note", facts_of(no_word=no_word, starts=starts, rests=rests))
    for no_word in (False, True)
    for starts in (False, True)
    for rests in (False, True)
}


def _note(says: str | None, sounds: bool, event: Event) -> str:
    return _PLACE_NOTES[says is None, sounds, event.rests]


def _by_value(rhythm: Rhythm, system: ValueSystem, beats: Sequence[_Beat]) -> Iterator[Count]:
    """Yield each note, rest and tie; rests are silent, and so is what a tie adds to a note already said."""
    tokens = _sounding_tokens(rhythm)
    longest = max(map(len, system.words))
    starts = [beat.at for beat in beats]
    for measure in rhythm.measures:
        index = 0
        while index < len(measure.events):
            beat = beats[bisect_right(starts, measure.events[index].at) - 1]
            words = _figure_words(measure.events[index : index + longest], beat, system)
            for word in words or (_single_word(measure.events[index], system, tokens),):
                event = measure.events[index]
                yield _value_count(beats[bisect_right(starts, event.at) - 1], event, word)
                index += 1


def _sounding_tokens(rhythm: Rhythm) -> dict[Fraction, str]:
    """Return, for the place of every note, the recip token of all that sounds of it, ties included."""
    tokens: dict[Fraction, str] = {}
    start, length = Fraction(0), Fraction(0)
    for event in rhythm.events:
        if not event.held:
            start, length = event.at, Fraction(0)
        length += event.length
        tokens[start] = event.token if length == event.length else recip_token(length)
    return tokens


def _figure_words(events: Sequence[Event], beat: _Beat, system: ValueSystem) -> tuple[str, ...]:
    """Return the words of the longest figure at the front of ``events``, or nothing.

    A figure of several notes begins on a beat, or on a half or third of one and ends within it.
    """
    offset = events[0].at - beat.at
    if offset % (beat.span.length / (3 if beat.span.dotted else 2)):
        return ()
    for size in range(len(events), 1, -1):
        figure = events[:size]
        words = system.words.get(tuple(event.token + "r" * event.rests for event in figure))
        inside = not offset or figure[-1].at + figure[-1].length <= beat.at + beat.span.length
        if words and inside and not any(event.held or event.holds for event in figure):
            return words
    return ()


def _single_word(event: Event, system: ValueSystem, sounding: dict[Fraction, str]) -> str | None:
    if event.held:
        return None
    return system.words.get((sounding[event.at] + "r" * event.rests,), (None,))[0]


def _value_count(beat: _Beat, event: Event, word: str | None) -> Count:
    note = decided("value_note", facts_of(rests=event.rests, held=event.held, no_word=word is None))
    return Count(beat.measure, beat.span.number, event.at - beat.at, event.at, event.length, word, event.starts, note)
