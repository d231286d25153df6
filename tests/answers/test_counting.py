"""Checks the count command: its JSON, its table, what it says of the count, and how bad input is told."""

from __future__ import annotations

import json
import re
from fractions import Fraction

import pytest
from click.testing import CliRunner, Result

from understave.cli import main

PLACE = {"measure", "beat", "in_beat", "at", "length", "says", "sounds", "note"}


@pytest.fixture(autouse=True)
def _in_demo(repository, monkeypatch):
    monkeypatch.chdir(repository)


def run(*arguments: str, text: str | None = None) -> Result:
    return CliRunner().invoke(main, ["count", *arguments], input=text)


def value(*arguments: str) -> dict:
    result = run(*arguments, "--json")
    assert (result.exit_code, result.stderr) == (0, "")
    return json.loads(result.stdout)


def one_line(*arguments: str) -> str:
    result = run(*arguments)
    assert result.exit_code == 2, result.output
    assert result.stdout == ""
    assert len(result.stderr.splitlines()) == 1, result.stderr
    assert "Traceback" not in result.stderr
    return result.stderr.strip()


def test_the_json_has_the_settled_shape():
    counted = value("8 8 12 12 12 4 4", "--meter", "4/4", "--system", "trip-let")
    assert list(counted) == ["meter", "system", "line", "counts"]
    assert (counted["meter"], counted["system"]) == ("4/4", "trip-let")
    assert counted["line"] == "1 & 2 trip let 3 (&) 4 (&)"
    assert all(set(one) == PLACE for one in counted["counts"])
    assert [one["says"] for one in counted["counts"]] == ["1", "&", "2", "trip", "let", "3", "&", "4", "&"]
    assert counted["counts"][3] == {
        "measure": 1, "beat": 2, "in_beat": "1/12", "at": "1/3", "length": "1/12",
        "says": "trip", "sounds": True, "note": None,
    }  # fmt: skip
    assert counted["counts"][6]["note"] == "held"
    assert not counted["counts"][6]["sounds"]


def test_the_places_follow_each_other_and_the_line_has_a_word_for_each():
    counted = value("4 | 8. 16 8r 8 6 6 6 | 2 4", "--system", "takadimi")
    at = Fraction(0)
    for one in counted["counts"]:
        assert Fraction(one["at"]) == at
        at += Fraction(one["length"])
    assert at == Fraction(2)
    assert len(counted["line"].split()) == len(counted["counts"])
    assert {one["measure"] for one in counted["counts"]} == {0, 1, 2}


def test_without_options_the_meter_is_four_four_and_the_system_the_sites_own():
    assert (value("4 4 4 4")["meter"], value("4 4 4 4")["system"]) == ("4/4", "e-and-a")


def test_the_sites_own_system_is_a_setting(small_content, write_files, in_folder, monkeypatch, repository):
    write_files(small_content)
    folder = in_folder / "content" / "counting-systems"
    takadimi = repository / "content" / "counting-systems" / "takadimi.yaml"
    text = takadimi.read_text("utf-8").replace("[beat](beat)", "beat").replace("[compound](compound-meter)", "compound")
    (folder / "takadimi.yaml").write_text(text.replace("[1 e & a](e-and-a)", "1 e & a"), "utf-8")
    (in_folder / "mkdocs.yml").write_text(
        "site_name: x\ndocs_dir: content\nplugins: [{understave: {counting_system: takadimi}}]\n"
    )
    monkeypatch.chdir(in_folder)
    assert value("8 8 4 2")["line"] == "ta di ta (di) ta (di) (ta) (di)"
    assert value("--find", "ta di")["system"] == "takadimi"


def test_a_new_system_is_one_file(small_content, write_files, in_folder, monkeypatch):
    write_files(small_content)
    (in_folder / "content" / "counting-systems" / "tick-tock.yaml").write_text(
        'name: tick tock\nby: position\ntwo: ["tick", "tock"]\nthree: ["tick", "a", "tock"]\n'
        'summary: A test\'s own words.\ntext: Say *tick* on the beat.\nsources: ["this test"]\n'
    )
    (in_folder / "mkdocs.yml").write_text("site_name: x\ndocs_dir: content\nplugins: [understave]\n")
    monkeypatch.chdir(in_folder)
    assert value("8 8 12 12 12", "--meter", "2/4", "--system", "tick-tock")["line"] == "tick tock tick a tock"
    assert value("--find", "tick tock tick a tock") == {
        "system": "tick-tock", "rhythms": [{"recip": "8 8 12 12 12", "meter": "2/4"}],
    }  # fmt: skip


def test_a_place_without_a_word_is_null_with_a_note_and_no_error():
    counted = value("12 12 12 4 2", "--system", "uno-y")
    assert [(one["says"], one["note"]) for one in counted["counts"][:3]] == [
        ("1", None), (None, "no-word"), (None, "no-word"),
    ]  # fmt: skip
    assert counted["line"].startswith("1 – – 2")


def test_another_beat_and_each_beat():
    assert value("8 8 8 4.", "--meter", "6/8", "--beat", "eighth")["line"] == "1 2 3 4 (5) (6)"
    assert value("4 8 8 2", "--each-beat")["line"] == "1 2 & 3 (4)"


def test_a_rhythm_may_come_from_the_input():
    assert json.loads(run("-", "--json", text="4 4\n| 4 4 4 4\n").stdout)["line"] == "3 4 1 2 3 4"


def test_a_count_finds_its_rhythms():
    assert value("--find", "1 & 2 e & a") == {
        "system": "e-and-a", "rhythms": [{"recip": "8 8 16 16 16 16", "meter": "2/4"}],
    }  # fmt: skip
    assert [one["recip"] for one in value("--find", "1 & a")["rhythms"]] == ["12 12 12", "8 16 16"]
    assert value("--find", "1 & a 2 & a", "--meter", "6/8")["rhythms"][0]["recip"] == "8 8 8 8 8 8"


@pytest.mark.parametrize(
    ("line", "system"),
    [
        ("1 2 3 4", "e-and-a"), ("1 trip let", "trip-let"), ("1 te", "eastman"), ("du de", "gordon"),
        ("ta di", "takadimi"), ("ti ka ti ka", "kodaly"), ("ta té", "time-names"), ("1 und", "ein-und"),
        ("1 y", "uno-y"), ("1 et", "un-et"), ("walk run ning", "walk-and-run"),
    ],
)  # fmt: skip
def test_the_system_is_guessed_from_its_words(line, system):
    assert value("--find", line)["system"] == system


def test_the_table_stands_under_the_rhythm():
    result = run("8 8 12 12 12 4 4", "--system", "trip-let")
    lines = result.stdout.splitlines()
    assert (result.exit_code, lines[0]) == (0, "4/4, counted with 1 trip let")
    tokens, words = lines[2], lines[3]
    assert tokens.split() == ["measure", "1", "8", "8", "12", "12", "12", "4", "4"]
    assert words.split() == ["1", "&", "2", "trip", "let", "3", "(&)", "4", "(&)"]
    assert tokens.index("12") == words.index("2 ")
    assert "1 & 2 trip let 3 (&) 4 (&)" in lines


def test_the_text_says_why_and_where_the_feel_changes():
    text = run("8 8 12 12 12 8 8 4", "--system", "trip-let").stdout
    assert (
        "Beats 1 and 3: the smallest notes are eighths, so count two to a beat; sixteenths would be finer than needed."
        in text
    )
    assert "Measure 1, beat 2: the feel goes from two to three. Keep the beat even" in text
    assert "Measure 1, beat 3: the feel goes from three to two. Keep the beat even" in text
    assert "Brackets mean" in text
    assert "A dash means" not in text
    assert "A dash means" in run("12 12 12 4 2", "--system", "uno-y").stdout
    assert "pickup  4" in run("4 | 1").stdout
    assert run("4 4 4 4").stdout.splitlines()[-1] == (
        "Every beat: no note is shorter than the beat, so one word a beat is enough."
    )


def test_a_reason_and_a_change_that_come_again_are_told_once():
    text = run(" | ".join(["8 8 12 12 12 8 8 4"] * 6)).stdout
    assert text.count("the feel goes from two to three") == 1
    assert text.count("the smallest notes are eighths") == 1
    places = "Measure 1, beat 2; measure 2, beat 2; measure 3, beat 2; measure 4, beat 2; 2 more: the feel goes"
    assert places in text


def test_a_found_rhythm_in_words():
    assert run("--find", "1 & 2 e & a").stdout == "Said with 1 e & a:\n  2/4: 8 8 16 16 16 16\n"


def test_found_rhythms_are_written_as_notation(tmp_path):
    file = tmp_path / "found.html"
    assert run("--find", "1 & a", "--out", str(file)).stdout == run("--find", "1 & a").stdout
    page = file.read_text("utf-8")
    assert [svg.count('class="note"') for svg in page.split("<article>")[1:]] == [3, 3]
    assert re.findall(r'<p class="about">(.*?)</p>', page) == ["1/4: 12 12 12", "1/4: 8 16 16"]
    assert "The count: 1 &amp; a" in page


def test_a_counted_rhythm_is_written_with_its_reasons(tmp_path):
    file = tmp_path / "counted.html"
    assert run("8 8 16 16 16 16", "--meter", "2/4", "--out", str(file)).exit_code == 0
    assert "the smallest notes are sixteenths, so count four to a beat" in file.read_text("utf-8")


@pytest.mark.parametrize(
    ("arguments", "parts"),
    [
        (("4 4 4 4", "--out", "no-such-folder/a.html"), ("no-such-folder/a.html", "can't be written")),
        (("16 " * 416, "--out", "a.html"), ("416 notes", "at most 400")),
        (("4 4 4",), ("measure 1", "1/4 of a whole note too short")),
        (("1 | 4 4 4 4. | 1",), ("measure 2", "1/8 of a whole note too long")),
        (("4 4 x 4",), ("'x'", "number 3")),
        (("4 4 4 4", "--meter", "4/3"), ("'4/3'",)),
        (("4 4 4 4", "--meter", "0/4"), ("'0/4'",)),
        (("4 4 *M5/3 4 4",), ("'5/3'",)),
        (("4 4] 2",), ("a tie to nothing", "'4]'", "token 2")),
        (("4 4 4 [4",), ("a tie left open", "'[4'", "token 4")),
        (("4 4 4 12 12",), ("measure 1", "a tuplet of 3 left open", "1/12")),
        (("12 12 4 12 4 4",), ("measure 1", "a tuplet of 3 left open", "'4'", "token 3")),
        (("",), ("empty rhythm",)),
        (("4 4 4 4", "--system", "takadmi"), ("'takadmi'", "nearest: 'takadimi'")),
        (("4 4 4 4", "--beat", "dotted-quater"), ("'dotted-quater'", "nearest: 'dotted-quarter'")),
        (("4 4 4 4", "--beat", "dotted-quarter"), ("3/8", "4/4")),
        (("--find", "1 q 2"), ("'q'", "number 2")),
        (("--find", ""), ("without words",)),
        (("--find", "(1"), ("brackets",)),
        (("--find", "1 2", "--system", "gordn"), ("nearest: 'gordon'",)),
        (("--find", "1 2", "--meter", "x"), ("'x'",)),
        (("--find", "1 9", "--meter", "4/4"), ("'9'", "4/4")),
        ((), ("RHYTHM",)),
        (("4 4 4 4", "--find", "1"), ("RHYTHM",)),
        (("--find", "1", "--beat", "half"), ("--beat",)),
        (("4 4 4 4", "--meter", "4/4\nx"), ("meter",)),
    ],
)  # fmt: skip
def test_bad_input_is_one_line_that_names_what_is_wrong(arguments, parts):
    line = one_line(*arguments)
    for part in parts:
        assert part in line
