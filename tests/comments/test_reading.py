"""Checks that a CSV of comments reads in every usual encoding, and that a bad row costs only itself."""

from __future__ import annotations

from pathlib import Path

import pytest

from understave.comments.reading import BadRow, Comment, CommentsError, read_comments


def rows(path: Path, content: str | bytes) -> list[Comment | BadRow]:
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return list(read_comments(path))


@pytest.fixture
def file(in_folder: Path) -> Path:
    return in_folder / "comments.csv"


def texts(found: list[Comment | BadRow]) -> list[str]:
    return [row.text if isinstance(row, Comment) else "!" for row in found]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
def test_the_usual_encodings_read(file, encoding):
    assert texts(rows(file, "id,text\n1,Où est la tierce ?\n2,“Gm9”\n".encode(encoding))) == [
        "Où est la tierce ?",
        "“Gm9”",
    ]


def test_a_stray_byte_in_utf_8_is_read_as_windows_has_it(file):
    assert texts(rows(file, "id,text\n1,é ".encode() + b"\xe9\n")) == ["é é"]


@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_values_may_be_parted_by_commas_semicolons_or_tabs(file, mark):
    assert texts(rows(file, f'id{mark}text\n1{mark}"a{mark} b"\n')) == [f"a{mark} b"]


def test_every_column_is_used_where_it_stands(file):
    text = "Likes,BY_ME,parent,posted,author,lesson,text,id\n7,yes,c1,2026-03-01,nilo,low-tide,Hello,c2\n"
    (comment,) = rows(file, text)
    assert comment == Comment("c2", "Hello", 2, "low-tide", "nilo", "2026-03-01", 7, "c1", True)


def test_a_text_may_hold_line_breaks_and_quotation_marks(file):
    found = rows(file, 'id,text\r\n1,"one ""C"",\r\ntwo"\r\n2,three\r\n')
    assert texts(found) == ['one "C",\r\ntwo', "three"]
    assert [row.line for row in found if isinstance(row, Comment)] == [2, 4]


def test_a_broken_quotation_mark_costs_its_own_row(file):
    found = rows(file, 'id,text\n1,"one\n2,two\n3,"three"\n4,four\n')
    assert [row.text for row in found if isinstance(row, Comment)] == ["two", "three", "four"]
    (bad,) = [row for row in found if isinstance(row, BadRow)]
    assert str(bad.fault).startswith("comments.csv:2:1: a ")


def test_a_quotation_mark_that_never_closes_does_not_eat_the_rest(file):
    found = rows(file, 'id,text\n1,fine\n2,"never closed\n' + "".join(f"{n},text\n" for n in range(3, 3000)))
    assert sum(isinstance(row, Comment) for row in found) == 2998
    assert sum(isinstance(row, BadRow) for row in found) == 1


def test_what_is_left_of_a_broken_text_is_not_told_again(file):
    found = rows(file, 'id,text\n1,"he said "hello" and\nwent on, and on\nand on"\n2,two\n')
    assert [type(row) for row in found].count(BadRow) == 1
    assert texts(found)[-1] == "two"


@pytest.mark.parametrize(
    ("row", "found"),
    [
        ("1,a\0b", "a NUL character"),
        ("1,a,b,c", "4 values under 2 columns"),
        ("1", "1 of 2 values"),
        (",text", "no id"),
    ],
)
def test_a_bad_row_is_told_with_its_line_and_the_others_still_read(file, row, found):
    read = rows(file, f"id,text\n{row}\n2,two\n")
    assert isinstance(read[0], BadRow)
    assert str(read[0].fault).startswith(f"comments.csv:2:1: {found}; ")
    assert texts(read) == ["!", "two"]


def test_blank_rows_and_empty_values_at_the_end_are_nothing_wrong(file):
    assert texts(rows(file, "id,text\n\n1,one,,\n,\n2,two\n")) == ["one", "two"]


@pytest.mark.parametrize(
    ("content", "told"),
    [
        ("", "comments.csv:1:1: an empty file; "),
        ("id,texte\n1,a\n", "comments.csv:1:1: no column 'text' among 'id, texte'; "),
        ("number,text\n1,a\n", "comments.csv:1:1: no column 'id' among"),
        ('id,"text\n1,a\n', "comments.csv:1:1: a quotation mark that is never closed; "),
    ],
)
def test_a_file_without_its_columns_is_refused_in_one_line(file, content, told):
    with pytest.raises(CommentsError) as error:
        rows(file, content)
    assert str(error.value).startswith(told)
    assert "\n" not in str(error.value)


def test_a_file_that_is_not_there_is_told(file):
    with pytest.raises(CommentsError, match=r"comments\.csv:1:1: unreadable: "):
        list(read_comments(file))


def test_progress_counts_bytes_up_to_the_end(file):
    file.write_text("id,text\n" + "".join(f"{n},text {n}\n" for n in range(5000)))
    seen: list[int] = []
    assert len(list(read_comments(file, seen.append))) == 5000
    assert seen == sorted(seen)
    assert seen[-1] == file.stat().st_size
