"""Checks that a build that fails leaves the last good site, and that a good one takes its place in one step."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from understave.swap import folder_aside, swap_in

from ..built_site import SMALL, mkdocs_build, tree_bytes, understave

BROKEN = """\
name: lowest note
summary: The note below all others.
text: Look for it.
sources: [common practice]
not_a_key: x
"""


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """Return a copy of the small glossary with a last good site that no build of ours would make."""
    folder = tmp_path / "project"
    shutil.copytree(SMALL, folder, ignore=shutil.ignore_patterns("site", ".cache"))
    (folder / "site" / "terms").mkdir(parents=True)
    (folder / "site" / "index.html").write_text("the last good site", encoding="utf-8")
    (folder / "site" / "terms" / "index.html").write_text("its terms", encoding="utf-8")
    return folder


def break_entry(project: Path) -> None:
    (project / "content" / "terms" / "lowest-note.yaml").write_text(BROKEN, encoding="utf-8")


def add_guide(project: Path, text: str) -> None:
    folder = project / "content" / "guides"
    folder.mkdir()
    (folder / "counting.md").write_text(text, encoding="utf-8")


def leftovers(project: Path) -> list[str]:
    """Return what a build left beside the site."""
    return sorted(
        path.name for path in project.iterdir() if path.name not in ("content", "mkdocs.yml", "site", ".cache")
    )


def test_good_build_takes_the_old_sites_place(project: Path) -> None:
    build = mkdocs_build(project, "--strict")
    assert build.returncode == 0, build.stderr
    files = tree_bytes(project / "site")
    assert b"lowest note" in files["terms/lowest-note/index.html"]
    assert files["index.html"] != b"the last good site"
    assert leftovers(project) == []


def test_faulty_entry_leaves_the_last_site_and_mkdocs_exits_1(project: Path) -> None:
    before = tree_bytes(project / "site")
    break_entry(project)
    build = mkdocs_build(project)
    assert build.returncode == 1
    assert "lowest-note.yaml:5:1:" in build.stdout + build.stderr
    assert tree_bytes(project / "site") == before
    assert leftovers(project) == []


def test_faulty_entry_leaves_the_last_site_and_understave_exits_2(project: Path) -> None:
    before = tree_bytes(project / "site")
    break_entry(project)
    build = understave("build", cwd=project)
    assert build.returncode == 2
    assert build.stdout == ""
    assert any(line.startswith("content/terms/lowest-note.yaml:5:1: ") for line in build.stderr.splitlines())
    assert "Traceback" not in build.stderr
    assert tree_bytes(project / "site") == before
    assert leftovers(project) == []


def test_understave_build_exits_0_and_says_where_the_site_is(project: Path) -> None:
    build = understave("build", cwd=project)
    assert build.returncode == 0, build.stderr
    assert build.stderr.strip().splitlines()[-1] == str(project / "site")
    assert "minor" in (project / "site" / "chord-symbols" / "minor" / "index.html").read_text("utf-8")
    assert leftovers(project) == []


def test_strict_warning_leaves_the_last_site_and_exits_1(project: Path) -> None:
    before = tree_bytes(project / "site")
    add_guide(project, "# Counting\n\nSee [this](not-there.md).\n")
    build = mkdocs_build(project, "--strict")
    assert build.returncode == 1
    assert "not-there.md" in build.stdout + build.stderr
    assert tree_bytes(project / "site") == before
    assert leftovers(project) == []


def test_strict_warning_stops_understave_build_with_2(project: Path) -> None:
    before = tree_bytes(project / "site")
    add_guide(project, "# Counting\n\nSee [this](not-there.md).\n")
    build = understave("build", cwd=project)
    assert build.returncode == 2
    assert "not-there.md" in build.stderr
    assert tree_bytes(project / "site") == before
    assert leftovers(project) == []


def test_the_same_warning_passes_where_the_build_is_not_strict(project: Path) -> None:
    # so that the test above fails for the warning's sake alone
    add_guide(project, "# Counting\n\nSee [this](not-there.md).\n")
    assert mkdocs_build(project).returncode == 0
    assert "Counting" in (project / "site" / "guides" / "counting" / "index.html").read_text("utf-8")


def test_first_build_that_fails_makes_no_site(project: Path) -> None:
    shutil.rmtree(project / "site")
    break_entry(project)
    assert mkdocs_build(project).returncode == 1
    assert not (project / "site").exists()
    assert leftovers(project) == []


def test_missing_configuration_is_one_line_and_exit_2(tmp_path: Path) -> None:
    build = understave("build", cwd=tmp_path)
    assert build.returncode == 2
    assert len(build.stderr.strip().splitlines()) == 1
    assert "mkdocs.yml" in build.stderr


def test_what_dead_builds_left_is_removed_and_what_others_build_is_kept(tmp_path: Path) -> None:
    ended = subprocess.Popen([sys.executable, "-c", ""])
    ended.wait()
    final = tmp_path / "site"
    dead, old, alive = (
        tmp_path / f".understave-building-{name}"
        for name in (f"{ended.pid}-site", f"{ended.pid}-site-old", f"{os.getppid()}-site")
    )
    for folder in (dead, old, alive):
        folder.mkdir()
        (folder / "index.html").write_text("half a site", encoding="utf-8")
    aside = folder_aside(final)
    assert not dead.exists()
    assert not old.exists()
    assert alive.exists()
    assert aside.parent == tmp_path, "an exchange needs the same file system"
    assert aside not in (dead, old, alive, final)


def two_sites(folder: Path) -> tuple[Path, Path]:
    aside, final = folder / ".aside", folder / "site"
    for path, words in ((aside, "new"), (final, "old")):
        path.mkdir()
        (path / "index.html").write_text(words, encoding="utf-8")
    return aside, final


def test_swap_leaves_no_moment_without_a_site(tmp_path: Path) -> None:
    aside, final = two_sites(tmp_path)
    gaps, looks, done = [], 0, threading.Event()

    def look() -> None:
        nonlocal looks
        while not done.is_set():
            looks += 1
            try:
                (final / "index.html").stat()
            except FileNotFoundError:
                gaps.append(looks)

    watcher = threading.Thread(target=look)
    watcher.start()
    for number in range(300):
        aside.mkdir(exist_ok=True)
        (aside / "index.html").write_text(str(number), encoding="utf-8")
        swap_in(aside, final)
    done.set()
    watcher.join()
    assert looks > 100
    assert gaps == []
    assert (final / "index.html").read_text("utf-8") == "299"
    assert not aside.exists()


def test_swap_needs_no_rename_where_the_system_can_exchange(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    if not sys.platform.startswith("linux"):
        pytest.skip("renameat2 is Linux's")
    aside, final = two_sites(tmp_path)

    def refuse(*_: object) -> None:
        raise AssertionError("two renames leave a gap")

    monkeypatch.setattr(Path, "rename", refuse)
    swap_in(aside, final)
    assert (final / "index.html").read_text("utf-8") == "new"
    assert not aside.exists()


def test_swap_without_an_exchange_ends_the_same(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    aside, final = two_sites(tmp_path)

    def no_library(*_: object, **__: object) -> None:
        raise OSError

    monkeypatch.setattr("understave.swap.ctypes.CDLL", no_library)
    swap_in(aside, final)
    assert [path.name for path in tmp_path.iterdir()] == ["site"]
    assert (final / "index.html").read_text("utf-8") == "new"


def test_first_site_moves_into_its_place(tmp_path: Path) -> None:
    aside, final = two_sites(tmp_path)
    shutil.rmtree(final)
    swap_in(aside, final)
    assert (final / "index.html").read_text("utf-8") == "new"
    assert not aside.exists()


def test_serve_prints_its_address_first(project: Path) -> None:
    process = subprocess.Popen(
        [sys.executable, "-c", "from understave.cli import main; main()", "serve", "--address", "127.0.0.1:0"],
        cwd=project,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        assert process.stderr is not None
        assert process.stderr.readline() == "http://127.0.0.1:0/\n"
    finally:
        process.kill()
        process.wait()
