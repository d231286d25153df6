"""Checks that the wheel alone is enough: a second site builds from it, and the commands use the content it carries."""

from __future__ import annotations

import importlib.util
import json
import os
import shutil
import sys
import sysconfig
import tarfile
import zipfile
from pathlib import Path

import pytest
from hypothesis import settings

from ..built_site import ROOT, SMALL, run


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with the source distribution, and with the wheel that is made of it alone."""
    folder = tmp_path_factory.mktemp("made")
    isolation = ["--no-isolation"] if importlib.util.find_spec("hatchling") else []
    build = run(sys.executable, "-m", "build", *isolation, "--outdir", folder, ROOT)
    assert build.returncode == 0, build.stdout + build.stderr
    return folder


@pytest.fixture(scope="module")
def wheel(made: Path) -> Path:
    [found] = made.glob("understave-*.whl")
    return found


@pytest.fixture(scope="module")
def source(made: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the folder that the source distribution unpacks to."""
    [packed] = made.glob("understave-*.tar.gz")
    with tarfile.open(packed) as archive:
        folder = tmp_path_factory.mktemp("source")
        archive.extractall(folder, filter="data")
    [found] = folder.iterdir()
    return found


@pytest.fixture(scope="module")
def python(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the Python of a fresh environment with the wheel in it; what it depends on is borrowed from ours."""
    folder = tmp_path_factory.mktemp("environment") / "venv"
    assert run(sys.executable, "-m", "venv", "--without-pip", folder).returncode == 0
    program = folder / "bin" / "python"
    packages = Path(run(program, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))").stdout.strip())
    install = run(
        sys.executable, "-m", "pip", "--python", program, "install", "--quiet", "--no-deps", "--no-index", wheel
    )
    assert install.returncode == 0, install.stderr
    # a bare path in a .pth file brings the folder's packages, and not the editable install that its own .pth names
    (packages / "borrowed.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    return program


def clean_environment() -> dict[str, str]:
    """Return an environment in which nothing leads back to the repository."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "VIRTUAL_ENV"))}
    return {**kept, "NO_MKDOCS_2_WARNING": "1"}


def test_wheel_carries_all_content_and_nothing_else(wheel: Path) -> None:
    names = set(zipfile.ZipFile(wheel).namelist())
    carried = {name.removeprefix("understave/") for name in names if name.startswith("understave/content/")}
    entries = {path.relative_to(ROOT).as_posix() for path in (ROOT / "content").rglob("*") if path.is_file()}
    assert len(entries) > 200
    assert carried == entries
    assert {name.partition("/")[0] for name in names} == {
        "understave",
        next(n for n in names if "METADATA" in n).partition("/")[0],
    }
    for wanted in (
        "pages/templates/chord.html",
        "pages/theme/sitemap.xml",
        "phrases/en.po",
        "pages/styles/understave.css",
    ):
        assert f"understave/{wanted}" in names
    assert not [name for name in names if "__pycache__" in name or name.endswith(".pyc")]
    assert [name for name in names if name.endswith("accidentals-OFL.txt")], "the font's licence goes with the font"


def test_environment_uses_the_wheel(python: Path, tmp_path: Path) -> None:
    where = run(python, "-c", "import understave; print(understave.__file__)", cwd=tmp_path, env=clean_environment())
    assert Path(where.stdout.strip()).is_relative_to(python.parents[1]), where


def test_small_glossary_builds_from_the_wheel(python: Path, tmp_path: Path) -> None:
    folder = tmp_path / "small"
    shutil.copytree(SMALL, folder, ignore=shutil.ignore_patterns("site", ".cache"))
    build = run(python, "-m", "mkdocs", "build", "--strict", cwd=folder, env=clean_environment())
    assert build.returncode == 0, build.stderr
    assert "WARNING" not in build.stderr
    rows = {
        row["permalink"]: row for row in json.loads((folder / "site" / "understave.json").read_text("utf-8"))["pages"]
    }
    assert rows["/a-flat-minor/"]["tones"] == ["Ab", "Cb", "Eb"]
    assert "/slash-chords/minor-over-its-third/" in rows
    assert "/terms/lowest-note/" in rows
    assert not [name for name in rows if "dominant" in name], "nothing of the glossary in the wheel"


def test_commands_outside_any_project_use_the_wheels_content(python: Path, tmp_path: Path) -> None:
    command = python.with_name("understave")
    answer = run(command, "spell", "C2", "--json", cwd=tmp_path, env=clean_environment())
    assert answer.returncode == 0, answer.stderr
    [item] = json.loads(answer.stdout)
    assert [(reading["chord"], reading["tones"]) for reading in item["readings"]] == [
        ("added-second", ["C", "D", "E", "G"]),
        ("suspended-second", ["C", "D", "G"]),
    ]
    assert item["error"] is None
    assert list(tmp_path.iterdir()) == []


def test_commands_inside_a_project_use_its_content(python: Path, tmp_path: Path) -> None:
    # the small glossary has no added second, so that the reading is named by no entry
    folder = tmp_path / "small"
    shutil.copytree(SMALL, folder, ignore=shutil.ignore_patterns("site", ".cache"))
    answer = run(python.with_name("understave"), "spell", "C2", "Cm", "--json", cwd=folder, env=clean_environment())
    assert [item["readings"][0]["chord"] for item in json.loads(answer.stdout)] == [None, "minor"]


def test_the_source_holds_a_demo_without_faults(python: Path, source: Path) -> None:
    check = run(python.with_name("understave"), "check", cwd=source, env=clean_environment())
    assert (check.returncode, check.stdout, check.stderr) == (0, "", "")


def test_the_source_holds_the_tests_and_no_made_files(made: Path) -> None:
    [packed] = made.glob("understave-*.tar.gz")
    with tarfile.open(packed) as archive:
        names = [name.partition("/")[2] for name in archive.getnames()]
    assert {"tests/conftest.py", "mkdocs.yml", "README.md", "site_examples/lanternfield/permalinks.yaml"} <= set(names)
    assert not [name for name in names if "__pycache__" in name or name.partition("/")[0] in (".cache", "site")]


@pytest.mark.skipif(
    settings().max_examples < settings.get_profile("thorough").max_examples, reason="a schedule builds the whole demo"
)
def test_the_source_builds_the_demo(python: Path, source: Path) -> None:
    build = run(python, "-m", "mkdocs", "build", "--strict", cwd=source, env=clean_environment())
    assert build.returncode == 0, build.stderr
    assert len(json.loads((source / "site" / "understave.json").read_text("utf-8"))["pages"]) > 1_000
