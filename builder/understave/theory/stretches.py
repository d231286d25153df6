"""Naming a stretch of music: notes with onsets, durations and hands → ranked names, and what each foreign note does.

A note outside of a chord weighs by how long it sounds, how it is reached and left, and where in the beat it falls: a
short note by step between two others hardly counts (common practice). Everything is summed in integers.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from math import lcm
from typing import NamedTuple

from understave.theory import naming_types as points
from understave.theory.chords import Chord, usually_left_out
from understave.theory.hearing import WHOLE
from understave.theory.keys import Key
from understave.theory.matches import missing_cost
from understave.theory.naming import SPELLINGS, Extra, Naming, NoNotesError, key_cost
from understave.theory.spans import AUGMENTED_SIXTHS, Guess
from understave.theory.symbols import suffix_degrees
from understave.theory.tones import Degree, Pitch, Tone, tone_at

LEFT, RIGHT = "left", "right"

ROLES = ("passing", "neighbor", "suspension", "anticipation", "pedal", "unexplained")
"""What a note outside of a chord may be."""

COUNTS: dict[str, tuple[int, int]] = {
    "passing": (8, 12),
    "neighbor": (8, 12),
    "anticipation": (6, 12),
    "suspension": (14, 14),
    "leaving by step": (18, 24),
    "unexplained": (32, 32),
}
"""How much a foreign note counts by what it does, off the beat and on it, out of WHOLE."""

MELODY_COUNTS = 12
"""How much a note of the right hand's tune counts for or against an added tone, out of WHOLE: tunes leave the chord
freely. For roots, thirds, fifths and sevenths it counts in full."""

FULLY_THERE = 6
"""The share of the time, out of WHOLE, from which a root, third, fifth or seventh counts as played."""

IN_THE_WAY = 12
"""The share of the time, out of WHOLE, from which any other tone counts as the chord's, and from which a foreign one
costs points.UNEXPLAINED."""

TUNE_SAYS = 4
"""How many times less a tune alone says of its chord than two hands do, where the music around suggests one."""

SUPPLIED = 8
HEARD_AROUND = 2
"""What it costs at most to lack a third or a seventh that the chords around suggest, and one that is heard there."""

ROOT_COSTS = (0, 5, 8, 10, 11, 12)
"""What a root costs by its place among the guesses; NO_GUESS for any other."""
NO_GUESS = 15
DOMINANT_BASS = 3
"""A lowered seventh under a major triad: the dominant seventh's third inversion says more (common practice)."""
OTHER_THIRD = 6
"""A third of another size than the guess on the same root has."""

_FIFTH = (Degree(1), Degree(5))
DOMINANT_SEVENTH = suffix_degrees("7")


@dataclass(frozen=True, slots=True)
class StretchNote:
    """A note: ``onset`` and ``duration`` in whole notes from the start of the stretch, and its ``hand``.

    A note that began before has an onset below 0. Notes that end before the stretch or begin after it are no part of
    it; they show how others are reached and left.
    """

    pitch: Pitch
    onset: Fraction
    duration: Fraction
    hand: str

    @property
    def end(self) -> Fraction:
        """When it stops."""
        return self.onset + self.duration


class _Lack(NamedTuple):
    """A degree of a type: its semitones ``above`` the root, what it costs to lack it, and from which share it's there.

    A seventh over a foreign bass has to be there as long as an added tone (``beside_bass``).
    """

    above: int
    cost: int
    there_from: int
    beside_bass: int


@dataclass(frozen=True)
class _Type:
    degrees: tuple[Degree, ...]
    cost: int
    lacks: tuple[_Lack, ...]
    bits: int
    third: int
    has_fourth_beside_third: bool


@lru_cache(maxsize=1)
def _types() -> tuple[_Type, ...]:
    types = []
    for suffix, cost in points.NAMED_TYPES.items():
        degrees = suffix_degrees(suffix)
        left_out = usually_left_out(degrees)
        lacks = tuple(
            _Lack(
                degree.semitones % 12,
                _lack_cost(degree, left_out, degrees),
                FULLY_THERE if degree.number in (1, 3, 5, 7) else IN_THE_WAY,
                FULLY_THERE if degree.number in (1, 3, 5) else IN_THE_WAY,
            )
            for degree in degrees
        )
        both = Degree(3) in degrees and Degree(11) in degrees and Degree(11) not in left_out
        bits = sum({1 << lack.above for lack in lacks})
        types.append(_Type(degrees, cost, lacks, bits, _third(degrees), both))
    return tuple(types)


def _lack_cost(degree: Degree, left_out: tuple[Degree, ...], degrees: tuple[Degree, ...]) -> int:
    """Return what it costs to lack a degree; a root and fifth can lack neither."""
    if len(degrees) == 2 and degree not in left_out:
        return points.MISSING_OTHER
    return missing_cost(degree, left_out)


def _third(degrees: Iterable[Degree]) -> int:
    return next((degree.semitones for degree in degrees if degree.number == 3), 0)


@dataclass(frozen=True)
class _Heard:
    """A stretch as it is weighed, by pitch class, out of WHOLE.

    ``weights`` is how much each counts as a root, third, fifth or seventh, ``colors`` how much as anything else.
    """

    notes: tuple[StretchNote, ...]
    roles: tuple[str, ...]
    weights: tuple[int, ...]
    colors: tuple[int, ...]
    spelled: Mapping[int, Tone]
    bass: Pitch
    around: frozenset[int]
    """What sounds in it and shortly before and after."""
    is_tune: bool
    """Whether it is a tune alone, which has no bass."""


def name_span(
    notes: Sequence[StretchNote],
    length: Fraction,
    *,
    beat: Fraction = Fraction(1, 4),
    bass: Pitch | None = None,
    key: Key | None = None,
    guesses: Sequence[Guess] = (),
) -> tuple[Naming, ...]:
    """Return the names of a stretch ``length`` whole notes long, likeliest first.

    ``bass`` is the lowest note where it is held from before; otherwise it is found in the stretch. ``guesses`` are what
    the music before and after suggests (`spans.guess_spans`); ``key`` breaks ties. An extra note's role is passing,
    neighbor, suspension, anticipation, pedal (a foreign bass) or unexplained. Raises NoNotesError if nothing sounds.
    """
    heard = _heard(notes, length, beat, bass)
    low = heard.bass.tone.pitch_class
    expected = _Expected.of(guesses)
    above = [_above(root, heard, expected) for root in range(12)]
    ranked = sorted(
        (_cost(root, kind, heard, expected), (root - low) % 12, place)
        for root in range(12)
        if heard.weights[root] or root in expected.roots
        for place, kind in enumerate(_types())
        if (kind.bits & above[root]).bit_count() * 2 >= len(kind.lacks)
    )
    best = ranked[0][0]
    namings = [
        _naming(heard, (low + from_bass) % 12, _types()[place], cost, length, guesses, expected)
        for cost, from_bass, place in ranked[: 2 * points.MOST_NAMINGS]
        if cost <= best + points.FAR_BEHIND
    ]
    namings.sort(key=lambda naming: naming.cost + key_cost(naming, key))
    return tuple(namings[: points.MOST_NAMINGS])


def _above(root: int, heard: _Heard, expected: _Expected) -> int:
    """Return what sounds, or is supplied by the music around, in bits of semitones above a root."""
    sounding = sum(1 << (key - root) % 12 for key, weight in enumerate(heard.weights) if weight)
    supplied = expected.supplied.get(root, frozenset())
    return sounding | 1 | sum(1 << semitones for semitones in supplied)


def foreign_roles(notes: Sequence[StretchNote], length: Fraction, beat: Fraction) -> list[tuple[StretchNote, str]]:
    """Return the notes that sound in a stretch, each with what it would be if the chord didn't have it."""
    starts: dict[tuple[str, Fraction], set[int]] = defaultdict(set)
    ends: dict[tuple[str, Fraction], set[int]] = defaultdict(set)
    for note in notes:
        starts[note.hand, note.onset].add(note.pitch.key)
        ends[note.hand, note.end].add(note.pitch.key)
    return [
        (note, _role(note, ends[note.hand, note.onset], starts[note.hand, note.end], length, beat))
        for note in notes
        if note.duration > 0 and note.onset < length and note.end > 0
    ]


def _role(note: StretchNote, came: set[int], goes: set[int], length: Fraction, beat: Fraction) -> str:
    """Return what a foreign note does (common practice): came and goes hold the keys of its hand before and after."""
    key = note.pitch.key
    below, above = {key - 1, key - 2}, {key + 1, key + 2}
    is_short = note.duration <= max(beat, length / 4)
    if (note.onset < 0 or key in came) and goes & (below | {key + 1}):
        return "suspension"
    if is_short and ((came & below and goes & above) or (came & above and goes & below)):
        return "passing"
    if is_short and came & goes & (below | above):
        return "neighbor"
    if is_short and key in goes and key not in came and note.onset % beat:
        return "anticipation"
    return "leaving by step" if goes & (below | above) else "unexplained"


# Weighing


def _heard(notes: Sequence[StretchNote], length: Fraction, beat: Fraction, bass: Pitch | None) -> _Heard:
    found = foreign_roles(notes, length, beat)
    if not found:
        raise NoNotesError("no notes")
    sounding = [note for note, _ in found]
    lowest = bass or first_bass(sounding, length, beat)
    weights, colors = [0] * 12, [0] * 12
    grid = lcm(length.denominator, *(d for n in sounding for d in (n.onset.denominator, n.duration.denominator)))
    for (note, role), is_melody in zip(found, _alone_on_top(sounding), strict=True):
        counts = COUNTS[role][not max(note.onset, Fraction(0)) % beat]
        time = int((min(note.end, length) - max(note.onset, Fraction(0))) * grid)
        weights[note.pitch.key % 12] += time * counts
        colors[note.pitch.key % 12] += time * (min(counts, MELODY_COUNTS) if is_melody else counts)
    whole = _time_sounding(sounding, length, grid)
    weights, colors = ([min(WHOLE, -(-weight // whole)) for weight in table] for table in (weights, colors))
    is_tune = _is_tune(sounding) and any(note.pitch == lowest for note in sounding)
    if not is_tune:
        weights[lowest.key % 12] = max(weights[lowest.key % 12], FULLY_THERE)
    roles = tuple(role for _, role in found)
    around = frozenset(note.pitch.key % 12 for note in notes)
    return _Heard(
        tuple(sounding), roles, tuple(weights), tuple(colors), _spelled(sounding, lowest), lowest, around, is_tune
    )


def _is_tune(sounding: Sequence[StretchNote]) -> bool:
    """Return whether one line of the right hand is all that sounds, and moves otherwise than a broken chord."""
    line = sorted(sounding, key=lambda note: note.onset)
    if any(note.hand == LEFT for note in line) or any(b.onset < a.end for a, b in pairwise(line)):
        return False
    return any(abs(a.pitch.key - b.pitch.key) <= 2 for a, b in pairwise(line)) or len(line) == 1


def first_bass(sounding: Sequence[StretchNote], length: Fraction, beat: Fraction) -> Pitch:
    """Return the bass that a stretch begins with: the lowest note of its first moment.

    A left hand that enters within the first beat has it, and so has a broken chord's lower note there, reached by leap.
    """
    soon = min(beat, length)
    chosen = [note for note in sounding if note.hand == LEFT and note.onset < soon] or sounding
    start = min(max(note.onset, Fraction(0)) for note in chosen)
    bass = _lowest(note for note in sounding if note.onset <= start)
    for note in sorted(chosen, key=lambda note: (note.onset, note.pitch.key)):
        if start < note.onset < start + soon and note.pitch.key < bass.key - 2 and note.duration < beat:
            bass = note.pitch
    return bass


def _lowest(notes: Iterable[StretchNote]) -> Pitch:
    return min((note.pitch for note in notes), key=lambda pitch: (pitch.key, pitch.line))


def _alone_on_top(sounding: Sequence[StretchNote]) -> list[bool]:
    """Return which notes the right hand strikes alone while the left hand plays as well."""
    struck: dict[Fraction, int] = defaultdict(int)
    for note in sounding:
        struck[note.onset] += note.hand == RIGHT
    has_left = any(note.hand == LEFT for note in sounding)
    return [has_left and note.hand == RIGHT and struck[note.onset] == 1 for note in sounding]


def _time_sounding(sounding: Sequence[StretchNote], length: Fraction, grid: int) -> int:
    """Return for how many steps of the grid anything sounds."""
    time, until = Fraction(0), Fraction(0)
    for note in sorted(sounding, key=lambda note: note.onset):
        start, end = max(note.onset, until), min(note.end, length)
        if end > start:
            time += end - start
            until = end
    return int(time * grid)


def _spelled(sounding: Sequence[StretchNote], bass: Pitch) -> dict[int, Tone]:
    """Return each pitch class as it is written longest, then as it is written first."""
    times: dict[int, dict[Tone, Fraction]] = defaultdict(lambda: defaultdict(Fraction))
    times[bass.key % 12][bass.tone] = Fraction(0)
    for note in sounding:
        times[note.pitch.key % 12][note.pitch.tone] += note.duration
    return {key: max(ways, key=lambda tone: ways[tone]) for key, ways in times.items()}


@dataclass(frozen=True)
class _Expected:
    """What the music around suggests: roots by pitch class, likeliest first, and the third above each (0 for none).

    ``supplied`` holds each root's third and seventh in semitones above it.
    """

    roots: Mapping[int, int]
    supplied: Mapping[int, frozenset[int]]

    @classmethod
    def of(cls, guesses: Sequence[Guess]) -> _Expected:
        chords: dict[int, tuple[Degree, ...]] = {}
        for tone, degrees in map(as_played, guesses):
            chords.setdefault(tone.pitch_class, degrees)
        return cls(
            {root: _third(degrees) for root, degrees in chords.items()},
            {root: frozenset(d.semitones for d in degrees if d.number in (3, 7)) for root, degrees in chords.items()},
        )

    def cost(self, root: int, third: int) -> int:
        """Return what it costs a chord to differ from what is suggested."""
        if not self.roots:
            return 0
        if root not in self.roots:
            return NO_GUESS
        place = list(self.roots).index(root)
        is_other = self.roots[root] and third and self.roots[root] != third
        return ROOT_COSTS[min(place, len(ROOT_COSTS) - 1)] + OTHER_THIRD * bool(is_other)


def _cost(root: int, kind: _Type, heard: _Heard, expected: _Expected) -> int:
    own = {(root + lack.above) % 12 for lack in kind.lacks}
    bass = None if heard.is_tune else heard.bass.key % 12
    is_slash = bass is not None and bass not in own
    supplied = expected.supplied.get(root, frozenset())
    lacking = foreign = 0
    for lack in kind.lacks:
        there_from = lack.beside_bass if is_slash else lack.there_from
        weights = heard.colors if is_slash or there_from == IN_THE_WAY else heard.weights
        price = lack.cost
        if lack.above in supplied:
            price = min(price, HEARD_AROUND if (root + lack.above) % 12 in heard.around else SUPPLIED)
        lacking += price * max(0, there_from - weights[(root + lack.above) % 12]) // there_from
    for pitch_class, weight in enumerate(heard.colors):
        if weight and pitch_class not in own and pitch_class != bass:
            foreign += points.UNEXPLAINED * min(weight, IN_THE_WAY) // IN_THE_WAY
    heard_cost = (lacking + foreign) // (TUNE_SAYS if heard.is_tune and expected.roots else 1)
    cost = kind.cost + expected.cost(root, kind.third) + heard_cost
    if kind.has_fourth_beside_third and not _meet(heard.notes, (root + 4) % 12, (root + 5) % 12):
        cost += points.UNEXPLAINED
    if bass is None:
        return cost
    if is_slash:
        return cost + _slash_cost(kind, (bass - root) % 12, lacking)
    number = next(degree.number for degree in kind.degrees if (root + degree.semitones) % 12 == bass)
    return cost + points.BASS_COSTS.get(number, points.OTHER_BASS)


def _meet(notes: Sequence[StretchNote], first: int, second: int) -> bool:
    """Return whether two pitch classes ever sound at once: a fourth that the third follows is no added tone."""
    until: dict[int, Fraction] = {}
    for note in sorted(notes, key=lambda note: note.onset):
        own = note.pitch.key % 12
        if own not in (first, second):
            continue
        other = first if own == second else second
        if other in until and until[other] > note.onset:
            return True
        until[own] = max(note.end, until.get(own, note.end))
    return False


def _slash_cost(kind: _Type, bass: int, lacking: int) -> int:
    """Return what a bass (in semitones above the root) costs a chord that doesn't have it."""
    cost = points.FOREIGN_BASS + (len(kind.degrees) if lacking else 0)
    if bass in (3, 4) and not kind.third:
        return cost + points.UNEXPLAINED
    return cost + (DOMINANT_BASS if bass == 10 and kind.third == 4 else 0)


def as_played(guess: Guess) -> tuple[Tone, tuple[Degree, ...]]:
    """Return the chord that a symbol can say: German and Italian sixths are read as dominant sevenths on their bass."""
    if guess.degrees not in AUGMENTED_SIXTHS:
        return guess.root, guess.degrees
    return guess.root.at(guess.degrees[1]), DOMINANT_SEVENTH


# Telling


def _naming(
    heard: _Heard,
    root_key: int,
    kind: _Type,
    cost: int,
    length: Fraction,
    guesses: Sequence[Guess],
    expected: _Expected,
) -> Naming:
    root, misspelled = _spelled_root(root_key, kind, heard.spelled, guesses)
    degrees = {root.at(degree).pitch_class: degree for degree in reversed(kind.degrees)}
    low = root if heard.is_tune else heard.bass.tone
    bass = root.at(degrees[low.pitch_class]) if low.pitch_class in degrees else low
    chord = Chord(root, kind.degrees, None if bass == root else bass)
    hands = [_hand(heard, hand, root, degrees) for hand in (LEFT, RIGHT)]
    missing = tuple(degree for key, degree in degrees.items() if not _sounds(heard, key))
    missing = tuple(sorted(missing, key=lambda degree: degree.rank))
    extra = extras(zip(heard.notes, heard.roles, strict=True), root, degrees, heard.bass, length)
    is_supplied = expected.roots.get(root_key) == kind.third
    why = _why(chord, missing, low.pitch_class not in degrees, misspelled, is_supplied)
    return Naming(chord, cost + points.MISSPELLED * misspelled, missing, extra, hands[0], hands[1], why)


def _sounds(heard: _Heard, key: int) -> bool:
    return (key == heard.bass.key % 12 and not heard.is_tune) or any(note.pitch.key % 12 == key for note in heard.notes)


def _spelled_root(key: int, kind: _Type, spelled: Mapping[int, Tone], guesses: Sequence[Guess]) -> tuple[Tone, int]:
    """Return the root's spelling that agrees best with the notes, and how many of them it spells otherwise."""
    guessed = (tone for tone, _ in map(as_played, guesses) if tone.pitch_class == key)
    written = (tone for tone in (spelled.get(key),) if tone)

    def misspelled(root: Tone) -> int:
        tones = {root.at(degree).pitch_class: root.at(degree) for degree in kind.degrees}
        return sum(tones.get(other, tone) != tone for other, tone in spelled.items())

    def accidentals(root: Tone) -> int:
        return sum(abs(root.at(degree).alteration) for degree in kind.degrees)

    choices = [*written, *guessed, *map(tone_at, SPELLINGS[key])]
    best = min(choices, key=lambda root: (misspelled(root), accidentals(root)))
    return best, misspelled(best)


def _hand(heard: _Heard, hand: str, root: Tone, degrees: Mapping[int, Degree]) -> tuple[tuple[Pitch, Degree], ...]:
    pitches = {note.pitch for note in heard.notes if note.hand == hand}
    return tuple(
        (pitch, degrees.get(pitch.key % 12) or root.degree_of(pitch.tone))
        for pitch in sorted(pitches, key=lambda pitch: (pitch.key, pitch.line))
    )


def extras(
    found: Iterable[tuple[StretchNote, str]], root: Tone, degrees: Container[int], bass: Pitch, length: Fraction
) -> tuple[Extra, ...]:
    """Return the pitches outside of a chord from low to high, each with what its longest note does.

    ``found`` comes from `foreign_roles`, ``degrees`` holds the chord's pitch classes. A foreign bass for half of the
    stretch or longer is a pedal.
    """
    longest: dict[Pitch, tuple[Fraction, str]] = {}
    for note, role in found:
        if note.pitch.key % 12 in degrees:
            continue
        is_pedal = note.pitch.key == bass.key and note.duration * 2 >= length
        role = "pedal" if is_pedal else "unexplained" if role == "leaving by step" else role
        if note.pitch not in longest or longest[note.pitch][0] < note.duration:
            longest[note.pitch] = (note.duration, role)
    return tuple(
        Extra(pitch, root.degree_of(pitch.tone), longest[pitch][1])
        for pitch in sorted(longest, key=lambda pitch: (pitch.key, pitch.line))
    )


def _why(chord: Chord, missing: Sequence[Degree], is_foreign_bass: bool, misspelled: int, is_supplied: bool) -> str:
    lacking = {degree.number for degree in missing}
    if chord.degrees == _FIFTH:
        return "open-fifth"
    if 1 in lacking:
        return "missing-root"
    if 3 in lacking and Degree(3) not in usually_left_out(chord.degrees):
        return "sums-up" if is_supplied else "missing-third"
    if is_foreign_bass:
        return "foreign-bass"
    if misspelled:
        return "respelled"
    if chord.inversion:
        return "inversion"
    return "missing-fifth" if lacking == {5} else "sums-up" if lacking else "whole"
