"""Walks through DEVELOPERS.md and README.md as a newcomer: types what they say to type and compares what is printed."""

from __future__ import annotations

import re
import shlex
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from understave.answers.configuration import find_project
from understave.answers.project import load_project
from understave.answers.schemas import KINDS
from understave.cli import main
from understave.entries.leftovers import FILL_IN

ROOT = Path(__file__).parents[1]

PROGRAM = ".venv/bin/understave "

WALKS = ("Add a chord in five minutes", "Add a counting system", "Add a lesson", "Answer comments")

STEP = re.compile(r"^    (?P<command>\S[^\n]*)$|^```(?P<kind>yaml|text)\n(?P<block>.*?)^```$", re.M | re.S)
"""A command, what to type into a file, or what is printed."""


def section(heading: str) -> str:
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    return text.partition(f"\n## {heading}\n")[2].partition("\n## ")[0]


def commands(text: str) -> list[str]:
    return [step["command"] for step in STEP.finditer(text) if step["command"]]


@pytest.fixture(scope="module")
def read_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the demo's sources, its scores read: each takes a worker."""
    folder = tmp_path_factory.mktemp("demo") / "sources"
    folder.mkdir()
    for name in ("mkdocs.yml", "content", "site_examples"):
        source = ROOT / name
        (shutil.copytree if source.is_dir() else shutil.copy)(source, folder / name)
    load_project(find_project(folder / "mkdocs.yml"))
    return folder


@pytest.fixture
def demo(read_once: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of the demo's sources as the current folder."""
    folder = tmp_path / "demo"
    shutil.copytree(read_once, folder)
    monkeypatch.chdir(folder)
    return folder


def keys_of(block: str) -> Iterator[tuple[str, str]]:
    """Yield each key of a block of YAML with its lines."""
    for match in re.finditer(r"^([a-z_]+):.*\n(?:^(?: .*)?\n)*", block, re.M):
        yield match[1], match[0].rstrip("\n")


def typed(text: str, block: str) -> str:
    """Return a new file with a block typed into it: over the field of each key, or at the end."""
    for key, lines in keys_of(block):
        field = re.compile(rf"^{key}:.*(?:\n(?:  .*)?(?=\n|\Z))*", re.M)
        text = field.sub(lambda _, lines=lines: lines, text, count=1) if field.search(text) else f"{text}{lines}\n"
    return text


def run(command: str) -> str:
    """Run a command of ours and return what it prints."""
    result = CliRunner().invoke(main, shlex.split(command.removeprefix(PROGRAM)))
    assert result.exit_code == 0, f"{command}\n{result.output}\n{result.exception!r}"
    return result.stdout


def walk(text: str) -> list[str]:
    """Do what a text says, step by step. Returns what each command printed."""
    printed: list[str] = []
    new: Path | None = None
    for step in STEP.finditer(text):
        command = step["command"]
        if command and command.startswith("cp "):
            shutil.copy(*shlex.split(command)[1:])
        elif command:
            assert command.startswith(PROGRAM), command
            words = shlex.split(command)
            if words[1] != "serve":
                printed.append(run(command))
            if words[1] == "new":
                lessons = "site_examples/lanternfield/lessons"
                new = Path(KINDS[words[2]].path.format(id=words[3]).replace("lessons/", f"{lessons}/"))
        elif step["kind"] == "text":
            assert step["block"] in printed[-1], printed[-1]
        elif step["block"].startswith("# "):
            name, _, lines = step["block"].removeprefix("# ").partition("\n")
            Path(name).write_text(Path(name).read_text("utf-8").rstrip("\n") + "\n" + lines, encoding="utf-8")
        else:
            assert new is not None
            new.write_text(typed(new.read_text("utf-8"), step["block"]), encoding="utf-8")
            assert FILL_IN not in re.sub(r"^#.*", "", new.read_text("utf-8"), flags=re.M)
    return printed


@pytest.mark.parametrize("heading", WALKS)
def test_a_walk_of_the_contributors_guide_does_what_it_says(heading: str, demo: Path) -> None:
    text = section(heading)
    assert len(commands(text)) >= 3
    printed = walk(text)
    assert f"places marked {FILL_IN}" not in printed[-1]
    assert run(f"{PROGRAM}check") == ""


def test_a_new_chord_stands_on_its_page_and_a_new_reply_answers(demo: Path) -> None:
    walk(section("Add a chord in five minutes"))
    assert '"chord": "major-seventh-added-thirteenth"' in run(f"{PROGRAM}spell Ebmaj7(13) --json")
    before, _, _, after = walk(section("Answer comments"))
    assert "c002 " in before
    assert before != after


def test_serving_is_a_step_of_the_walk() -> None:
    """Serving itself is tried in tests/site/test_serving.py."""
    assert f"{PROGRAM}serve" in commands(section(WALKS[0]))


def test_every_command_of_the_readme_runs(demo: Path) -> None:
    found = [command for command in commands((ROOT / "README.md").read_text("utf-8")) if command.startswith(PROGRAM)]
    assert len(found) >= 10
    for command in found:
        words = shlex.split(command)
        if words[1] == "check":
            shutil.rmtree("content/chord-symbols")
            shutil.copytree(ROOT / "content" / "chord-symbols", "content/chord-symbols")
        run(command)


def test_headings_that_the_readme_leads_to_are_there() -> None:
    text = (ROOT / "README.md").read_text("utf-8")
    linked = re.findall(r"\(DEVELOPERS\.md#([a-z-]+)\)", text)
    there = {heading.lower().replace(" ", "-") for heading in WALKS}
    assert set(linked) == there
    assert all(section(heading) for heading in WALKS)


def test_pictures_that_the_texts_show_are_there() -> None:
    for name in ("README.md", "DEVELOPERS.md"):
        shown = re.findall(r"!\[[^\]]+\]\(([^)]+)\)", (ROOT / name).read_text("utf-8"))
        assert shown
        assert all((ROOT / path).is_file() for path in shown)
