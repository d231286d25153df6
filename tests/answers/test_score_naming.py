"""The command `name SCORE --every …`: JSON as its contract says, text by measure and beat, one line for bad input."""

from __future__ import annotations

import json
import zipfile
from fractions import Fraction
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from understave.cli import main

from ..lessons.small_scores import HEADER, SCORE, both, harmony, note, score

ITEM = ["measure", "beat", "in_beat", "at", "namings"]
NAMING = ["symbol", "root", "bass", "chord", "tones", "inversion", "missing", "extra", "left", "right", "why"]


@pytest.fixture
def run(repository: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.chdir(tmp_path)

    def run_name(music: str | bytes, *options: str, name: str = "song.musicxml") -> Result:
        Path(name).write_bytes(music if isinstance(music, bytes) else music.encode())
        return CliRunner().invoke(main, ["name", name, *options])

    return run_name


def items(result: Result) -> list[dict[str, object]]:
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def symbols(result: Result) -> list[tuple[object, object, str]]:
    return [(item["measure"], item["beat"], item["namings"][0]["symbol"]) for item in items(result)]  # type: ignore[index]


def test_json_has_a_list_with_the_contracts_keys(run):
    found = items(run(SCORE, "--every", "measure", "--json"))
    assert [list(item) for item in found] == [ITEM] * 4
    assert list(found[0]["namings"][0]) == NAMING
    assert [(item["measure"], item["beat"], item["in_beat"], item["at"]) for item in found] == [
        (1, 1, "0", "0"),
        (2, 1, "0", "1"),
        (3, 1, "0", "2"),
        (4, 1, "0", "3"),
    ]


def test_symbols_sum_up_both_hands(run):
    left = note("G2", 2, 2) + note("C3", 2, 2)
    chord = note("Bb3", 2) + "".join(note(p, 2).replace("<note>", "<note><chord/>") for p in ("F4", "A4"))
    right = harmony("G", "minor-ninth") + chord + harmony("C", "major") + note("E4", 2)
    found = items(run(score(('number="5"', both(right, left))), "--every", "symbol", "--json"))
    best = found[0]["namings"][0]
    assert (best["symbol"], best["left"], best["right"]) == (
        "Gm9",
        [["G2", "1"]],
        [["Bb3", "b3"], ["F4", "b7"], ["A4", "9"]],
    )
    assert (found[1]["measure"], found[1]["beat"], found[1]["at"]) == (5, 3, "1/2")


def test_a_passing_note_is_told_and_renames_nothing(run):
    right = note("C5", 1) + note("D5", Fraction(1, 2)) + note("E5", Fraction(1, 2)) + note("G5", 2)
    alberti = "".join(note(pitch, Fraction(1, 2), 2) for pitch in ("C3", "G3", "E3", "G3") * 2)
    music = score(('number="1"', both(right, alberti)))
    best = items(run(music, "--every", "measure", "--json"))[0]["namings"][0]
    assert best["symbol"] == "C"
    assert best["extra"] == [{"pitch": "D5", "degree": "2", "as": "passing"}]
    assert [symbol for _, _, symbol in symbols(run(music, "--every", "beat", "--json"))] == ["C"] * 4


def test_a_silent_beat_has_no_names(run):
    music = score(('number="1"', both(note("E4", 2) + note("r", 2), note("C3", 2, 2) + note("r", 2, 2))))
    assert [bool(item["namings"]) for item in items(run(music, "--every", "beat", "--json"))] == [
        True,
        True,
        False,
        False,
    ]
    assert "Measure 1, beat 4: nothing sounds." in run(music, "--every", "beat").stdout.splitlines()


def test_text_has_measure_beat_symbol_and_why(run):
    lines = run(SCORE, "--every", "symbol").stdout.splitlines()
    assert lines[0].startswith("Measure 1, beat 1: C: ")
    assert any(line.startswith("Measure 3, beat 3: ") for line in lines)


def test_a_score_without_symbols_says_what_to_do(run):
    music = score(('number="1"', both(note("E4", 4), note("C3", 4, 2))))
    assert items(run(music, "--every", "symbol", "--json")) == []
    assert "--every measure" in run(music, "--every", "symbol").stdout


def test_the_same_score_gives_the_same_bytes(run):
    assert run(SCORE, "--every", "beat", "--json").stdout == run(SCORE, "--every", "beat", "--json").stdout


def test_compressed_scores_and_odd_endings_are_read(run, tmp_path):
    with zipfile.ZipFile("song.mxl", "w") as archive:
        archive.writestr("score.xml", SCORE)
    packed = Path("song.mxl").read_bytes()
    plain = run(SCORE, "--every", "measure", "--json").stdout
    assert run(packed, "--every", "measure", "--json", name="song.mxl").stdout == plain
    assert run(packed, "--every", "measure", "--json", name="packed.musicxml").stdout == plain
    assert run(SCORE, "--every", "measure", "--json", name="song").stdout == plain


@pytest.mark.parametrize(
    ("music", "why"),
    [
        ("", "it is no MusicXML"),
        ("C4 E4", "it is no MusicXML"),
        (SCORE[:600], "it can't be read"),
        (HEADER + "<html/>", "it is no MusicXML score"),
        (HEADER + '<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]><x>&e;</x>', "it declares entities"),
        (score(('number="1"', note("r", 4))), "it holds no notes"),
        (b"PK\x03\x04 no archive", "it is no compressed MusicXML"),
    ],
)
def test_what_is_no_score_is_one_line(music, why, run):
    result = run(music, "--every", "beat", "--json")
    assert (result.exit_code, result.stdout) == (2, "")
    assert len(result.stderr.splitlines()) == 1
    assert result.stderr.startswith(f"song.musicxml: {why}")


@pytest.mark.parametrize(
    "words",
    [
        ("none.musicxml", "--every", "beat"),
        ("none.musicxml",),
        ("C3 | E3", "--every", "beat"),
        (".", "--every", "beat"),
        ("", "--every", "beat"),
        (" | ",),
        ("\0", "--every", "beat"),
        ("x" * 5000, "--every", "beat"),
        ("song.musicxml", "--every", "bar"),
        ("song.musicxml", "--spans", "song.musicxml", "--every", "beat"),
    ],
)
def test_what_asks_for_nothing_that_is_there_is_one_line(words, run):
    run(SCORE)
    result = CliRunner().invoke(main, ["name", *words])
    assert (result.exit_code, result.stdout) == (2, "")
    assert len(result.stderr.splitlines()) == 1
    assert result.exception is None or isinstance(result.exception, SystemExit)


def test_a_score_without_a_way_to_cut_it_says_which_there_are(run):
    result = run(SCORE)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "--every measure, beat or symbol" in result.stderr
