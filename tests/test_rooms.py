"""Checks the repository itself: rooms import only from earlier ones, and nothing lies about at the top."""

from __future__ import annotations

import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = ROOT / "builder" / "understave"

TOP = {"README.md", "DEVELOPERS.md", "LICENSE", "mkdocs.yml", "pyproject.toml"}
TOP_FOLDERS = {"content", "builder", "tests", "site_examples"}


def tracked(*options: str) -> list[str]:
    """Return the files that git tracks; skips the test where there is no git."""
    if shutil.which("git") is None or not (ROOT / ".git").exists():
        pytest.skip("no git here")
    listed = subprocess.run(
        ["git", "ls-files", "-z", *options], cwd=ROOT, capture_output=True, text=True, encoding="utf-8", check=True
    )
    return [name for name in listed.stdout.split("\0") if name]


def test_rooms_import_only_from_earlier_ones(tmp_path: Path) -> None:
    command = "import sys; from importlinter.cli import lint_imports_command; lint_imports_command()"
    lint = subprocess.run(
        [sys.executable, "-c", command, "--cache-dir", str(tmp_path)],
        cwd=ROOT, capture_output=True, text=True, encoding="utf-8", check=False,
    )  # fmt: skip
    assert lint.returncode == 0, lint.stdout + lint.stderr
    assert "1 kept, 0 broken" in lint.stdout


def test_every_room_is_in_the_contract() -> None:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["importlinter"]
    [contract] = settings["contracts"]
    named = {name.strip() for layer in contract["layers"] for name in layer.replace(":", "|").split("|")}
    rooms = {f"understave.{path.stem}" for path in PACKAGE.glob("*.py") if path.stem != "__init__"}
    rooms |= {f"understave.{path.parent.name}" for path in PACKAGE.glob("*/__init__.py")}
    assert rooms == named


def test_nothing_lies_about_at_the_top() -> None:
    top = {Path(name).parts for name in tracked()}
    files = {parts[0] for parts in top if len(parts) == 1 and not parts[0].startswith(".")}
    folders = {parts[0] for parts in top if len(parts) > 1 and not parts[0].startswith(".")}
    assert {"README.md", "pyproject.toml"} <= files
    assert files <= TOP
    assert folders <= TOP_FOLDERS


def test_nothing_is_tracked_that_gitignore_names() -> None:
    ignored = tracked("--cached", "--ignored", "--exclude-standard")
    assert ignored[:5] == [], f"{len(ignored)} tracked files are ignored ones"
