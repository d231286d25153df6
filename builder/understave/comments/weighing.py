"""Which topic a question has, weighed: what its words and its evidence tell, by weights fitted on labelled comments.

The phrases of `words/` decide by themselves where they are plain; most viewers ask otherwise. So each topic is a sum of
integers, one for each thing that holds of the question, and the largest sum wins. The weights are fitted by
builder/making/fit_topics.py on builder/making/comments.jsonl, invented comments that people sorted.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from importlib.resources import files
from itertools import pairwise

from understave.comments.topics import ORDER, Question, adds_tone

WEIGHTS = "topic_weights.txt"
"""A line for each thing that may hold: its name, a tab, and its weight for each topic of ORDER."""

STEM = 5
"""How many letters words of one family share, or so: count, counting, countable."""

LONGEST_MEANING = 8
"""How many words a question has at most that asks nothing but what a word means."""

STEPS = (1, 2, 4)
"""The points of a topic's phrases that are told apart."""


def weighed_topic(question: Question, notes: int) -> str:
    """Return a question's topic; ``notes`` is how many note names stand alone in its comment.

    A question without words, and one that asks what a word means, has the topic that its phrases say.
    """
    marks, entries = question.evidence.marks, question.evidence.entries
    if not question.words or (marks["term_frame"] and entries and len(question.words) <= LONGEST_MEANING):
        return question.topic
    weights = _weights()
    rows = [weights[name] for name in set(told(question, notes)) if name in weights]
    sums = [sum(column) for column in zip(*rows, strict=True)] if rows else []
    if not sums:
        return question.topic
    return ORDER[max(range(len(ORDER)), key=lambda index: (sums[index], -index))]


def told(question: Question, notes: int) -> Iterator[str]:
    """Yield the names of what holds of a question, some of them several times."""
    yield "always"
    yield f"phrases={question.topic}"
    for topic, points in question.evidence.points.items():
        yield from (f"{topic}>={step}" for step in STEPS if points >= step)
    for mark, number in question.evidence.marks.items():
        if number:
            yield f"mark={mark}"
    yield from _of_chords(question)
    if notes:
        yield "notes" if notes < 3 else "many notes"
    if len(question.words) < 7:
        yield "short"
    words = ["0" if word.isdigit() else word for word in question.words]
    for word in words:
        yield f"w {word}"
        if len(word) > STEM:
            yield f"s {word[:STEM]}"
    for first, second in pairwise(words):
        yield f"p {first} {second}"


def _of_chords(question: Question) -> Iterator[str]:
    if not question.mentions:
        yield "no chord"
        return
    yield "chord" if len(question.mentions) == 1 else "chords"
    if any(mention.chord.slash for mention in question.mentions):
        yield "slash"
    if any(adds_tone(mention) for mention in question.mentions):
        yield "adds"


@lru_cache(maxsize=1)
def _weights() -> dict[str, tuple[int, ...]]:
    lines = files("understave.comments").joinpath(WEIGHTS).read_text("utf-8").splitlines()
    pairs = (line.split("\t") for line in lines if line)
    return {name: tuple(map(int, numbers.split())) for name, numbers in pairs}
