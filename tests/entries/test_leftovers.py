"""Finds marks of unfinished work wherever they stand in a file, each at its own place."""

from __future__ import annotations

import pytest

from understave.entries.leftovers import leftovers
from understave.entries.schema import TermFile
from understave.entries.shaping import build
from understave.entries.yaml_files import parse_yaml

TEXT = """\
# TODO in a comment is an editor's own note
name: beat
summary: "A pulse, TBD."
text: |
  One TODO. Then
  FIXME and XXX and FILL IN.
sources: [common practice, "FILL IN"]
example: {key: C major, notes: FILL IN}
"""


def test_every_mark_has_its_line_and_column():
    document = parse_yaml(TEXT, "x.yaml")
    found = [(fault.line, fault.column, fault.found) for faults in leftovers(document).values() for fault in faults]
    assert found == [
        (3, 20, "'TBD', left for later"),
        (5, 7, "'TODO', left for later"),
        (6, 3, "'FIXME', left for later"),
        (6, 13, "'XXX', left for later"),
        (6, 21, "'FILL IN', left for later"),
        (7, 29, "'FILL IN', left for later"),
        (8, 32, "'FILL IN', left for later"),
    ]


@pytest.mark.parametrize("word", ["todo", "Fill in the rest", "TODOS", "MIXXX", "TBDs"])
def test_words_that_only_look_like_marks_stay(word):
    document = parse_yaml(TEXT.replace("TODO. Then", word), "x.yaml")
    found = [fault for faults in leftovers(document).values() for fault in faults]
    assert len(found) == 6


def test_a_place_that_is_left_has_one_fault_and_the_others_are_told_too():
    document = parse_yaml(TEXT + "other: x\n", "x.yaml")
    assert build(TermFile, document) is None
    told = sorted(map(str, document.faults))
    assert len(told) == 8
    assert [line for line in told if "left for later" not in line] == [
        "x.yaml:9:1: the key 'other'; one of name, summary, text, asked_as, easily_confused_with, sources, since, "
        "corrected, also_called, musicxml, example"
    ]
