"""Checks that every fault of an entry is told in one line, at its place, and that all are told in one run.

The table follows what is settled about files: what is a fault, where it is, and what was expected there.
"""

from __future__ import annotations

import random
import re
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from understave.entries.faults import Fault, Faulty, nearest, shown
from understave.entries.kept import load_glossary
from understave.entries.reading import read_glossary

MAJOR, MINOR = "chord-symbols/major.yaml", "chord-symbols/minor.yaml"
ADDED, SLASH = "added-tones/added-ninth.yaml", "slash-chords/first-inversion.yaml"
BY_PLACE, BY_VALUE = "counting-systems/e-and-a.yaml", "counting-systems/kodaly.yaml"
FIGURE, TERM = "rhythm-figures/quarter-notes.yaml", "terms/measure.yaml"

DEGREES = "one of 1 b2 2 b3 3 4 #4 b5 5 #5 b6 6 bb7 b7 7 b9 9 #9 11 #11 b13 13"
FOLDERS = "a folder of entries: chord-symbols, added-tones, slash-chords, counting-systems, rhythm-figures, terms"
BRACE = "a degree, symbol, name, a note or a chord symbol in braces"
QUOTES = "text, which YAML takes for a comment here"
LINK = "the id of an entry, or an https:// address"


class Case(NamedTuple):
    """A valid file (``path``) with ``old`` replaced by ``new``, and the one fault of it, without its path."""

    name: str
    path: str
    old: str
    new: str
    fault: str


CASES = [
    # the form of the file
    Case(
        "tab in front of a key",
        TERM,
        "also_called",
        "\talso_called",
        "2:1: a tab; spaces: YAML is indented with spaces",
    ),
    Case("tab in a text", TERM, "  A pickup", "\tA pickup", "7:1: a tab; spaces: YAML is indented with spaces"),
    Case("key twice", TERM, "also_called: [", "name: [", "2:1: the key 'name' a second time; each key once"),
    Case("key twice further in", BY_VALUE, '"8 8"', '"4"', "5:3: the key '4' a second time; each key once"),
    Case("a second document", TERM, "sources", "---\nsources", "8:1: a second document; one document a file"),
    Case("alias", TERM, '"bar"', "*bar", "2:15: an alias *bar; the value written out"),
    Case("anchor", TERM, '"bar"', '&bar "bar"', "2:15: an anchor &bar; no anchors"),
    Case("anchor of a list", TERM, '["bar"]', '&bars ["bar"]', "2:14: an anchor &bars; no anchors"),
    Case("tag of YAML's own", TERM, "name: ", "name: !!str ", "1:7: a tag 'tag:yaml.org,2002:str'; no tags"),
    Case("tag of another's", TERM, "name: ", "name: !thing ", "1:7: a tag '!thing'; no tags"),
    Case("deep nesting", TERM, '["bar"]', "[" * 14 + "]" * 14, "2:25: nesting too deep; at most 12 levels"),
    Case(
        "a key that is a list",
        TERM,
        "also_called",
        "? [a]\n: b\nalso_called",
        "2:3: a key that is no text; a plain word as key",
    ),
    Case(
        "colon in a bare text",
        TERM,
        "name: measure",
        "name: a: b",
        "1:8: mapping values are not allowed in this context; valid YAML; a text with ': ' or ' #' in it needs quotes",
    ),
    Case("control character", TERM, "Count", "Count\x07", "5:8: a character that YAML doesn't allow; plain text"),
    Case(
        "control character after an accent",
        TERM,
        "Count",
        "Cöunt\x07",
        "5:8: a character that YAML doesn't allow; plain text",
    ),
    # sharps that YAML takes for comments
    Case(
        "unquoted sharp after [",
        MAJOR,
        '["1", "3", "5"]',
        '[#11, "5"]',
        f'3:11: an unquoted #11; {QUOTES}; put quotes round "#11"',
    ),
    Case("unquoted sharp after ,", MAJOR, '"5"]', "#11]", f'3:21: an unquoted #11; {QUOTES}; put quotes round "#11"'),
    Case(
        "unquoted sharp after -",
        MAJOR,
        ' ["1", "3", "5"]',
        '\n  - "1"\n  - #11\n  - "5"',
        f'5:5: an unquoted #11; {QUOTES}; put quotes round "#11"',
    ),
    Case("unquoted sharp in written", MAJOR, '"M"]', "#5]", f'2:22: an unquoted #5; {QUOTES}; put quotes round "#5"'),
    # keys and types
    Case(
        "unknown key",
        TERM,
        "also_called",
        "also_calld",
        "2:1: the key 'also_calld'; one of name, summary, text, asked_as, easily_confused_with, sources, since, "
        "corrected, also_called, musicxml, example; nearest: 'also_called'",
    ),
    Case("unknown key further in", MINOR, 'by: "jazz charts"', 'by: "x", bi: "y"', "5:32: the key 'bi'; one of as, by"),
    Case("missing key", TERM, 'sources: ["common practice"]\n', "", "1:1: no 'sources'; the key 'sources'"),
    Case("missing key under a comment", TERM, "name: measure", "# a comment", "1:1: no 'name'; the key 'name'"),
    Case("missing key further in", MINOR, ', by: "jazz charts"', "", "5:13: no 'by'; the key 'by'"),
    Case("list for a text", TERM, "name: measure", "name: [measure]", "1:7: a list; text"),
    Case("mapping for a text", TERM, "name: measure", "name: {a: b}", "1:7: a mapping; text"),
    Case("text for a list", TERM, '["bar"]', '"bar"', "2:14: 'bar'; a list in brackets; nearest: ['bar']"),
    Case("text for a mapping", MINOR, '{as: "-", by: "jazz charts"}', '"-"', "5:13: '-'; a mapping of keys to values"),
    Case("no sources", TERM, '["common practice"]', "[]", "8:10: too few items; at least 1"),
    Case(
        "integer for a text",
        TERM,
        "name: measure",
        "name: 4",
        "1:7: a number, '4'; text in quotes; put quotes round \"4\"",
    ),
    Case(
        "decimal for a text",
        TERM,
        "name: measure",
        "name: 4.5",
        "1:7: a number, '4.5'; text in quotes; put quotes round \"4.5\"",
    ),
    Case(
        "date for a text",
        TERM,
        "name: measure",
        "name: 2026-03-14",
        "1:7: a date, '2026-03-14'; text in quotes; put quotes round \"2026-03-14\"",
    ),
    Case(
        "boolean for a text",
        TERM,
        "name: measure",
        "name: yes",
        "1:7: true or false, 'yes'; text in quotes; put quotes round \"yes\"",
    ),
    Case("nothing for a text", TERM, "name: measure", "name:", "1:6: nothing; text"),
    Case("blank text", TERM, "name: measure", 'name: " "', "1:7: an empty text; some words"),
    Case(
        "number in a list of texts", TERM, '"bar"', "7", "2:15: a number, '7'; text in quotes; put quotes round \"7\""
    ),
    # degrees and written forms
    Case("degree that doesn't exist", MAJOR, '"5"]', '"#6"]', f"3:21: the degree '#6'; {DEGREES}; nearest: '6'"),
    Case("degree above 13", MAJOR, '"5"]', '"15"]', f"3:21: the degree '15'; {DEGREES}; nearest: '5'"),
    Case(
        "degrees out of order",
        MAJOR,
        '"1", "3", "5"',
        '"1", "5", "3"',
        "3:10: degrees out of order; the root first, then upwards",
    ),
    Case(
        "degrees without a root", MAJOR, '"1", "3"', '"3"', "3:10: degrees out of order; the root first, then upwards"
    ),
    Case("degree twice", MAJOR, '"3", "5"]', '"3", "3"]', "3:10: a degree twice; each degree once"),
    Case("one degree", MAJOR, '"1", "3", "5"', '"1"', "3:10: too few items; at least 2"),
    Case(
        "added tone that isn't there", ADDED, 'adds: "9"', 'adds: "11"', "4:7: adds 11; a degree that stands in degrees"
    ),
    Case(
        "form that reads as another chord",
        MAJOR,
        '"M"]',
        '"m7"]',
        "2:22: the form 'm7', which reads as 1 b3 5 b7; a form of 1 3 5",
    ),
    Case("form that doesn't read", MAJOR, '"M"]', '"zz"]', "2:22: the form 'zz'; what may stand after a root"),
    Case(
        "form that reads in part",
        MINOR,
        '"min"]',
        '"m7zz"]',
        "2:16: the form 'm7zz'; what may stand after a root; nearest: 'm7'",
    ),
    Case(
        "form twice in one file",
        MINOR,
        '"min"]',
        '"m"]',
        "2:16: the form 'm'; what content/chord-symbols/minor.yaml doesn't claim already",
    ),
    Case(
        "second sense that a form hasn't",
        MINOR,
        'as: "-"',
        'as: "7"',
        "5:13: the form '7'; a form that can mean 1 b3 5",
    ),
    Case("second sense of no form", MINOR, 'as: "-"', 'as: "zz"', "5:13: the form 'zz'; a form that can mean 1 b3 5"),
    Case(
        "unknown MusicXML kind",
        MAJOR,
        "musicxml: major",
        "musicxml: majr",
        "4:11: the kind 'majr'; a kind of MusicXML 4.0; nearest: 'major'",
    ),
    Case(
        "MusicXML kind of another",
        MINOR,
        "musicxml: minor",
        "musicxml: major",
        "4:11: the kind 'major'; what content/chord-symbols/major.yaml doesn't claim already",
    ),
    # prose
    Case("raw HTML", MAJOR, "has no sign", "has <br> no sign", "9:27: raw HTML; plain Markdown"),
    Case("HTML comment", MAJOR, "has no sign", "has <!-- no --> sign", "9:27: raw HTML; plain Markdown"),
    Case("HTML entity", MAJOR, "has no sign", "has&nbsp;no sign", "9:26: an HTML entity; the character itself"),
    Case("script link", MAJOR, "(minor)", "(javascript:alert)", f"7:47: a link to 'javascript:alert'; {LINK}"),
    Case(
        "script link in capitals", MAJOR, "(minor)", "(JavaScript:alert)", f"7:47: a link to 'JavaScript:alert'; {LINK}"
    ),
    Case("data link", MAJOR, "(minor)", "(data:text/html,x)", f"7:47: a link to 'data:text/html,x'; {LINK}"),
    Case("plain http link", MAJOR, "(minor)", "(http://x.example/)", f"7:47: a link to 'http://x.example/'; {LINK}"),
    Case("link to a host", MAJOR, "(minor)", "(//x.example/)", f"7:47: a link to '//x.example/'; {LINK}"),
    Case("link reference", MAJOR, "The symbol", "[x]: minor", "9:3: a link reference; the link written in place"),
    Case("heading", MAJOR, "The symbol", "## The symbol", "9:3: a heading; paragraphs: the page has its own headings"),
    Case(
        "underlined heading",
        MAJOR,
        " has no sign after its letter.",
        "\n  =====",
        "10:3: a heading or rule; paragraphs",
    ),
    Case("picture", MAJOR, "The [", "The ![", "7:39: a picture; no pictures: the page draws its own"),
    Case("direction mark", TERM, "Count", "\u202eCount", "5:3: a direction mark; text without control characters"),
    Case("unknown brace", MAJOR, "{symbol}", "{simbol}", f"9:14: {{simbol}}; {BRACE}"),
    Case("empty brace", MAJOR, "{symbol}", "{}", f"9:14: {{}}; {BRACE}"),
    Case("symbol over no degree", MAJOR, "{symbol}", "{symbol/#6}", f"9:14: {{symbol/#6}}; {BRACE}"),
    Case("unknown brace in a summary", MAJOR, "A triad", "A {nope} triad", f"5:12: {{nope}}; {BRACE}"),
    Case(
        "degree where there is no root",
        TERM,
        "Count from",
        "Count {b3} from",
        "5:9: {b3}; a fixed note or symbol: this kind of entry has no root",
    ),
    Case("unknown link", MAJOR, "(minor)", "(minr)", "7:47: a link to 'minr'; the id of an entry; nearest: 'minor'"),
    Case(
        "link to a path",
        MAJOR,
        "(minor)",
        "(/minor/)",
        "7:47: a link to '/minor/'; the id of an entry; nearest: 'minor'",
    ),
    Case(
        "unknown confusion",
        MAJOR,
        "with: [minor]",
        "with: [minr]",
        "10:24: the id 'minr'; the id of another entry; nearest: 'minor'",
    ),
    Case(
        "confused with itself",
        TERM,
        'also_called: ["bar"]',
        "easily_confused_with: [measure]",
        "2:24: the id 'measure'; the id of another entry",
    ),
    # rhythm figures
    Case(
        "short measure",
        FIGURE,
        '"4 4 4 4"',
        '"4 4 4"',
        "3:9: measure 1 is 1/4 of a whole note too short; a measure of 4/4",
    ),
    Case(
        "long measure",
        FIGURE,
        '"4 4 4 4"',
        '"4 4 4 2"',
        "3:9: measure 1 is 1/4 of a whole note too long; a measure of 4/4",
    ),
    Case(
        "second measure",
        FIGURE,
        '"4 4 4 4"',
        '"4 4 4 4 | 2."',
        "3:9: measure 2 is 1/4 of a whole note too short; a measure of 4/4",
    ),
    Case(
        "unknown token",
        FIGURE,
        '"4 4 4 4"',
        '"4 4 4 q"',
        "3:9: the token 'q', number 4 in the rhythm; recip tokens such as 4 8. 12 4r, ties [ _ ], bar lines |",
    ),
    Case(
        "open tie",
        FIGURE,
        '"4 4 4 4"',
        '"4 4 4 [4"',
        "3:9: a tie left open at '[4', token 4; each tie closed by ] on the next note",
    ),
    Case(
        "tie to nothing",
        FIGURE,
        '"4 4 4 4"',
        '"4 4 4 4]"',
        "3:9: a tie to nothing at '4]', token 4; [ on the note before",
    ),
    Case("empty rhythm", FIGURE, '"4 4 4 4"', '""', "3:9: an empty rhythm; at least one note"),
    Case("unknown meter", FIGURE, '"4/4"', '"4/5"', "2:8: the meter '4/5'; a meter such as 4/4 or 2+3/8"),
    Case(
        "unknown change of meter", FIGURE, '4 4"', '4 4 *M3/9 4"', "3:9: the meter '3/9'; a meter such as 4/4 or 2+3/8"
    ),
    # counting systems
    Case("too few words", BY_PLACE, '"&", "a"]', '"&"]', "4:7: 3 words; 4 words for a beat in 4"),
    Case("too many words", BY_PLACE, '["n", "&"]', '["n", "&", "a"]', "3:6: 3 words; 2 words for a beat in 2"),
    Case("unknown way", BY_PLACE, "position", "place", "2:5: 'place'; one of position, value"),
    Case(
        "unknown beat",
        BY_PLACE,
        "summary",
        'beats: {"3/4": "bar"}\nsummary',
        "5:16: the beat 'bar'; one of sixteenth, eighth, "
        "dotted-eighth, quarter, dotted-quarter, half, dotted-half, whole, measure",
    ),
    Case("value without words", BY_VALUE, '"ti ti"', '"ti"', "5:10: 1 words for '8 8'; a word for each note"),
    Case(
        "value that is no length",
        BY_VALUE,
        '"8 8"',
        '"8 x"',
        "5:10: the value 'x'; a recip token such as 4, 8. or 12, with r for a rest",
    ),
    Case(
        "by value without values",
        BY_PLACE,
        "by: position",
        "by: value",
        "2:5: by: value; values, and none of two, three, four, six and beats",
    ),
    Case(
        "by position with values",
        BY_VALUE,
        "by: value",
        "by: position",
        "2:5: by: position; at least one of two, three, four, six, and no values",
    ),
    Case(
        "words for values", BY_VALUE, '\n  "4": "ta"\n  "8 8": "ti ti"', " ta", "3:9: 'ta'; a mapping of keys to values"
    ),
    # slash chords
    Case(
        "unknown chord type",
        SLASH,
        "chord: major",
        "chord: majr",
        "2:8: the id 'majr'; the id of a chord type; nearest: 'major'",
    ),
    Case(
        "chord of another kind",
        SLASH,
        "chord: major",
        "chord: measure",
        "2:8: the id 'measure'; the id of a chord type",
    ),
    Case("bass that is no degree", SLASH, 'bass: "3"', 'bass: "8"', f"3:7: the degree '8'; {DEGREES}"),
    Case(
        "bass of no example",
        SLASH,
        'bass: "3"',
        'bass: "5"',
        "4:10: 'C C/E'; a major chord over its 5 among the symbols",
    ),
    Case(
        "example that isn't the pattern",
        SLASH,
        "C C/E",
        "C G",
        "4:10: 'C G'; a major chord over its 3 among the symbols",
    ),
    Case(
        "example that doesn't read",
        SLASH,
        "C C/E",
        "C Czz",
        "4:10: the symbol 'Czz'; a readable chord symbol; nearest: 'C'",
    ),
    # names, places, sources, what was left for later
    Case(
        "a name that reads as another chord",
        MINOR,
        "name: minor",
        "name: minor seventh",
        "1:7: the name 'minor seventh', which reads as 1 b3 5 b7; a name of 1 b3 5",
    ),
    Case(
        "two words for one place",
        BY_PLACE,
        '"e", "&", "a"',
        '"e", "and", "a"',
        "4:18: 'and' in four where two says '&' at the same place of the beat; one word for one place; nearest: '&'",
    ),
    Case(
        "two words for the beat",
        BY_PLACE,
        'four: ["n"',
        'four: ["one"',
        "4:8: 'one' in four where two says 'n' at the same place of the beat; one word for one place; nearest: 'n'",
    ),
    Case(
        "two words for one value",
        BY_VALUE,
        '"8 8": "ti ti"',
        '"8  8": "ti di"\n  "8 8": "ti ti"',
        "6:10: words for '8 8', which '8 8' has words for; one word for one value",
    ),
    Case(
        "a source in capitals",
        TERM,
        '"common practice"',
        '"Common practice"',
        "8:11: the source 'Common practice'; a source spelled as in other entries; nearest: 'common practice'",
    ),
    Case(
        "a source with a slip",
        TERM,
        '"common practice"',
        '"common practise"',
        "8:11: the source 'common practise'; a source spelled as in other entries; nearest: 'common practice'",
    ),
    Case(
        "a place that was left for later",
        TERM,
        "Count from one again.",
        "Count from one again. TODO",
        "5:25: 'TODO', left for later; words of your own in its place",
    ),
]


def faults_of(content: Path) -> list[str]:
    return [str(fault) for fault in sorted(read_glossary(content)[1])]


def changed(files: Mapping[str, str], path: str, old: str, new: str) -> dict[str, str]:
    assert files[path].count(old) == 1, f"{old!r} must stand in {path} once"
    return {**files, path: files[path].replace(old, new)}


def test_a_line_has_nothing_that_is_not_printed() -> None:
    fault = Fault("a\u202e.yaml", 1, 1, "the key 'x\U00018d09'", "a\nb")
    assert str(fault) == "a\\u202e.yaml:1:1: the key 'x\\U00018d09'; a b"


def test_the_small_content_has_no_faults(small_content, write_files):
    assert faults_of(write_files(small_content)) == []


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_a_fault_is_told_once_and_in_its_place(case, small_content, write_files):
    files = changed(small_content, case.path, case.old, case.new)
    if case.path == MAJOR and "slash-chords/first-inversion.yaml" in files:
        # what else comes of a broken chord type is asked below
        del files[SLASH]
    assert faults_of(write_files(files)) == [f"content/{case.path}:{case.fault}"]


def test_sources_of_their_own_are_no_slips(small_content, write_files):
    own = ("common practice in early classes", "common sense", "Smith, Rhythm, vol. 2", "Practice, common", "x")
    files = {
        **small_content,
        **{
            f"terms/term-{index}.yaml": small_content[TERM].replace('"common practice"', f'"{text}"')
            for index, text in enumerate((*own, "Smith, Rhythm, vol. 1", "Smith, Rhythm, vol. 1"))
        },
    }
    assert faults_of(write_files(files)) == []


ALL_AT_ONCE = """\
name: 4
written: ["m", "zz"]
degrees: ["1", "b4", "5"]
summary: Play {H}.
text: |
  See [this](nowhere).

  TODO
easily_confused_with: [maior]
sources: [common practise]
other: x
"""


def test_all_faults_of_a_file_are_told_in_one_run(small_content, write_files):
    """Whatever is wrong with some of its fields, the others are looked at."""
    found = faults_of(write_files({**small_content, MINOR: ALL_AT_ONCE}))
    places = [line.split(":")[1:3] for line in found if line.startswith(f"content/{MINOR}")]
    assert [tuple(map(int, place)) for place in places] == [
        (1, 7), (2, 16), (3, 16), (4, 15), (6, 14), (8, 3), (9, 24), (10, 11), (11, 1),
    ]  # fmt: skip


WHOLE_FILES = {
    "empty file": ("terms/bar.yaml", b"", "content/terms/bar.yaml:1:1: an empty file; an entry"),
    "only a comment": ("terms/bar.yaml", b"# nothing\n", "content/terms/bar.yaml:1:1: an empty file; an entry"),
    "a list": (
        "terms/bar.yaml",
        b"- a\n",
        "content/terms/bar.yaml:1:1: a list or a bare text; a mapping of keys to values",
    ),
    "a bare text": (
        "terms/bar.yaml",
        b"bar\n",
        "content/terms/bar.yaml:1:1: a list or a bare text; a mapping of keys to values",
    ),
    "Latin-1": (
        "terms/bar.yaml",
        "name: bar\nsummary: Prélude\n".encode("latin-1"),
        "content/terms/bar.yaml:2:12: bytes that are no UTF-8; a file saved as UTF-8",
    ),
    "UTF-16": (
        "terms/bar.yaml",
        "name: bar\n".encode("utf-16"),
        "content/terms/bar.yaml:1:1: bytes that are no UTF-8; a file saved as UTF-8",
    ),
    "too large": (
        "terms/bar.yaml",
        b"#" * 50_001,
        "content/terms/bar.yaml:1:1: 50001 bytes; at most 50000 bytes",
    ),
    "the ending .yml": (
        "terms/bar.yml",
        b"x",
        "content/terms/bar.yml:1:1: the ending '.yml'; the ending .yaml; nearest: bar.yaml",
    ),
    "another ending": ("terms/bar.txt", b"x", "content/terms/bar.txt:1:1: the ending '.txt'; the ending .yaml"),
    "no ending": ("terms/bar", b"x", "content/terms/bar:1:1: the ending ''; the ending .yaml"),
    "unknown folder": (
        "term/bar.yaml",
        b"x",
        f"content/term:1:1: an unknown folder 'term'; {FOLDERS}; nearest: 'terms'",
    ),
    "file beside the folders": ("bar.yaml", b"x", f"content/bar.yaml:1:1: an unknown file 'bar.yaml'; {FOLDERS}"),
    "folder in a folder": (
        "terms/more/bar.yaml",
        b"x",
        "content/terms/more:1:1: a folder 'more'; entries only, one file each",
    ),
    "capitals": (
        "terms/Bar.yaml",
        b"x",
        "content/terms/Bar.yaml:1:1: the id 'Bar'; small letters a-z, digits and single hyphens; nearest: 'bar'",
    ),
    "underscore": (
        "terms/bar_line.yaml",
        b"x",
        "content/terms/bar_line.yaml:1:1: the id 'bar_line'; small letters a-z, digits and single hyphens; "
        "nearest: 'bar-line'",
    ),
    "accent": (
        "terms/mélodie.yaml",
        b"x",
        "content/terms/mélodie.yaml:1:1: the id 'mélodie', in which one letter is U+00E9; "
        "small letters a-z, digits and single hyphens; nearest: 'melodie'",
    ),
    "flat-": (
        "terms/flat-sign.yaml",
        b"x",
        "content/terms/flat-sign.yaml:1:1: the id 'flat-sign'; an id that starts with no note name, flat or sharp",
    ),
    "sharp-": (
        "chord-symbols/sharp-sign.yaml",
        b"x",
        "content/chord-symbols/sharp-sign.yaml:1:1: the id 'sharp-sign'; an id that starts with no note name, flat or "
        "sharp",
    ),
    "a-": (
        "terms/a-bar.yaml",
        b"x",
        "content/terms/a-bar.yaml:1:1: the id 'a-bar'; an id that starts with no note name, flat or sharp",
    ),
    "a note name alone": (
        "chord-symbols/g.yaml",
        b"x",
        "content/chord-symbols/g.yaml:1:1: the id 'g'; an id that starts with no note name, flat or sharp",
    ),
}


@pytest.mark.parametrize("name", WHOLE_FILES)
def test_a_file_or_folder_that_is_none_of_ours_is_a_fault(name, small_content, write_files):
    path, content, fault = WHOLE_FILES[name]
    assert faults_of(write_files({**small_content, path: content})) == [fault]


def test_an_id_is_taken_once_over_all_kinds(small_content, write_files):
    files = {**small_content, "terms/first-inversion.yaml": small_content[TERM]}
    assert faults_of(write_files(files)) == [
        "content/terms/first-inversion.yaml:1:1: the id 'first-inversion' a second time; "
        "an id that content/slash-chords/first-inversion.yaml hasn't taken"
    ]


def test_a_written_form_is_claimed_once_over_chord_symbols_and_added_tones(small_content, write_files):
    files = changed(small_content, MINOR, '"min"]', '"min", "add9"]')
    assert faults_of(write_files(files)) == [
        "content/chord-symbols/minor.yaml:2:23: the form 'add9'; what content/added-tones/added-ninth.yaml doesn't "
        "claim already",
        "content/chord-symbols/minor.yaml:2:23: the form 'add9', which reads as 1 3 5 9; a form of 1 b3 5",
    ]


def test_degrees_belong_to_one_entry(small_content, write_files):
    twin = small_content[ADDED].replace('"add9"', '"(add9)"')
    assert faults_of(write_files({**small_content, "added-tones/added-tone-nine.yaml": twin})) == [
        "content/added-tones/added-tone-nine.yaml:3:10: the degrees '1 3 5 9'; "
        "what content/added-tones/added-ninth.yaml doesn't claim already"
    ]


def test_a_bom_at_the_very_start_is_tolerated(small_content, write_files):
    files = {**small_content, TERM: b"\xef\xbb\xbf" + small_content[TERM].encode()}
    assert faults_of(write_files(files)) == []
    files = {**small_content, TERM: b"\xef\xbb\xbf" + small_content[TERM].replace('"bar"', "7").encode()}
    assert faults_of(write_files(files)) == [
        "content/terms/measure.yaml:2:15: a number, '7'; text in quotes; put quotes round \"7\""
    ]


def test_windows_line_ends_keep_the_place(small_content, write_files):
    broken = small_content[MAJOR].replace("{symbol}", "{simbol}").replace("\n", "\r\n")
    assert faults_of(write_files({**small_content, MAJOR: broken})) == [
        f"content/chord-symbols/major.yaml:9:14: {{simbol}}; {BRACE}"
    ]


def test_doubled_braces_stay_text(small_content, write_files):
    assert faults_of(write_files(changed(small_content, MAJOR, "{symbol}", "{{simbol}}"))) == []


def test_written_forms_and_degrees_need_no_quotes(small_content, write_files):
    files = changed(small_content, MAJOR, '["1", "3", "5"]', "[1, 3, 5]")
    files["chord-symbols/six-nine.yaml"] = (
        small_content[MINOR]
        .replace("name: minor", "name: six-nine")
        .replace('["m", "min"]', "[6/9, 69]")
        .replace('["1", "b3", "5"]', "[1, 3, 5, 6, 9]")
        .replace("musicxml: minor\n", "")
        .replace('also_read: [{as: "-", by: "jazz charts"}]\n', "")
        .replace("{b3}", "{3}")
    )
    files["chord-symbols/no-name.yaml"] = (
        files["chord-symbols/six-nine.yaml"]
        .replace("name: six-nine", "name: dominant seventh")
        .replace("[6/9, 69]", "[7]")
        .replace("[1, 3, 5, 6, 9]", "[1, 3, 5, b7]")
    )
    assert faults_of(write_files(files)) == []


@pytest.mark.parametrize(
    "place",
    ["musicxml: major  # as in m7, #11 and so on", "# [#11, and - #9\nmusicxml: major", "musicxml: major # (a,#b)"],
)
def test_a_sharp_in_a_comment_is_no_fault(place, small_content, write_files):
    assert faults_of(write_files(changed(small_content, MAJOR, "musicxml: major", place))) == []


@pytest.mark.parametrize(
    "link",
    [
        "[x](javascript:alert(1))",
        '[x](javascript:alert "x")',
        "[x]( javascript:alert )",
        "[a [b] c](javascript:x)",
        "[x](<javascript:alert(1)>)",
        "[x](\n  javascript:alert)",
        "<javascript:alert>",
        "[x](data:text/html,a(b))",
        "[`]`](javascript:x)",
        "[x](vbscript:x)",
        "[x](java\\script:x)",
    ],
)
def test_a_dangerous_link_is_a_fault_however_it_is_written(link, small_content, write_files):
    files = changed(small_content, TERM, "Count", f"Count {link}")
    found = faults_of(write_files(files))
    assert len(found) >= 1
    assert all(re.match(r"content/terms/measure\.yaml:[56]:\d+: ", fault) for fault in found)


def test_a_link_with_a_title_is_held_against_the_ids_too(small_content, write_files):
    found = faults_of(write_files(changed(small_content, MAJOR, "(minor)", '(minr "a title")')))
    assert [fault.partition(": ")[0] for fault in found] == ["content/chord-symbols/major.yaml:7:47"]


@pytest.mark.parametrize("brace", ["{symbol", "{b3\n  }", "{symbol/3"])
def test_a_brace_left_open_is_a_fault(brace, small_content, write_files):
    del small_content[SLASH]
    found = faults_of(write_files(changed(small_content, MAJOR, "{symbol}", brace)))
    assert "content/chord-symbols/major.yaml:9:14" in [fault.partition(": ")[0] for fault in found]


def test_a_line_that_starts_with_a_sharp_would_be_a_heading(small_content, write_files):
    """Markdown makes a heading of it and drops the sharp: "#11 is …" would read "11 is …"."""
    found = faults_of(write_files(changed(small_content, TERM, "A pickup", "#11 is a pickup")))
    assert [fault.partition(": ")[0] for fault in found] == ["content/terms/measure.yaml:7:3"]


def test_a_fault_in_a_wider_block_has_its_own_column(small_content, write_files):
    files = changed(small_content, TERM, "  Count from one again.\n\n  A pickup", "    Count.\n\n    A {nope} pickup")
    assert faults_of(write_files(files)) == [f"content/terms/measure.yaml:7:7: {{nope}}; {BRACE}"]


def test_a_fault_in_a_folded_block_stands_in_its_own_line(small_content, write_files):
    text = "text: >\n  Count\n  from one.\n\n  A {nope} pickup"
    files = changed(small_content, TERM, "text: |\n  Count from one again.\n\n  A pickup", text)
    assert faults_of(write_files(files)) == [f"content/terms/measure.yaml:8:5: {{nope}}; {BRACE}"]


@pytest.mark.parametrize(
    ("old", "new"), [("name: major", "name: 4"), ("musicxml", "\tmusicxml"), ("degrees", "degres")]
)
def test_one_broken_file_makes_no_faults_in_others(old, new, small_content, write_files):
    """The slash chord names the broken chord type, and the chord type is there."""
    found = faults_of(write_files(changed(small_content, MAJOR, old, new)))
    assert found
    assert {fault.partition(":")[0] for fault in found} == {"content/chord-symbols/major.yaml"}


def test_a_link_to_another_file_is_a_fault(small_content, write_files):
    content = write_files(small_content)
    (content / "terms" / "bar.yaml").symlink_to("measure.yaml")
    assert faults_of(content) == ["content/terms/bar.yaml:1:1: a link to another file; the file itself"]


def test_a_missing_folder_of_content_is_a_fault(in_folder):
    assert faults_of(Path("content")) == ["content:1:1: no such folder; a folder of entries"]


def test_all_faults_of_all_files_come_in_one_run_and_in_order(small_content, write_files):
    files = changed(small_content, MINOR, '"5"]', '"#6"]')
    files = changed(files, TERM, "name: measure", "name: 4")
    files = changed(files, TERM, '"bar"', "7")
    files = changed(files, FIGURE, "meter", "metre")
    content = write_files({**files, "terms/Bar.yml": "x"})
    found = faults_of(content)
    places = [re.match(r"(.*?):(\d+):(\d+): ", fault) for fault in found]
    assert [match and match[0] for match in places] == [
        "content/chord-symbols/minor.yaml:3:22: ",
        "content/rhythm-figures/quarter-notes.yaml:1:1: ",
        "content/rhythm-figures/quarter-notes.yaml:2:1: ",
        "content/terms/Bar.yml:1:1: ",
        "content/terms/measure.yaml:1:7: ",
        "content/terms/measure.yaml:2:15: ",
    ]
    with pytest.raises(Faulty) as raised:
        load_glossary(content)
    assert list(map(str, raised.value.faults)) == found
    assert str(raised.value) == "\n".join(found)


def test_a_fault_is_one_line_whatever_the_file_is_called(small_content, write_files):
    found = faults_of(write_files({**small_content, "terms/bar\nline.yaml": small_content[TERM]}))
    assert len(found) == 1
    assert len(found[0].splitlines()) == 1


def test_a_fault_is_one_line_whatever_stood_there(small_content, write_files):
    found = faults_of(write_files(changed(small_content, TERM, '["bar"]', '"a\\n\\tb\\u2028c"')))
    assert len(found) == 1
    assert len(found[0].splitlines()) == 1


def test_faults_sort_by_file_line_and_column():
    faults = [
        Fault("b", 1, 1, "x", "y"),
        Fault("a", 10, 1, "x", "y"),
        Fault("a", 9, 2, "x", "y"),
        Fault("a", 9, 10, "x", "y"),
    ]
    shuffled = faults * 2
    random.Random(7).shuffle(shuffled)
    assert [str(fault) for fault in Faulty(shuffled).faults] == [
        "a:9:2: x; y",
        "a:9:10: x; y",
        "a:10:1: x; y",
        "b:1:1: x; y",
    ]


def test_the_hint_names_the_nearest_word_or_none():
    assert nearest("mesure", ["measure", "meter"]) == "nearest: 'measure'"
    assert nearest("zzz", ["measure", "meter"]) == ""


def test_what_stood_there_is_cut_and_quoted():
    assert shown("a\x1bb") == r"'a\x1bb'"
    assert shown("x" * 100) == repr("x" * 59 + "…")


PIECES = st.one_of(
    st.sampled_from(
        [
            b"\t",
            b"#",
            b"- ",
            b": ",
            b"[",
            b"]",
            b"{",
            b"}",
            b'"',
            b"'",
            b"&a ",
            b"*a",
            b"!x ",
            b"|",
            b">",
            b"\n",
            b"---\n",
            b"\xff",
            b"\x00",
            b"\xe2\x80\xa8",
            b"? ",
            b"<<: ",
            b"~",
            b"%",
            b"@",
            b"](",
            b"9" * 30,
            b"\r",
        ]
    ),
    st.binary(max_size=4),
    st.text(max_size=3).map(lambda text: text.encode("utf-8", "surrogatepass")),
)
EDITS = st.lists(st.tuples(st.integers(0, 400), st.integers(0, 12), PIECES, st.integers(0, 2)), min_size=1, max_size=4)


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(path=st.sampled_from([MAJOR, MINOR, ADDED, SLASH, BY_PLACE, BY_VALUE, FIGURE, TERM]), edits=EDITS)
@example(path=TERM, edits=[(0, 400, b"example: {key: C, notes: 'C4 |'}\n", 1)])
@example(path=FIGURE, edits=[(0, 40, b'name: x\nmeter: "4/4"\nrhythm: "' + b"9" * 5000 + b'"\n', 1)])
def test_a_mutated_file_gives_faults_or_an_entry_and_raises_nothing(path, edits, small_content):
    raw = bytearray(small_content[path].encode())
    for start, length, piece, times in edits:
        raw[start : start + length] = piece * times
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / path
        file.parent.mkdir()
        file.write_bytes(raw)
        glossary, faults = read_glossary(Path(folder))
    lines = sum(raw.count(end) for end in (b"\n", b"\r", b"\xe2\x80", b"\xc2\x85")) + 1
    assert file.stem in glossary.entries or faults
    for fault in faults:
        assert fault.file == file.as_posix()
        assert 1 <= fault.line <= lines + 1
        assert fault.column >= 1
        assert fault.found
        assert fault.expected
        assert len(str(fault).splitlines()) == 1
