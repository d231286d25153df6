"""Bad lessons get one line with their place, others are still done, a build leaves the last good site alone."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from ..built_site import SMALL, tree_bytes, understave
from ..lessons.small_scores import LESSON, SCORE, both, note, score
from .score_cases import BAD as BAD_SCORES

FIRST = '{from: "0:05", to: "0:21", measures: "1-4", hands: both, tempo: "at tempo"}'
SECOND = '{from: "0:50", to: "1:10", measures: "1-2", hands: left, tempo: slow}'


def changed(old: str, new: str) -> str:
    assert LESSON.count(old) == 1, old
    return LESSON.replace(old, new)


BAD: dict[str, tuple[str, str]] = {
    "75 seconds": (changed('"0:40"', '"1:75"'), "11:33: the time '1:75'; "),
    "75 seconds without quotes": (changed('"0:40"', "1:75"), "11:33: the time '1:75'; "),
    "a negative time": (changed('"0:40"', '"-0:40"'), "11:33: the time '-0:40'; "),
    "a negative number": (changed('"0:40"', "-40"), "11:33: the time '-40'; "),
    "a time in words": (changed('"0:40"', '"later"'), "11:33: the time 'later'; "),
    "a time beyond all videos": (changed('"0:40"', '"999:00"'), "11:33: the time '999:00'; "),
    "an infinite time": (changed('"0:40"', ".inf"), "11:33: "),
    "sections out of order": (
        LESSON.replace('at: "0:00"', 'at: "0:41"').replace('at: "0:40"', 'at: "0:00"'),
        "10:28: a first section that doesn't start at 0:00",
    ),
    "two sections at one time": (
        changed('"0:40"', '"0:00"'),
        "11:33: the section 'The left hand' at a time that isn't",
    ),
    "playing out of order": (
        LESSON.replace(FIRST, "-").replace(SECOND, FIRST).replace("- -", f"- {SECOND}"),
        "14:12: stretches of measures 1 and 1 that overlap; times in order",
    ),
    "playing backwards": (changed('to: "0:21"', 'to: "0:04"'), "13:24: a stretch that ends before it begins; "),
    "playing for no time": (changed('to: "0:21"', 'to: "0:05"'), "13:24: a stretch that ends before it begins; "),
    "playing past the end": (changed('measures: "1-4"', 'measures: "1-5"'), "13:42: measure 5; a measure from 1 to 4"),
    "playing what has no number": (changed('measures: "1-4"', 'measures: "-1"'), "13:42: the measures '-1'; "),
    "measures backwards": (changed('measures: "1-4"', 'measures: "4-1"'), "13:42: the measures '4-1'; "),
    "a section past the end": (
        changed('at: "0:40"', 'at: "0:40", measures: "3-9"'),
        "11:51: measure 9; a measure from 1 to 4",
    ),
    "a section called after a measure past the end": (
        changed("The left hand", "Measures 4 and 5: the end"),
        "11:12: measure 5; a measure from 1 to 4",
    ),
    "an erratum past the end": (
        LESSON + 'errata:\n  - {measure: "7", date: "2026-04-01", was: "a", now: "b", why: "c"}\n',
        "17:15: measure 7; a measure from 1 to 4",
    ),
    "a script for a video": (changed("https://video.example/", "javascript:"), "8:8: the video 'javascript:"),
    "a score on another host": (changed("small.musicxml", "https://x.example/a.mxl"), "6:8: the score "),
    "a score that is a folder": (
        changed("small.musicxml", ".."),
        "6:8: the score '..': it can't be opened: Is a directory",
    ),
    "a score out of the tree": (changed("small.musicxml", "../../gone.musicxml"), "6:8: the score "),
    "a score by its address on this machine": (
        changed("small.musicxml", "/etc/passwd"),
        "6:8: the score '/etc/passwd'; a score below ",
    ),
    "a score with a NUL in its name": (changed("small.musicxml", '"a\\0.musicxml"'), "6:8: the sign U+0000"),
    "a score on a drive": (changed("small.musicxml", "c:/gone.musicxml"), "6:8: the score 'c:/gone.musicxml': "),
    "a score that never ends": (
        changed("small.musicxml", "/dev/zero"),
        "6:8: the score '/dev/zero'; a score below ",
    ),
    "no YAML": ("title: [", "2:1: "),
    "a list": ("- title\n", "1:"),
    "nothing": ("", "1:1: "),
    "a NUL": (changed("A small lesson", "A \0 lesson"), "1:"),
    "an anchor": (changed('"A small lesson"', '&a "A small lesson"'), "1:8: "),
    "a tag": (changed('"A small lesson"', "!!python/object:os.system x"), "1:"),
    "deep nesting": (changed("[major]", "[" * 5000 + "]" * 5000), ""),
    "a key twice": (LESSON + "teaches: [minor]\n", "16:1: "),
    "no key at all": (changed('key: "C major"\n', ""), "1:1: no 'key'"),
    "a title without end": (changed("A small lesson", "x" * 100_000), "1:8: 100000 characters; at most 200"),
}
"""By name: the lesson, and how its line begins after the file's name."""


@pytest.mark.parametrize("name", BAD)
def test_a_bad_lesson_is_one_line_and_the_others_are_done(name, channel, one_line, tmp_path):
    lesson, why = BAD[name]
    channel.write("bad", lesson, SCORE)
    place = f"lessons/bad.yaml:{why}"
    assert one_line(channel.run("explain", "good")).startswith(place)
    assert one_line(channel.run("describe", "lessons/bad.yaml")).startswith(place)
    told = channel.run("check")
    assert (told.exit_code, told.stdout.count("\n")) == (1, 1)
    assert told.stdout.startswith(place)
    batch = channel.run("describe", "--all", "--out", tmp_path / "texts")
    assert batch.exit_code == 2
    assert batch.stderr.startswith(place)
    assert batch.stderr.count("\n") == 1
    assert [path.name for path in (tmp_path / "texts").iterdir()] == ["good.txt"]


def test_every_bad_lesson_has_its_line_in_a_batch(channel, tmp_path):
    for number, (lesson, _) in enumerate(BAD.values()):
        channel.write(f"bad-{number}", lesson, SCORE)
    batch = channel.run("describe", "--all", "--pinned", "--out", tmp_path / "texts")
    assert batch.exit_code == 2
    lines = batch.stderr.splitlines()
    assert len(lines) == len(BAD)
    assert all(line.startswith("lessons/bad-") for line in lines)
    assert [path.name for path in (tmp_path / "texts").iterdir()] == ["good-pinned.txt"]


@pytest.mark.parametrize("to", ["/etc/passwd", "/", "bad.musicxml"])
def test_a_score_that_links_out_of_the_tree_is_refused(to, channel, one_line):
    channel.write("bad", LESSON, SCORE)
    (channel.folder / "bad.musicxml").unlink()
    (channel.folder / "bad.musicxml").symlink_to(to)
    assert one_line(channel.run("explain", "good")).startswith("lessons/bad.yaml:6:8: the score '../bad.musicxml'; ")


def test_a_score_that_links_to_another_of_the_tree_is_read(channel):
    channel.write("bad", LESSON, SCORE)
    (channel.folder / "bad-too.musicxml").write_bytes((channel.folder / "bad.musicxml").read_bytes())
    (channel.folder / "bad.musicxml").unlink()
    (channel.folder / "bad.musicxml").symlink_to("bad-too.musicxml")
    assert channel.run("explain", "bad").exit_code == 0


def test_a_lesson_that_links_out_of_the_tree_is_refused(channel, one_line):
    (channel.folder / "lessons" / "bad.yaml").symlink_to("/etc/passwd")
    assert one_line(channel.run("explain", "good")) == "lessons/bad.yaml:1:1: a link to another file; the file itself"


def test_a_pipe_for_a_score_is_refused_and_not_waited_for(channel, one_line):
    channel.write("bad", LESSON, SCORE)
    (channel.folder / "bad.musicxml").unlink()
    os.mkfifo(channel.folder / "bad.musicxml")
    line = one_line(channel.run("explain", "good"))
    assert line.startswith(
        "lessons/bad.yaml:6:8: the score '../bad.musicxml': it can't be opened: it is no regular file"
    )


MINOR = score(('number="1"', both(note("E4", 4), note("C3", 4, 2))))
"""A score without symbols: the small glossary has minor chords only."""

PLAIN = LESSON.replace("small.musicxml", "../small.musicxml").replace("[major]", "[minor]")

BUILDS = {
    "a score that is cut off": (PLAIN, MINOR[:-40]),
    "a score with an entity": (PLAIN, BAD_SCORES["an external entity"][0]),
    "a score that unpacks without end": (PLAIN, BAD_SCORES["an archive that unpacks without end"][0]),
    "a chord that no entry has": (PLAIN, SCORE),
    "75 seconds": (PLAIN.replace("0:40", "1:75"), MINOR),
    "a bar past the end": (PLAIN, MINOR),
}


@pytest.mark.parametrize("name", BUILDS)
def test_a_build_refuses_and_the_last_good_site_stays_as_it_was(name, tmp_path: Path) -> None:
    lesson, music = BUILDS[name]
    project = tmp_path / "project"
    shutil.copytree(SMALL, project, ignore=shutil.ignore_patterns("site", ".cache"))
    config = project / "mkdocs.yml"
    config.write_text(config.read_text("utf-8").replace("- understave", "- understave: {lessons: lessons}"), "utf-8")
    (project / "site").mkdir()
    (project / "site" / "index.html").write_text("the last good site", encoding="utf-8")
    (project / "lessons").mkdir()
    (project / "lessons" / "bad.yaml").write_text(lesson, encoding="utf-8")
    (project / "small.musicxml").write_bytes(music if isinstance(music, bytes) else music.encode())
    before = tree_bytes(project / "site")
    build = understave("build", cwd=project)
    assert build.returncode == 2
    assert "Traceback" not in build.stderr
    assert build.stdout == ""
    lines = build.stderr.splitlines()
    assert lines
    assert all(line.startswith("lessons/bad.yaml:") for line in lines)
    assert tree_bytes(project / "site") == before
