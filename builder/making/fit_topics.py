"""Fit the weights by which comments' topics are told, and measure them on comments kept aside.

The data are invented comments, sorted by hand: builder/making/comments.jsonl, one JSON object a line with text, topics
(the first question's first) and language. Needs numpy and scipy. Run from the repository's root:

    PYTHONPATH=builder python builder/making/fit_topics.py [--folds 5] [--write]

prints how many first topics come right in folds, by phrases alone and weighed; with --write it fits on all comments
and writes builder/understave/comments/topic_weights.txt.
"""

from __future__ import annotations

import argparse
import json
import random
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize
from scipy.sparse import csr_matrix

from understave.answers.configuration import find_project
from understave.answers.triaging import reader_of
from understave.comments.topics import ORDER
from understave.comments.weighing import WEIGHTS, told
from understave.entries.guides import read_guides
from understave.entries.kept import load_glossary
from understave.entries.replies import read_replies

COMMENTS = Path("builder/making/comments.jsonl")
TARGET = Path("builder/understave/comments") / WEIGHTS

UNIT = 100
"""What a weight of one becomes as an integer."""

SMOOTHING = 0.7
"""The penalty on squared weights; of .3 to 3 it matters little."""

LEAST_SEEN = 2
"""In how many comments a word or pair must stand to be weighed."""

LEAST_WEIGHT = 8
"""Rows whose weights are all smaller are left out."""

Array = NDArray[Any]


@dataclass(frozen=True)
class Sorted:
    """A comment: what holds of its first question, its topic's place in ORDER, and what phrases alone say."""

    told: frozenset[str]
    topic: int
    by_phrases: int


def sorted_comments(path: Path) -> list[Sorted]:
    """Read the comments that people sorted."""
    project = find_project(None)
    glossary = load_glossary(project.content, project.cache)
    replies, _ = read_replies(project.content, glossary.entries)
    guides, _ = read_guides(project.content, None)
    reader = reader_of(glossary, guides, replies)
    found = []
    for line in path.read_text("utf-8").splitlines():
        item = json.loads(line)
        questions, notes = reader.questions(item["text"])
        if questions:
            first = questions[0]
            rows = frozenset(told(first, notes))
            found.append(Sorted(rows, ORDER.index(item["topics"][0]), ORDER.index(first.topic)))
    return found


def fitted(comments: Sequence[Sorted]) -> dict[str, tuple[int, ...]]:
    """Return the weights of a softmax over what holds, as integers."""
    seen = Counter(name for comment in comments for name in comment.told)
    names = sorted(name for name, number in seen.items() if number >= LEAST_SEEN)
    places = {name: place for place, name in enumerate(names)}
    cells = [(row, places[name]) for row, one in enumerate(comments) for name in one.told if name in places]
    rows, columns = zip(*cells, strict=True)
    facts = csr_matrix((np.ones(len(cells)), (rows, columns)), shape=(len(comments), len(names)))
    truth = np.zeros((len(comments), len(ORDER)))
    truth[range(len(comments)), [one.topic for one in comments]] = 1

    def loss(flat: Array) -> tuple[float, Array]:
        weights = flat.reshape(len(names), len(ORDER))
        sums = facts @ weights
        sums -= sums.max(axis=1, keepdims=True)
        shares = np.exp(sums)
        shares /= shares.sum(axis=1, keepdims=True)
        cost = -np.log((shares * truth).sum(axis=1)).sum() + SMOOTHING * (weights**2).sum() / 2
        return float(cost), (facts.T @ (shares - truth) + SMOOTHING * weights).ravel()

    best = minimize(loss, np.zeros(len(names) * len(ORDER)), jac=True, method="L-BFGS-B", options={"maxiter": 300})
    weights = np.rint(best.x.reshape(len(names), len(ORDER)) * UNIT).astype(int)
    return {
        name: tuple(map(int, row)) for name, row in zip(names, weights, strict=True) if max(abs(row)) >= LEAST_WEIGHT
    }


def share_right(comments: Sequence[Sorted], weights: dict[str, tuple[int, ...]]) -> float:
    """Return how many of the comments come right with the weights."""
    right = 0
    for one in comments:
        sums = np.sum([weights[name] for name in one.told if name in weights], axis=0)
        right += int(np.argmax(sums)) == one.topic
    return right / len(comments)


def main() -> None:
    """Print the folds; write the weights if asked to."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--folds", type=int, default=5)
    parser.add_argument("--write", action="store_true")
    options = parser.parse_args()
    comments = sorted_comments(COMMENTS)
    random.Random(1).shuffle(comments)
    by_phrases = sum(one.topic == one.by_phrases for one in comments) / len(comments)
    print(f"{len(comments)} comments, by phrases alone {by_phrases:.3f}")
    aside = [comments[fold :: options.folds] for fold in range(options.folds)]
    kept = [[one for one in comments if one not in set(fold)] for fold in aside]
    shares = [share_right(fold, fitted(rest)) for fold, rest in zip(aside, kept, strict=True)]
    print("weighed, kept aside: " + " ".join(f"{share:.3f}" for share in shares) + f", mean {np.mean(shares):.3f}")
    if options.write:
        weights = fitted(comments)
        lines = (f"{name}\t{' '.join(map(str, row))}\n" for name, row in weights.items())
        TARGET.write_text("".join(lines), "utf-8")
        print(f"{len(weights)} rows written")


if __name__ == "__main__":
    main()
