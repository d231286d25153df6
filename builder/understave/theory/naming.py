"""Naming what sounds: notes, by hand → names ranked by likelihood.

Both hands together make the chord; the lowest sounding note is the bass, whichever hand plays it. A name needs its
third or suspension, its seventh if it names one, and every altered or added tone; a missing fifth is ordinary (common
practice). The score's spelling is evidence, not law.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from understave.theory import naming_types as points
from understave.theory.chords import FIFTH, INVERSION_NUMBERS, THIRD, Chord, usually_left_out
from understave.theory.keys import Key, distance
from understave.theory.matches import Match, matches
from understave.theory.tones import Degree, Pitch, Tone, parse_degree, tone_at

ROOT = parse_degree("1")

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

    ``cost`` is in points, lower is likelier; ``why`` is the id of a reason. Where no symbol says the chord,
    ``read_as`` is the one on the same keys whose symbol a player reads.
    """

    chord: Chord
    cost: int
    missing: tuple[Degree, ...]
    extra: tuple[Extra, ...]
    left: tuple[tuple[Pitch, Degree], ...]
    right: tuple[tuple[Pitch, Degree], ...]
    why: str
    read_as: Chord | None = None


NATURALS = range(-1, 6)
"""The places of F C G D A E B on the line of fifths."""

SPELLINGS: tuple[tuple[int, ...], ...] = tuple(
    tuple(place for place in (*NATURALS, *range(6, 13), *range(-8, -1)) if place * 7 % 12 == pitch_class)
    for pitch_class in range(12)
)
"""By pitch class: its places on the line of fifths with at most one accidental: naturals, sharps, flats."""

_WHITE = frozenset(place * 7 % 12 for place in NATURALS)


@dataclass(frozen=True)
class _Heard:
    """What sounds: each hand's pitches with their pitch classes, the ``lowest`` pitch, and how keys are spelled.

    ``spelled`` has the place on the line of fifths of each pitch class that sounds.
    """

    hands: tuple[list[tuple[Pitch, int]], list[tuple[Pitch, int]]]
    lowest: Pitch
    bass: int
    spelled: Mapping[int, int]


def _bits(pitch_classes: Iterable[int]) -> int:
    bits = 0
    for pitch_class in pitch_classes:
        bits |= 1 << pitch_class
    return bits


def key_cost(naming: Naming, key: Key | None) -> int:
    """Return what a name costs for lying far from the musical key; nothing without one."""
    return points.KEY_COSTS[distance(naming.chord, key)] if key else 0


def name_notes(left: Sequence[Pitch], right: Sequence[Pitch], key: Key | None = None) -> tuple[Naming, ...]:
    """Return the names of what two hands hold at one moment, likeliest first; the musical ``key`` breaks ties.

    Raises NoNotesError for no notes at all and for more than MOST_NOTES.
    """
    notes = [*left, *right]
    if not notes:
        raise NoNotesError("no notes")
    if len(notes) > MOST_NOTES:
        raise NoNotesError(f"{len(notes)} notes")
    lowest = min(notes, key=lambda pitch: (pitch.key, pitch.line))
    hands = ([(p, p.tone.pitch_class) for p in left], [(p, p.tone.pitch_class) for p in right])
    spelled = {pitch_class: pitch.tone.fifths for hand in hands for pitch, pitch_class in hand}
    if len(spelled) == 1:
        return (_single(lowest, left, right),)
    heard = _Heard(hands, lowest, lowest.tone.pitch_class, spelled)
    weighed: list[tuple[int, int, Match, int, int]] = []
    for match in matches(_bits(spelled), heard.bass):
        root, misspelled = _spelled_root(match, (heard.bass + match.root) % 12, spelled)
        weighed.append((match.cost + points.MISSPELLED * misspelled, len(weighed), match, root, misspelled))
    likeliest = sorted(weighed)[: points.MOST_NAMINGS if key is None else None]
    namings = [_naming(match, root, misspelled, heard) for _, _, match, root, misspelled in likeliest]
    namings.sort(key=lambda naming: naming.cost + key_cost(naming, key))
    return tuple(namings[: points.MOST_NAMINGS])


def whole_names(sounding: Mapping[int, Tone], bass: Tone) -> Iterator[Chord]:
    """Yield the chords whose tones are all that sounds over a bass, likeliest first; a missing fifth counts as there.

    ``sounding`` has the tone of each pitch class.
    """
    spelled = {pitch_class: tone.fifths for pitch_class, tone in sounding.items()}
    for match in matches(_bits(sounding), bass.pitch_class):
        lacking = {degree.number for degree in match.missing} - {5}
        if not (lacking or match.unexplained or match.foreign_bass):
            root = tone_at(_spelled_root(match, (bass.pitch_class + match.root) % 12, spelled)[0])
            yield Chord(root, match.type.degrees, None if root == bass else bass)


def _single(lowest: Pitch, left: Sequence[Pitch], right: Sequence[Pitch]) -> Naming:
    held = [tuple((pitch, ROOT) for pitch in hand) for hand in (left, right)]
    return Naming(Chord(lowest.tone, (ROOT,)), 0, (THIRD, FIFTH), (), held[0], held[1], "single-note")


def _naming(match: Match, root: int, misspelled: int, heard: _Heard) -> Naming:
    """Return a match, its root at a place on the line of fifths, as a name."""
    kind, root_tone = match.type, tone_at(root)
    root_key = root_tone.pitch_class
    bass = kind.at[-match.root % 12]
    slash = None if match.root == 0 else tone_at(root + bass.fifths) if bass else heard.lowest.tone
    chord = Chord(root_tone, kind.degrees, slash)
    hands = [
        tuple([(pitch, kind.at[(key - root_key) % 12] or root_tone.degree_of(pitch.tone)) for pitch, key in hand])
        for hand in heard.hands
    ]
    extra = _extra(match, root_tone, heard) if match.unexplained or match.foreign_bass else ()
    cost = match.cost + points.MISSPELLED * misspelled
    missing = match.missing
    why = _why(match, missing, bass, len(heard.spelled), misspelled)
    return Naming(chord, cost, missing, extra, hands[0], hands[1], why)


def _extra(match: Match, root: Tone, heard: _Heard) -> tuple[Extra, ...]:
    """Return the notes that a match doesn't explain; a foreign bass counts once, where it is lowest."""
    return tuple(
        Extra(pitch, root.degree_of(pitch.tone), "bass" if pitch is heard.lowest else "unexplained")
        for hand in heard.hands
        for pitch, key in hand
        if not match.type.at[(key - root.pitch_class) % 12]
        and not (match.foreign_bass and key == heard.bass and pitch is not heard.lowest)
    )


def _spelled_root(match: Match, root_key: int, spelled: Mapping[int, int]) -> tuple[int, int]:
    """Return the root's spelling that agrees best with the notes, and how many of them it spells otherwise.

    Spellings are places on the line of fifths, ``spelled`` has that of each pitch class.
    """
    at = match.type.at
    # each chord tone that sounds tells where the root would be if it is spelled right
    roots = [place - degree.fifths for key, place in spelled.items() if (degree := at[(key - root_key) % 12])]
    written = spelled.get(root_key)
    if written is not None and roots.count(written) == len(roots):
        return written, 0
    choices = SPELLINGS[root_key] if written is None else (written, *SPELLINGS[root_key])
    best = min(choices, key=lambda root: (-roots.count(root), _accidentals(root, match.type.degrees)))
    return best, len(roots) - roots.count(best)


def _accidentals(root: int, degrees: Iterable[Degree]) -> int:
    """Return how many accidentals a chord has whose root stands at a place on the line of fifths."""
    return sum([abs((root + degree.fifths + 1) // 7) for degree in degrees])


def _why(match: Match, missing: tuple[Degree, ...], bass: Degree | None, count: int, misspelled: int) -> str:
    lacking = {degree.number for degree in missing}
    if count == 2 and match.type.degrees == (ROOT, FIFTH):
        return "open-fifth"
    if 1 in lacking:
        return "missing-root"
    if 3 in lacking and THIRD not in usually_left_out(match.type.degrees):
        return "missing-third"
    if bass is None:
        return "foreign-bass"
    if misspelled:
        return "respelled"
    if INVERSION_NUMBERS.get(bass.number):
        return "inversion"
    return "missing-fifth" if lacking == {5} else "whole"


def name_keys(keys: Sequence[int]) -> tuple[Naming, ...]:
    """Return the names of keys without spelling: MIDI numbers, the lowest is the bass.

    Each candidate is taken in its own spelling, the one with the fewest accidentals.
    """
    if not keys:
        raise NoNotesError("no notes")
    lowest = min(keys)
    sounding = _bits(key % 12 for key in keys)
    if sounding.bit_count() == 1:
        tone = tone_at(SPELLINGS[lowest % 12][0])
        return (_single(_at_key(tone, lowest), [], [_at_key(tone, key) for key in sorted(keys)]),)
    found = []
    for match in matches(sounding, lowest % 12)[: points.MOST_NAMINGS]:
        root_key, kind = (lowest + match.root) % 12, match.type
        root = spelled_alone(root_key, kind.degrees)
        spelled = {
            key: root + degree.fifths if (degree := kind.at[(key - root_key) % 12]) else spelled_beside(root, key)
            for key in range(12)
            if sounding & 1 << key
        }
        held = [(_at_key(tone_at(spelled[key % 12]), key), key % 12) for key in sorted(keys)]
        found.append(_naming(match, root, 0, _Heard(([], held), held[0][0], lowest % 12, spelled)))
    return tuple(found)


def spelled_alone(key: int, degrees: tuple[Degree, ...]) -> int:
    """Return the place on the line of fifths, of those at a pitch class, under which a chord has fewest accidentals.

    A white key's root is a natural even so (common practice): C°7 with its double flat, not B♯°7.
    """
    return min(SPELLINGS[key], key=lambda root: (root not in NATURALS and key in _WHITE, _accidentals(root, degrees)))


def spelled_beside(root: int, key: int) -> int:
    """Return the place on the line of fifths, of those at a pitch class, that is nearest to a root's."""
    return min(SPELLINGS[key], key=lambda place: abs(place - root))


def _at_key(tone: Tone, key: int) -> Pitch:
    return Pitch(tone, (key - tone.key) // 12 - 1)
