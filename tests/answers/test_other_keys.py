"""Checks a lesson for others: in a singer's key, for an instrument, for a guitar with a capo."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner, Result

from understave.cli import main


@pytest.fixture(autouse=True)
def _in_demo(repository, monkeypatch):
    monkeypatch.chdir(repository)


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["explain", "snow-on-the-boathouse", *arguments])


def test_a_lesson_in_another_key_is_explained_there():
    lines = run("--key", "F", "--measure", "2").stdout.splitlines()
    assert lines[0] == "In F major instead of E♭ major."
    assert lines[1] == "Measure 2, beat 1 (1:14): B♭/F. The symbol agrees with what both hands play."
    assert "https://lanternfield.example/glossary/b-flat-major-second-inversion/" in lines[5]


def test_the_json_has_the_tones_of_the_other_key():
    symbols = json.loads(run("--key", "D major", "--measure", "1", "--json").stdout)["symbols"]
    assert [one["symbol"] for one in symbols] == ["Dadd2"]
    assert symbols[0]["left"][0] == ["D2", "1"]


def test_a_key_with_seven_signs_gets_its_easier_name():
    lines = run("--key", "C#", "--measure", "1").stdout.splitlines()
    assert lines[0] == "C♯ major is easier to read as D♭ major: the same keys of the piano."
    assert lines[2].startswith("Measure 1, beat 1 (1:14): D♭add2.")


def test_an_instrument_reads_its_own_symbols():
    lines = run("--instrument", "Eb", "--measure", "2").stdout.splitlines()
    assert lines == ["E♭ instruments read in C major; it sounds in E♭ major.", "Measure 2: F/C"]


def test_a_guitar_with_a_capo_plays_shapes():
    lines = run("--key", "D", "--capo", "2", "--measure", "7").stdout.splitlines()
    assert lines[1] == "With a capo at fret 2 a guitar plays the shapes of C major; it sounds in D major."
    assert lines[2] == "Measure 7: G7sus4  G7"


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--key", "H"), "the key 'H'; expected a letter A to G"),
        (("--key", "C minor"), "the key 'C minor'; expected a major key"),
        (("--instrument", "B"), "the instrument 'B'; expected one of Bb, Eb, F; nearest: 'Bb'"),
        (("--capo", "-1"), "a capo at fret -1; expected a fret from 0 to 11"),
        (("--capo", "30"), "a capo at fret 30; expected a fret from 0 to 11"),
    ],
)
def test_what_is_not_there_is_one_line(arguments, said):
    result = run(*arguments)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.startswith(said)
    assert len(result.stderr.splitlines()) == 1
