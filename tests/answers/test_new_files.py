"""Writes a new file of every kind: it guides, fails in clear lines until its places are filled, and then passes."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from understave.answers.new_files import NEW
from understave.answers.schemas import KINDS, schema_of
from understave.cli import main
from understave.entries.leftovers import FILL_IN
from understave.theory.symbols import SymbolError, read_symbol

from ..lessons.small_scores import SCORE

SETTINGS = """\
site_name: Small
site_url: https://small.example/
docs_dir: content
theme: {name: material, font: false}
plugins:
  - understave: {lessons: lessons}
not_in_nav: "*"
"""

PROSE = {
    "summary: FILL IN": "summary: A thing.",
    "text: |\n  FILL IN": "text: |\n  The first words.\n\n  The last words.",
    "sources: [FILL IN]": "sources: [common practice]",
}

FILLED: dict[str, tuple[str, dict[str, str]]] = {
    "chord-symbol": ("dominant-seventh-sharp-ninth", PROSE),
    "added-tone": ("minor-added-ninth", PROSE),
    "slash-chord": (
        "minor-over-its-third",
        {
            **PROSE,
            "chord: FILL IN": "chord: minor",
            "bass: FILL IN": "bass: b3",
            "example: FILL IN": 'example: "Am Am/C"',
        },
    ),
    "counting-system": ("uno-y", {**PROSE, 'two: ["n", FILL IN]': 'two: ["n", "y"]'}),
    "rhythm-figure": ("long-short-short", {**PROSE, "rhythm: FILL IN": "rhythm: 2 4 4"}),
    "term": ("bar-line", PROSE),
    "guide": (
        "slow-practice",
        {"description: FILL IN": "description: Slow is fast.", "\nFILL IN\n": "\nPlay slowly.\n"},
    ),
    "handout": ("quiet-chords", {"title: FILL IN": "title: Quiet chords", "entries: [FILL IN]": "entries: [C, Am]"}),
    "lesson": (
        "four-measures",
        {
            "level: FILL IN": "level: beginner",
            "date: FILL IN": 'date: "2026-03-14"',
            "tune: FILL IN": "tune: Four Measures",
            "key: FILL IN": "key: C major",
            "rights: FILL IN": "rights: own",
            "video: FILL IN": 'video: "https://video.example/four?t={seconds}"',
            "{name: FILL IN,": "{name: The whole piece,",
        },
    ),
    "reply": (
        "tuning",
        {
            "topic: FILL IN": "topic: other",
            "asked_as: [FILL IN]": "asked_as: [out of tune]",
            "{hello} FILL IN": "{hello} It was tuned last week.",
        },
    ),
}
"""For each kind an id, and what an editor types in the marked places."""


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, list(arguments))


@pytest.fixture
def site(small_content, write_files, in_folder: Path) -> Path:
    """A small site without faults in the current folder, with a folder of lessons and a score."""
    del small_content["added-tones/added-ninth.yaml"]
    write_files(small_content)
    (in_folder / "mkdocs.yml").write_text(SETTINGS)
    (in_folder / "lessons").mkdir()
    (in_folder / "scores").mkdir()
    (in_folder / "scores" / "four-measures.musicxml").write_text(SCORE)
    return in_folder


def path_of(kind: str, name: str) -> Path:
    return Path(KINDS[kind].path.format(id=name))


def test_every_kind_that_has_a_file_for_each_id_is_tried_here():
    assert set(NEW) == set(FILLED)


@pytest.mark.parametrize("kind", NEW)
def test_a_new_file_fails_in_clear_lines_and_passes_once_its_places_are_filled(kind, site):
    name, typed = FILLED[kind]
    made = run("new", kind, name)
    path = path_of(kind, name)
    assert (made.exit_code, made.stderr) == (0, "")
    text = path.read_text("utf-8")
    places = [
        (number, match.start() + 1)
        for number, line in enumerate(text.splitlines(), 1)
        if not line.startswith("# ")
        for match in re.finditer(FILL_IN, line)
    ]
    assert made.stdout.startswith(f"{path} is written. Places marked {FILL_IN}: {len(places)}.")
    before = run("check")
    assert before.exit_code == 1
    expected = "'FILL IN', left for later; words of your own in its place"
    assert before.stdout.splitlines() == [f"{path}:{line}:{column}: {expected}" for line, column in places]
    for old, new in typed.items():
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    path.write_text(text, encoding="utf-8")
    after = run("check")
    assert (after.exit_code, after.output) == (0, "")


@pytest.mark.parametrize("kind", NEW)
def test_a_new_file_says_of_every_field_what_its_schema_says(kind, site):
    name, _ = FILLED[kind]
    run("new", kind, name)
    text = path_of(kind, name).read_text("utf-8")
    comments = " ".join(line.removeprefix("#").strip() for line in text.splitlines() if line.startswith("#"))
    schema = schema_of(KINDS[kind])
    for field, about in schema["properties"].items():
        assert re.search(rf"^(?:# )?{field}:", text, re.MULTILINE), field
        assert about["description"] in comments, field
    if kind != "guide":
        assert text.startswith(f"# yaml-language-server: $schema=https://small.example/schemas/{kind}.json\n")
        assert f"https://small.example/write/{kind}/" in text


@pytest.mark.parametrize("kind", [kind for kind in NEW if kind != "guide"])
def test_what_is_commented_out_may_be_used(kind, site):
    """Takes every # away: what then stands there keeps to the shape (its links lead nowhere in this small site)."""
    name, typed = FILLED[kind]
    if kind == "counting-system":
        typed = {**typed, '# values: {"2": ta-a, "4": ta, "8": ti, "12 12 12": tri o la}': ""}
    run("new", kind, name)
    path = path_of(kind, name)
    text = path.read_text("utf-8")
    for old, new in typed.items():
        text = text.replace(old, new)
    keys = "|".join(schema_of(KINDS[kind])["properties"])
    path.write_text(re.sub(rf"^# ((?:  - |(?:{keys}):).*)", r"\1", text, flags=re.MULTILINE), encoding="utf-8")
    shape = [
        line
        for line in run("check").stdout.splitlines()
        if not re.search(r"the id '|measure \d|form|kind '|known_by|place of the beat", line)
    ]
    assert shape == []


def test_an_id_that_reads_as_a_chord_is_spelled(site):
    run("new", "chord-symbol", "dominant-seventh-sharp-ninth")
    text = path_of("chord-symbol", "dominant-seventh-sharp-ninth").read_text("utf-8")
    assert "name: dominant seventh sharp ninth\n" in text
    assert 'written: ["7#9"]\n' in text
    # the degrees of an E7#9 are common practice
    assert 'degrees: ["1", "3", "5", "b7", "#9"]\n' in text
    run("new", "added-tone", "minor-added-ninth")
    assert 'adds: "9"\n' in path_of("added-tone", "minor-added-ninth").read_text("utf-8")


def test_an_id_that_reads_as_no_chord_leaves_its_spelling_open(site):
    made = run("new", "chord-symbol", "blue-evening")
    assert "Places marked FILL IN: 5." in made.stdout
    with pytest.raises(SymbolError):
        read_symbol("C blue evening")
    lines = run("check").stdout.splitlines()
    assert len(lines) == 5
    assert all("left for later" in line for line in lines)


def test_a_template_of_replies_names_what_may_stand_in_braces(site):
    run("new", "reply", "slash-symbol")
    text = path_of("reply", "slash-symbol").read_text("utf-8")
    assert "{bass} {hello} {link} {symbol} {tones} FILL IN" in text
    assert "topic" not in text


def one_line(result: Result) -> str:
    assert (result.exit_code, result.stdout) == (2, "")
    [line] = result.stderr.splitlines()
    return line


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("chord-symbols", "x"), "chord-symbols: no kind of new file; expected one of chord-symbol, "),
        (("words", "x"), "words: no kind of new file; "),
        (
            ("term", "Bar Line"),
            "the id 'Bar Line'; expected small letters a-z, digits and single hyphens; nearest: 'bar-line'",
        ),
        (("term", "../../x"), "the id "),
        (("term", "a/b"), "the id "),
        (("chord-symbol", "a-minor"), "the id 'a-minor'; expected an id that starts with no note name, flat or sharp"),
        (("term", "measure"), "content/terms/measure.yaml: it is there already; expected an id that isn't taken"),
        (("chord-symbol", "measure"), "content/terms/measure.yaml: it is there already; "),
        (("lesson", "measure"), "content/terms/measure.yaml: it is there already; "),
    ],
)
def test_what_cannot_be_made_is_one_line_and_writes_nothing(arguments, said, site):
    before = sorted(path for path in site.rglob("*") if path.is_file())
    assert one_line(run("new", *arguments)).startswith(said)
    assert sorted(path for path in site.rglob("*") if path.is_file()) == before


def test_a_second_new_file_does_not_overwrite_the_first(site):
    run("new", "term", "beat")
    path = path_of("term", "beat")
    path.write_text("mine")
    assert "it is there already" in one_line(run("new", "term", "beat"))
    assert path.read_text() == "mine"


def test_without_a_site_nothing_is_made(in_folder):
    assert one_line(run("new", "term", "beat")).startswith("no mkdocs.yml here or above that names the plugin; ")
    assert list(in_folder.iterdir()) == []


def test_a_site_without_lessons_says_what_it_lacks(site):
    (site / "mkdocs.yml").write_text(SETTINGS.replace("{lessons: lessons}", "{}"))
    assert "no folder of lessons; expected lessons: PATH under understave" in one_line(run("new", "lesson", "x"))
