"""Playable voicings: which hand plays which tone of a chord, and in which octave.

Common practice: a hand spans an octave at most; nothing closer than a fifth lies low in the left hand; the upper
notes lie close together around middle C, extensions above the chord tones they extend.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations, pairwise

from understave.theory.chords import Chord, has_number, usually_left_out
from understave.theory.tones import Degree, Pitch, Tone, parse_degree, pitch_above

WIDEST_SPAN = 12
"""The widest span of a hand, in semitones: an octave."""

COMFORTABLE_SPAN = 11
"""The widest span that every hand reaches without a thought: a seventh."""

LOWEST_GAP = 6
"""The least distance above the bass at which the left hand adds a note, in semitones."""

LOWEST_BASS = 41
"""The key above which the bass lies: F2."""

LOWEST_RIGHT = 57
"""The key above which the right hand starts: A3."""


@dataclass(frozen=True)
class Voicing:
    """What each hand plays, low to high, with the degree of every pitch (None: a bass foreign to the chord)."""

    left: tuple[tuple[Pitch, Degree | None], ...]
    right: tuple[tuple[Pitch, Degree | None], ...]

    @property
    def span(self) -> int:
        """The wider of the two hands' spans, in semitones."""
        return max(hand[-1][0].key - hand[0][0].key for hand in (self.left, self.right) if hand)


def voice(chord: Chord) -> Voicing:
    """Return a voicing of both hands: the bass lowest, the tones usually left out left out where a hand is full."""
    return _placed(chord, pitch_above(chord.bass, LOWEST_BASS), _hands(chord)[1])


def voice_in_turn(chords: Sequence[Chord]) -> tuple[Voicing, ...]:
    """Return voicings of chords that follow each other: the bass and the upper notes move as little as they can."""
    voicings: list[Voicing] = []
    for chord in chords:
        if not voicings:
            voicings.append(voice(chord))
            continue
        last = voicings[-1]
        bass = _nearest_bass(chord.bass, last.left[0][0])
        right = _hands(chord)[1]
        turned = [right[start:] + right[:start] for start in range(len(right))]
        choices = [
            _placed(chord, bass, order, lowest) for order in turned for lowest in (LOWEST_RIGHT - 2, LOWEST_RIGHT + 5)
        ]
        fitting = [choice for choice in choices if choice.span <= WIDEST_SPAN] or choices
        voicings.append(min(fitting, key=lambda choice: _movement(last, choice)))
    return tuple(voicings)


def _nearest_bass(bass: Tone, last: Pitch) -> Pitch:
    low = pitch_above(bass, LOWEST_BASS - 1)
    return min((low, Pitch(bass, low.octave + 1)), key=lambda pitch: (abs(pitch.key - last.key), pitch.key))


def _movement(last: Voicing, following: Voicing) -> int:
    """Return how far the right hand's outer notes move, in semitones."""
    edges = ((hand[0][0].key, hand[-1][0].key) for hand in (last.right, following.right))
    (low, high), (next_low, next_high) = edges
    return abs(low - next_low) + abs(high - next_high)


def _hands(chord: Chord) -> tuple[tuple[Degree, ...], tuple[Degree, ...]]:
    """Return the degrees that the left hand adds to the bass, and those of the right hand, low to high."""
    bass_degree = _degree_in_bass(chord)
    inner = _foldable(chord.degrees, bass_degree)
    return _shape(inner, bass_degree, (chord.bass.key - chord.root.key) % 12)


def _placed(chord: Chord, bass: Pitch, right: tuple[Degree, ...], lowest: int = LOWEST_RIGHT) -> Voicing:
    """Return the voicing with its bass at a pitch and its right hand from ``lowest`` (a key) upwards."""
    left: list[tuple[Pitch, Degree | None]] = [(bass, _degree_in_bass(chord))]
    for degree in _hands(chord)[0]:
        left.append((pitch_above(chord.root.at(degree), left[-1][0].key + 1), degree))
    return Voicing(tuple(left), _stack(chord.root, right, max(lowest, left[-1][0].key + 1)))


def close_position(chord: Chord, inversion: int) -> Voicing:
    """Return a triad or seventh chord in one hand, its tones as close as they go, the inversion's tone lowest."""
    order = chord.degrees[inversion:] + chord.degrees[:inversion]
    return Voicing((), _stack(chord.root, order, LOWEST_RIGHT + 3))


def _stack(root: Tone, degrees: tuple[Degree, ...], lowest: int) -> tuple[tuple[Pitch, Degree], ...]:
    pitches: list[tuple[Pitch, Degree]] = []
    for degree in degrees:
        pitches.append((pitch_above(root.at(degree), pitches[-1][0].key + 1 if pitches else lowest), degree))
    return tuple(pitches)


def _degree_in_bass(chord: Chord) -> Degree | None:
    if chord.bass in chord.tones:
        return chord.degrees[chord.tones.index(chord.bass)]
    return None


def _foldable(degrees: tuple[Degree, ...], bass: Degree | None) -> tuple[Degree, ...]:
    """Return the degrees to voice.

    Without the eleventh or third that clash; the fifth stays if fewer than five tones remain; of two ninths only one
    is played at a time, the bass's if it is one.
    """
    left_out = set(usually_left_out(degrees))
    if len(degrees) - len(left_out) < 5:
        left_out -= {parse_degree("5")}
    kept = tuple(degree for degree in degrees if degree not in left_out or degree == bass)
    ninths = [degree for degree in kept if degree.number == 9]
    played = bass if bass in ninths else next(iter(ninths), None)
    return tuple(degree for degree in kept if degree.number != 9 or degree == played)


@lru_cache(maxsize=4096)
def _shape(
    degrees: tuple[Degree, ...], bass: Degree | None, bass_key: int
) -> tuple[tuple[Degree, ...], tuple[Degree, ...]]:
    """Return the degrees that the left hand adds above the bass, and those of the right hand, low to high.

    ``bass_key`` is the bass in semitones above the root, within an octave.
    """
    upper = tuple(degree for degree in degrees if degree != bass or (len(degrees) < 5 and degree.number == 1))
    full = len(upper) > 5
    reachable = (d for d in upper if (d.semitones - bass_key) % 12 >= LOWEST_GAP)
    above_bass = [degree for degree in reachable if full or degree.number in (1, 3, 5, 7)]
    best: tuple[int, tuple[Degree, ...], tuple[Degree, ...]] | None = None
    for size in range(2):
        for left in combinations(above_bass, size):
            right = tuple(degree for degree in upper if degree not in left)
            for start in range(len(right)):
                folded = sorted(right, key=lambda degree: degree.semitones % 12)
                turned = tuple(folded[start:] + folded[:start])
                cost = _cost(left, turned)
                if best is None or cost < best[0]:
                    best = (cost, left, turned)
    assert best is not None
    return best[1], best[2]


def _cost(left: tuple[Degree, ...], right: tuple[Degree, ...]) -> int:
    """Return how hard a shape is to play and to read, in points; lower is better."""
    keys: list[int] = []
    for degree in right:
        key = degree.semitones % 12
        while keys and key <= keys[-1]:
            key += 12
        keys.append(key)
    span = keys[-1] - keys[0]
    seconds = [later - earlier for earlier, later in pairwise(keys) if later - earlier < 3]
    wide = 100 * (span > WIDEST_SPAN) + 4 * (span > COMFORTABLE_SPAN) + span // 4
    close = 3 * len(seconds) + 3 * seconds.count(1) + 2 * max(0, len(seconds) - 1)
    crowded = 12 * max(0, len(right) - 4) + 500 * (len(right) > 5)
    order = sum(_disorder(earlier, later) for index, earlier in enumerate(right) for later in right[index + 1 :])
    rootless_top = 1 if right[-1].number == 1 and has_number(right, 7) else 0
    return wide + close + crowded + order + rootless_top + 3 * len(left)


def _disorder(lower: Degree, upper: Degree) -> int:
    """Return what it costs that ``lower`` lies below ``upper``: extensions belong on top, the root at the bottom."""
    if lower.number <= upper.number:
        return 0
    if lower.number >= 9:
        return 4
    return 3 if upper.number == 1 else 2
