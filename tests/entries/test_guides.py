"""Reads guides: their heads, the counted rhythms in them, and every fault with its own line."""

from __future__ import annotations

from pathlib import Path

import pytest

from understave.entries.guides import COUNTED, read_guides
from understave.entries.values import CountedExample, Guide

HEAD = "---\ntitle: Waltz\ndescription: In three.\n---\n\n# Waltz\n\n"
BLOCK = "```count\nrhythm: 4 8 8 4\nmeter: 3/4\nsystem: e-and-a\ncaption: One measure\n```\n"


def read(tmp_path: Path, text: str, name: str = "waltz") -> tuple[dict[str, Guide], list[str]]:
    (tmp_path / "guides").mkdir(exist_ok=True)
    (tmp_path / "guides" / f"{name}.md").write_text(text, encoding="utf-8")
    guides, faults = read_guides(tmp_path, ["e-and-a", "takadimi"])
    return guides, [str(fault).rpartition("guides/")[2] for fault in faults]


def test_a_guide_has_its_head_and_its_counted_rhythms(tmp_path):
    guides, faults = read(tmp_path, HEAD + BLOCK + "\nWords.\n\n" + BLOCK.replace("system: e-and-a\n", ""))
    assert not faults
    first, second = guides["waltz"].examples
    assert first == CountedExample("4 8 8 4", "3/4", "One measure", "e-and-a")
    assert second.system is None
    assert (guides["waltz"].title, guides["waltz"].description) == ("Waltz", "In three.")


def test_a_guide_without_a_head_is_called_by_its_heading(tmp_path):
    assert read(tmp_path, "# How to count\n\nWords.\n")[0] == {"waltz": Guide("How to count", "")}


def test_other_fenced_blocks_are_left_alone(tmp_path):
    text = HEAD + "```\nrhythm: nonsense\n```\n"
    assert read(tmp_path, text) == ({"waltz": Guide("Waltz", "In three.")}, [])
    assert COUNTED.search(text) is None


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("rhythm: 4 8 8 4", "rhythm: 4 8 8 2", "waltz.md:9:9: measure 1 is 1/4 of a whole note too long"),
        ("rhythm: 4 8 8 4", "rhythm: 4 8 8 h", "waltz.md:9:9: the token 'h'"),
        ("caption: One measure", "left: 4 4", "waltz.md:12:7: measure 1 is 1/4 of a whole note too short"),
        ("caption: One measure", "left: 4 4 4 4 4 4", "waltz.md:12:7: "),
        ("meter: 3/4", "meter: 3/5", "waltz.md:10:8: the meter '3/5'"),
        ("system: e-and-a", "system: e-and", "waltz.md:11:9: the counting system 'e-and'"),
        ("system: e-and-a", "sytem: e-and-a", "waltz.md:11:1: the key 'sytem'"),
        ("caption: One measure", "beat: half", "waltz.md:12:7: the beat 'half'"),
        ("caption: One measure", "each_beat: perhaps", "waltz.md:12:12: 'perhaps'"),
        ("4\nmeter: 3/4\n", "4\n", "waltz.md:9:1: no 'meter'"),
        ("One measure\n```", "One measure\n", "waltz.md:8:1: a block that isn't closed"),
        ("title: Waltz", "titel: Waltz", "waltz.md:2:1: the key 'titel'"),
    ],
)
def test_a_fault_has_the_guides_own_line(tmp_path, old, new, fault):
    guides, faults = read(tmp_path, (HEAD + BLOCK).replace(old, new, 1))
    assert guides == {}
    assert any(line.startswith(fault) for line in faults), faults


def test_a_guide_whose_name_is_no_id_is_a_fault(tmp_path):
    assert read(tmp_path, HEAD, "My Waltz")[1] == [
        "My Waltz.md:1:1: the id 'My Waltz'; small letters a-z, digits and single hyphens; nearest: 'my-waltz'"
    ]


def test_bytes_that_are_no_text_are_a_fault(tmp_path):
    (tmp_path / "guides").mkdir()
    (tmp_path / "guides" / "waltz.md").write_bytes(b"# \xff\xfe")
    assert [fault.found for fault in read_guides(tmp_path, [])[1]] == ["bytes that are no UTF-8"]


def test_a_guide_has_a_bounded_number_of_rhythms(tmp_path):
    assert read(tmp_path, HEAD + BLOCK * 61)[1] == ["waltz.md:1:1: 61 counted rhythms; at most 60"]


def test_systems_that_are_not_known_are_not_checked(tmp_path):
    read(tmp_path, HEAD + BLOCK.replace("e-and-a", "nonsense"))
    assert read_guides(tmp_path, None)[1] == []


def test_what_a_guide_counts_is_an_entry(tmp_path):
    head = HEAD.replace("---\n\n#", "counts: [waltz-measure, walz]\n---\n\n#")
    read(tmp_path, head)
    guides, faults = read_guides(tmp_path, [], {"waltz-measure": None})
    assert [str(fault).rpartition("guides/")[2] for fault in faults] == [
        "waltz.md:4:25: the id 'walz'; the id of an entry"
    ]
    assert guides == {}
    assert read_guides(tmp_path, None)[0]["waltz"].counts == ("waltz-measure", "walz")


@pytest.mark.parametrize(
    ("body", "faults"),
    [
        ("# Waltz\n\nFILL IN\n\nTODO: more\n", ["9:1: 'FILL IN', left for later", "11:1: 'TODO', left for later"]),
        ("# Waltz\n\n## One\n\n# Two\n", ["11:1: a second heading of the first rank; ## for a part of the guide"]),
        ("# Waltz\n\n### One\n", ["9:1: a heading of rank 3 after rank 1; ## at most"]),
        ("# Waltz\n\n## One\n\n### Two\n\n## Three\n", []),
        ("# Waltz\n\n```\n# no heading\n#### nor this\n```\n", []),
    ],
)
def test_words_left_for_later_and_headings_out_of_order_are_faults(tmp_path, body, faults):
    found = read(tmp_path, f"---\ntitle: Waltz\ndescription: In three.\n---\n\n\n{body}")[1]
    assert len(found) == len(faults)
    for fault, start in zip(found, faults, strict=True):
        assert fault.startswith(f"waltz.md:{start}")
