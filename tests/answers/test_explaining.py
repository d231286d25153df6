"""Explains the demo's lessons: verdicts, hands, the left hand alone, counts, and what a second of the video holds."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from click.testing import CliRunner, Result

from understave.answers.explaining import Wanted, explained_text, explained_value
from understave.cli import main
from understave.entries.glossary import Glossary


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["explain", *arguments])


@pytest.fixture
def lesson(lanternfield):
    return lanternfield.lessons["paper-lanterns-at-low-tide"]


def test_every_symbol_of_the_demo_agrees_with_what_sounds(lanternfield):
    for lesson in lanternfield.lessons.values():
        value = explained_value(lesson, Wanted(), lanternfield)
        assert value["lesson"] == lesson.id
        assert len(value["symbols"]) == len(lesson.symbols)
        others = [(one["measure"], one["symbol"]) for one in value["symbols"] if one["verdict"] != "agrees"]
        assert others == []


def test_every_symbol_is_the_likeliest_name_or_its_other_name_is_told(lanternfield):
    """Of the demo's symbols the naming finds most; of each other one the text says what the notes alone could be."""
    symbols = told = 0
    for lesson in lanternfield.lessons.values():
        text = explained_text(lesson, Wanted(), lanternfield)
        value = explained_value(lesson, Wanted(), lanternfield)["symbols"]
        others = [one for one in value if one["namings"] and one["namings"][0]["symbol"] != one["symbol"]]
        symbols, told = symbols + len(value), told + len(others)
        assert text.count("The notes alone could also be called") == len(others)
    assert told < symbols / 8


def test_a_symbol_has_all_that_the_contract_names(lesson, lanternfield):
    [symbol] = explained_value(lesson, Wanted(measure=3), lanternfield)["symbols"]
    assert set(symbol) == {
        "symbol", "measure", "beat", "in_beat", "at", "seconds", "verdict", "left", "right", "missing", "extra",
        "namings", "link",
    }  # fmt: skip
    assert (symbol["symbol"], symbol["measure"], symbol["beat"], symbol["in_beat"]) == ("Gm9", 3, 1, "0")
    assert (symbol["seconds"], symbol["link"]) == (82, "/g-minor-ninth/")
    assert symbol["left"][0] == ["G2", "1"]
    assert ["Bb4", "b3"] in symbol["right"]
    assert symbol["namings"][0]["symbol"] == "Gm9"


def test_the_text_can_be_read_out(lesson, lanternfield):
    text = explained_text(lesson, Wanted(measure=3), lanternfield)
    assert text.startswith("Measure 3, beat 1 (1:22): Gm9. The symbol agrees with what both hands play.")
    assert "neither major nor minor" in text
    assert "Count measure 3:" in text
    assert "https://lanternfield.example/glossary/g-minor-ninth/" in text


def test_a_time_leads_to_its_measure_and_talk_to_its_section(lesson, lanternfield):
    played = explained_text(lesson, Wanted.of(None, "0:10"), lanternfield)
    assert played.startswith('Section "The whole piece, at tempo", measure 3.\nMeasure 3, beat 1')
    talk = explained_text(lesson, Wanted.of(None, "3:00"), lanternfield)
    assert talk.startswith('Section "Measures 11 and 12: triplets, then eighths", measures 11 to 12.')
    assert [one["measure"] for one in explained_value(lesson, Wanted.of(None, "3:00"), lanternfield)["symbols"]] == [
        11, 12,
    ]  # fmt: skip
    quiet = explained_text(lesson, Wanted.of(None, "0:45"), lanternfield)
    assert quiet == 'Nothing is played there. The section is "The left hand, measures 1 to 8".'


def test_the_change_of_feel_is_told_with_the_count(lesson, lanternfield):
    text = explained_text(lesson, Wanted(measure=11), lanternfield)
    assert "Count measure 11: 1 & a 2 & a 3 &" in text
    assert "the feel goes from three to two" in text


def test_a_measure_without_a_symbol_of_its_own_has_its_own_count(lesson, lanternfield):
    """The first symbol holds on; in Greensleeves nothing stands over the pickup."""
    one = replace(lesson, symbols=lesson.symbols[:1])
    text = explained_text(one, Wanted(measure=11), lanternfield)
    assert text.startswith("Measure 1, beat 1 (0:06): Fadd2.")
    assert "Count measure 11: 1 & a 2 & a 3 &" in text
    assert "Count measure 1:" not in text
    pickup = explained_text(lanternfield.lessons["greensleeves-in-six-eight"], Wanted(measure=0), lanternfield)
    assert pickup == "Count the pickup: a"
    bare = explained_text(replace(lesson, symbols=()), Wanted(), lanternfield)
    assert [line[:14] for line in bare.split("\n\n")] == [f"Count measure {n}:"[:14] for n in range(1, 17)]


def test_hands_are_counted_apart_where_both_together_have_no_words(lanternfield):
    text = explained_text(lanternfield.lessons["ferry-clock"], Wanted(measure=9), lanternfield)
    assert "Count the left hand of measure 9: 1 & 2 (&) 3 & 4 (&)" in text
    assert "Count the right hand of measure 9: 1 & a 2 & a 3 & a 4 & a" in text


def test_a_glossary_without_counting_systems_explains_without_counts(lesson, lanternfield):
    entries = {name: one for name, one in lanternfield.glossary.entries.items() if one.folder != "counting-systems"}
    bare = replace(lanternfield, glossary=Glossary(entries))
    assert bare.counting_system is None
    text = explained_text(lesson, Wanted(measure=3), bare)
    assert text.startswith("Measure 3, beat 1 (1:22): Gm9.")
    assert "Count measure" not in text


def test_the_command_prints_json():
    result = run("paper-lanterns-at-low-tide", "--measure", "6", "--json")
    assert result.exit_code == 0
    assert json.loads(result.stdout)["symbols"][0]["symbol"] == "F/A"


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("paper-lanterns-at-low-tide", "--measure", "17"), "measure 17; expected one from 1 to 16"),
        (("paper-lanterns-at-low-tide", "--measure", "-1"), "measure -1; expected one from 1 to 16"),
        (("paper-lanterns-at-low-tide", "--at", "1:75"), "the time '1:75'"),
        (("paper-lanterns-at-low-tide", "--at", "soon"), "the time 'soon'"),
        (("paper-lanterns-at-low-tide", "--at", "1:05", "--measure", "3"), "--measure and --at together"),
        (("paper-lanterns",), "paper-lanterns: no such lesson"),
    ],
)
def test_bad_input_is_one_line(arguments, said):
    result = run(*arguments)
    assert result.exit_code == 2
    assert result.stderr.startswith(said)
    assert len(result.stderr.splitlines()) == 1
