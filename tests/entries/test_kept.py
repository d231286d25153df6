"""Checks that kept entries are those of the files as they are now, whatever stands in the cache."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from understave.entries import reading
from understave.entries.faults import Faulty
from understave.entries.kept import SHELF, load_glossary

CONTENT = Path(__file__).parents[2] / "content"

HEAVY = ("pydantic", "music21", "verovio", "mkdocs", "markdown", "jinja2")


@pytest.fixture
def no_reading(monkeypatch):
    """Make reading the files an error, so that only what is kept can answer."""

    def forbidden(content: Path) -> None:
        raise AssertionError(f"{content} is read anew")

    def forbid() -> None:
        monkeypatch.setattr(reading, "read_glossary", forbidden)

    return forbid


def test_every_entry_of_the_demo_comes_back_as_it_was(tmp_path, no_reading):
    read = load_glossary(CONTENT, tmp_path)
    no_reading()
    kept = load_glossary(CONTENT, tmp_path)
    assert list(kept.entries) == list(read.entries)
    assert kept.entries == read.entries


def test_without_a_folder_nothing_is_kept(write_files, small_content):
    content = write_files(small_content)
    load_glossary(content)
    assert not list(content.parent.rglob(SHELF))


def test_a_changed_file_is_read_anew(tmp_path, write_files, small_content):
    content = write_files(small_content)
    before = load_glossary(content, tmp_path / "cache")
    path = next(content.glob("chord-symbols/*.yaml"))
    path.write_text(path.read_text("utf-8").replace("summary: ", "summary: Now, "), "utf-8")
    after = load_glossary(content, tmp_path / "cache")
    assert after.entries[path.stem].summary == "Now, " + before.entries[path.stem].summary


def test_a_file_more_or_less_is_seen(tmp_path, write_files, small_content):
    content = write_files(small_content)
    before = load_glossary(content, tmp_path / "cache")
    term = content / "terms" / "ninth.yaml"
    term.parent.mkdir(exist_ok=True)
    term.write_text("name: ninth\nsummary: A wide second.\ntext: The same letter.\nsources: [common practice]\n")
    after = load_glossary(content, tmp_path / "cache")
    assert set(after.entries) == set(before.entries) | {"ninth"}
    term.unlink()
    assert load_glossary(content, tmp_path / "cache").entries == before.entries


def test_faults_are_told_each_time(tmp_path, write_files, small_content):
    content = write_files(small_content)
    load_glossary(content, tmp_path / "cache")
    (content / "chord-symbols" / "broken.yaml").write_text("name: [", "utf-8")
    for _ in range(2):
        with pytest.raises(Faulty, match=r"broken\.yaml"):
            load_glossary(content, tmp_path / "cache")


@pytest.mark.parametrize(
    "damaged", ["", "{", "[]", "null", '{"key": 1}', "\0", "[" * 100_000, '{"key": "KEY", "entries": {"a": {}}}']
)
def test_what_is_damaged_is_read_anew(tmp_path, write_files, small_content, damaged):
    content = write_files(small_content)
    before = load_glossary(content, tmp_path / "cache")
    shelf = tmp_path / "cache" / SHELF
    shelf.write_text(damaged.replace("KEY", json.loads(shelf.read_text("utf-8"))["key"]), "utf-8")
    assert load_glossary(content, tmp_path / "cache").entries == before.entries
    assert json.loads(shelf.read_text("utf-8"))["entries"].keys() == before.entries.keys()


def test_a_cache_that_cannot_be_written_costs_nothing_but_time(tmp_path, write_files, small_content):
    (tmp_path / "cache").write_text("a file stands here", "utf-8")
    assert load_glossary(write_files(small_content), tmp_path / "cache").entries


@pytest.mark.parametrize("command", [["--help"], ["spell", "Am7"], ["name", "A2 C3 | E4"], ["count", "4 4 2"]])
def test_short_commands_start_without_the_heavy_libraries(repository, command):
    code = (
        f"import json, sys; from understave.cli import main\ntry: main({command!r})\n"
        "finally: print(json.dumps(sorted(sys.modules)))"
    )
    for _ in range(2):  # the second finds what the first has kept
        done = subprocess.run([sys.executable, "-c", code], cwd=repository, capture_output=True, text=True, check=True)
    loaded = set(json.loads(done.stdout.splitlines()[-1]))
    assert "click" in loaded
    assert not loaded.intersection(HEAVY)
