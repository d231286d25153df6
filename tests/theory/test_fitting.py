"""The fit of the spans' weights: the same model as the one that names, on a case small enough to try every way."""

from __future__ import annotations

import itertools
import math
import random
import sys
from collections.abc import Callable, Iterator
from fractions import Fraction
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from understave.theory import span_weights, spans
from understave.theory.hearing import WHOLE
from understave.theory.tones import parse_pitch

BEAM = 3
SPANS = 6
RUNS = [(0, 4), (5, 6)]
"""The fifth span is left out, as one that doesn't line up with its score."""


@pytest.fixture(scope="module")
def fitting() -> Iterator[Any]:
    """The script, which is in no package."""
    path = Path(__file__).parents[2] / "builder" / "making" / "fit_naming.py"
    spec = spec_from_file_location("fit_naming", path)
    assert spec is not None
    assert spec.loader is not None
    sys.modules["fit_naming"] = module = module_from_spec(spec)
    spec.loader.exec_module(module)
    yield module
    del sys.modules["fit_naming"]


class Case:
    """A piece of random notes and names, random weights, and each span's likeliest candidates with the right one."""

    def __init__(self, fitting: Any) -> None:
        dice = random.Random(4)
        notes = [
            [
                spans.SpanNote(parse_pitch(f"{dice.choice('CDEFGAB')}{dice.randint(2, 5)}"), Fraction(0), length, part)
                for part, length in enumerate((Fraction(1, 4), Fraction(1, 8), Fraction(1, 4)))
            ]
            for _ in range(SPANS)
        ]
        truths = [fitting.Truth(dice.randrange(12), 4, dice.randrange(14), dice.randrange(24)) for _ in notes]
        self.material = fitting.Material([fitting.Piece("x", notes, truths)])
        self.features, self.keys = self.material.features()
        numbers = np.random.default_rng(4)
        self.weights = numbers.normal(size=(spans.ROWS, fitting.KINDS)) * 0.3
        self.tables = [numbers.normal(size=size) * 0.3 for size in spans.LINK_SIZES]
        scores = fitting.scores_of(self.features, self.weights)
        self.candidates = np.argsort(-scores, 1, kind="stable")[:, :BEAM].copy()
        missing = ~(self.candidates == self.material.gold[:, None]).any(1)
        self.candidates[missing, -1] = self.material.gold[missing]

    def chord(self, candidate: int) -> tuple[int, int]:
        root, kind = divmod(int(candidate), len(spans.TYPES))
        return root, kind

    def score(self, values: Any, start: int, way: tuple[int, ...]) -> float:
        """The score of one way through a run, added up as the docstrings of `spans` tell it."""
        own, *tables = np.split(values, np.cumsum([self.weights.size, *spans.LINK_SIZES])[:-1])
        weights = own.reshape(self.weights.shape)
        chords = [self.chord(candidate) for candidate in way]
        total = sum(float(self.features[start + i, r] @ weights[:, k]) for i, (r, k) in enumerate(chords))
        for place, (first, second) in enumerate(itertools.pairwise(chords), start + 1):
            basses = (int(self.material.bass[place - 1]), int(self.material.bass[place]))
            indices = spans.link_indices(first, second, basses, int(self.keys[place]))
            total += sum(float(table[index]) for table, index in zip(tables, indices, strict=True))
        return total

    def ways(self, start: int, end: int) -> list[tuple[int, ...]]:
        return list(itertools.product(*self.candidates[start:end]))


@pytest.fixture(scope="module")
def case(fitting: Any) -> Case:
    return Case(fitting)


def loss_of(fitting: Any, case: Case, monkeypatch: pytest.MonkeyPatch) -> Callable[[Any], tuple[float, Any]]:
    """What `fit_chain` hands to the minimizer."""
    given: list[Any] = []

    class Found:
        x = np.zeros(case.weights.size + sum(spans.LINK_SIZES))

    def minimize(loss: Any, *_: Any, **__: Any) -> type[Found]:
        given.append(loss)
        return Found

    monkeypatch.setattr(fitting, "minimize", minimize)
    chain = fitting.Chain(case.material, RUNS, case.candidates, case.keys)
    fitting.fit_chain(case.features, case.weights, chain, 1)
    loss: Callable[[Any], tuple[float, Any]] = given[0]
    return loss


def test_loss_and_slope_are_those_of_every_way_tried(fitting: Any, case: Case, monkeypatch: pytest.MonkeyPatch) -> None:
    values = np.concatenate([case.weights.ravel(), *case.tables])
    smoothing = np.full(len(values), fitting.LINK_SMOOTHING)
    smoothing[: case.weights.size] = fitting.SMOOTHING

    def expected(values: Any) -> float:
        total = float(smoothing @ values**2)
        for start, end in RUNS:
            right = tuple(case.material.gold[start:end])
            all_ways = sum(math.exp(case.score(values, start, way)) for way in case.ways(start, end))
            total += math.log(all_ways) - case.score(values, start, right)
        return total

    loss, slope = loss_of(fitting, case, monkeypatch)(values)
    assert loss == pytest.approx(expected(values), rel=1e-6)
    telling = np.flatnonzero(np.abs(slope - 2 * smoothing * values) > 1e-3)
    assert telling[-1] > case.weights.size
    step = 1e-4
    for place in telling[:: max(1, len(telling) // 25)]:
        ends = []
        for sign in (1, -1):
            near = values.copy()
            near[place] += sign * step
            ends.append(expected(near))
        assert slope[place] == pytest.approx((ends[0] - ends[1]) / (2 * step), abs=1e-4)


def test_naming_weighs_the_ways_that_were_fitted(fitting: Any, case: Case, monkeypatch: pytest.MonkeyPatch) -> None:
    """The sums of integers that rank guesses are, as shares, those of every way tried with the same weights."""
    monkeypatch.setattr(span_weights, "SPANS", fitting.whole(case.weights))
    monkeypatch.setattr(span_weights, "LINKS", tuple(fitting.whole(table[None])[0] for table in case.tables))
    values = np.concatenate([case.weights.ravel(), *case.tables])
    [around] = case.material.around
    keys = spans.keys_around(around)
    weights = spans._Packed(span_weights.SPANS)
    candidates = []
    for span, key, own in zip(around, keys, case.candidates, strict=True):
        chords = [case.chord(candidate) for candidate in own]
        candidates.append([spans._Candidate(r, k, weights.weighed(spans.evidence(span, key, r))[k]) for r, k in chords])
    totals = np.array(spans._along(around, keys, candidates)) / (WHOLE * span_weights.UNIT)
    named = np.exp(totals) / np.exp(totals).sum(1, keepdims=True)
    tried = np.zeros_like(named)
    for way in case.ways(0, SPANS):
        for place, candidate in enumerate(way):
            tried[place, list(case.candidates[place]).index(candidate)] += math.exp(case.score(values, 0, way))
    tried /= tried.sum(1, keepdims=True)
    assert np.abs(named - tried).max() < 0.01  # weights are rounded to a 200th
    assert named.max() - named.min() > 0.1


def test_features_are_the_evidence_under_the_keys_of_now(fitting: Any, case: Case) -> None:
    [around] = case.material.around
    rows = [
        [spans.evidence(span, key, root) for root in range(12)]
        for span, key in zip(around, spans.keys_around(around), strict=True)
    ]
    case.material.features()
    assert np.array_equal(case.material.features()[0], fitting.dense(rows, spans.ROWS))
