"""Checks that a YAML file is read as typed, with the place of every value, and that nothing raises."""

from __future__ import annotations

import re
import tempfile
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from understave.entries.yaml_files import LARGEST_FILE, Document, read_yaml


def read(tmp_path: Path, content: str | bytes) -> Document:
    path = tmp_path / "file.yaml"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return read_yaml(path, "file.yaml")


@pytest.mark.parametrize(
    ("typed", "kind"),
    [
        ("7", "a number"),
        ("0x1f", "a number"),
        ("1_000", "a number"),
        ("4.5", "a number"),
        (".inf", "a number"),
        ("1:05", "a number"),
        ("2026-03-14", "a date"),
        ("yes", "true or false"),
        ("off", "true or false"),
        ("True", "true or false"),
        ("~", "nothing"),
        ("null", "nothing"),
        ("m7", "text"),
        ("b9", "text"),
        ("6/9", "text"),
        ("-", "text"),
    ],
)
def test_a_bare_scalar_keeps_its_letters_and_says_what_yaml_makes_of_it(typed, kind, tmp_path):
    document = read(tmp_path, f"[a, {typed}]\n" if typed != "-" else "[a, '-']\n")
    assert document.faults == []
    assert document.value == ["a", typed]
    assert document.value[1].kind == kind


@pytest.mark.parametrize("typed", ["7", "yes", "2026-03-14", "~", ""])
def test_quotes_make_text_of_anything(typed, tmp_path):
    document = read(tmp_path, f"[\"{typed}\", '{typed}']\n")
    assert [(str(value), value.kind) for value in document.value] == [(typed, "text")] * 2


def test_every_value_and_key_has_its_place(tmp_path):
    document = read(tmp_path, "# a comment\nname: a\nlist:\n  - b\n  - {c: d,\n     e: f}\n")
    assert document.value == {"name": "a", "list": ["b", {"c": "d", "e": "f"}]}
    assert document.keys == {("name",): (2, 1), ("list",): (3, 1), ("list", 1, "c"): (5, 6), ("list", 1, "e"): (6, 6)}
    assert document.marks == {
        (): (2, 1),
        ("name",): (2, 7),
        ("list",): (4, 3),
        ("list", 0): (4, 5),
        ("list", 1): (5, 5),
        ("list", 1, "c"): (5, 9),
        ("list", 1, "e"): (6, 9),
    }


def test_a_place_that_has_no_mark_falls_back_to_what_is_around_it(tmp_path):
    document = read(tmp_path, "a: 1\nlist: [b]\n")
    assert str(document.fault(("list", 5, "x"), "this", "that")) == "file.yaml:2:7: this; that"
    assert str(document.fault(("list",), "this", "that", "hint", at_key=True)) == "file.yaml:2:1: this; that; hint"


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("a: |\n  one two\n  three\n", (3, 3)),
        ("a: |\n      one two\n      three\n", (3, 7)),
        ("a: >-\n  one\n  two\n\n  three\n", (5, 3)),
        ("# three\na: one two three\n", (2, 12)),
        ('three: x\na: "one three"\n', (2, 9)),
        ("a: three two\nb: three\n", (1, 4)),
        ("a: |\n  one threes\n  three\n", (3, 3)),
        ("a: |\r\n  é one\r\n  ü three\r\n", (3, 5)),
    ],
)
def test_a_fault_within_a_text_stands_at_its_word(text, place, tmp_path):
    document = read(tmp_path, text)
    offset = re.search(r"three\b", document.value["a"]).start()
    fault = document.fault_within("a", offset, "this", "that")
    assert (fault.line, fault.column) == place


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_lines_count_alike_with_either_line_end(newline, tmp_path):
    document = read(tmp_path, newline.join(["a: b", "c: d", "e: *x", ""]))
    assert [str(fault) for fault in document.faults] == ["file.yaml:3:4: an alias *x; the value written out"]


def test_a_bom_is_no_part_of_the_first_key_nor_of_its_place(tmp_path):
    document = read(tmp_path, b"\xef\xbb\xbfname: x\n")
    assert document.value == {"name": "x"}
    assert document.keys[("name",)] == (1, 1)


def test_columns_count_characters_not_bytes(tmp_path):
    assert read(tmp_path, "é: [ü, *x]\n").faults[0].column == 8
    assert read(tmp_path, "é: [ü, #11]\n").faults[0].column == 8
    assert read(tmp_path, "é: ".encode() + b"\xff").faults[0].column == 4


def test_a_file_that_cannot_be_read_is_a_fault(tmp_path):
    assert [str(fault) for fault in read_yaml(tmp_path, "folder.yaml").faults] == [
        "folder.yaml:1:1: unreadable: Is a directory; a readable file"
    ]
    assert read_yaml(tmp_path / "none.yaml", "none.yaml").faults[0].found == "unreadable: No such file or directory"


def test_the_largest_file_is_read_and_one_byte_more_is_not(tmp_path):
    assert read(tmp_path, "a: b\n".ljust(LARGEST_FILE, "#")).value == {"a": "b"}
    document = read(tmp_path, "a: b\n".ljust(LARGEST_FILE + 1, "#"))
    assert document.value is None
    assert len(document.faults) == 1


def test_deep_nesting_is_refused_before_anything_recurses(tmp_path):
    document = read(tmp_path, "a: " + "[" * 100_000)
    assert document.value is None
    assert len(document.faults) == 1
    twelve = "[" * 11 + "]" * 11
    assert read(tmp_path, f"a: {twelve}\n").faults == []
    assert read(tmp_path, f"a: [{twelve}]\n").faults[0].found == "nesting too deep"


def test_many_aliases_do_not_grow(tmp_path):
    levels = ["a0: &a0 [x, x]"] + [f"a{n}: &a{n} [*a{n - 1}, *a{n - 1}]" for n in range(1, 40)]
    document = read(tmp_path, "\n".join(levels))
    assert document.value is None
    assert any(fault.found.startswith("an alias") for fault in document.faults)


def test_a_merge_key_is_a_key_like_any_other(tmp_path):
    assert read(tmp_path, "<<: {a: b}\nc: d\n").value == {"<<": {"a": "b"}, "c": "d"}


@settings(max_examples=300, deadline=None)
@given(
    st.one_of(
        st.binary(max_size=60),
        st.text(max_size=60).map(lambda text: text.encode("utf-8", "surrogatepass")),
        st.text("ab:-[]{}#&*!|>'\"\n \t,?%@`~\u2028\x85é", max_size=60).map(str.encode),
    )
)
@example(b'a: "\\ud800"')
@example(b'"\\x00"')
@example(b"? ? ? a")
@example("é\x07: x".encode())
@example(b"%YAML 9.9\n---\na")
def test_any_bytes_give_a_value_or_faults_in_the_file(raw):
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "x.yaml"
        path.write_bytes(raw)
        document = read_yaml(path, "x.yaml")
    assert (document.value is None) == bool(document.faults)
    lines = re.split("\r\n|[\n\r\x85\u2028\u2029]", raw.decode("utf-8", "replace"))
    for fault in document.faults:
        assert 1 <= fault.line <= len(lines) + 1
        assert 1 <= fault.column <= len(raw) + 1
