"""Checks that whatever stops a build, and whenever, the old site is whole or the new one is, and that it is told."""

from __future__ import annotations

import errno
import json
import os
import random
import re
import resource
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from understave import swap
from understave.building import build_site
from understave.swap import folder_aside, swap_in

from ..built_site import SMALL, quiet_environment, tree_bytes, understave

KILLS = 50
"""How many builds are killed, each after another part of the time that a whole one takes."""

ENTRY = "content/terms/lowest-note.yaml"

OLD, NEW = "The note below all others", "What lies under every other note"

Tree = dict[str, bytes]


def say(project: Path, summary: str) -> None:
    """Change the words of an entry, which stand on several pages."""
    path = project / ENTRY
    lines = [f"summary: {summary}." if line.startswith("summary:") else line for line in path.read_text().splitlines()]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")


def leftovers(project: Path) -> list[str]:
    return sorted(path.name for path in project.glob(".understave-building-*"))


@pytest.fixture
def project(tmp_path: Path) -> Path:
    folder = tmp_path / "project"
    shutil.copytree(SMALL, folder, ignore=shutil.ignore_patterns("site", ".cache"))
    return folder


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a project with a built site and full caches, for tests to copy."""
    folder = tmp_path_factory.mktemp("built") / "project"
    shutil.copytree(SMALL, folder, ignore=shutil.ignore_patterns("site", ".cache"))
    say(folder, OLD)
    build = understave("build", cwd=folder)
    assert build.returncode == 0, build.stderr
    return folder


@pytest.fixture
def copy(built: Path, project: Path) -> Path:
    """Return a project of one's own with a built site and full caches."""
    shutil.rmtree(project)
    shutil.copytree(built, project)
    return project


def started(project: Path, first: Callable[[], None] = lambda: None) -> int:
    """Start a build in a process that has all modules at hand, and does something first. Returns the process."""
    child = os.fork()
    if not child:
        status = 70
        try:
            os.chdir(project)
            nowhere = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nowhere, 1)
            os.dup2(nowhere, 2)
            first()
            status = build_site(None)
        finally:
            os._exit(status)
    return child


def ended(child: int) -> int:
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def site_of(project: Path, summary: str) -> Tree:
    """Return the site that a whole build makes."""
    say(project, summary)
    assert ended(started(project)) == 0
    return tree_bytes(project / "site")


def test_a_build_that_is_killed_at_any_moment_leaves_the_old_site_or_the_new(copy: Path) -> None:
    new = site_of(copy, NEW)
    began = time.monotonic()
    old = site_of(copy, OLD)
    whole = time.monotonic() - began
    assert len([name for name in old if name.endswith("index.html")]) >= 30
    assert old != new
    chance = random.Random(50)
    found = []
    for number in range(KILLS):
        say(copy, OLD if number % 2 else NEW)
        child = started(copy)
        time.sleep(whole * chance.uniform(0, 1.1))
        os.kill(child, signal.SIGKILL)
        killed = ended(child) == -signal.SIGKILL
        site = tree_bytes(copy / "site")
        assert site in (old, new), f"half a site after kill {number}"
        found.append(killed)
    assert sum(found) > KILLS // 2, "most were killed before they were done"
    assert site_of(copy, NEW) == new
    assert leftovers(copy) == []


def killed_at(monkeypatched: str) -> Callable[[], None]:
    """Return what makes a build kill itself when it comes to a step of the swap."""

    def first() -> None:
        def die(*_: object, **__: object) -> None:
            os.kill(os.getpid(), signal.SIGKILL)

        owner, name = (shutil, "rmtree") if monkeypatched == "rmtree" else (swap, monkeypatched)
        setattr(owner, name, die)

    return first


@pytest.mark.parametrize(("step", "summary"), [("swap_in", OLD), ("_exchanged", OLD), ("rmtree", NEW)])
def test_a_build_that_is_killed_within_the_swap_leaves_a_whole_site(step: str, summary: str, copy: Path) -> None:
    sites = {OLD: tree_bytes(copy / "site")}
    say(copy, NEW)
    first = killed_at(step)
    if step == "swap_in":

        def first() -> None:
            import understave.plugin

            understave.plugin.swap_in = lambda *_: os.kill(os.getpid(), signal.SIGKILL)

    assert ended(started(copy, first)) == -signal.SIGKILL
    assert len(leftovers(copy)) == 1
    found = tree_bytes(copy / "site")
    assert (found == sites[OLD]) == (summary == OLD)
    assert site_of(copy, NEW) == found or summary == OLD
    assert leftovers(copy) == []


def test_an_old_site_left_aside_between_two_renames_goes_back(tmp_path: Path) -> None:
    ended_process = subprocess.Popen([sys.executable, "-c", ""])
    ended_process.wait()
    old = tmp_path / f".understave-building-{ended_process.pid}-site-old"
    half = tmp_path / f".understave-building-{ended_process.pid}-site"
    for folder in (old, half):
        folder.mkdir()
        (folder / "index.html").write_text(folder.name, encoding="utf-8")
    folder_aside(tmp_path / "site")
    assert (tmp_path / "site" / "index.html").read_text("utf-8") == old.name
    assert leftovers(tmp_path) == []


def test_a_second_rename_that_fails_is_taken_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    aside, final = tmp_path / ".understave-building-1-site", tmp_path / "site"
    for folder in (aside, final):
        folder.mkdir()
        (folder / "index.html").write_text(folder.name, encoding="utf-8")
    rename = Path.rename

    def refused(path: Path, target: Path) -> Path:
        if path == aside:
            raise OSError(errno.EACCES, "Permission denied")
        return rename(path, target)

    monkeypatch.setattr("understave.swap._exchanged", lambda one, other: False)
    monkeypatch.setattr(Path, "rename", refused)
    with pytest.raises(OSError, match="Permission denied"):
        swap_in(aside, final)
    assert (final / "index.html").read_text("utf-8") == "site"


def test_a_site_that_another_build_put_there_first_is_exchanged(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    aside, final = tmp_path / ".understave-building-1-site", tmp_path / "site"
    aside.mkdir()
    (aside / "index.html").write_text("second", encoding="utf-8")
    exists = Path.exists

    def looked(path: Path) -> bool:
        there = exists(path)
        if path == final and not there:
            final.mkdir()
            (final / "index.html").write_text("first", encoding="utf-8")
        return there

    monkeypatch.setattr(Path, "exists", looked)
    swap_in(aside, final)
    assert (final / "index.html").read_text("utf-8") == "second"
    assert not aside.is_dir()


def run_build(project: Path, **options: object) -> subprocess.CompletedProcess[str]:
    start = "import sys; from understave.cli import main; sys.argv[0] = 'understave'; main()"
    return subprocess.run(
        [sys.executable, "-c", start, "build"], cwd=project, env=quiet_environment(), capture_output=True, text=True,
        check=False, timeout=300, **options,
    )  # type: ignore[call-overload, no-any-return]  # fmt: skip


def test_a_disk_without_room_is_told_and_the_old_site_stays(copy: Path) -> None:
    """A bound on the size of files stands for the end of the disk: writes fail halfway in the same way."""
    before = tree_bytes(copy / "site")
    say(copy, NEW)
    build = run_build(copy, preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000)))
    assert build.returncode == 2
    assert "Traceback" not in build.stderr
    lines = build.stderr.splitlines()
    assert re.search(r"(File too large|disk I/O error); expected .*\broom for ", lines[-1])
    assert all("can't be kept" in line for line in lines[:-1]), "the caches are written to as well"
    assert tree_bytes(copy / "site") == before
    assert leftovers(copy) == []
    assert site_of(copy, OLD) == before


def test_a_disk_that_fills_up_within_the_pages_is_told(copy: Path) -> None:
    before = tree_bytes(copy / "site")
    say(copy, NEW)
    code = (
        "import errno, mkdocs.utils as utils\n"
        "written, write = [], utils.write_file\n"
        "def filling(content, path):\n"
        "    written.append(path)\n"
        "    if len(written) > 40: raise OSError(errno.ENOSPC, 'No space left on device', path)\n"
        "    write(content, path)\n"
        "utils.write_file = filling\n"
        "from understave.cli import main\nmain(['build'])\n"
    )
    build = subprocess.run(
        [sys.executable, "-c", code], cwd=copy, env=quiet_environment(), capture_output=True, text=True, check=False
    )
    assert build.returncode == 2
    [line] = build.stderr.splitlines()
    assert ": No space left on device; expected a folder and room" in line
    assert tree_bytes(copy / "site") == before
    assert leftovers(copy) == []


def test_an_output_that_may_not_be_written_is_told(project: Path) -> None:
    """Whoever may write everywhere builds into /proc, where nobody can."""
    config = project / "mkdocs.yml"
    place = Path("/proc") if os.geteuid() == 0 else project / "closed"
    if not place.exists():
        place.mkdir(mode=0o555)
    config.write_text(config.read_text("utf-8") + f"\nsite_dir: {place / 'site'}\n", encoding="utf-8")
    build = run_build(project)
    assert build.returncode == 2
    [line] = build.stderr.splitlines()
    assert line.startswith(f"{place}/.understave-building-")
    assert "expected a folder and room for a new site" in line


def test_a_file_in_the_sites_place_is_told_and_stays(project: Path) -> None:
    (project / "site").write_text("a file", encoding="utf-8")
    build = run_build(project)
    assert build.returncode == 2
    [line] = build.stderr.splitlines()
    assert line.startswith(f"{project / 'site'}: Not a directory; ")
    assert (project / "site").read_text("utf-8") == "a file"
    assert leftovers(project) == []


def test_a_site_behind_a_link_is_exchanged_where_it_lies(copy: Path) -> None:
    (copy / "site").rename(copy / "published")
    (copy / "site").symlink_to("published")
    say(copy, NEW)
    assert ended(started(copy)) == 0
    assert (copy / "site").is_symlink()
    assert NEW in (copy / "published" / "terms" / "lowest-note" / "index.html").read_text("utf-8")
    assert leftovers(copy) == []


def test_two_builds_at_once_both_end_well(copy: Path) -> None:
    say(copy, NEW)
    children = [started(copy) for _ in range(2)]
    assert [ended(child) for child in children] == [0, 0]
    assert tree_bytes(copy / "site") == site_of(copy, NEW)
    assert leftovers(copy) == []


def shelves(project: Path) -> list[Path]:
    return sorted(path for path in (project / ".cache").rglob("*") if path.suffix in (".json", ".sqlite"))


def test_damaged_caches_are_told_and_the_site_is_right(copy: Path) -> None:
    before = tree_bytes(copy / "site")
    for path in shelves(copy):
        path.write_bytes(path.read_bytes()[:-40])
    build = understave("build", cwd=copy)
    assert build.returncode == 0, build.stderr
    *told, site = build.stderr.splitlines()
    assert site == str(copy / "site")
    assert told
    assert all(": damaged, or of another version; what it held is worked out again" in line for line in told)
    assert tree_bytes(copy / "site") == before
    assert understave("build", cwd=copy).stderr.splitlines() == [site], "and the next time all is well"


def test_caches_of_another_version_are_not_used(copy: Path) -> None:
    before = tree_bytes(copy / "site")
    for path in shelves(copy):
        if path.name == "pictures.sqlite":
            path.parent.rename(path.parent.with_name("verovio-0.0-0"))
        elif path.suffix == ".json":
            kept = json.loads(path.read_text("utf-8"))
            path.write_text(json.dumps({**kept, "key": "of another version"}), encoding="utf-8")
    build = understave("build", cwd=copy)
    assert build.returncode == 0, build.stderr
    assert tree_bytes(copy / "site") == before


def test_a_cache_that_cannot_be_written_is_told_and_the_site_is_right(copy: Path) -> None:
    before = tree_bytes(copy / "site")
    shutil.rmtree(copy / ".cache")
    (copy / ".cache").write_text("a file", encoding="utf-8")
    build = understave("build", cwd=copy)
    assert build.returncode == 0, build.stderr
    assert "can't be kept: Not a directory; it is worked out each time" in build.stderr
    assert tree_bytes(copy / "site") == before
