"""The command `name`: JSON as its contract says, text a teacher could read out, one line for bad input."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from understave.cli import main


def run(*words: str) -> tuple[int, str, str]:
    result = CliRunner().invoke(main, ["name", *words])
    return result.exit_code, result.stdout, result.stderr


def test_json_of_both_hands() -> None:
    status, out, _ = run("G2 D3 | F4 A4 Bb4", "--json")
    value = json.loads(out)
    best = value["namings"][0]
    assert status == 0
    assert list(value) == ["namings", "left_alone", "right_alone"]
    assert list(best) == [
        "symbol",
        "root",
        "bass",
        "chord",
        "tones",
        "inversion",
        "missing",
        "extra",
        "left",
        "right",
        "why",
    ]
    assert (best["symbol"], best["root"], best["bass"], best["chord"]) == ("Gm9", "G", "G", "minor-ninth")
    assert best["left"] == [["G2", "1"], ["D3", "5"]]
    assert best["right"] == [["F4", "b7"], ["A4", "9"], ["Bb4", "b3"]]
    assert value["left_alone"][0]["symbol"] == "G5"


def test_without_a_bar_all_notes_stand_in_the_right_hand() -> None:
    value = json.loads(run("C3 E3 G3", "--json")[1])
    assert value["namings"][0]["left"] == []
    assert value["left_alone"] == []


def test_text_says_what_the_left_hand_alone_leaves_open() -> None:
    _, out, _ = run("G2 D3 | F4 A4 Bb4")
    assert out.startswith("Gm9: ")
    assert "The left hand alone suggests G5: a root and its 5th: no 3rd, so neither major nor minor." in out


@pytest.mark.parametrize("notes", ["", "|", "H9", "C44", "C3 | E3 | G3", "C4 " * 200])
def test_what_holds_no_notes_is_one_line(notes: str) -> None:
    status, out, err = run(notes)
    assert status == 2
    assert out == ""
    assert len(err.splitlines()) == 1
