"""Checks what braces and links in entries' texts mean, and what no text may hold."""

from __future__ import annotations

import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from understave.entries.prose import BRACES, Filled, linked_ids, read_brace, remarks
from understave.theory.tones import SpellingError, Tone, parse_degree


@pytest.mark.parametrize(
    ("content", "filled"),
    [
        ("1", Filled("tone", degree=parse_degree("1"))),
        ("b3", Filled("tone", degree=parse_degree("b3"))),
        ("bb7", Filled("tone", degree=parse_degree("bb7"))),
        ("#11", Filled("tone", degree=parse_degree("#11"))),
        ("symbol", Filled("symbol")),
        ("symbol/3", Filled("symbol", degree=parse_degree("3"))),
        ("name", Filled("name")),
        ("G", Filled("note", tone=Tone("G"))),
        ("Bb", Filled("note", tone=Tone("B", -1))),
        ("F##", Filled("note", tone=Tone("F", 2))),
        ("Gadd9", Filled("chord", text="Gadd9")),
        ("Am7/G", Filled("chord", text="Am7/G")),
        ("N.C.", Filled("chord", text="N.C.")),
        ("chord C", Filled("chord", text="C")),
        ("chord Bb", Filled("chord", text="Bb")),
    ],
)
def test_a_brace_is_a_degree_a_note_a_symbol_or_a_word(content, filled):
    assert read_brace(content) == filled


@pytest.mark.parametrize(
    "content",
    [
        "",
        " ",
        "simbol",
        "symbol/",
        "symbol/x",
        "14",
        "#6",
        "H",
        "Czz",
        "symbol/ 3",
        "names",
        "chord",
        "chord ",
        "chord H",
    ],
)
def test_any_other_brace_is_refused(content):
    with pytest.raises(SpellingError):
        read_brace(content)


def test_doubled_braces_are_no_braces():
    found = [match[1] for match in BRACES.finditer("{{symbol}} {b3} {{ {5} }}")]
    assert [content for content in found if content is not None] == ["b3", "5"]


def test_links_are_found_with_their_place():
    text = "See [minor](minor), [a site](https://x.example/) and [two\nlines](dominant-seventh)."
    assert list(linked_ids(text)) == [(text.index("(minor") + 1, "minor"), (text.index("(dom") + 1, "dominant-seventh")]


@pytest.mark.parametrize(
    "text",
    [
        "a < b and b > a",
        "1 & 2 & 3",
        "a - b",
        "*soft* **loud** `code`",
        "2 # 3",
        "A line\nthat goes on",
        "x = y",
        "5 <3 6",
    ],
)
def test_ordinary_text_has_no_remarks(text):
    assert list(remarks(text, rooted=False)) == []


def test_remarks_stand_where_the_thing_stands():
    text = "A text with <b>, &amp; and {nope}."
    assert sorted(remark.offset for remark in remarks(text, rooted=True)) == [
        text.index("<b>"), text.index("&amp;"), text.index("{nope}"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("brace", "allowed"), [("{b3}", False), ("{symbol}", False), ("{name}", False), ("{G}", True), ("{G7}", True)]
)
def test_only_rooted_entries_may_speak_of_degrees(brace, allowed):
    assert list(remarks(brace, rooted=True)) == []
    assert (list(remarks(brace, rooted=False)) == []) is allowed


@given(st.text())
def test_any_text_is_remarked_upon_without_raising(text):
    for remark in remarks(text, rooted=True):
        assert 0 <= remark.offset < max(1, len(text))
    for offset, name in linked_ids(text):
        assert text[offset : offset + len(name)] == name


LONG = """
import sys
from pathlib import Path
from understave.entries.reading import read_glossary
read_glossary(Path(sys.argv[1]))
"""


@pytest.mark.parametrize("piece", ["[", "[a](", "![", "{", "{{", "<", "&", "[a]", "*_", "`"])
def test_a_long_text_takes_no_long_time_to_check(piece, small_content, write_files):
    """In a process of its own, so that what takes hours fails in seconds."""
    text = piece * (50_000 // len(piece))
    term = small_content["terms/measure.yaml"].replace("Count from", f"Count {text} from")
    content = write_files({"terms/measure.yaml": term})
    try:
        done = subprocess.run([sys.executable, "-c", LONG, content], timeout=4, check=False, capture_output=True)
    except subprocess.TimeoutExpired:
        pytest.fail(f"checking 50,000 characters of {piece!r} takes more than 4 seconds")
    assert done.returncode == 0, done.stderr.decode()
