"""Guides: Markdown pages of the editors', with counted rhythms in fenced blocks that are drawn and never typed."""

from __future__ import annotations

import re
from collections.abc import Container, Iterable, Iterator
from pathlib import Path

from understave.entries.faults import Fault, nearest, shown
from understave.entries.folders import id_faults, own_files, shown_path
from understave.entries.leftovers import LEFTOVER, fault_at
from understave.entries.prose import guide_remarks
from understave.entries.schema import CountedExampleFile, GuideFile
from understave.entries.shaping import build
from understave.entries.values import CountedExample, Guide
from understave.entries.yaml_files import Document, parse_yaml, read_text

COUNTED = re.compile(r"^```count[ \t]*\n(.*?)^```[ \t]*$", re.S | re.M)
"""A fenced block with a counted rhythm."""

MOST_EXAMPLES = 60
"""The most counted rhythms of one guide."""

LONGEST_GUIDE = 20_000
"""The most characters of a guide."""

_OPENED = re.compile(r"^```count[ \t]*$", re.M)
_HEADING = re.compile(r"^# (.*\S)", re.M)
_ANY_HEADING = re.compile(r"^ {0,3}(#{1,6})(?=[^#])", re.M)
_FENCED = re.compile(r"^(```|~~~).*?^\1", re.S | re.M)
HEAD = re.compile(r"---\n(.*?)\n---\n", re.S)
_OTHER_HEAD = re.compile(r"-{3}[ \t]*\n| {0,3}[A-Za-z0-9_-]+:")
"""What MkDocs takes for the start of a head too."""


def read_guides(
    content: Path, systems: Iterable[str] | None, entries: Container[str] | None = None
) -> tuple[dict[str, Guide], list[Fault]]:
    """Return the guides below ``content`` by id, and the faults of all.

    ``systems`` are the counting systems' ids, ``entries`` those of all entries; None where they aren't known.
    """
    guides: dict[str, Guide] = {}
    faults: list[Fault] = []
    known = None if systems is None else tuple(systems)
    for path in own_files(content / "guides"):
        if path.suffix != ".md" or path.is_dir():
            faults.append(Fault(shown_path(path), 1, 1, f"the file {shown(path.name)}", "a guide that ends in .md"))
            continue
        problems = list(id_faults(path))
        guide, more = _read_guide(path, known, entries)
        faults += problems + more
        if guide is not None and not problems:
            guides[path.stem] = guide
    return guides, faults


def _read_guide(
    path: Path, systems: tuple[str, ...] | None, entries: Container[str] | None
) -> tuple[Guide | None, list[Fault]]:
    shown_as = shown_path(path)
    document = Document(shown_as)
    text = read_text(path, document)
    if text is None:
        return None, document.faults
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    if len(text) > LONGEST_GUIDE:
        return None, [Fault(shown_as, 1, 1, f"{len(text)} characters", f"at most {LONGEST_GUIDE}")]
    head = HEAD.match(text)
    front = parse_yaml(head[1], shown_as, 2) if head else None
    about = build(GuideFile, front) if front else None
    faults = list(front.faults) if front else []
    if front and about and entries is not None:
        faults += [
            front.fault(("counts", index), f"the id {name!r}", "the id of an entry")
            for index, name in enumerate(about.counts)
            if name not in entries
        ]
    examples = []
    blocks = list(COUNTED.finditer(text))
    if len(blocks) > MOST_EXAMPLES:
        return None, [*faults, Fault(shown_as, 1, 1, f"{len(blocks)} counted rhythms", f"at most {MOST_EXAMPLES}")]
    for block in blocks:
        example, problems = _read_example(block, text, shown_as, systems)
        faults += problems
        examples += [example] if example else []
    without = COUNTED.sub(lambda block: "\n" * block[0].count("\n"), text)
    for opened in _OPENED.finditer(without):
        line = without.count("\n", 0, opened.start()) + 1
        faults.append(Fault(shown_as, line, 1, "a block that isn't closed", "a line of ```"))
    start = head.end() if head else 0
    faults += [*_body_faults(without, start, shown_as), *_markdown_faults(without, start, shown_as)]
    if faults:
        return None, faults
    heading = _HEADING.search(text)
    title = about.title if about else heading[1] if heading else path.stem
    if about is None:
        return Guide(title, "", examples=tuple(examples)), []
    return Guide(title, about.description, about.asked_as, tuple(examples), about.counts), []


def _body_faults(text: str, start: int, shown_as: str) -> Iterator[Fault]:
    """Yield what is wrong with a guide's words, which begin at ``start``: marks left in them, headings out of order."""
    for match in LEFTOVER.finditer(text, start):
        yield fault_at(shown_as, text, match.start(), match[0])
    rank = 0
    for match in _ANY_HEADING.finditer(_FENCED.sub(_blank, text), start):
        own = len(match[1])
        line = text.count("\n", 0, match.start()) + 1
        if own == 1 and rank:
            yield Fault(shown_as, line, 1, "a second heading of the first rank", "## for a part of the guide")
        elif own > rank + 1:
            yield Fault(shown_as, line, 1, f"a heading of rank {own} after rank {rank}", f"{'#' * (rank + 1)} at most")
        rank = own


def _blank(block: re.Match[str]) -> str:
    """Return as much white space as a block takes, lines kept."""
    return re.sub(r"[^\n]", " ", block[0])


def _markdown_faults(text: str, start: int, shown_as: str) -> Iterator[Fault]:
    """Yield what is wrong with a guide's Markdown, which begins at ``start``."""
    if not start and _OTHER_HEAD.match(text):
        yield Fault(shown_as, 1, 1, "a head that isn't between two lines of ---", "one that is, or a heading first")
    for remark in guide_remarks(text[start:]):
        place = start + remark.offset
        line, column = text.count("\n", 0, place) + 1, place - text.rfind("\n", 0, place)
        yield Fault(shown_as, line, column, remark.found, remark.expected)


def _read_example(
    block: re.Match[str], text: str, shown_as: str, systems: tuple[str, ...] | None
) -> tuple[CountedExample | None, list[Fault]]:
    """Read one block; its faults have the guide's line numbers."""
    document = parse_yaml(block[1], shown_as, text.count("\n", 0, block.start(1)) + 1)
    shape = build(CountedExampleFile, document)
    if shape is None:
        return None, document.faults
    if systems is not None and shape.system is not None and shape.system not in systems:
        found = f"the counting system {shape.system!r}"
        fault = document.fault(("system",), found, "the id of a counting system", nearest(shape.system, systems))
        return None, [fault]
    return shape.value(), []
