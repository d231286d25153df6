"""Runs `understave describe`: one lesson, a text held against what was published, and all lessons into a folder."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from understave.answers.published import LONGEST_PUBLISHED, difference
from understave.cli import main

LANTERNFIELD = Path(__file__).parents[2] / "site_examples" / "lanternfield"
LESSON = "kite-over-the-allotments"


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, ["describe", *map(str, arguments)])


@pytest.fixture(scope="module")
def text() -> str:
    return run(LESSON).stdout


@pytest.fixture
def published(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "published.txt"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_text_as_it_should_be_has_no_changes(published):
    result = run(LESSON, "--check", published)
    assert (result.exit_code, result.stdout, result.stderr) == (0, "", "")


@pytest.mark.parametrize(
    "changed",
    [
        lambda text: text.replace("\n", "\r\n"),
        lambda text: text.replace("\n", " \t\n"),
        lambda text: "\n\n" + text.rstrip(),
        lambda text: "\ufeff" + text,
    ],
)
def test_what_a_web_form_changes_is_forgiven(changed, published, text):
    published.write_bytes(changed(text).encode())
    assert run(LESSON, "--check", published).exit_code == 0


def test_what_differs_is_shown_and_is_a_fault(published, text):
    published.write_text(
        text.replace("1:40 Measure 4", "1:41 Measure 4").replace("\nChapters", "\nThanks!\n\nChapters")
    )
    result = run(LESSON, "--check", published)
    assert result.exit_code == 1
    lines = result.stdout.splitlines()
    assert lines[:2] == [f"--- {published.as_posix()}", "+++ as it should be"]
    assert [line for line in lines[3:] if line[0] in "+-"] == [
        "-Thanks!",
        "-",
        "-1:41 Measure 4: the 4th steps down to the 3rd",
        "+1:40 Measure 4: the 4th steps down to the 3rd",
    ]


def test_a_pinned_comment_is_compared_with_a_pinned_comment(published):
    assert run(LESSON, "--pinned", "--check", published).exit_code == 1
    published.write_text(run(LESSON, "--pinned").stdout, encoding="utf-8")
    assert run(LESSON, "--pinned", "--check", published).exit_code == 0


def test_blanks_within_a_line_count():
    assert difference("1:05 One", "1:05  One", "a", "b").splitlines()[-2:] == ["-1:05 One", "+1:05  One"]


def test_what_cannot_be_compared_is_one_line(tmp_path):
    large, odd = tmp_path / "large.txt", tmp_path / "odd.txt"
    large.write_text("x" * (LONGEST_PUBLISHED + 1))
    odd.write_bytes(b"\xff\xfe\x00")
    for path in (large, odd, tmp_path / "none.txt", tmp_path):
        result = run(LESSON, "--check", path)
        assert result.exit_code == 2
        assert result.stderr.startswith(f"{path.as_posix()}:1:1: a text ")
        assert len(result.stderr.splitlines()) == 1


@pytest.mark.parametrize(
    "arguments", [(), ("--all",), (LESSON, "--all", "--out", "x"), (LESSON, "--out", "x"), ("--all", "--check", "x")]
)
def test_usage_is_told_in_one_line(arguments):
    result = run(*arguments)
    assert result.exit_code == 2
    assert result.stderr.startswith("main describe: expected LESSON, or --all with --out DIR.")
    assert len(result.stderr.splitlines()) == 1


@pytest.fixture
def channel(tmp_path: Path) -> Path:
    """A copy of the example channel, its configuration beside it."""
    shutil.copytree(LANTERNFIELD, tmp_path / "channel")
    config = tmp_path / "mkdocs.yml"
    config.write_text(
        f"site_name: A copy\nsite_url: https://copy.example/\ndocs_dir: {LANTERNFIELD.parents[1] / 'content'}\n"
        "plugins:\n  - understave: {lessons: channel/lessons, permalinks: channel/permalinks.yaml}\n"
    )
    return config


def test_all_lessons_are_written_each_to_its_file(channel, tmp_path):
    out = tmp_path / "made" / "here"
    assert run("-f", channel, "--all", "--out", out).exit_code == 0
    names = sorted(path.stem for path in (LANTERNFIELD / "lessons").iterdir())
    assert sorted(path.name for path in out.iterdir()) == [f"{name}.txt" for name in names]
    assert (out / f"{LESSON}.txt").read_text("utf-8") == run("-f", channel, LESSON).stdout
    before = {path.name: path.read_bytes() for path in out.iterdir()}
    assert run("-f", channel, "--all", "--pinned", "--out", out).exit_code == 0
    assert len((out / f"{LESSON}-pinned.txt").read_text("utf-8").splitlines()) == 5
    assert {name: (out / name).read_bytes() for name in before} == before


def test_a_bad_lesson_carries_its_line_and_the_rest_is_done(channel, tmp_path):
    broken = tmp_path / "channel" / "lessons" / f"{LESSON}.yaml"
    broken.write_text(broken.read_text("utf-8").replace('at: "1:40"', 'at: "1:75"'), encoding="utf-8")
    (tmp_path / "channel" / "scores" / "ferry-clock.musicxml").write_text("<score-partwise><part>", encoding="utf-8")
    result = run("-f", channel, "--all", "--out", tmp_path / "out")
    assert result.exit_code == 2
    first, second = result.stderr.splitlines()
    assert "ferry-clock.yaml:6:8: the score '../scores/ferry-clock.musicxml': it can't be read" in first
    assert f"{LESSON}.yaml:12:60: the time '1:75'; minutes and seconds such as 1:05" in second
    names = {path.stem for path in (LANTERNFIELD / "lessons").iterdir()} - {LESSON, "ferry-clock"}
    assert {path.stem for path in (tmp_path / "out").iterdir()} == names


def test_a_folder_that_cannot_be_made_is_one_line(channel, tmp_path):
    (tmp_path / "file").write_text("")
    result = run("-f", channel, "--all", "--out", tmp_path / "file" / "out")
    assert result.exit_code == 2
    assert "a folder that can't be made: Not a directory; a folder for the texts" in result.stderr
    assert len(result.stderr.splitlines()) == 1
