"""Checks the commands as they are called: what goes to which stream, and with which exit status.

``check`` exits 1 with its faults on stdout; any other bad input exits 2 with one line on stderr.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from understave.answers.checking import annotation
from understave.cli import main
from understave.entries.faults import Fault

from ..lessons.small_scores import SCORE

LANTERNFIELD = ("mkdocs.yml", "content", "site_examples")

SETTINGS = """\
site_name: Small
site_url: https://small.example/
docs_dir: content
theme:
  name: material
  font: false
plugins:
  - understave:
      permalinks: permalinks.yaml
not_in_nav: "*"
"""


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, list(arguments))


def start(*arguments: str | bytes, folder: Path) -> subprocess.CompletedProcess[str]:
    environment = {key: value for key, value in os.environ.items() if key not in ("PYTHONPATH", "FORCE_COLOR")}
    return subprocess.run(
        [sys.executable, "-c", "from understave.cli import main; main(prog_name='understave')", *arguments],
        cwd=folder,
        capture_output=True,
        encoding="utf-8",
        errors="replace",
        timeout=60,
        check=False,
        # as in the ordinary locale of a desktop, where what can't be encoded is an error
        env={**environment, "PYTHONUTF8": "1", "PYTHONIOENCODING": "utf-8:strict"},
    )


@pytest.fixture
def small_site(small_content, write_files, in_folder: Path) -> Path:
    """A small site without faults in the current folder; its ledger isn't written yet."""
    write_files(small_content)
    (in_folder / "mkdocs.yml").write_text(SETTINGS)
    return in_folder


@pytest.fixture
def lanternfield_copy(repository: Path, tmp_path: Path) -> Path:
    for name in LANTERNFIELD:
        source = repository / name
        if source.is_dir():
            shutil.copytree(source, tmp_path / name)
        else:
            shutil.copy(source, tmp_path / name)
    return tmp_path


def one_line(result: Result) -> str:
    """The single line on stderr of bad input; nothing else may be there."""
    assert result.exit_code == 2, result.output
    assert result.stdout == ""
    assert len(result.stderr.splitlines()) == 1, result.stderr
    assert "Traceback" not in result.stderr
    return result.stderr.strip()


# spell


def test_spell_prints_a_list_in_the_order_of_its_symbols(small_site):
    result = run("spell", "C", "Am", "G", "--json")
    assert result.exit_code == 0
    assert result.stderr == ""
    assert [item["symbol"] for item in json.loads(result.stdout)] == ["C", "Am", "G"]


def test_in_a_batch_the_bad_symbol_carries_its_error_and_the_rest_goes_on(small_site):
    result = run("spell", "C", "Xyz", "Am", "--json")
    items = json.loads(result.stdout)
    assert result.exit_code == 2
    assert [bool(item["readings"]) for item in items] == [True, False, True]
    assert [item["error"] is None for item in items] == [True, False, True]
    assert result.stderr.splitlines() == [items[1]["error"]["message"]]


def test_spell_in_words_puts_errors_on_stderr(small_site):
    result = run("spell", "Xyz", "Am")
    assert result.exit_code == 2
    assert result.stdout.startswith("Am: Am = A (root), C (♭3rd), E (5th)")
    assert len(result.stderr.splitlines()) == 1


def test_spell_explains_by_the_entries_of_its_project(small_site):
    (chord,) = json.loads(run("spell", "Am7", "--json").stdout)[0]["readings"]
    assert chord["chord"] is None
    assert chord["parts"] == ["minor"]


def test_spell_with_broken_entries_tells_the_faults(small_site):
    (small_site / "content" / "terms" / "measure.yaml").write_text("name: 4\n")
    result = run("spell", "C")
    assert result.exit_code == 2
    assert result.stdout == ""
    assert result.stderr.startswith("content/terms/measure.yaml:1:1: ")


# finding the project


def chord_of_am7(*arguments: str) -> str | None:
    result = run("spell", "Am7", "--json", *arguments)
    assert result.exit_code == 0, result.stderr
    return json.loads(result.stdout)[0]["readings"][0]["chord"]


def test_outside_of_any_project_the_packaged_content_answers(in_folder):
    assert chord_of_am7() == "minor-seventh"


def test_the_nearest_project_upwards_is_taken(small_site, monkeypatch):
    deep = small_site / "content" / "terms"
    monkeypatch.chdir(deep)
    assert chord_of_am7() is None


def test_a_configuration_that_does_not_name_the_plugin_is_passed_over(small_site, monkeypatch):
    inner = small_site / "inner"
    inner.mkdir()
    (inner / "mkdocs.yml").write_text("site_name: Other\nplugins: [search]\n")
    monkeypatch.chdir(inner)
    assert chord_of_am7() is None


def test_a_named_configuration_is_taken_wherever_one_is(small_site, in_folder, monkeypatch, repository):
    assert chord_of_am7("-f", str(repository / "mkdocs.yml")) == "minor-seventh"
    monkeypatch.chdir("/")
    assert chord_of_am7("-f", str(small_site / "mkdocs.yml")) is None
    assert chord_of_am7("--config-file", str(small_site / "mkdocs.yml")) is None


@pytest.mark.parametrize(
    "settings",
    [
        SETTINGS.replace("  - understave:\n      permalinks: permalinks.yaml\n", "  - understave\n"),
        SETTINGS.replace("  - understave:\n      permalinks", "  understave:\n    permalinks"),
        SETTINGS + "extra:\n  x: !ENV HOME\nmarkdown_extensions:\n  - a:\n      b: !!python/name:os.path\n",
    ],
    ids=["bare", "mapping", "tags of other plugins"],
)
def test_a_configuration_may_be_written_in_any_of_mkdocs_ways(settings, small_site):
    (small_site / "mkdocs.yml").write_text(settings)
    assert chord_of_am7() is None


@pytest.mark.parametrize(
    ("settings", "reason"),
    [
        (None, "No such file or directory"),
        ("a: [", "no YAML"),
        ("a: \xff".encode("latin-1"), "no YAML"),
        ("[]", "no plugin understave"),
        ("", "no plugin understave"),
        ("site_name: x\nplugins: [search]\n", "no plugin understave"),
        ("docs_dir: content\nplugins: [{understave: {lessons: 5}}]\n", ""),
        ("docs_dir: content\nplugins: [{understave: {permalinks: [a]}}]\n", ""),
        ("docs_dir: content\nplugins: [{understave: {counting_system: [a]}}]\n", ""),
        ("docs_dir: content\nsite_name: 2026-02-30\nplugins: [understave]\n", ""),
    ],
)
def test_a_configuration_that_does_not_serve_is_one_line(settings, reason, small_site):
    path = small_site / "other.yml"
    if settings is not None:
        path.write_bytes(settings if isinstance(settings, bytes) else settings.encode())
    result = run("check", "-f", str(path))
    assert isinstance(result.exception, SystemExit), repr(result.exception)
    assert reason in one_line(result)


# check


def test_check_says_nothing_of_a_project_without_faults(small_site):
    result = run("check")
    assert (result.exit_code, result.output) == (0, "")


def test_check_prints_all_faults_sorted_on_stdout(small_site):
    (small_site / "content" / "terms" / "measure.yaml").write_text("name: 4\n")
    (small_site / "content" / "added-tones" / "added-ninth.yaml").write_text("name: 4\nwritten: x\n")
    (small_site / "content" / "terms" / "Bar.yml").write_text("")
    result = run("check")
    lines = result.stdout.splitlines()
    assert result.exit_code == 1
    assert result.stderr == ""
    assert len(lines) > 5
    places = [(file, int(line), int(column)) for file, line, column, _ in (line.split(":", 3) for line in lines)]
    assert places == sorted(places)
    assert {place[0] for place in places} == {
        "content/added-tones/added-ninth.yaml",
        "content/terms/Bar.yml",
        "content/terms/measure.yaml",
    }


EVERYWHERE = {
    "content/terms/measure.yaml": ("name: measure", "name: 4", "1:7: a number, '4'"),
    "content/replies/tuning.yaml": ("entries: [measure]", "entries: [mesure]", "3:11: the id 'mesure'"),
    "content/guides/bars.md": ("counts: [measure]", "counts: [bar]", "4:10: the id 'bar'"),
    "lessons/small.yaml": ("teaches: [measure]", "teaches: [mesure]", "13:11: the id 'mesure'"),
    "permalinks.yaml": ("  measure: one-page", "  measures: one-page", "2:3: the published entry 'measures' is gone"),
}
"""A fault in a file of each kind: what stands there, what takes its place, and how its line goes on."""

OTHERS = {
    "content/replies/tuning.yaml": "topic: other\nasked_as: [out of tune]\nentries: [measure]\ntext: It was tuned.\n",
    "content/guides/bars.md": "---\ntitle: Bars\ndescription: On bars.\ncounts: [measure]\n---\n\n# Bars\n",
    "lessons/small.yaml": """\
title: Small
level: beginner
date: "2026-03-14"
tune: Small
key: C major
score: ../scores/small.musicxml
rights: own
video: "https://video.example/small?t={seconds}"
sections:
  - {name: All of it, at: "0:00"}
heard:
  - {from: "0:04", to: "0:12", measures: "1-4", hands: both, tempo: slow}
teaches: [measure]
""",
    "scores/small.musicxml": SCORE,
    "permalinks.yaml": "entries:\n  measure: one-page\n",
}


def test_one_run_tells_the_faults_of_entries_replies_guides_lessons_and_the_ledger(small_site):
    """A broken entry hides nothing of what speaks of it, and is not taken for gone."""
    settings = SETTINGS.replace("permalinks: permalinks", "lessons: lessons\n      permalinks: permalinks")
    for name, text in {**OTHERS, "mkdocs.yml": settings}.items():
        (small_site / name).parent.mkdir(exist_ok=True, parents=True)
        (small_site / name).write_text(text)
    assert run("check").stdout == ""
    for name, (old, new, _) in EVERYWHERE.items():
        text = (small_site / name).read_text()
        assert text.count(old) == 1
        (small_site / name).write_text(text.replace(old, new))
    result = run("check")
    lines = result.stdout.splitlines()
    assert result.exit_code == 1
    assert len(lines) == len(EVERYWHERE)
    for line, (name, (_, _, said)) in zip(lines, sorted(EVERYWHERE.items()), strict=True):
        assert line.startswith(f"{name}:{said}")


def test_check_of_paths_tells_only_what_is_below_them(small_site):
    (small_site / "content" / "terms" / "measure.yaml").write_text("name: 4\n")
    (small_site / "content" / "rhythm-figures" / "quarter-notes.yaml").write_text("name: 4\n")

    def files(*paths: str) -> set[str]:
        result = run("check", *paths)
        assert result.exit_code == (1 if result.stdout else 0)
        return {line.partition(":")[0] for line in result.stdout.splitlines()}

    measure, quarters = "content/terms/measure.yaml", "content/rhythm-figures/quarter-notes.yaml"
    assert files("content/terms") == files(measure) == files(str(small_site / measure)) == {measure}
    assert (
        files("content/terms", "content/rhythm-figures")
        == files("content")
        == files(".")
        == files()
        == {measure, quarters}
    )
    assert files("content/chord-symbols") == set()


def test_check_of_a_folder_outside_of_the_project_holds_it_against_itself(small_site, repository, tmp_path):
    other = tmp_path / "other"
    shutil.copytree(small_site / "content", other / "entries")
    assert run("check", "other/entries").exit_code == 0
    (other / "entries" / "terms" / "measure.yaml").write_text("name: 4\n")
    result = run("check", "other/entries/terms/measure.yaml")
    assert result.exit_code == 1
    assert {line.partition(":")[0] for line in result.stdout.splitlines()} == {"other/entries/terms/measure.yaml"}


def test_check_of_a_path_that_holds_no_entries_is_bad_input(small_site):
    (small_site / "notes").mkdir()
    assert one_line(run("check", "notes")).startswith("notes: no entries here; expected ")


def test_check_fix_writes_the_ledger_once(small_site):
    first = run("check", "--fix")
    assert first.exit_code == 0
    assert first.stdout.splitlines()[:2] == [
        "added to the ledger: added-ninth: roots",
        "added to the ledger: e-and-a: one-page",
    ]
    assert len(first.stdout.splitlines()) == 8
    kept = (small_site / "permalinks.yaml").read_bytes()
    second = run("check", "--fix")
    assert (second.exit_code, second.stdout) == (0, "The ledger has every page.\n")
    assert (small_site / "permalinks.yaml").read_bytes() == kept
    assert run("check").exit_code == 0


def test_check_fix_writes_nothing_while_there_are_faults(small_site):
    (small_site / "content" / "terms" / "measure.yaml").write_text("name: 4\n")
    assert run("check", "--fix").exit_code == 1
    assert not (small_site / "permalinks.yaml").exists()


def test_check_fix_without_a_ledger_says_so(small_site):
    (small_site / "mkdocs.yml").write_text(SETTINGS.replace("      permalinks: permalinks.yaml\n", "      lessons:\n"))
    result = run("check", "--fix")
    assert (result.exit_code, result.stdout) == (0, "No ledger of permalinks is set in mkdocs.yml.\n")


def test_check_fix_where_the_ledgers_folder_is_missing_makes_it_or_says_so(small_site):
    (small_site / "mkdocs.yml").write_text(SETTINGS.replace("permalinks: permalinks", "permalinks: links/permalinks"))
    result = run("check", "--fix")
    assert isinstance(result.exception, SystemExit | None), repr(result.exception)
    assert (small_site / "links" / "permalinks.yaml").exists() or result.exit_code == 2


def test_check_tells_a_page_that_went_missing(small_site):
    run("check", "--fix")
    (small_site / "content" / "terms" / "measure.yaml").rename(small_site / "content" / "terms" / "measures.yaml")
    result = run("check")
    assert result.exit_code == 1
    assert len(result.stdout.splitlines()) == 1
    assert "the published entry 'measure' is gone" in result.stdout
    assert "'/terms/measure/: /terms/measures/'" in result.stdout


def test_check_fix_proposes_where_a_renamed_entry_leads(small_site):
    run("check", "--fix")
    (small_site / "content" / "terms" / "measure.yaml").rename(small_site / "content" / "terms" / "measures.yaml")
    result = run("check", "--fix")
    assert result.exit_code == 0
    assert result.stdout.splitlines() == [
        "proposed in the ledger: /terms/measure/ leads to /terms/measures/. Does it answer the same question?",
        "added to the ledger: measures: one-page",
    ]
    text = (small_site / "permalinks.yaml").read_text()
    assert "  measure: one-page\n  measures: one-page\n" in text
    assert text.endswith("redirects:\n  /terms/measure/: /terms/measures/\n")
    assert run("check").stdout == ""
    assert run("check", "--fix").stdout == "The ledger has every page.\n"


def test_check_fix_proposes_nothing_for_what_resembles_nothing(small_site):
    run("check", "--fix")
    (small_site / "content" / "rhythm-figures" / "quarter-notes.yaml").unlink()
    result = run("check", "--fix")
    assert result.exit_code == 1
    [line] = result.stdout.splitlines()
    assert "the published entry 'quarter-notes' is gone" in line
    assert "redirects" not in (small_site / "permalinks.yaml").read_text()


def test_check_tells_an_unknown_counting_system_in_the_file_that_names_it(small_site):
    (small_site / "mkdocs.yml").rename(small_site / "site.yml")
    text = (small_site / "site.yml").read_text().replace("permalinks: permalinks.yaml", "counting_system: kodali")
    (small_site / "site.yml").write_text(text)
    result = run("check", "-f", "site.yml")
    assert result.exit_code == 1
    assert result.stdout.startswith("site.yml:")
    assert "'kodali'" in result.stdout
    assert "nearest: 'kodaly'" in result.stdout


# describe


def test_describe_prints_the_block_by_id_and_by_path(lanternfield_copy, monkeypatch):
    monkeypatch.chdir(lanternfield_copy)
    by_id = run("describe", "paper-lanterns-at-low-tide")
    by_path = run("describe", "site_examples/lanternfield/lessons/paper-lanterns-at-low-tide.yaml")
    assert by_id.exit_code == by_path.exit_code == 0
    assert by_id.stderr == ""
    assert by_id.stdout == by_path.stdout
    assert by_id.stdout.startswith("https://lanternfield.example/glossary/lessons/paper-lanterns-at-low-tide/")
    assert by_id.stdout_bytes == run("describe", "paper-lanterns-at-low-tide").stdout_bytes


def test_describe_of_no_lesson_names_the_nearest(lanternfield_copy, monkeypatch):
    monkeypatch.chdir(lanternfield_copy)
    assert one_line(run("describe", "paper-lanterns")) == (
        "paper-lanterns: no such lesson; expected a lesson's file or id; nearest: 'paper-lanterns-at-low-tide'"
    )


def test_describe_of_a_file_that_is_no_lesson_tells_its_faults(small_site):
    (small_site / "x.yaml").write_text("title: 4\n")
    result = run("describe", "x.yaml")
    assert result.exit_code == 2
    assert result.stdout == ""
    assert result.stderr.startswith("x.yaml:1:1: ")


# usage, streams and exit statuses


@pytest.mark.parametrize(
    "arguments",
    [
        (),
        ("nothing",),
        ("spell",),
        ("spell", "C", "--jsn"),
        ("check", "no-such-folder"),
        ("describe",),
        ("describe", "a", "b"),
        ("check", "-f"),
        ("spell", "-f", "none.yml", "C"),
        ("--no-such-option",),
    ],
)
def test_an_error_of_usage_is_one_line_and_exit_2(arguments, in_folder):
    if arguments == ():
        assert run().exit_code in (0, 2)
        return
    one_line(run(*arguments))


def test_help_is_no_error(in_folder):
    for arguments in (("--help",), ("-h",), ("check", "--help"), ("--version",)):
        result = run(*arguments)
        assert result.exit_code == 0
        assert result.stdout


def test_a_process_exits_as_settled(small_site):
    good = start("spell", "C", "--json", folder=small_site)
    assert (good.returncode, good.stderr) == (0, "")
    assert json.loads(good.stdout)[0]["symbol"] == "C"
    bad = start("spell", "C", "Xyz", folder=small_site)
    assert bad.returncode == 2
    assert len(bad.stderr.splitlines()) == 1
    assert bad.stdout.startswith("C: C = ")
    (small_site / "content" / "terms" / "measure.yaml").write_text("name: 4\n")
    faulty = start("check", folder=small_site)
    assert faulty.returncode == 1
    assert faulty.stderr == ""
    assert all(line.startswith("content/terms/measure.yaml:1:") for line in faulty.stdout.splitlines())


@pytest.mark.parametrize(
    "arguments",
    [("spell", b"\xff", "--json"), ("spell", b"C\xff"), ("describe", b"\xff"), ("check", "-f", b"\xff.yml")],
)
def test_bytes_that_are_no_text_make_no_traceback(arguments, small_site):
    result = start(*arguments, folder=small_site)
    assert "Traceback" not in result.stderr
    assert result.returncode == 2


def test_a_file_whose_name_is_no_text_makes_no_traceback(small_site):
    Path(os.fsdecode(b"content/terms/\xff.yaml")).write_text("x")
    result = start("check", folder=small_site)
    assert "Traceback" not in result.stderr
    assert result.returncode == 1
    assert len(result.stdout.splitlines()) == 1


def test_build_with_faults_exits_2_and_leaves_the_old_site(small_site):
    (small_site / "site").mkdir()
    (small_site / "site" / "old.html").write_text("old")
    (small_site / "content" / "terms" / "measure.yaml").write_text("name: 4\n")
    result = start("build", folder=small_site)
    assert result.returncode == 2
    assert result.stdout == ""
    lines = [line for line in result.stderr.splitlines() if line.startswith("content/terms/measure.yaml:1:")]
    assert len(lines) == 4
    # a line before the faults may say what became of the site
    assert len(result.stderr.splitlines()) <= 5
    assert [path.name for path in (small_site / "site").iterdir()] == ["old.html"]
    assert not list(small_site.glob(".understave-building-*"))


def only_terms(site: Path) -> None:
    for folder in (site / "content").iterdir():
        if folder.name != "terms":
            shutil.rmtree(folder)


def test_build_keeps_its_progress_out_of_pipes(small_site):
    for name in ("chord-symbols", "added-tones", "slash-chords"):
        shutil.rmtree(small_site / "content" / name)
    result = start("build", folder=small_site)
    assert result.returncode == 0, result.stderr
    assert result.stdout == ""
    assert "\r" not in result.stderr
    assert "drawing" not in result.stderr
    assert result.stderr.splitlines() == [str(small_site / "site")]
    assert (small_site / "site" / "rhythm-figures" / "quarter-notes" / "index.html").is_file()


def test_build_takes_the_nearest_configuration_that_names_the_plugin(small_site, monkeypatch):
    only_terms(small_site)
    (small_site / "content" / "terms" / "measure.yaml").write_text("name: 4\n")
    inner = small_site / "inner"
    (inner / "docs").mkdir(parents=True)
    (inner / "mkdocs.yml").write_text("site_name: Other\n")
    (inner / "docs" / "index.md").write_text("# Other\n")
    result = start("build", folder=inner)
    assert result.returncode == 2
    assert "measure.yaml:1:" in result.stderr
    assert not (inner / "site").exists()


@pytest.mark.parametrize("settings", [None, "a: [", "site_name: x\nplugins: [nothing-of-the-kind]\n"])
def test_build_without_a_configuration_that_serves_is_one_line(settings, in_folder):
    if settings is not None:
        (in_folder / "mkdocs.yml").write_text(settings)
        (in_folder / "docs").mkdir()
    result = start("build", folder=in_folder)
    assert result.returncode == 2
    assert result.stdout == ""
    assert len(result.stderr.splitlines()) == 1, result.stderr


def test_faults_come_as_annotations_and_as_json(small_site):
    entry = small_site / "content" / "terms" / "bar.yaml"
    entry.parent.mkdir(exist_ok=True)
    entry.write_text("name: bar\nsummary: A bar.\nsumary: x\ntext: A bar.\nsources: [s]\n", encoding="utf-8")
    github = run("check", "--format", "github")
    assert github.exit_code == 1
    line = next(line for line in github.stdout.splitlines() if "sumary" in line)
    assert line.startswith("::error file=content/terms/bar.yaml,line=3,col=1::the key 'sumary'; one of ")
    faults = json.loads(run("check", "--format", "json").stdout)
    assert {"file": "content/terms/bar.yaml", "line": 3, "column": 1}.items() <= next(
        fault for fault in faults if "sumary" in fault["found"]
    ).items()


def test_an_annotation_escapes_what_would_end_it():
    fault = Fault("a,b:c.yaml", 1, 2, "100%\nof it", "a, b")
    assert annotation(fault) == "::error file=a%2Cb%3Ac.yaml,line=1,col=2::100%25%0Aof it; a, b"
