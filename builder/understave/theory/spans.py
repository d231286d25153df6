"""Naming spans: the chord that sums up each of a piece's consecutive stretches of music, by fitted weights.

Three sums of integers, all of them linear:
a span's own evidence (`evidence`) under each of twelve roots, weighed for each type of TYPES;
the musical key around it (`keys_around`), weighed by the candidate's place in the key;
and the step from one span's chord to the next (`_links`), added along all ways through the whole piece.
The weights stand in span_weights.py, fitted on analysed scores by builder/making/fit_naming.py.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import exp, fsum, log1p
from operator import add
from struct import unpack

from understave.theory import span_weights
from understave.theory.hearing import CHANNELS, WHOLE, Sound, SpanNote, Table, hear
from understave.theory.tones import Degree, Tone, tone_at

__all__ = ["AUGMENTED_SIXTHS", "TYPES", "Guess", "SpanNote", "guess_span", "guess_spans"]

BEST = 6
"""How many guesses a span gets."""

BEAM = 12
"""How many candidates of a span are tried against its neighbours'."""


def _degrees(*pairs: tuple[int, int]) -> tuple[Degree, ...]:
    return tuple(Degree(number, alteration) for number, alteration in pairs)


TYPES: tuple[tuple[Degree, ...], ...] = (
    _degrees((1, 0), (3, 0), (5, 0)),
    _degrees((1, 0), (3, 0), (5, 0), (7, -1)),
    _degrees((1, 0), (3, -1), (5, 0)),
    _degrees((1, 0), (3, -1), (5, -1)),
    _degrees((1, 0), (3, -1), (5, -1), (7, -2)),
    _degrees((1, 0), (3, -1), (5, 0), (7, -1)),
    _degrees((1, 0), (3, -1), (5, -1), (7, -1)),
    _degrees((1, 0), (3, 0), (5, 1)),
    _degrees((1, 0), (3, 0), (5, 0), (7, 0)),
    _degrees((1, 0), (4, 0), (5, 0)),
    _degrees((1, 0), (4, 0), (5, 0), (7, -1)),
    _degrees((1, 0), (3, -2), (5, -1), (7, -2)),
    _degrees((1, 0), (3, -2), (5, -1)),
    _degrees((1, 0), (3, 0), (5, -1), (7, -1)),
)
"""The chord types that a span may be: triads, sevenths, suspensions, and the German, Italian and French sixths."""

AUGMENTED_SIXTHS = {TYPES[11]: "german-sixth", TYPES[12]: "italian-sixth"}
"""Sixths as analysts count them, from the raised fourth, with the id of the reason: no chord symbol says so. A player
reads the same keys as a dominant seventh on the bass (F# Ab C Eb is played from Ab7)."""

_QUALITY = (0, 0, 1, 2, 2, 1, 2, 0, 0, 0, 0, 2, 2, 0)
"""Each type as the chain sees it: 0 with a major third or suspended, 1 minor, 2 diminished."""

_BASS_ROLE = (0, 3, 3, 1, 1, 3, 2, 2, 2, 3, 3, 3)
"""What the bass is, by semitones above the root: 0 root, 1 third, 2 fifth, 3 anything else."""

_SPREAD = 11
"""How far to either side on the line of fifths places are told apart."""

_WINDOW = (1, 1, 1, 1, 2, 3, 4, 6, 8, 6, 4, 3, 2, 1, 1, 1, 1)
"""How much a span and its eight neighbours on each side count for the mean spelling around it."""

_KEY_WINDOWS = ((1, 2), (-2, -1), (3, 6), (-6, -3), (7, 14), (-14, -7))
_KEY_BASS_WINDOWS = ((1, 2), (-2, -1), (3, 6), (-6, -3))
"""The neighbours, from and to, whose durations and first basses speak for the key of a span."""

_COVERAGE, _DURATION = CHANNELS.index("coverage"), CHANNELS.index("duration")
_FIRST_BASS, _LAST_BASS = CHANNELS.index("first bass"), CHANNELS.index("last bass")

# Rows of the weights, block by block.
_OWN = 0
_NEIGHBORS = 12 * len(CHANNELS)
_PLACE_IN_KEY = _NEIGHBORS + 4 * 12
_SPELLING = _PLACE_IN_KEY + 24
_SPELLING_AROUND = _SPELLING + 2 * _SPREAD + 1
_TOGETHER = _SPELLING_AROUND + 2 * _SPREAD + 1
ROWS = _TOGETHER + 12 * 11 // 2
"""How many rows the weights of `evidence` have."""

_KEY_TABLES = 3 + len(_KEY_WINDOWS) + len(_KEY_BASS_WINDOWS) + 2
_KEY_SPELLING = 12 * _KEY_TABLES
KEY_ROWS = _KEY_SPELLING + 2 * _SPREAD + 1
"""How many rows the weights of `key_evidence` have."""

LINK_SIZES = (12 * len(TYPES) ** 2, 12 * 16, 2 * 144 * 9)
"""The sizes of the three tables of a link: by types, by what the basses are, by places in the key."""

_STEP = 32
_MORE = tuple(
    round(WHOLE * span_weights.UNIT * log1p(exp(-_STEP * place / (WHOLE * span_weights.UNIT))))
    for place in range(8 * WHOLE * span_weights.UNIT // _STEP)
)
"""What a way adds to the score of a likelier one, by how far it lies behind in steps of _STEP."""

Evidence = list[tuple[int, int]]
"""Pairs of a row of the weights and how much of it there is (out of WHOLE)."""


@dataclass(frozen=True, slots=True)
class Guess:
    """A chord that a span may be: its spelled ``root``, its ``degrees``, the span's ``bass``, and a ``score``.

    Scores compare guesses of one span with each other, and with nothing else.
    """

    root: Tone
    degrees: tuple[Degree, ...]
    bass: Tone
    score: int


@dataclass(frozen=True, slots=True)
class Surrounded:
    """A span with what surrounds it: ``roots`` are the places on the line of fifths of the twelve roots by pitch class.

    ``mean`` is how far (in fifths, rounded, at most _SPREAD) the mean spelling around lies from each root.
    """

    sound: Sound
    before: Sound | None
    after: Sound | None
    roots: Table
    mean: Table


def guess_spans(spans: Sequence[Sequence[SpanNote]]) -> list[tuple[Guess, ...]]:
    """Return the best guesses, best first, for each of the consecutive ``spans`` of one piece.

    A span in which nothing sounds has none, and the chords on its two sides count as neighbours.
    """
    sounds = [hear(notes) for notes in spans]
    guesses = iter(_guess_sounding([sound for sound in sounds if sound is not None]))
    return [next(guesses) if sound is not None else () for sound in sounds]


def guess_span(notes: Sequence[SpanNote]) -> tuple[Guess, ...]:
    """Return the best guesses for one span without neighbours, best first."""
    return guess_spans([notes])[0]


def _guess_sounding(sounds: Sequence[Sound]) -> list[tuple[Guess, ...]]:
    around = surroundings(sounds)
    keys = keys_around(around)
    weights = _Packed(span_weights.SPANS)
    candidates = [_candidates(span, key, weights) for span, key in zip(around, keys, strict=True)]
    totals = _along(around, keys, candidates)
    return [_best(span, ways, scores) for span, ways, scores in zip(around, candidates, totals, strict=True)]


# What surrounds a span


def surroundings(sounds: Sequence[Sound]) -> list[Surrounded]:
    """Return each of a piece's sounds with its neighbours and its roots spelled."""
    half = len(_WINDOW) // 2
    found = []
    for place, sound in enumerate(sounds):
        center = weight = 0
        for other in range(max(0, place - half), min(len(sounds), place + half + 1)):
            share = _WINDOW[other - place + half]
            # each span weighs alike, however long: its mean in hundredths
            center += share * ((100 * sounds[other].center) // sounds[other].weight)
            weight += share * 100
        roots = tuple(_spelled_root(pitch_class, sound) for pitch_class in range(12))
        mean = tuple(_bounded((2 * (center - root * weight) + weight) // (2 * weight)) for root in roots)
        before = sounds[place - 1] if place else None
        after = sounds[place + 1] if place + 1 < len(sounds) else None
        found.append(Surrounded(sound, before, after, roots, mean))
    return found


def _spelled_root(pitch_class: int, sound: Sound) -> int:
    """Return the place of a root on the line of fifths: as it is written, or else nearest to the span's notes."""
    if pitch_class in sound.spelled:
        return sound.spelled[pitch_class]
    nearest = 7 * pitch_class % 12
    turns = (2 * (sound.center - nearest * sound.weight) + 13 * sound.weight) // (24 * sound.weight)
    return nearest + 12 * turns


def _bounded(fifths: int) -> int:
    return max(-_SPREAD, min(_SPREAD, fifths))


# The key around a span


def keys_around(spans: Sequence[Surrounded]) -> list[Table]:
    """Return for each span how likely each of 24 keys is (out of WHOLE): twelve tonics, major then minor of each.

    The one place with floating point: a softmax over integers, its sum independent of order, rounded to an integer.
    """
    tables = _key_tables([span.sound for span in spans])
    weights = _Packed(span_weights.KEYS)
    return [_likelihoods(span, own, weights) for span, own in zip(spans, tables, strict=True)]


def _likelihoods(span: Surrounded, tables: Sequence[Table], weights: _Packed) -> Table:
    scores = []
    for tonic in range(12):
        scores += weights.weighed(key_evidence(span, tables, tonic))
    highest = max(scores)
    shares = [exp((score - highest) / (WHOLE * span_weights.UNIT)) for score in scores]
    total = fsum(shares)
    return tuple(round(WHOLE * share / total) for share in shares)


def key_evidence(span: Surrounded, tables: Sequence[Table], tonic: int) -> Evidence:
    """Return what speaks for or against the key on ``tonic``: who sounds how long around, and how it is spelled."""
    rows = _turned(tables, tonic, 0)
    rows.append((_KEY_SPELLING + span.mean[tonic] + _SPREAD, WHOLE))
    return rows


def _key_tables(sounds: Sequence[Sound]) -> list[list[Table]]:
    durations = [sound.channels[_DURATION] for sound in sounds]
    basses = [sound.channels[_FIRST_BASS] for sound in sounds]
    whole, first, last = _mean(durations), _mean(durations[:3]), _mean(durations[-2:])
    windows = [(durations, window) for window in _KEY_WINDOWS] + [(basses, window) for window in _KEY_BASS_WINDOWS]
    found = []
    for place, (duration, bass) in enumerate(zip(durations, basses, strict=True)):
        near = [_around(tables, place, *window) for tables, window in windows]
        found.append([duration, bass, *near, whole, first, last])
    return found


def _around(tables: Sequence[Table], place: int, low: int, high: int) -> Table:
    """Return the mean over the neighbours ``low`` to ``high``, of which those outside the piece count as silent."""
    chosen = tables[max(0, place + low) : max(0, place + high + 1)]
    size = high - low + 1
    return tuple(sum(column) // size for column in zip(*chosen, strict=True)) if chosen else (0,) * 12


def _mean(tables: Sequence[Table]) -> Table:
    return tuple(sum(column) // len(tables) for column in zip(*tables, strict=True))


# What speaks for a root


def evidence(span: Surrounded, key: Table, root: int) -> Evidence:
    """Return what the span and its surroundings say about ``root`` (a pitch class), for the weights of each type."""
    rows = _turned(span.sound.channels, root, _OWN)
    rows += _turned(_neighbor_tables(span), root, _NEIGHBORS)
    rows += [(row_of_key(root, place), share) for place, share in enumerate(key) if share]
    home = span.roots[root]
    coverage = span.sound.channels[_COVERAGE]
    for pitch_class, fifths in span.sound.spelled.items():
        rows.append((_SPELLING + _bounded(fifths - home) + _SPREAD, coverage[pitch_class]))
    rows.append((_SPELLING_AROUND + span.mean[root] + _SPREAD, WHOLE))
    return rows + _pairs(coverage, root)


def _pairs(coverage: Table, root: int) -> Evidence:
    """Return for each two pitch classes that sound, by semitones above ``root``, how long the shorter does."""
    sounding = [(above, share) for above in range(12) if (share := coverage[(root + above) % 12])]
    return [
        (_TOGETHER + high * (high - 1) // 2 + low, min(share, other))
        for place, (high, share) in enumerate(sounding)
        for low, other in sounding[:place]
    ]


def row_of_key(root: int, place: int) -> int:
    """Return the row of the weights for ``root`` in the key at ``place`` of the table of `keys_around`."""
    return _PLACE_IN_KEY + 2 * ((root - place // 2) % 12) + place % 2


_SILENCE: Table = (0,) * 12


def _neighbor_tables(span: Surrounded) -> list[Table]:
    after = span.after.channels if span.after else None
    before = span.before.channels if span.before else None
    return [
        after[_COVERAGE] if after else _SILENCE,
        before[_COVERAGE] if before else _SILENCE,
        after[_FIRST_BASS] if after else _SILENCE,
        before[_LAST_BASS] if before else _SILENCE,
    ]


def _turned(tables: Sequence[Table], root: int, offset: int) -> Evidence:
    """Return the tables' entries by semitones above ``root``, as rows from ``offset``."""
    rows = []
    for place, table in enumerate(tables):
        start = offset + 12 * place
        for pitch_class, share in enumerate(table):
            if share:
                rows.append((start + (pitch_class - root) % 12, share))
    return rows


class _Packed:
    """A table of weights with each row as one long integer, so that all its columns are added at once.

    A column takes 32 bits, a hundred times what all evidence for a root comes to.
    """

    def __init__(self, table: Sequence[Sequence[int]]) -> None:
        self._rows = [sum(weight << (32 * column) for column, weight in enumerate(row)) for row in table]
        self._width = len(table[0])
        self._middle = sum(1 << (32 * column + 31) for column in range(self._width))

    def weighed(self, rows: Evidence) -> list[int]:
        """Return the sum of each column's weights, each as often as there is of its row."""
        total = sum([share * self._rows[row] for row, share in rows])
        # columns are moved above 0 before they are read: none borrows of the next
        columns = unpack(f"<{self._width}I", (total + self._middle).to_bytes(4 * self._width, "little"))
        return [column - (1 << 31) for column in columns]


@dataclass(frozen=True, slots=True)
class _Candidate:
    root: int
    type: int
    score: int


def _candidates(span: Surrounded, key: Table, weights: _Packed) -> list[_Candidate]:
    """Return the BEAM best chords by the span's own evidence."""
    found = [
        _Candidate(root, kind, score)
        for root in range(12)
        for kind, score in enumerate(weights.weighed(evidence(span, key, root)))
    ]
    return sorted(found, key=lambda way: (-way.score, _order(span, way)))[:BEAM]


def _order(span: Surrounded, way: _Candidate) -> tuple[int, int]:
    """Break ties by what a transposition leaves as it is: how far the root lies from the bass in fifths, the type."""
    return (span.roots[way.root] - span.roots[span.sound.first_bass], way.type)


# The way through a piece


def _along(
    spans: Sequence[Surrounded], keys: Sequence[Table], candidates: Sequence[Sequence[_Candidate]]
) -> list[list[int]]:
    """Return for each candidate how likely all ways through the piece that take it are together, as a logarithm.

    Forwards and backwards sums (sum-product over the beam): linear in the number of spans.
    """
    links = [
        [[_link(indices) for indices in row] for row in link_table]
        for link_table in _links(spans, keys, [[(way.root, way.type) for way in ways] for ways in candidates])
    ]
    own = [[way.score for way in ways] for ways in candidates]
    forwards = own[:1]
    for link, scores in zip(links, own[1:], strict=True):
        columns = zip(*link, strict=True)
        came = [together(list(map(add, forwards[-1], column))) for column in columns]
        forwards.append(list(map(add, came, scores)))
    backwards = [[0] * len(own[-1])] if own else []
    for link, scores in zip(reversed(links), reversed(own[1:]), strict=True):
        onward = list(map(add, scores, backwards[-1]))
        backwards.append([together(list(map(add, row, onward))) for row in link])
    backwards.reverse()
    return [list(map(add, came, goes)) for came, goes in zip(forwards, backwards, strict=True)]


def together(scores: Iterable[int]) -> int:
    """Return the score of several ways together: the logarithm of the sum of their exponentials, in integers.

    From the highest down, so that their order says nothing.
    """
    falling = sorted(scores, reverse=True)
    total = falling[0]
    for score in falling[1:]:
        behind = (total - score) // _STEP
        if behind >= len(_MORE):
            break
        total += _MORE[behind]
    return total


LinkIndices = tuple[int, int, int]


def likeliest_key(span: Surrounded, key: Table) -> int:
    """Return the likeliest of the 24 keys; of several the first upwards from the bass."""
    return max(range(24), key=lambda place: (key[place], -((place - 2 * span.sound.first_bass) % 24)))


def _link(indices: LinkIndices) -> int:
    by_type, by_bass, by_key = span_weights.LINKS
    # evidence comes in shares out of WHOLE, a link once
    return WHOLE * (by_type[indices[0]] + by_bass[indices[1]] + by_key[indices[2]])


def _links(
    spans: Sequence[Surrounded], keys: Sequence[Table], candidates: Sequence[Sequence[tuple[int, int]]]
) -> Iterator[list[list[LinkIndices]]]:
    """Yield for each two neighbours, for each of the first's candidates and each of the second's, where to look up."""
    for place in range(1, len(spans)):
        key = likeliest_key(spans[place], keys[place])
        basses = (spans[place - 1].sound.first_bass, spans[place].sound.first_bass)
        yield [
            [link_indices(first, second, basses, key) for second in candidates[place]]
            for first in candidates[place - 1]
        ]


def link_indices(first: tuple[int, int], second: tuple[int, int], basses: tuple[int, int], key: int) -> LinkIndices:
    """Return where the three tables of a link hold the step from ``first`` to ``second`` (root and type).

    ``basses`` are pitch classes, ``key`` a place in the table of `keys_around`.
    """
    (root, kind), (next_root, next_kind) = first, second
    interval = (next_root - root) % 12
    by_type = (interval * len(TYPES) + kind) * len(TYPES) + next_kind
    by_bass = (interval * 4 + _BASS_ROLE[(basses[0] - root) % 12]) * 4 + _BASS_ROLE[(basses[1] - next_root) % 12]
    tonic, minor = divmod(key, 2)
    places = (minor * 12 + (root - tonic) % 12) * 12 + (next_root - tonic) % 12
    return by_type, by_bass, (places * 3 + _QUALITY[kind]) * 3 + _QUALITY[next_kind]


def _best(span: Surrounded, candidates: Sequence[_Candidate], totals: Sequence[int]) -> tuple[Guess, ...]:
    """Return the guesses: a root counts by all its types together, and its likeliest type speaks for it."""
    by_root: dict[int, list[tuple[int, _Candidate]]] = {}
    for total, way in sorted(zip(totals, candidates, strict=True), key=lambda pair: (-pair[0], _order(span, pair[1]))):
        by_root.setdefault(way.root, []).append((total, way))
    ranked = [
        (total if place else together(total for total, _ in ways), way)
        for ways in by_root.values()
        for place, (total, way) in enumerate(ways)
    ]
    ranked.sort(key=lambda pair: (-pair[0], _order(span, pair[1])))
    bass = tone_at(span.roots[span.sound.lowest])
    return tuple(Guess(tone_at(span.roots[way.root]), TYPES[way.type], bass, total) for total, way in ranked[:BEST])
