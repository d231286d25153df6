"""Bad scores get one line with their place and stop nothing else; odd but right ones are explained."""

from __future__ import annotations

import json
import time

import pytest

from ..lessons.small_scores import LESSON
from .score_cases import BAD, BAD_SYMBOLS, GOOD, ODD

LONGEST = 20.0
"""Seconds of computing after which two commands are taken for a hang; the slowest case takes two."""


@pytest.mark.parametrize("name", BAD)
def test_a_bad_score_is_one_line_in_every_command(name, channel, one_line, tmp_path):
    music, why = BAD[name]
    channel.write("bad", LESSON, music)
    [score] = channel.folder.glob("bad.m*")
    place = f"lessons/bad.yaml:6:8: the score '../{score.name}': {why}"
    assert one_line(channel.run("explain", "good")).startswith(place)
    assert one_line(channel.run("explain", "lessons/bad.yaml")).startswith(place)
    told = channel.run("check")
    assert (told.exit_code, told.stdout.count("\n")) == (1, 1)
    assert told.stdout.startswith(place)
    for every in ("symbol", "beat"):
        line = one_line(channel.run("name", score.name, "--every", every))
        assert line.startswith(f"{score.name}: ")
        assert why in line
    batch = channel.run("describe", "--all", "--out", tmp_path / "texts")
    assert batch.exit_code == 2
    assert batch.stderr.startswith(place)
    assert [path.name for path in (tmp_path / "texts").iterdir()] == ["good.txt"]


@pytest.mark.parametrize("name", BAD_SYMBOLS)
def test_a_symbol_that_no_entry_has_is_one_line_with_its_measure(name, channel, one_line):
    music, why = BAD_SYMBOLS[name]
    channel.write("bad", LESSON, music)
    assert one_line(channel.run("explain", "good")).startswith(f"lessons/bad.yaml:6:8: {why}")
    assert channel.run("name", "bad.musicxml", "--every", "symbol").exit_code == 0


@pytest.mark.parametrize("name", ODD)
def test_an_odd_score_is_told_of_or_explained_and_soon(name, channel):
    channel.write("bad", LESSON, ODD[name])
    started = time.process_time()
    for command in (["explain", "bad", "--json"], ["describe", "bad", "--pinned"]):
        told = channel.run(*command)
        assert told.exit_code in (0, 2)
        assert (told.exit_code == 2) == bool(told.stderr)
        assert all(line.startswith("lessons/bad.yaml:") for line in told.stderr.splitlines())
    assert time.process_time() - started < LONGEST


@pytest.mark.parametrize("name", GOOD)
def test_what_scores_in_the_wild_hold_is_explained_and_named(name, channel):
    channel.write("bad", LESSON, GOOD[name])
    explained = channel.run("explain", "bad", "--json")
    assert explained.exit_code == 0, explained.stderr
    symbols = json.loads(explained.stdout)["symbols"]
    assert [(one["symbol"], one["measure"], one["beat"]) for one in symbols] == [
        ("C", 1, 1), ("Am", 2, 1), ("C/E", 3, 1), ("G", 3, 3), ("C", 4, 1),
    ]  # fmt: skip
    assert symbols[0]["left"] == [["C3", "1"]]
    assert symbols[0]["right"] == [["E4", "3"]]
    [score] = channel.folder.glob("bad.m*")
    for every, count in (("symbol", 5), ("beat", 16)):
        named = channel.run("name", score.name, "--every", every, "--json")
        assert named.exit_code == 0
        assert len(json.loads(named.stdout)) == count


def test_repeats_are_played_out_in_the_time_between(channel):
    """Measures 1 2 3 1 2 4 in sixteen seconds from 0:05; 0:14 lies in the second time through measure 1."""
    channel.write("bad", LESSON, GOOD["repeats with endings"])
    for at, measure in (("0:06", 1), ("0:12", 3), ("0:14", 1), ("0:17", 2), ("0:20", 4)):
        found = json.loads(channel.run("explain", "bad", "--at", at, "--json").stdout)["symbols"]
        assert {one["measure"] for one in found} == {measure}, at
