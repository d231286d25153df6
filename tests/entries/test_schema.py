"""Checks the shapes of entries: what they hold once they are read, and that a rhythm's every problem has words."""

from __future__ import annotations

import ast
import inspect
from dataclasses import FrozenInstanceError
from fractions import Fraction

import pytest
from pydantic import ValidationError

from understave.entries.rhythm_faults import rhythm_problem
from understave.entries.schema import (
    FILES,
    MUSICXML_KINDS,
    AddedToneFile,
    ChordSymbolFile,
    CountingSystemFile,
    RhythmFigureFile,
    TermFile,
)
from understave.entries.values import KINDS, NotesExample
from understave.theory import counting, finding, rhythms, together
from understave.theory.counting import PositionSystem, ValueSystem
from understave.theory.rhythms import RhythmError
from understave.theory.tones import parse_degree

COMMON = {"name": "x", "summary": "y.", "text": "z", "sources": ("s",)}


def test_the_kinds_have_the_folders_that_editors_know():
    assert [kind.folder for kind in KINDS] == [
        "chord-symbols", "added-tones", "slash-chords", "counting-systems", "rhythm-figures", "terms",
    ]  # fmt: skip
    assert tuple(FILES) == KINDS


def test_musicxml_4_has_33_kinds():
    """MusicXML 4.0, kind-value (counted from memory; the names are held against its XSD in tests/outside)."""
    assert len(MUSICXML_KINDS) == len(set(MUSICXML_KINDS)) == 33


def test_degrees_are_read_and_an_entry_is_frozen():
    entry = ChordSymbolFile.model_validate({**COMMON, "written": ["m"], "degrees": ["1", "b3", "5"]}).value()
    assert entry.degrees == tuple(map(parse_degree, ("1", "b3", "5")))
    with pytest.raises(FrozenInstanceError):
        entry.name = "other"  # type: ignore[misc]


@pytest.mark.parametrize("missing", ["name", "summary", "text", "sources", "written", "degrees", "adds"])
def test_no_key_of_an_added_tone_may_be_missing(missing):
    data = {**COMMON, "written": ["add9"], "degrees": ["1", "3", "5", "9"], "adds": "9"}
    assert AddedToneFile.model_validate(data).adds == parse_degree("9")
    del data[missing]
    with pytest.raises(ValidationError):
        AddedToneFile.model_validate(data)


def test_a_system_by_position_keeps_its_lists_and_beats():
    entry = CountingSystemFile.model_validate(
        {**COMMON, "by": "position", "two": ["du", "de"], "three": ["du", "da", "di"], "beats": {"3/4": "measure"}}
    ).value()
    assert entry.system == PositionSystem({2: ("du", "de"), 3: ("du", "da", "di")}, {"3/4": "measure"})


def test_a_system_by_value_keys_its_words_by_tokens():
    entry = CountingSystemFile.model_validate(
        {**COMMON, "by": "value", "values": {"8 16 16": "ti ti ka", "4": "ta"}}
    ).value()
    assert entry.system == ValueSystem({("8", "16", "16"): ("ti", "ti", "ka"), ("4",): ("ta",)})


def test_a_figure_gives_its_rhythm_in_exact_fractions():
    entry = RhythmFigureFile.model_validate({**COMMON, "meter": "3/4", "rhythm": "12 12 12 4. 8"}).value()
    assert [event.at for event in entry.parsed.events] == [
        Fraction(0), Fraction(1, 12), Fraction(1, 6), Fraction(1, 4), Fraction(5, 8),
    ]  # fmt: skip


def test_the_notes_of_a_term_lie_in_two_hands():
    example = NotesExample(key="A minor", notes="F3 B3 | D#4 G#4")
    assert (list(map(str, example.left)), list(map(str, example.right))) == (["F3", "B3"], ["D#4", "G#4"])
    alone = NotesExample(key="C major", notes="C4 E4")
    assert len(alone.left + alone.right) == 2


@pytest.mark.parametrize("notes", ["", "|", "C4 H4", "C", "c4", "C4 | E"])
def test_notes_that_are_none_are_refused(notes):
    with pytest.raises(ValidationError):
        TermFile.model_validate({**COMMON, "example": {"key": "C major", "notes": notes}})


def problems_of_rhythms() -> set[str]:
    """The ids that reading, counting, joining and finding rhythms can raise, from the code itself."""
    found = set()
    for module in (rhythms, counting, finding, together):
        for node in ast.walk(ast.parse(inspect.getsource(module))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "RhythmError":
                found |= {part.value for part in ast.walk(node.args[0]) if isinstance(part, ast.Constant)} - {0}
    return found


def test_the_problems_of_rhythms_are_found():
    assert problems_of_rhythms() >= {"no-meter", "no-notes", "unknown-token", "tie-open", "tie-to-nothing"}


DETAILS = {
    "measure-short": ("1", "1/4", "4/4"),
    "measure-long": ("1", "1/4", "4/4"),
    "tuplet-open": ("1", "1/12", "3", "12", "5"),
    "words-do-not-fit": ("9", "5", "4/4"),
}
"""The details of the problems that have more than two."""


@pytest.mark.parametrize("problem", sorted(problems_of_rhythms()))
def test_every_problem_of_a_rhythm_has_words_of_its_own(problem):
    words = rhythm_problem(RhythmError(problem, *DETAILS.get(problem, ("one", "two"))))
    others = {
        rhythm_problem(RhythmError(other, *DETAILS.get(other, ("one", "two"))))
        for other in problems_of_rhythms() - {problem}
    }
    assert words not in others
