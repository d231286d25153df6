"""One YAML file → plain values that remember where they stood.

The subset is strict: UTF-8, one document, no anchors, aliases, tags, repeated keys or deep nesting.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

from understave.entries.faults import Fault, shown

LARGEST_FILE = 1_000_000
"""The size in bytes above which a file is refused unread."""

DEEPEST = 12
"""How deep mappings and lists may be nested."""

_EATEN = re.compile(r"(?:[\[,]|^\s*-)\s*(#[^\s,\]]+)")
_TAGS = {
    "str": "text",
    "int": "a number",
    "float": "a number",
    "bool": "true or false",
    "null": "nothing",
    "timestamp": "a date",
}

Place = tuple[str | int, ...]
"""A path to a value: keys and list positions."""

Mark = tuple[int, int]
"""Line and column, from 1."""


class Scalar(str):
    """A scalar as it was typed; ``kind`` says what YAML would make of it: text, a number, a date."""

    kind: str
    start: int
    """Where it starts in the file, in characters."""

    @classmethod
    def of(cls, node: yaml.ScalarNode) -> Scalar:
        """Return a node's text with what it was."""
        scalar = cls(node.value)
        scalar.kind = _TAGS.get(node.tag.rpartition(":")[2], "something else")
        scalar.start = node.start_mark.index
        return scalar


@dataclass
class Document:
    """A file's values and where each stands; ``marks`` has values by their path, ``keys`` has keys."""

    file: str
    text: str = ""
    value: object = None
    marks: dict[Place, Mark] = field(default_factory=dict)
    keys: dict[Place, Mark] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    start: Mark = (1, 1)
    """Where a fault of the whole stands."""

    def fault(self, place: Place, found: str, expected: str, hint: str = "", *, at_key: bool = False) -> Fault:
        """Return a fault at ``place``, or at the nearest value around it."""
        table = self.keys if at_key else self.marks
        while place and place not in table:
            place, table = place[:-1], self.marks
        line, column = table.get(place, self.start) if place else self.start
        return Fault(self.file, line, column, found, expected, hint)

    def fault_within(self, key: str, offset: int, found: str, expected: str, hint: str = "") -> Fault:
        """Return a fault at an offset into a text of the mapping, wherever the file has it: in a block or in quotes.

        The word there is looked for in the file, since blocks are indented and may be folded.
        """
        assert isinstance(self.value, dict)
        scalar = self.value[key]
        words = str(scalar)[offset:].split(maxsplit=1)
        if not isinstance(scalar, Scalar) or not words:
            return self.fault((key,), found, expected, hint)
        place = scalar.start - 1
        for _ in range(scalar.count(words[0], 0, offset) + 1):
            place = self.text.find(words[0], place + 1)
            if place < 0:
                return self.fault((key,), found, expected, hint)
        line, column = self.text.count("\n", 0, place) + 1, place - self.text.rfind("\n", 0, place)
        return Fault(self.file, line, column, found, expected, hint)


def read_yaml(path: Path, shown_as: str, largest: int = LARGEST_FILE) -> Document:
    """Read one file. Faults of its form are in the result's ``faults``; its ``value`` is None then."""
    document = Document(shown_as)
    text = read_text(path, document, largest)
    if text is not None:
        _parse(text, document)
    return document


def parse_yaml(text: str, shown_as: str, first_line: int = 1) -> Document:
    """Read YAML from a part of a file, which starts at its ``first_line``, as `read_yaml` reads a whole one."""
    document = Document(shown_as, start=(first_line, 1))
    text = "\n" * (first_line - 1) + text
    _parse(text, document)
    return document


def _parse(text: str, document: Document) -> None:
    document.text = text
    spans, problem = _scan(text, document)
    _find_eaten_signs(text, spans, document)
    if problem and not document.faults:
        document.faults.append(problem)
    if not document.faults:
        node = yaml.compose(text, Loader=yaml.CSafeLoader)
        if node is None:
            document.faults.append(Fault(document.file, 1, 1, "an empty file", "an entry"))
        else:
            document.value = _value(node, (), document)
    if document.faults:
        document.value = None


def read_text(path: Path, document: Document, largest: int = LARGEST_FILE) -> str | None:
    """Return a file's text; None, with a fault in the document, for a link, and for one too large or no UTF-8."""
    if path.is_symlink():
        document.faults.append(Fault(document.file, 1, 1, "a link to another file", "the file itself"))
        return None
    try:
        if path.exists() and not (path.is_file() or path.is_dir()):  # a device or a pipe may never end
            document.faults.append(Fault(document.file, 1, 1, "no regular file", "a file of text"))
            return None
        with path.open("rb") as file:
            raw = file.read(largest + 1)
    except OSError as error:
        document.faults.append(Fault(document.file, 1, 1, f"unreadable: {error.strerror}", "a readable file"))
        return None
    if len(raw) > largest:
        size = path.stat().st_size
        document.faults.append(Fault(document.file, 1, 1, f"{size} bytes", f"at most {largest} bytes"))
        return None
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = raw[: error.start]
        line, column = before.count(b"\n") + 1, len(before[before.rfind(b"\n") + 1 :].decode(errors="replace")) + 1
        document.faults.append(Fault(document.file, line, column, "bytes that are no UTF-8", "a file saved as UTF-8"))
        return None
    return text


def _scan(text: str, document: Document) -> tuple[list[tuple[int, int]], Fault | None]:
    """Return the spans of scalars in the text and the first fault of YAML's own rules; note what we refuse."""
    spans: list[tuple[int, int]] = []
    refuse = document.faults.append
    depth = documents = 0
    try:
        event: Any
        for event in yaml.parse(text, Loader=yaml.CSafeLoader):
            mark = (event.start_mark.line + 1, event.start_mark.column + 1)
            if isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents == 2:
                    refuse(Fault(document.file, *mark, "a second document", "one document a file"))
            if isinstance(event, yaml.AliasEvent):
                refuse(Fault(document.file, *mark, f"an alias *{event.anchor}", "the value written out"))
            elif getattr(event, "anchor", None):
                refuse(Fault(document.file, *mark, f"an anchor &{event.anchor}", "no anchors"))
            if getattr(event, "tag", None):
                refuse(Fault(document.file, *mark, f"a tag {shown(event.tag)}", "no tags"))
            if isinstance(event, yaml.ScalarEvent):
                spans.append(_span(event))
            depth += isinstance(event, yaml.CollectionStartEvent) - isinstance(event, yaml.CollectionEndEvent)
            if depth > DEEPEST:
                refuse(Fault(document.file, *mark, "nesting too deep", f"at most {DEEPEST} levels"))
                break
    except yaml.MarkedYAMLError as error:
        return spans, _yaml_fault(error, text, document.file)
    except yaml.reader.ReaderError as error:
        # libyaml counts bytes
        before = text.encode()[: error.position].decode(errors="ignore") if isinstance(error.position, int) else ""
        line, column = before.count("\n") + 1, len(before) - before.rfind("\n")
        return spans, Fault(document.file, line, column, "a character that YAML doesn't allow", "plain text")
    return spans, None


def _span(event: Any) -> tuple[int, int]:
    return event.start_mark.index, event.end_mark.index


def _yaml_fault(error: yaml.MarkedYAMLError, text: str, file: str) -> Fault:
    mark = error.problem_mark or error.context_mark
    line, column = (mark.line, mark.column) if mark else (0, 0)
    lines = text.split("\n")
    stood = lines[line] if line < len(lines) else ""
    if "\t" in stood[: len(stood) - len(stood.lstrip())] or (mark and stood[column : column + 1] == "\t"):
        return Fault(file, line + 1, stood.index("\t") + 1, "a tab", "spaces: YAML is indented with spaces")
    found = error.problem or "broken YAML"
    return Fault(file, line + 1, column + 1, found, "valid YAML", "a text with ': ' or ' #' in it needs quotes")


def _find_eaten_signs(text: str, spans: list[tuple[int, int]], document: Document) -> None:
    """Note the sharps that YAML took for the start of a comment where an item was meant."""
    covered = {position for start, end in spans for position in range(start, end)} if "#" in text else set()
    offset = 0
    for number, line in enumerate(text.split("\n"), 1):
        comment = next(
            (place for place, letter in enumerate(line) if letter == "#" and offset + place not in covered), None
        )
        match = _EATEN.search(line) if comment is not None else None
        while match and match.start(1) != comment:
            match = _EATEN.search(line, match.start(1))
        if match:
            word = match[1].strip("\"'")
            found, expected = f"an unquoted {word}", "text, which YAML takes for a comment here"
            document.faults.append(
                Fault(document.file, number, match.start(1) + 1, found, expected, f'put quotes round "{word}"')
            )
        offset += len(line) + 1


def _value(node: yaml.Node, place: Place, document: Document) -> object:
    document.marks[place] = (node.start_mark.line + 1, node.start_mark.column + 1)
    if isinstance(node, yaml.ScalarNode):
        return Scalar.of(node)
    if isinstance(node, yaml.SequenceNode):
        return [_value(item, (*place, index), document) for index, item in enumerate(node.value)]
    mapping: dict[str, object] = {}
    for key_node, value_node in node.value:
        mark = (key_node.start_mark.line + 1, key_node.start_mark.column + 1)
        if not isinstance(key_node, yaml.ScalarNode):
            document.faults.append(Fault(document.file, *mark, "a key that is no text", "a plain word as key"))
            continue
        key = key_node.value
        if key in mapping:
            document.faults.append(Fault(document.file, *mark, f"the key {key!r} a second time", "each key once"))
            continue
        document.keys[(*place, key)] = mark
        mapping[key] = _value(value_node, (*place, key), document)
    return mapping
