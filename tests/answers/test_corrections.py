"""Checks mended mistakes: where they stand, what still has them, and what is refused."""

from __future__ import annotations

import datetime
import json
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner, Result

from understave.answers.corrections import corrections, plain, still_said
from understave.answers.project import Loaded
from understave.cli import main
from understave.entries.faults import Faulty
from understave.entries.kept import load_glossary
from understave.entries.values import Correction
from understave.pages.corrections import ATOM, CorrectionPages, corrections_feed

NINTH = Correction(datetime.date(2026, 3, 21), "add9 and 9 are\none chord.", "they differ", "The 7th")


@pytest.fixture(autouse=True)
def _in_demo(repository, monkeypatch):
    monkeypatch.chdir(repository)


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["corrections", *arguments])


@pytest.fixture
def corrected(lanternfield: Loaded) -> Loaded:
    """The channel with one correction more, of the term for a measure."""
    entries = lanternfield.glossary.entries
    entries = {**entries, "measure": replace(entries["measure"], corrected=NINTH)}
    return replace(lanternfield, glossary=replace(lanternfield.glossary, entries=entries))


def test_corrections_come_newest_first(lanternfield: Loaded):
    found = corrections(lanternfield)
    assert [(one.id, one.measure) for one in found] == [("kite-over-the-allotments", 12), ("added-ninth", None)]
    assert [one.correction.date for one in found] == sorted((one.correction.date for one in found), reverse=True)


def test_a_published_text_that_still_says_it_is_found_over_line_breaks_and_accidentals():
    value = json.loads(run("--json").stdout)
    [left] = value["left"]
    assert left["file"] == "site_examples/lanternfield/published/kite-over-the-allotments-pinned.txt"
    assert (left["line"], left["comment"], left["id"]) == (3, None, "kite-over-the-allotments")
    assert left["draft"].startswith("I had measure 12 wrong. I wrote “the symbol over the second half of measure 12 is")
    assert left["draft"].endswith("/glossary/lessons/kite-over-the-allotments/")


def test_a_recorded_reply_that_still_says_it_is_found(corrected: Loaded, tmp_path: Path):
    lessons = tmp_path / "lessons"
    lessons.mkdir()
    (tmp_path / "answered.yaml").write_text(
        'answered:\n  - {comment: c1, reply: "Fine."}\n  - comment: c2\n    reply: "Yes: Add9 and 9 are one chord"\n'
    )
    project = replace(corrected.project, lessons=lessons)
    [left] = still_said(replace(corrected, project=project))
    assert (left.comment, left.line, left.corrected.id) == ("c2", 3, "measure")
    assert left.draft.startswith("I had this wrong. I wrote “add9 and 9 are\none chord”; now it says “they differ”.")


def test_a_folder_of_texts_may_be_given(corrected: Loaded, tmp_path: Path):
    (tmp_path / "a.txt").write_text("First.\nAdd9 and 9\nare one chord\n")
    (tmp_path / "b.txt").write_text("They differ.\n")
    (tmp_path / "c.md").write_text("add9 and 9 are one chord\n")
    found = list(still_said(corrected, tmp_path))
    assert [(Path(left.file).name, left.line) for left in found] == [("a.txt", 2)]


@pytest.mark.parametrize("content", [b"\xff\xfe", b"x" * (1 << 20) + b"x"])
def test_a_text_that_does_not_read_is_one_line(corrected: Loaded, tmp_path: Path, content: bytes):
    (tmp_path / "a.txt").write_bytes(content)
    with pytest.raises(Faulty, match=r"a\.txt:1:1: a text"):
        list(still_said(corrected, tmp_path))


def test_texts_are_compared_without_case_signs_and_breaks():
    assert plain("It is  B♭,\n not F♯.") == "it is bb, not f#"


def test_the_list_for_reading():
    lines = run().stdout.splitlines()
    assert lines[0].startswith("Kite over the Allotments: notes that come early, measure 12 (2026-07-02). Before: “")
    assert lines[1].strip().endswith("kite-over-the-allotments-pinned.txt:3: the text still says so.")
    assert lines[3].startswith("added ninth (2026-03-21).")


def test_the_page_and_the_feed_have_them_all(lanternfield: Loaded):
    [page] = CorrectionPages(lanternfield)
    assert page.address == "/corrections/"
    assert [row["page"] for row in page.values()["rows"]] == [one.page for one in corrections(lanternfield)]
    feed = ElementTree.fromstring(corrections_feed(lanternfield, "Site"))
    assert feed.tag == f"{{{ATOM}}}feed"
    assert feed.findtext(f"{{{ATOM}}}updated") == "2026-07-02T00:00:00Z"
    ids = [entry.findtext(f"{{{ATOM}}}id") for entry in feed.iter(f"{{{ATOM}}}entry")]
    assert len(ids) == len(set(ids)) == 2


def test_without_corrections_there_is_neither_page_nor_feed(lanternfield: Loaded):
    entries = {name: replace(entry, corrected=None) for name, entry in lanternfield.glossary.entries.items()}
    bare = replace(lanternfield, glossary=replace(lanternfield.glossary, entries=entries), lessons={})
    assert list(CorrectionPages(bare)) == []
    assert corrections_feed(bare, "Site") == ""


def test_a_correction_is_kept_with_its_date(tmp_path: Path, repository: Path):
    for _ in range(2):
        entry = load_glossary(repository / "content", tmp_path).entries["added-ninth"]
        assert entry.since == datetime.date(2026, 1, 10)
        assert entry.corrected is not None
        assert entry.corrected.date == datetime.date(2026, 3, 21)


BEFORE = 'since: "2026-04-01"\ncorrected: {date: "2026-03-31", was: a, now: b, why: c}\n'


@pytest.mark.parametrize(
    ("more", "fault"),
    [
        (BEFORE, "a correction of 2026-03-31; a date from 2026-04-01 on, when it came out"),
        ('corrected: {date: "31 March", was: a, now: b, why: c}\n', "the date '31 March'; a date such as 2026-03-14"),
        ('corrected: {date: "2026-03-31", was: a, why: c}\n', "no 'now'; the key 'now'"),
    ],
)
def test_a_faulty_correction_is_told_in_its_place(more: str, fault: str, write_files, small_content):
    path, text = next((path, text) for path, text in small_content.items() if path.startswith("chord-symbols/"))
    content = write_files({**small_content, path: text + more})
    with pytest.raises(Faulty) as error:
        load_glossary(content)
    [found] = error.value.faults
    assert str(found).endswith(fault)
    assert found.file == f"content/{path}"
