"""Checks which scores are handed out: those with rights, where the site shows all of their measures."""

from __future__ import annotations

from dataclasses import replace

import pytest

from understave.answers.project import Loaded
from understave.lessons.score_files import ScoreError, musicxml_of
from understave.pages.lesson_pages import LessonPages, downloads


def test_every_score_with_rights_is_handed_out_as_it_is(lanternfield: Loaded):
    found = downloads(lanternfield)
    assert sorted(found) == sorted(f"lessons/{name}/{name}.musicxml" for name in lanternfield.lessons)
    assert lanternfield.project.lessons is not None
    for name, lesson in lanternfield.lessons.items():
        content = (lanternfield.project.lessons / lesson.file.score).read_bytes()
        assert found[f"lessons/{name}/{name}.musicxml"] == content


def test_without_rights_nothing_is(lanternfield: Loaded):
    lesson = lanternfield.lessons["ferry-clock"]
    bare = replace(lesson, file=lesson.file.model_copy(update={"rights": None}))
    alone = replace(lanternfield, lessons={bare.id: bare})
    assert downloads(alone) == {}
    [page] = LessonPages(alone)
    assert page.values()["download"] == ""


def test_a_site_that_shows_passages_only_hands_out_none(lanternfield: Loaded):
    project = replace(lanternfield.project, notation="passages")
    assert downloads(replace(lanternfield, project=project)) == {}


@pytest.mark.parametrize(
    "hostile",
    [
        '<x:script xmlns:x="http://www.w3.org/1999/xhtml">alert(1)</x:script>',
        '<svg xmlns="http://www.w3.org/2000/svg"/>',
        "<?xml-stylesheet href='a.xsl'?>",
        "<SCRIPT>",
    ],
)
def test_markup_that_a_browser_would_run_is_refused(hostile, tmp_path):
    path = tmp_path / "a.musicxml"
    path.write_text(f"<score-partwise>{hostile}</score-partwise>", encoding="utf-8")
    with pytest.raises(ScoreError, match="no MusicXML"):
        musicxml_of(path)
