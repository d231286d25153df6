"""A printed symbol against what sounds under it: whether both agree, and if not, how.

The symbol sums up what both hands play: melody notes may pass outside it, and a fifth that nobody plays is ordinary
(common practice).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from understave.theory.chords import Chord, usually_left_out
from understave.theory.naming import Extra, Naming
from understave.theory.stretches import LEFT, RIGHT, StretchNote, extras, foreign_roles
from understave.theory.tones import Degree, Pitch

Kind = Literal["agrees", "tone-left-out", "likelier", "contradicts"]

UNEXPLAINED_FROM = Fraction(1, 5)
"""The share of all sound from which unexplained notes speak for another name."""

CLASH_FROM = Fraction(1, 10)
"""The share of all sound from which another size of a missing degree contradicts the symbol."""

CLOSE = 5
"""How many points behind the likeliest name the symbol may lie and still agree."""

_FIFTH = Degree(5)
_STRAY = ("unexplained", "pedal")

Held = tuple[tuple[Pitch, Degree], ...]
"""A hand's pitches from low to high, each with its degree above the symbol's root."""


@dataclass(frozen=True)
class Verdict:
    """How a symbol and its stretch agree: what is ``missing`` of it, what is ``extra``, and both hands by degree."""

    kind: Kind
    missing: tuple[Degree, ...]
    extra: tuple[Extra, ...]
    left: Held
    right: Held


def judge(
    symbol: Chord,
    notes: Sequence[StretchNote],
    length: Fraction,
    beat: Fraction,
    bass: Pitch,
    namings: Sequence[Naming],
) -> Verdict:
    """Return how ``symbol`` agrees with a stretch ``length`` whole notes long; ``namings`` are its likeliest names.

    ``bass`` is the lowest note that counts. Something must sound.
    """
    found = foreign_roles(notes, length, beat)
    degrees = {tone.pitch_class: degree for tone, degree in zip(symbol.tones, symbol.degrees, strict=True)}
    own = {*degrees, symbol.bass.pitch_class}
    sounding = {note.pitch.key % 12 for note, _ in found} | {bass.key % 12}
    missing = tuple(degree for key, degree in degrees.items() if key not in sounding)
    extra = extras(found, symbol.root, own, bass, length)
    shares = _shares(note for note, _ in found)
    stray = {one.pitch.key % 12 for one in extra if one.role in _STRAY}
    is_bass_other = bass.key % 12 != symbol.bass.pitch_class
    kind = _kind(symbol, missing, shares, stray, is_bass_other, namings)
    held = [_held(symbol, degrees, (note for note, _ in found if note.hand == hand)) for hand in (LEFT, RIGHT)]
    return Verdict(kind, missing, extra, held[0], held[1])


def _kind(
    symbol: Chord,
    missing: Sequence[Degree],
    shares: dict[int, Fraction],
    stray: set[int],
    is_bass_other: bool,
    namings: Sequence[Naming],
) -> Kind:
    left_out = {*usually_left_out(symbol.degrees), _FIFTH}
    telling = [degree for degree in missing if degree not in left_out]
    unexplained = sum((shares.get(key, Fraction(0)) for key in stray), Fraction(0))
    fits = not telling and unexplained < UNEXPLAINED_FROM
    if _clashes(symbol, telling, shares) or (Degree(1) in telling and len(telling) > 1):
        return "contradicts"
    best = namings[0] if namings else None
    is_other = best is not None and _keys(best.chord) != _keys(symbol)
    is_near = any(_keys(one.chord) == _keys(symbol) and one.cost <= namings[0].cost + CLOSE for one in namings)
    if (fits or (is_near and not telling)) and not is_bass_other:
        return "agrees"
    if telling and unexplained < UNEXPLAINED_FROM and Degree(1) not in telling and not is_bass_other:
        return "tone-left-out"
    if best is not None and is_other and not best.missing and not fits:
        return "likelier"
    if fits and is_bass_other and best is not None and best.chord.bass.pitch_class != symbol.bass.pitch_class:
        return "likelier"
    if telling:
        return "tone-left-out"
    return "likelier" if is_other and unexplained >= UNEXPLAINED_FROM else "agrees"


def _keys(chord: Chord) -> frozenset[int]:
    return frozenset(tone.pitch_class for tone in chord.tones)


def _clashes(symbol: Chord, telling: Iterable[Degree], shares: dict[int, Fraction]) -> bool:
    """Tell whether another size of a missing third, fifth or seventh sounds for long: E♭ under a C major symbol."""
    own = {tone.pitch_class for tone in symbol.tones}
    root = symbol.root.pitch_class
    for degree in telling:
        if degree.number not in (3, 5, 7):
            continue
        others = {(root + Degree(degree.number, size).semitones) % 12 for size in (-1, 0, 1)} - own
        near = {key for key in others if abs((key - root) % 12 - degree.semitones % 12) == 1}
        if any(shares.get(key, Fraction(0)) >= CLASH_FROM for key in near):
            return True
    return False


def _shares(notes: Iterable[StretchNote]) -> dict[int, Fraction]:
    """Return the share of all sound that each pitch class has."""
    times: dict[int, Fraction] = {}
    for note in notes:
        times[note.pitch.key % 12] = times.get(note.pitch.key % 12, Fraction(0)) + note.duration
    whole = sum(times.values(), Fraction(0))
    return {key: time / whole for key, time in times.items()}


def _held(symbol: Chord, degrees: dict[int, Degree], notes: Iterable[StretchNote]) -> Held:
    pitches = sorted({note.pitch for note in notes}, key=lambda pitch: (pitch.key, pitch.line))
    return tuple((pitch, degrees.get(pitch.key % 12) or symbol.root.degree_of(pitch.tone)) for pitch in pitches)
