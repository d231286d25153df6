"""Compares built sites by the data that they carry."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from understave.answers.comparing import MOST_LISTED, compare, comparison_text
from understave.cli import main


def row(permalink: str, symbol: str = "", degrees: str = "", tones: str = "", digest: str = "1") -> dict[str, object]:
    return {
        "permalink": permalink, "symbol": symbol, "degrees": degrees.split(), "tones": tones.split(), "hash": digest,
    }  # fmt: skip


def pages(*rows: dict[str, object]) -> dict[str, dict[str, object]]:
    return {str(one["permalink"]): one for one in rows}


OLD = pages(
    row("/c-minor/", "Cm", "1 b3 5", "C Eb G"),
    row("/b-diminished/", "Bdim", "1 b3 b5", "B D F"),
    row("/c-added-second/", "Cadd2", "1 2 3 5", "C D E G"),
    row("/terms/bar/"),
    row("/terms/beat/"),
)
NEW = pages(
    row("/c-minor/", "Cm", "1 b3 5", "C D# G", "2"),
    row("/b-diminished/", "Bdim", "1 b3 b5 bb7", "B D F Ab", "2"),
    row("/c-added-second/", "C(add2)", "1 2 3 5", "C D E G", "2"),
    row("/terms/measure/"),
    row("/terms/beat/"),
)


def test_every_kind_of_change_is_told_once():
    found = compare(OLD, NEW)
    assert found.added == ("/terms/measure/",)
    assert found.gone == ("/terms/bar/",)
    assert found.changed == ("/b-diminished/", "/c-added-second/", "/c-minor/")
    assert found.reads == (("Bdim", "1 b3 b5", "1 b3 b5 bb7"),)
    assert found.spelled == (("Cm", "C Eb G", "C D# G"),)
    assert found.printed == (("/c-added-second/", "Cadd2", "C(add2)"),)


def test_the_summary_is_markdown_with_typeset_symbols():
    text = comparison_text(compare(OLD, NEW))
    assert "### Pages that are gone: 1\n\n- `/terms/bar/`" in text
    assert "- Cm: C E♭ G → C D♯ G" in text
    assert text.index("gone") < text.index("read otherwise") < text.index("New pages")


def test_the_same_site_has_no_changes():
    assert comparison_text(compare(OLD, OLD)) == "Nothing changed for readers."


def test_long_lists_are_cut_and_counted():
    many = pages(*(row(f"/terms/t{number}/") for number in range(MOST_LISTED + 7)))
    assert comparison_text(compare({}, many)).endswith("- and 7 more\n")


def write(folder: Path, rows: dict[str, dict[str, object]]) -> Path:
    folder.mkdir()
    (folder / "understave.json").write_text(json.dumps({"pages": list(rows.values())}), encoding="utf-8")
    return folder


def test_the_command_compares_two_folders(tmp_path):
    old, new = write(tmp_path / "old", OLD), write(tmp_path / "new", NEW)
    result = CliRunner().invoke(main, ["compare", str(old), str(new)])
    assert result.exit_code == 0
    assert "Symbols with other spellings: 1" in result.stdout


@pytest.mark.parametrize("content", [None, "no json", "[]", '{"pages": [{"symbol": "C"}]}'])
def test_a_folder_without_a_site_is_one_line(tmp_path, content):
    if content is not None:
        (tmp_path / "understave.json").write_text(content, encoding="utf-8")
    result = CliRunner().invoke(main, ["compare", str(tmp_path), str(tmp_path)])
    assert result.exit_code == 2
    assert len(result.stderr.splitlines()) == 1
    assert "understave.json" in result.stderr
