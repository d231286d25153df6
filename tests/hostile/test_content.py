"""Hostile content gets one clear line, soon, and touches nothing outside; what is harmless stays text."""

from __future__ import annotations

import base64
import hashlib
import html
import json
import os
import re
import time
from html.parser import HTMLParser
from pathlib import Path

import pytest
from click.testing import CliRunner

from understave.cli import main

from ..built_site import understave
from ..conftest import SMALL_CONTENT
from ..lessons.small_scores import LESSON, SCORE
from .content_cases import HARMLESS, KINDS, Files, Link, Pipe, term
from .score_cases import BAD as BAD_SCORES
from .score_cases import BAD_SYMBOLS, ODD
from .score_cases import GOOD as GOOD_SCORES
from .test_lessons import BAD as BAD_LESSONS

LONGEST = 10.0
"""Seconds of computing after which a case is taken for a hang; the slowest takes one or two."""

CONFIG = (
    "site_name: Small\nsite_url: https://small.example/\ndocs_dir: content\n"
    "plugins:\n  - understave: {permalinks: permalinks.yaml}\n"
)


def placed(folder: Path, files: Files) -> None:
    """Put files, links and pipes into a project."""
    for name, content in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        match content:
            case Link():
                path.symlink_to(content.to)
            case Pipe():
                os.mkfifo(path)
            case str():
                path.write_bytes(content.encode())
            case bytes():
                path.write_bytes(content)


def listed(folder: Path) -> list[str]:
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*"))


@pytest.fixture
def project(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a project without faults, which is the current folder."""
    folder = tmp_path / "project"
    placed(folder, {"mkdocs.yml": CONFIG, **{f"content/{name}": text for name, text in SMALL_CONTENT.items()}})
    monkeypatch.chdir(folder)
    return folder


@pytest.mark.parametrize(("kind", "name"), [(kind, name) for kind, cases in KINDS.items() for name in cases])
def test_hostile_content_gets_one_clear_line(kind: str, name: str, project: Path) -> None:
    files, told = KINDS[kind][name]
    placed(project, files)
    before = listed(project.parent)
    started = time.process_time()
    check = CliRunner().invoke(main, ["check"])
    assert time.process_time() - started < LONGEST
    assert isinstance(check.exception, SystemExit), check.exception
    assert check.exit_code == 1
    assert check.stderr == ""
    first = check.stdout.splitlines()[0]
    assert first.startswith(told)
    assert first.isprintable()
    assert len(first) < 600
    assert [name for name in listed(project.parent) if name not in before and "/.cache" not in name] == []


MARK = "<x-odd onodd=1>{{ 3711 * 2 }}</title><script>odd()</script>\"'--><x-odd>"
"""What would run if any text reached a page as it stands; its sum would be 7422."""


class Ran(HTMLParser):
    """Notes elements and attributes that no page of ours has."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self.text = ""
        self.in_script = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        values = dict(attrs)
        self.in_script = tag == "script" and values.get("type") != "application/ld+json"
        unsafe = tag in ("x-odd", "iframe", "object", "embed", "base")
        unsafe |= any(name.startswith("on") or name == "style" for name in values)
        unsafe |= (values.get("href") or "").strip().lower().startswith(("javascript:", "data:", "vbscript:"))
        if unsafe:
            self.found.append(self.get_starttag_text() or tag)

    handle_startendtag = handle_starttag

    def handle_endtag(self, tag: str) -> None:
        self.in_script = False

    def handle_data(self, data: str) -> None:
        if self.in_script and "odd()" in data:
            self.found.append(data)
        self.text += data


@pytest.fixture(scope="module")
def harmless(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[str, Ran]]:
    """Return every page, as it stands and as it was read, of a site whose every text holds MARK or a harmless case."""
    folder = tmp_path_factory.mktemp("harmless")
    quoted = json.dumps(MARK)
    files: Files = {"mkdocs.yml": BUILT, "small.musicxml": marked_score(), "lessons/odd.yaml": marked_lesson(quoted)}
    for name, text in SMALL_CONTENT.items():
        files[f"content/{name}"] = re.sub('^name: "?(.*?)"?$', rf"name: {quoted}", text, flags=re.M).replace(
            '["common practice"]',
            f"[{quoted}]\nasked_as: [{quoted}]\ncorrected: {{{mended(quoted)}}}",
        )
    for number, text in enumerate(HARMLESS.values()):
        files[f"content/terms/odd-{number}.yaml"] = term(text, name=f"odd {number}", summary="Words.")
    files["content/guides/odd.md"] = (
        f"---\ntitle: odd\ndescription: {quoted}\nasked_as: [{quoted}]\n---\n\n# Odd\n\n"
        "{{ 3711 * 2 }} {% raw %}\n\n"
        f"```count\nrhythm: 4 4 4 4\nmeter: 4/4\ncaption: {quoted}\n```\n"
    )
    placed(folder, files)
    build = understave("build", cwd=folder)
    assert build.returncode == 0, build.stderr
    pages = {}
    for path in sorted((folder / "site").rglob("*.html")):
        page, ran = path.read_text("utf-8"), Ran()
        ran.feed(page)
        pages[path.relative_to(folder / "site").as_posix()] = page, ran
    return pages


BUILT = CONFIG.replace("{permalinks: permalinks.yaml}", "{lessons: lessons}").replace(
    "plugins:\n", "theme: {name: material, font: false}\nnot_in_nav: '*'\nplugins:\n  - search\n"
)


def mended(quoted: str) -> str:
    return f"date: 2026-05-01, was: {quoted}, now: {quoted}, why: {quoted}"


def marked_lesson(quoted: str) -> str:
    fields = LESSON.replace("small.musicxml", "../small.musicxml").replace("The tune", "Odd")
    for name in ("title", "tune"):
        fields = re.sub(f"^{name}: .*$", lambda match, name=name: f"{name}: {quoted}", fields, flags=re.M)
    return f'{fields}corrected: {{{mended(quoted)}}}\nerrata:\n  - {{measure: "1", {mended(quoted)}}}\n'


def marked_score() -> str:
    """Return a score with MARK wherever it holds words; what is no MusicXML's markup would be refused."""
    mark = html.escape(MARK.replace("<script>", "<xscript>"))
    words = f"<direction><direction-type><words>{mark}</words></direction-type></direction>"
    return (
        SCORE.replace("Piano", f"Piano {mark}")
        .replace("<kind>minor", f'<kind text="m{mark}">minor')
        .replace("<part-list>", f"<work><work-title>{mark}</work-title></work><part-list>", 1)
        .replace('<measure number="2">', f'<measure number="2">{words}')
    )


def test_nothing_that_editors_write_runs_on_a_page(harmless: dict[str, tuple[str, Ran]]) -> None:
    assert len(harmless) > 100
    assert {name: ran.found for name, (_, ran) in harmless.items() if ran.found} == {}


def test_templates_in_texts_are_not_filled(harmless: dict[str, tuple[str, Ran]]) -> None:
    assert [name for name, (page, _) in harmless.items() if "7422" in page] == []
    assert sum("{{ 3711 * 2 }}" in ran.text for _, ran in harmless.values()) > 100


def test_no_policy_lets_a_script_of_an_editor_run(harmless: dict[str, tuple[str, Ran]]) -> None:
    digest = base64.b64encode(hashlib.sha256(b"odd()").digest()).decode()
    assert [name for name, (page, _) in harmless.items() if digest in page] == []


@pytest.mark.parametrize(("number", "text"), [(n, text) for n, text in enumerate(HARMLESS.values())], ids=HARMLESS)
def test_what_is_harmless_stays_text(number: int, text: str, harmless: dict[str, tuple[str, Ran]]) -> None:
    """Markdown may take away the signs of emphasis, code and escapes, and nothing else."""
    _, ran = harmless[f"terms/odd-{number}/index.html"]
    plain = re.sub(r"[\s*_`\\\[\]\-]+", "", text)
    assert plain in re.sub(r"[\s*_`\\\[\]\-]+", "", ran.text)


def test_there_are_120_named_cases() -> None:
    """The comments' and the other tests' cases aren't counted."""
    tables = [*KINDS.values(), HARMLESS, BAD_LESSONS, BAD_SCORES, BAD_SYMBOLS, GOOD_SCORES, ODD]
    assert sum(map(len, tables)) >= 120
