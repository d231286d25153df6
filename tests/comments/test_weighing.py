"""Weighing a question's topic: comments that no phrase was written for, and the weights' own shape."""

from __future__ import annotations

from importlib.resources import files

import pytest

from understave.comments.topics import ORDER
from understave.comments.weighing import WEIGHTS

from .askings import asking


def test_every_row_has_a_weight_for_each_topic() -> None:
    lines = files("understave.comments").joinpath(WEIGHTS).read_text("utf-8").splitlines()
    rows = dict(line.split("\t") for line in lines)
    assert len(rows) == len(lines)
    assert {len(numbers.split()) for numbers in rows.values()} == {len(ORDER)}


@pytest.mark.parametrize(
    ("text", "topic"),
    [
        ("so Dm9 has the same notes as F6/9 or am I dreaming, why this letter and not the other", "chord-symbol"),
        ("the low E stays and stays under everything, then suddenly a slash appears", "slash-chord"),
        ("my three fit in the bar but the two after them come out crooked, how do I say it", "counting"),
        ("I listened ten times, there is no third anywhere in the left hand and you call it minor", "notes-vs-symbol"),
        ("is there a version with big noteheads to put on the stand, A4 or so", "printing"),
        ("you made my whole sunday, the neighbours clapped through the wall", "thanks"),
        ("cheap followers, write to my page, best price today", "off-topic"),
    ],
)
def test_topics_told_by_all_the_words(text: str, topic: str) -> None:
    assert asking(text).topics[0] == topic


def test_a_chord_keeps_a_word_of_the_kitchen_from_being_an_advert() -> None:
    assert asking("Cm9, what is the recipe so I can build it on every key").topics[0] == "chord-symbol"
