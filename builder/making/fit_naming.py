"""Fit the weights by which spans of music are named, and measure them on pieces kept aside.

The data are analysed spans of the When in Rome corpus (CC BY-SA 4.0 for its new content; earlier sources are named in
each analysis): one JSON object a line, the input of `understave name --spans` with `analyst` beside it. They are not
part of this project; only the fitted integers are. Needs numpy and scipy. Run from the repository's root:

    PYTHONPATH=builder python builder/making/fit_naming.py SPANS.jsonl.gz [--folds 5] [--write]

prints a table of folds (split by piece) and, with --write, fits on all pieces and writes
builder/understave/theory/span_weights.py.
"""

from __future__ import annotations

import argparse
import gzip
import json
import random
import time
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from textwrap import wrap
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize

from understave.theory import span_weights, spans
from understave.theory.hearing import WHOLE, SpanNote, hear
from understave.theory.tones import Degree, parse_pitch, parse_tone

Array = NDArray[Any]
KINDS = len(spans.TYPES)
CANDIDATES = 12 * KINDS
UNIT = 200
"""What a weight of one becomes as an integer."""

SMOOTHING = 1.5
"""The penalty on squared weights of a span's own evidence; chosen of 1 to 10 by two folds; it matters little."""
LINK_SMOOTHING = 1.5
KEY_SMOOTHING = 3.0
STRAY = (25, 0.55)
"""A stretch of so many spans of which fewer than this share come out right does not line up with its score."""


@dataclass(frozen=True)
class Truth:
    """What the analyst wrote: the root's pitch class, the third above it (4, 3 or 0), the nearest type, the key."""

    root: int
    third: int
    kind: int
    key: int


@dataclass(frozen=True)
class Piece:
    """The analysed spans of one piece, in order."""

    name: str
    notes: list[list[SpanNote]]
    truths: list[Truth]


def read_pieces(path: Path) -> list[Piece]:
    """Read the data file: JSON lines, gzipped or not."""
    pieces: dict[str, Piece] = {}
    with gzip.open(path, "rt", encoding="utf-8") if path.suffix == ".gz" else path.open(encoding="utf-8") as lines:
        for line in lines:
            span = json.loads(line)
            name = span["id"].rpartition("#")[0]
            piece = pieces.setdefault(name, Piece(name, [], []))
            piece.notes.append([read_note(note) for note in span["notes"]])
            piece.truths.append(read_truth(span["analyst"]))
    return list(pieces.values())


def read_note(note: dict[str, Any]) -> SpanNote:
    """Read one note of a line."""
    return SpanNote(parse_pitch(note["pitch"]), Fraction(note["onset"]), Fraction(note["duration"]), int(note["part"]))


def read_truth(analyst: dict[str, Any]) -> Truth:
    """Read the analyst's chord; ninths and added tones count as the nearest type of `spans.TYPES`."""
    root = analyst["root"]
    above = {(pitch_class - root) % 12 for pitch_class in analyst["pitch_classes"]}
    third = 4 if 4 in above else 3 if 3 in above else 0
    name = analyst["key"]
    tonic = parse_tone(name[0].upper() + name[1:].replace("-", "b")).pitch_class
    return Truth(root, third, nearest_type(above), 2 * tonic + name[0].islower())


def nearest_type(above: set[int]) -> int:
    """Return the index in `spans.TYPES` for semitones above a root."""
    if 4 in above:
        return _type_with_major_third(above)
    if 3 in above:
        if 6 in above and 7 not in above:
            return 4 if 9 in above else 6 if 10 in above else 3
        return 5 if 10 in above else 2
    if {2, 6} <= above:
        return 11 if 9 in above else 12
    return 10 if {5, 7, 10} <= above else 9


def _type_with_major_third(above: set[int]) -> int:
    if 10 in above:
        return 13 if 6 in above and 7 not in above else 1
    if {7, 11} <= above and 5 not in above:
        return 8
    return 7 if 8 in above and 7 not in above else 0


def third_of(degrees: Sequence[Degree]) -> int:
    """Return the third among a guess's degrees in semitones: 4, 3, or 0 for none (or a diminished one)."""
    sizes = {degree.alteration for degree in degrees if degree.number == 3}
    return 4 if 0 in sizes else 3 if -1 in sizes else 0


class Material:
    """All pieces' spans laid out for numpy; ``bounds`` holds the first and the last span's index of each piece."""

    def __init__(self, pieces: Sequence[Piece]) -> None:
        self.pieces = pieces
        self.around: list[list[spans.Surrounded]] = []
        key_rows = []
        for piece in pieces:
            sounds = [sound for sound in map(hear, piece.notes) if sound is not None]
            assert len(sounds) == len(piece.notes), f"{piece.name} has a silent span"
            self.around.append(spans.surroundings(sounds))
            tables = spans._key_tables(sounds)
            key_rows += [
                [spans.key_evidence(span, own, tonic) for tonic in range(12)]
                for span, own in zip(self.around[-1], tables, strict=True)
            ]
        self.key_features = dense(key_rows, spans.KEY_ROWS)
        no_key = (0,) * 24
        rows = [[spans.evidence(span, no_key, root) for root in range(12)] for piece in self.around for span in piece]
        self._features = dense(rows, spans.ROWS)
        ends = np.cumsum([0] + [len(piece.notes) for piece in pieces])
        self.bounds = list(pairwise(ends))
        truths = [truth for piece in pieces for truth in piece.truths]
        self.root = np.array([truth.root for truth in truths])
        self.third = np.array([truth.third for truth in truths])
        self.gold = np.array([truth.root * KINDS + truth.kind for truth in truths])
        self.key = np.array([truth.key for truth in truths])
        self.bass = np.array([span.sound.first_bass for piece in self.around for span in piece])

    def features(self) -> tuple[Array, Array]:
        """Return the evidence under each root and the likeliest keys, with the key weights now in span_weights.

        The array is the same each time; only the rows that depend on the key are filled anew.
        """
        keys = [key for piece in self.around for key in spans.keys_around(piece)]
        shares = np.array(keys, np.float32) / WHOLE
        for root in range(12):
            for place in range(24):
                self._features[:, root, spans.row_of_key(root, place)] = shares[:, place]
        sounding = (span for piece in self.around for span in piece)
        return self._features, np.array([spans.likeliest_key(*pair) for pair in zip(sounding, keys, strict=True)])


def dense(rows: Sequence[Sequence[spans.Evidence]], width: int) -> Array:
    """Return an array of spans by roots by ``width``, shares as fractions of one."""
    array = np.zeros((len(rows), 12, width), np.float32)
    for place, roots in enumerate(rows):
        for root, pairs in enumerate(roots):
            for row, share in pairs:
                array[place, root, row] += share
    array /= WHOLE
    return array


def fit_softmax(features: Array, gold: Array, width: int, smoothing: float, rounds: int) -> Array:
    """Fit weights (rows by ``width``) so that ``gold`` (root * width + column) is likeliest among all."""
    count, roots, rows = features.shape
    flat = features.reshape(count * roots, rows)
    places = np.arange(count)

    def loss(weights: Array) -> tuple[float, Array]:
        scores = (flat @ weights.reshape(rows, width).astype(np.float32)).reshape(count, roots * width)
        highest = scores.max(1, keepdims=True)
        shares = np.exp(scores - highest)
        sums = shares.sum(1, keepdims=True)
        value = float((np.log(sums[:, 0]) + highest[:, 0] - scores[places, gold]).sum())
        shares /= sums
        shares[places, gold] -= 1
        slope = (flat.T @ shares.reshape(count * roots, width)).ravel().astype(float)
        return value + smoothing * float(weights @ weights), slope + 2 * smoothing * weights

    found = minimize(loss, np.zeros(rows * width), jac=True, method="L-BFGS-B", options={"maxiter": rounds})
    return np.asarray(found.x).reshape(rows, width)


def scores_of(features: Array, weights: Array) -> Array:
    """Return the scores of all candidates, spans by root * KINDS + type."""
    count, roots, rows = features.shape
    return np.asarray((features.reshape(count * roots, rows) @ weights.astype(np.float32)).reshape(count, -1))


class Chain:
    """Runs of neighbouring spans, of each of which ``candidates`` (spans by beam) are tried, side by side."""

    def __init__(self, material: Material, runs: list[tuple[int, int]], candidates: Array, keys: Array) -> None:
        runs = sorted(runs, key=lambda run: run[0] - run[1])
        self.length = runs[0][1] - runs[0][0]
        steps = [np.array([a + step for a, b in runs if a + step < b]) for step in range(self.length)]
        self.order = np.concatenate(steps)
        self.counts = [len(step) for step in steps]
        self.starts = np.cumsum([0, *self.counts])
        self.link_starts = np.cumsum([0, *self.counts[1:]])
        second = np.concatenate(steps[1:])
        first = second - 1
        self.links = link_tables(material, candidates, keys, first, second)
        gold = (candidates == material.gold[:, None]).argmax(1)
        self.gold, self.first_gold, self.second_gold = gold[self.order], gold[first], gold[second]
        self.candidates = candidates[self.order]

    def shares(self, own: Array, links: Array) -> tuple[float, Array, Array]:
        """Return the log of the sum over all ways, and how likely each candidate and each link is (sum-product)."""
        forwards = [own[: self.counts[0]]]
        for step in range(1, self.length):
            link = links[self.link_starts[step - 1] : self.link_starts[step]]
            came = log_sum(forwards[-1][: self.counts[step], :, None] + link, 1)
            forwards.append(came + own[self.starts[step] : self.starts[step + 1]])
        backwards = [np.zeros((self.counts[-1], own.shape[1]), own.dtype)]
        likely = np.empty_like(links)
        for step in range(self.length - 1, 0, -1):
            where = slice(self.link_starts[step - 1], self.link_starts[step])
            onward = links[where] + (backwards[-1] + own[self.starts[step] : self.starts[step + 1]])[:, None, :]
            goes = np.zeros((self.counts[step - 1], own.shape[1]), own.dtype)
            goes[: self.counts[step]] = log_sum(onward, 2)
            backwards.append(goes)
            likely[where] = forwards[step - 1][: self.counts[step], :, None] + onward
        backwards.reverse()
        all_ways = log_sum(forwards[0] + backwards[0], 1)
        one = [np.exp(f + b - all_ways[: len(f), None]) for f, b in zip(forwards, backwards, strict=True)]
        per_link = np.concatenate([all_ways[:count] for count in self.counts[1:]])
        return float(all_ways.sum()), np.concatenate(one), np.exp(likely - per_link[:, None, None])


def log_sum(values: Array, axis: int) -> Array:
    """Return the logarithm of the sum of exponentials."""
    highest = values.max(axis)
    return np.asarray(np.log(np.exp(values - np.expand_dims(highest, axis)).sum(axis)) + highest)


def link_tables(material: Material, candidates: Array, keys: Array, first: Array, second: Array) -> list[Array]:
    """Return `spans.link_indices` for all links, links by beam by beam; a test of a few holds both together."""
    root, kind = candidates[first] // KINDS, candidates[first] % KINDS
    next_root, next_kind = candidates[second] // KINDS, candidates[second] % KINDS
    roles, quality = np.array(spans._BASS_ROLE), np.array(spans._QUALITY)
    interval = (next_root[:, None, :] - root[:, :, None]) % 12
    by_type = (interval * KINDS + kind[:, :, None]) * KINDS + next_kind[:, None, :]
    role = roles[(material.bass[first][:, None] - root) % 12][:, :, None]
    next_role = roles[(material.bass[second][:, None] - next_root) % 12][:, None, :]
    tonic, minor = keys[second][:, None, None] // 2, keys[second][:, None, None] % 2
    places = (minor * 12 + (root[:, :, None] - tonic) % 12) * 12 + (next_root[:, None, :] - tonic) % 12
    by_key = (places * 3 + quality[kind][:, :, None]) * 3 + quality[next_kind][:, None, :]
    tables = [by_type, (interval * 4 + role) * 4 + next_role, by_key]
    for place in range(0, len(first), max(1, len(first) // 7)):
        expected = spans.link_indices(
            (int(root[place, 1]), int(kind[place, 1])),
            (int(next_root[place, 2]), int(next_kind[place, 2])),
            (int(material.bass[first[place]]), int(material.bass[second[place]])),
            int(keys[second[place]]),
        )
        assert expected == tuple(int(table[place, 1, 2]) for table in tables)
    return [table.astype(np.int32) for table in tables]


def fit_chain(features: Array, weights: Array, chain: Chain, rounds: int) -> tuple[Array, list[Array]]:
    """Fit the weights of the evidence and of the links together (a conditional random field over the beam)."""
    count, _, rows = len(chain.order), 12, features.shape[2]
    flat = features[chain.order].reshape(count * 12, rows)
    places, one = np.arange(count)[:, None], np.arange(count)
    pairs = np.arange(len(chain.first_gold))
    bounds = np.cumsum([rows * KINDS, *spans.LINK_SIZES])
    smoothing = np.full(bounds[-1], LINK_SMOOTHING)
    smoothing[: bounds[0]] = SMOOTHING

    def loss(values: Array) -> tuple[float, Array]:
        scores = (flat @ values[: bounds[0]].reshape(rows, KINDS).astype(np.float32)).reshape(count, CANDIDATES)
        own = scores[places, chain.candidates]
        tables = np.split(values.astype(np.float32), bounds)[1:4]
        links = sum(table[index] for table, index in zip(tables, chain.links, strict=True))
        total, likely, likely_links = chain.shares(own, np.asarray(links))
        right = own[one, chain.gold].sum(dtype=float)
        right += np.asarray(links)[pairs, chain.first_gold, chain.second_gold].sum(dtype=float)
        likely[one, chain.gold] -= 1
        likely_links[pairs, chain.first_gold, chain.second_gold] -= 1
        spread = np.zeros((count, CANDIDATES), np.float32)
        spread[places, chain.candidates] = likely
        slopes = [(flat.T @ spread.reshape(count * 12, KINDS)).ravel()]
        for index, size in zip(chain.links, spans.LINK_SIZES, strict=True):
            slopes.append(np.bincount(index.ravel(), likely_links.ravel(), size))
        slope = np.concatenate(slopes).astype(float) + 2 * smoothing * values
        return total - right + float(smoothing @ values**2), slope

    start = np.concatenate([weights.ravel(), np.zeros(bounds[-1] - bounds[0])])
    found = minimize(loss, start, jac=True, method="L-BFGS-B", options={"maxiter": rounds})
    own, *tables = np.split(np.asarray(found.x), bounds)[:4]
    return own.reshape(rows, KINDS), tables


def runs_of(material: Material, chosen: Array) -> list[tuple[int, int]]:
    """Return the stretches of neighbouring chosen spans of one piece: first and one past the last."""
    found = []
    for start, end in material.bounds:
        place = start
        while place < end:
            stop = place
            while stop < end and chosen[stop]:
                stop += 1
            if stop > place:
                found.append((int(place), int(stop)))
            place = max(stop, place + 1)
    return found


def whole(weights: Array) -> tuple[tuple[int, ...], ...]:
    """Return weights as integers."""
    return tuple(tuple(int(value) for value in row) for row in np.rint(weights * UNIT))


def fit_keys(material: Material, chosen: Array) -> None:
    """Fit the weights of the key and put them into span_weights."""
    weights = fit_softmax(material.key_features[chosen], material.key[chosen], 2, KEY_SMOOTHING, 80)
    span_weights.KEYS, span_weights.UNIT = whole(weights), UNIT


def fit(material: Material, chosen: Array) -> None:
    """Fit everything on the chosen spans and put it into span_weights."""
    fit_keys(material, chosen)
    features, keys = material.features()
    weights = fit_softmax(features[chosen], material.gold[chosen], KINDS, SMOOTHING, 60)
    candidates = np.argsort(-scores_of(features, weights), 1, kind="stable")[:, : spans.BEAM].copy()
    missing = ~(candidates == material.gold[:, None]).any(1)
    candidates[missing, -1] = material.gold[missing]
    chain = Chain(material, runs_of(material, chosen), candidates, keys)
    weights, tables = fit_chain(features, weights, chain, 60)
    span_weights.SPANS = whole(weights)
    span_weights.LINKS = tuple(whole(table[None])[0] for table in tables)


def lined_up(material: Material, folds: Array) -> Array:
    """Tell which spans' analysis lines up with the score, by a model that has not seen their piece.

    Repeats and pickups are counted differently in some analyses, so that chords stand beside other measures' notes.
    """
    right = np.zeros(len(folds), bool)
    for fold in range(folds.max() + 1):
        chosen, aside = folds != fold, folds == fold
        fit_keys(material, chosen)
        features, _ = material.features()
        weights = fit_softmax(features[chosen], material.gold[chosen], KINDS, 2 * SMOOTHING, 50)
        guessed = scores_of(features[aside], weights).argmax(1) // KINDS
        right[aside] = guessed == material.root[aside]
    size, least = STRAY
    good = np.ones(len(folds), bool)
    for start, end in material.bounds:
        own = right[start:end]
        for place in range(end - start):
            low = max(0, min(place - size // 2, len(own) - size))
            good[start + place] = own[low : low + size].mean() >= least
    return good


def measure(material: Material, pieces: Sequence[int]) -> tuple[Array, Array]:
    """Return for each span of the pieces whether root, and root and third, are the analyst's."""
    root_right, third_right = [], []
    for index in pieces:
        piece = material.pieces[index]
        for guesses, truth in zip(spans.guess_spans(piece.notes), piece.truths, strict=True):
            same = guesses[0].root.pitch_class == truth.root
            root_right.append(same)
            third_right.append(same and third_of(guesses[0].degrees) == truth.third)
    return np.array(root_right), np.array(third_right)


def print_folds(material: Material, piece_folds: list[int], good: Array, count: int) -> None:
    """Fit and measure each fold: shares of spans with the analyst's root / root and third."""
    folds = np.repeat(piece_folds, [end - start for start, end in material.bounds])
    parts = []
    print(
        "pieces kept aside | spans | root | root and third | where the analysis lines up: spans | root | root and third"
    )
    for fold in range(count):
        started = time.monotonic()
        fit(material, good & (folds != fold))
        aside = [index for index, own in enumerate(piece_folds) if own == fold]
        root, third = measure(material, aside)
        straight = good[folds == fold]
        parts.append((root, third, straight))
        print(row(f"fold {fold + 1}", root, third, straight), f"({time.monotonic() - started:.0f} s)", flush=True)
    print(row("all folds", *(np.concatenate(column) for column in zip(*parts, strict=True))))


def row(name: str, root: Array, third: Array, straight: Array) -> str:
    """Return a line of the table."""
    kept = f"{straight.sum()} | {root[straight].mean():.4f} | {third[straight].mean():.4f}"
    return f"{name} | {len(root)} | {root.mean():.4f} | {third.mean():.4f} | {kept}"


def write(path: Path) -> None:
    """Write the weights that are now in span_weights as a module."""
    lines = [
        '"""The weights by which spans are named: integers fitted by builder/making/fit_naming.py, not by hand.',
        "",
        "Source: analysed spans of the When in Rome corpus (CC BY-SA 4.0 for its new content; earlier sources are",
        "named in each analysis). No line of it is in here. The rows are explained in spans.py.",
        '"""',
        "",
        "from __future__ import annotations",
        "",
        f"UNIT = {span_weights.UNIT}",
        '"""What a weight of one is."""',
        "",
        *table_lines("SPANS", span_weights.SPANS, "A row for each piece of evidence, a column for each type."),
        *table_lines("KEYS", span_weights.KEYS, "A row for each piece of evidence about a key; major, minor."),
        *table_lines("LINKS", span_weights.LINKS, "The tables of a step from chord to chord."),
    ]
    path.write_text("\n".join(lines).rstrip() + "\n", encoding="utf-8")


def table_lines(name: str, table: Sequence[Sequence[int]], says: str) -> list[str]:
    """Return a table as Python: a row a line, and one that is longer filled to 118 columns."""
    lines = ["# fmt: off", f"{name}: tuple[tuple[int, ...], ...] = ("]
    for numbers in table:
        text = ", ".join(map(str, numbers))
        if len(text) < 110:
            lines.append(f"    ({text}),")
        else:
            lines += ["    (", *wrap(text + ",", 118, initial_indent=" " * 8, subsequent_indent=" " * 8), "    ),"]
    return [*lines, ")", "# fmt: on", f'"""{says}"""', ""]


def main() -> None:
    """Read the arguments, print the folds, write the weights."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("data", type=Path)
    parser.add_argument("--folds", type=int, default=5, help="how many folds are measured, of five")
    parser.add_argument("--write", action="store_true", help="fit on all pieces and write the weights")
    asked = parser.parse_args()
    material = Material(read_pieces(asked.data))
    order = list(range(len(material.pieces)))
    random.Random(1).shuffle(order)
    piece_folds = [0] * len(order)
    for place, index in enumerate(order):
        piece_folds[index] = place % 5
    good = lined_up(material, np.repeat(piece_folds, [end - start for start, end in material.bounds]))
    print(f"{(~good).sum()} of {len(good)} spans don't line up: left out of fitting, kept in measuring")
    print_folds(material, piece_folds, good, asked.folds)
    if asked.write:
        fit(material, good)
        write(Path(span_weights.__file__))


if __name__ == "__main__":
    main()
