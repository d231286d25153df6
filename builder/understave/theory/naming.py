"""Naming what sounds: notes, by hand → names ranked by likelihood.

Both hands together make the chord; the lowest sounding note is the bass, whichever hand plays it. A name needs its
third or suspension, its seventh if it names one, and every altered or added tone; a missing fifth is ordinary (common
practice). The score's spelling is evidence, not law.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from understave.theory import naming_types as points
from understave.theory.chords import Chord, usually_left_out
from understave.theory.symbols import suffix_degrees
from understave.theory.tones import Degree, Pitch, Tone, parse_degree

MOST_NOTES = 88
"""A piano has no more keys."""


class NoNotesError(ValueError):
    """There is nothing to name, or more than hands can play."""


@dataclass(frozen=True)
class Extra:
    """A note that the name doesn't explain: its degree above the root, and what it is taken ``as`` (an id)."""

    pitch: Pitch
    degree: Degree
    role: str


@dataclass(frozen=True)
class Naming:
    """A name for sounding notes: the ``chord``, the degree of each note by hand, what is missing and what is extra.

    ``cost`` is in points, lower is likelier; ``why`` is the id of a reason.
    """

    chord: Chord
    cost: int
    missing: tuple[Degree, ...]
    extra: tuple[Extra, ...]
    left: tuple[tuple[Pitch, Degree], ...]
    right: tuple[tuple[Pitch, Degree], ...]
    why: str


@dataclass(frozen=True)
class _Type:
    """A chord type as naming matches it: bits are semitones above the root."""

    degrees: tuple[Degree, ...]
    bits: int
    cost: int
    missing_costs: tuple[tuple[int, int, Degree], ...]
    """For each degree: its bit, what it costs to lack it, and the degree."""


def _missing_cost(degree: Degree, left_out: tuple[Degree, ...]) -> int:
    if degree in left_out:
        return points.MISSING_USUAL
    match degree.number, degree.alteration:
        case 1, _:
            return points.MISSING_ROOT
        case 5, 0:
            return points.MISSING_FIFTH
        case 3, _:
            return points.MISSING_THIRD
    return points.MISSING_OTHER


@lru_cache(maxsize=1)
def _types() -> tuple[_Type, ...]:
    types = []
    for suffix, cost in points.NAMED_TYPES.items():
        degrees = suffix_degrees(suffix)
        left_out = usually_left_out(degrees)
        weights = tuple((1 << degree.semitones % 12, _missing_cost(degree, left_out), degree) for degree in degrees)
        types.append(_Type(degrees, sum({bit for bit, _, _ in weights}), cost, weights))
    return tuple(types)


@dataclass(frozen=True)
class _Match:
    """A type on a root (a pitch class) against a set of keys."""

    root: int
    type: _Type
    cost: int
    missing: tuple[Degree, ...]
    unexplained: int
    foreign_bass: bool


def _bits(pitch_classes: Iterable[int]) -> int:
    bits = 0
    for pitch_class in pitch_classes:
        bits |= 1 << pitch_class
    return bits


@lru_cache(maxsize=8192)
def _matches(sounding: int, bass: int) -> tuple[_Match, ...]:
    """Return the likeliest matches of a set of pitch classes (as bits) over a bass, cheapest first."""
    found = []
    for root in range(12):
        above = (sounding >> root | sounding << 12 - root) & 0xFFF
        for kind in _types():
            if (kind.bits & above).bit_count() * 2 < kind.bits.bit_count():
                continue
            match = _match(root, kind, above, (bass - root) % 12)
            if match is not None:
                found.append(match)
    found.sort(key=lambda match: (match.cost, (match.root - bass) % 12, len(match.type.degrees), match.type.cost))
    best = found[0]
    close = (match for match in found if match.cost <= best.cost + points.FAR_BEHIND)
    return tuple(match for match in close if not match.unexplained or best.unexplained)


def _match(root: int, kind: _Type, above: int, bass: int) -> _Match | None:
    missing, cost = [], kind.cost
    for bit, price, degree in kind.missing_costs:
        if not above & bit:
            missing.append(degree)
            cost += price
    extra = above & ~kind.bits
    foreign = bool(extra & 1 << bass)
    # a bass beside the chord makes a slash chord only under a chord that is whole without it
    if foreign and len(kind.degrees) - len(missing) < 3:
        return None
    unexplained = extra.bit_count() - foreign
    cost += points.UNEXPLAINED * unexplained
    cost += points.FOREIGN_BASS + len(kind.degrees) * (len(missing) > 0) if foreign else _bass_cost(kind, bass)
    return _Match(root, kind, cost, tuple(missing), unexplained, foreign)


def _bass_cost(kind: _Type, bass: int) -> int:
    number = next((degree.number for degree in kind.degrees if degree.semitones % 12 == bass), 0)
    return points.BASS_COSTS.get(number, points.OTHER_BASS)


def name_notes(left: Sequence[Pitch], right: Sequence[Pitch]) -> tuple[Naming, ...]:
    """Return the names of what two hands hold at one moment, likeliest first.

    Raises NoNotesError for no notes at all and for more than MOST_NOTES.
    """
    notes = [*left, *right]
    if not notes:
        raise NoNotesError("no notes")
    if len(notes) > MOST_NOTES:
        raise NoNotesError(f"{len(notes)} notes")
    lowest = min(notes, key=lambda pitch: (pitch.key, pitch.line))
    sounding = {pitch.tone.pitch_class: pitch.tone for pitch in notes}
    if len(sounding) == 1:
        return (_single(lowest, left, right),)
    namings = [
        _naming(match, lowest, sounding, left, right) for match in _matches(_bits(sounding), lowest.tone.pitch_class)
    ]
    namings.sort(key=lambda naming: naming.cost)
    return tuple(_distinct(namings))[: points.MOST_NAMINGS]


def whole_names(sounding: Mapping[int, Tone], bass: Tone) -> Iterator[Chord]:
    """Yield the chords whose tones are all that sounds over a bass, likeliest first; a missing fifth counts as there.

    ``sounding`` has the tone of each pitch class.
    """
    for match in _matches(_bits(sounding), bass.pitch_class):
        lacking = {degree.number for degree in match.missing} - {5}
        if not (lacking or match.unexplained or match.foreign_bass):
            root, _ = _spelled_root(match, dict(sounding))
            yield Chord(root, match.type.degrees, None if root == bass else bass)


def _distinct(namings: list[Naming]) -> Iterable[Naming]:
    seen = set()
    for naming in namings:
        key = (naming.chord.root, naming.chord.degrees, naming.chord.bass)
        if key not in seen:
            seen.add(key)
            yield naming


def _single(lowest: Pitch, left: Sequence[Pitch], right: Sequence[Pitch]) -> Naming:
    root = parse_degree("1")
    held = [tuple((pitch, root) for pitch in hand) for hand in (left, right)]
    missing = (parse_degree("3"), parse_degree("5"))
    return Naming(Chord(lowest.tone, (root,)), 0, missing, (), held[0], held[1], "single-note")


def _naming(
    match: _Match, lowest: Pitch, sounding: dict[int, Tone], left: Sequence[Pitch], right: Sequence[Pitch]
) -> Naming:
    root, misspelled = _spelled_root(match, sounding)
    bass = lowest.tone
    degrees = {root.at(degree).pitch_class: degree for degree in reversed(match.type.degrees)}
    own_bass = root.at(degrees[bass.pitch_class]) if bass.pitch_class in degrees else bass
    chord = Chord(root, match.type.degrees, None if own_bass == root else own_bass)
    hands = [
        tuple((pitch, degrees.get(pitch.tone.pitch_class) or root.degree_of(pitch.tone)) for pitch in hand)
        for hand in (left, right)
    ]
    extra = tuple(
        Extra(pitch, root.degree_of(pitch.tone), "bass" if pitch is lowest else "unexplained")
        for pitch in (*left, *right)
        if pitch.tone.pitch_class not in degrees
        and not (match.foreign_bass and pitch.key % 12 == lowest.key % 12 and pitch is not lowest)
    )
    cost = match.cost + points.MISSPELLED * misspelled
    return Naming(chord, cost, match.missing, extra, hands[0], hands[1], _why(match, chord, len(sounding), misspelled))


def _spelled_root(match: _Match, sounding: dict[int, Tone]) -> tuple[Tone, int]:
    """Return the root's spelling that agrees best with the notes, and how many of them it spells otherwise."""
    written = sounding.get(match.root)
    choices = [*([written] if written else []), *spellings(match.root)]

    def misspelled(root: Tone) -> int:
        tones = {root.at(degree).pitch_class: root.at(degree) for degree in match.type.degrees}
        return sum(tones.get(key, tone) != tone for key, tone in sounding.items())

    def accidentals(root: Tone) -> int:
        return sum(abs(root.at(degree).alteration) for degree in match.type.degrees)

    best = min(choices, key=lambda root: (misspelled(root), accidentals(root)))
    return best, misspelled(best)


@lru_cache(maxsize=12)
def spellings(pitch_class: int) -> tuple[Tone, ...]:
    """Return the tones with at most one accidental that sound at a pitch class, naturals and sharps first."""
    found = [tone for letter in "CDEFGAB" for a in (0, 1, -1) if (tone := Tone(letter, a)).pitch_class == pitch_class]
    return tuple(sorted(found, key=lambda tone: (tone.alteration != 0, tone.alteration < 0)))


def _why(match: _Match, chord: Chord, count: int, misspelled: int) -> str:
    missing = {degree.number for degree in match.missing}
    if count == 2 and chord.degrees == (parse_degree("1"), parse_degree("5")):
        return "open-fifth"
    if 1 in missing:
        return "missing-root"
    if 3 in missing and parse_degree("3") not in usually_left_out(chord.degrees):
        return "missing-third"
    if match.foreign_bass:
        return "foreign-bass"
    if misspelled:
        return "respelled"
    if chord.inversion:
        return "inversion"
    return "missing-fifth" if missing == {5} else "whole"


def name_keys(keys: Sequence[int]) -> tuple[Naming, ...]:
    """Return the names of keys without spelling: MIDI numbers, the lowest is the bass.

    Each candidate is taken in its own spelling, the one with the fewest accidentals.
    """
    if not keys:
        raise NoNotesError("no notes")
    lowest = min(keys)
    sounding = _bits(key % 12 for key in keys)
    if sounding.bit_count() == 1:
        tone = spellings(lowest % 12)[0]
        return (_single(_at_key(tone, lowest), [], [_at_key(tone, key) for key in sorted(keys)]),)
    found = []
    for match in _matches(sounding, lowest % 12)[: points.MOST_NAMINGS]:
        root = min(spellings(match.root), key=lambda root: sum(abs(root.at(d).alteration) for d in match.type.degrees))
        tones = {root.at(degree).pitch_class: root.at(degree) for degree in match.type.degrees}
        pitches = [_at_key(tones.get(key % 12) or _neighbor(root, key % 12), key) for key in sorted(keys)]
        spelled = {pitch.tone.pitch_class: pitch.tone for pitch in pitches}
        found.append(_naming(match, pitches[0], spelled, [], pitches))
    return tuple(found)


def _neighbor(root: Tone, pitch_class: int) -> Tone:
    """Return a tone for a key outside of the chord: the one nearest to the root on the line of fifths."""
    return min(spellings(pitch_class), key=lambda tone: abs(_fifths(tone) - _fifths(root)))


def _fifths(tone: Tone) -> int:
    return {"F": -1, "C": 0, "G": 1, "D": 2, "A": 3, "E": 4, "B": 5}[tone.letter] + 7 * tone.alteration


def _at_key(tone: Tone, key: int) -> Pitch:
    return Pitch(tone, (key - tone.key) // 12 - 1)
