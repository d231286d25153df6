"""Checks `understave triage` as it is called: JSON, list, report and sheet, bad input and exit statuses."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from understave.cli import main

LESSONS = "site_examples/lanternfield/lessons"

DEMO = "site_examples/lanternfield/comments/2026-03.csv"

COMMENTS = """\
id,text,lesson,author,likes,parent,by_me
c1,Why is it Gm9 in bar 3?,paper-lanterns-at-low-tide,nilo,3,,
c2,What is F/A?,,mira,1,,
r1,It is F over its third.,,me,0,c2,yes
c3,There is a mistake in measure 14: it should be C7,paper-lanterns-at-low-tide,kofi,0,,
c4,<script>alert(1)</script>,,<i>x</i>,0,,
c5,"Nice \u202egnos\u202c, why <3 Gm9 & C7?",,a\u202eb,0,,
c6,How do you count the triplets in measure 11?,paper-lanterns-at-low-tide,pia,0,,
"""


@pytest.fixture
def triage(repository: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """Call the command on a file of comments; names of files are below the test's own folder."""
    monkeypatch.chdir(repository)

    def called(content: str | bytes, *options: str, lessons: str = LESSONS) -> Result:
        path = tmp_path / "comments.csv"
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return CliRunner().invoke(main, ["triage", str(path), "--lessons", lessons, *options])

    return called


def test_json_holds_comments_groups_unanswered_and_counts(triage):
    result = triage(COMMENTS, "--json")
    assert (result.exit_code, result.stderr) == (0, "")
    found = json.loads(result.stdout)
    assert list(found) == ["comments", "groups", "unanswered", "counts"]
    comments = {comment["id"]: comment for comment in found["comments"]}
    assert list(comments) == ["c1", "c2", "r1", "c3", "c4", "c5", "c6"]
    assert comments["c2"]["answered"] == {"reply_id": "r1"}
    assert comments["c3"]["mistake"] is True
    assert found["counts"]["comments"] == 7


def test_the_same_comments_give_the_same_bytes(triage, tmp_path):
    first = [triage(COMMENTS, "--json").stdout, triage(COMMENTS).stdout]
    assert first == [triage(COMMENTS, "--json").stdout, triage(COMMENTS).stdout]
    pages = []
    for _ in range(2):
        triage(COMMENTS, "--out", str(tmp_path / "r.html"), "--sheet", str(tmp_path / "s.html"))
        pages.append(((tmp_path / "r.html").read_bytes(), (tmp_path / "s.html").read_bytes()))
    assert pages[0] == pages[1]


def test_the_list_has_mistakes_first(triage):
    listed = triage(COMMENTS).stdout
    assert listed.index("Mistakes reported") < listed.index("c3  ") < listed.index("Questions") < listed.index("c1  ")
    assert "script" not in listed.replace("a script, a formula", "")
    assert "\u202e" not in listed


def test_the_report_is_one_escaped_file_without_scripts(triage, tmp_path):
    path = tmp_path / "report.html"
    assert triage(COMMENTS, "--out", str(path)).exit_code == 0
    html = path.read_text("utf-8")
    assert "<script" not in html.lower()
    assert "alert(1)" not in html
    assert "<i>x" not in html
    assert "Nice [U+202E]gnos[U+202C], why &lt;3 Gm9 &amp; C7?" in html
    assert html.index("Mistakes reported") < html.index("Questions")
    assert html.endswith("</html>\n")
    assert re.findall(r'(?:src|href)="(?!https://lanternfield\.example/)[^"]*"', html) == []


def test_the_sheet_has_questions_with_notation_hands_points_and_drafts(triage, tmp_path):
    path = tmp_path / "sheet.html"
    assert triage(COMMENTS, "--sheet", str(path), "--questions", "2").exit_code == 0
    html = path.read_text("utf-8")
    assert html.count("<article>") == 2
    assert html.count('class="notation"') == 2
    assert "G (root) and D (5th)" in html
    assert html.count("<li>") == 6
    assert "https://lanternfield.example/glossary/g-minor-ninth/" in html
    assert "<script" not in html


def test_pain_and_reports_of_mistakes_are_no_questions_for_the_camera(triage, tmp_path):
    path = tmp_path / "sheet.html"
    comments = "id,text\n1,My wrist hurts\n2,The Gm9 in bar 3 is a typo\n3,What is add9?\n"
    assert triage(comments, "--sheet", str(path)).exit_code == 0
    html = path.read_text("utf-8")
    assert html.count("<article>") == 1
    assert "What is add9?" in html


def test_a_sheet_without_questions_says_so(triage, tmp_path):
    path = tmp_path / "sheet.html"
    assert triage("id,text\n1,Thank you!\n", "--sheet", str(path)).exit_code == 0
    assert "No question is waiting." in path.read_text("utf-8")


@pytest.mark.parametrize(
    ("content", "bad"),
    [
        ("id,text\nc1,Why Gm9?\nc2,a\0b\nc3,What is F/A?\n", "c2"),
        ('id,text\nc1,Why Gm9?\nc2,"open\nc3,What is F/A?\n', ""),
        ("id,text\nc1,Why Gm9?\nc2,a,b\nc3,What is F/A?\n", "c2"),
        ("id,text\nc1,Why Gm9?\nc1,Why C7?\nc3,What is F/A?\n", "c1"),
    ],
)
def test_a_bad_row_carries_its_error_and_the_others_are_done(triage, content, bad):
    result = triage(content, "--json")
    assert result.exit_code == 2
    (line,) = result.stderr.splitlines()
    assert re.search(r"comments\.csv:3:1: .+; .+", line)
    comments = json.loads(result.stdout)["comments"]
    assert [comment["id"] for comment in comments] == ["c1", bad, "c3"]
    assert [comment.get("error") for comment in comments] == [None, line, None]


@pytest.mark.parametrize("content", ["", "id,comment\n1,a\n", b"\x00\x01\x02\x03", "id\n"])
def test_a_file_without_its_columns_is_one_line_and_status_2(triage, content):
    result = triage(content, "--json")
    assert (result.exit_code, result.stdout) == (2, "")
    assert len(result.stderr.splitlines()) == 1
    assert "Traceback" not in result.stderr


def test_a_file_that_is_not_there_is_one_line_and_status_2(repository, monkeypatch):
    monkeypatch.chdir(repository)
    result = CliRunner().invoke(main, ["triage", "nowhere.csv", "--lessons", LESSONS])
    assert result.exit_code == 2
    assert result.stderr.startswith("nowhere.csv:1:1: unreadable: ")


def test_a_report_that_cannot_be_written_is_one_line_and_status_2(triage, tmp_path):
    result = triage(COMMENTS, "--out", str(tmp_path / "nowhere" / "report.html"))
    assert result.exit_code == 2
    assert len(result.stderr.splitlines()) == 1


def test_a_lesson_that_does_not_read_is_told_and_the_comments_are_done(triage, tmp_path):
    lessons = tmp_path / "lessons"
    lessons.mkdir()
    (lessons / "broken.yaml").write_text("title: 4\n")
    result = triage(COMMENTS, "--json", lessons=str(lessons))
    assert result.exit_code == 2
    assert "broken.yaml:1:8: " in result.stderr
    assert len(json.loads(result.stdout)["comments"]) == 7


def test_faults_of_the_answers_are_told(triage, tmp_path):
    (tmp_path / "lessons").mkdir()
    (tmp_path / "answered.yaml").write_text("answered: [{comment: c1}]\n")
    result = triage(COMMENTS, lessons=str(tmp_path / "lessons"))
    assert (result.exit_code, result.stdout) == (2, "")
    assert "answered.yaml:1:12: an answer without reply or video" in result.stderr


def test_the_demos_comments_are_sorted(repository, monkeypatch):
    monkeypatch.chdir(repository)
    result = CliRunner().invoke(main, ["triage", DEMO, "--lessons", LESSONS, "--json"])
    assert result.exit_code == 0
    found = json.loads(result.stdout)
    assert {"c003", "c010", "c014"} == {c["id"] for c in found["comments"] if c["answered"] and c["id"][0] == "c"}
    assert found["counts"]["mistakes"] == sum(comment["mistake"] for comment in found["comments"])
    assert set(found["counts"]["topics"]) == {
        "chord-symbol", "slash-chord", "added-tone", "counting", "notes-vs-symbol", "levels", "printing", "request",
        "language", "thanks", "off-topic", "other",
    }  # fmt: skip
