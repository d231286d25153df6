"""The same ink in fewer elements: groups that nothing asks for are opened, lines of one width become one path.

A picture is sent with every page that shows it, and each of its elements costs the browser time before the first paint.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

from understave.engraving.svg import svg_tag

_GROUP, _PATH, _TEXT, _SPAN = map(svg_tag, ("g", "path", "text", "tspan"))

ASKED_FOR = frozenset(
    ("system", "measure", "staff", "note", "rest", "notehead", "accid", "beam", "tuplet", "tupletNum", "tupletBracket",
     "tie", "harm", "tones", "lead", "letter", "degree")
)  # fmt: skip
"""The classes that styles, scripts and tests find things by; all others go."""

_LINE = re.compile(r"M(-?[\d.]+) (-?[\d.]+) L(-?[\d.]+) (-?[\d.]+)")
_MOVED_AND_SCALED = re.compile(r"translate\((\S+), (\S+)\) scale\(0(\.\d+), 0\3\)")


def lighten(element: ET.Element) -> None:
    """Say shorter what is in an element of SVG; where it lies and how it looks stays."""
    for child in element:
        lighten(child)
        _drop_class(child)
        _shorten(child)
    _open_groups(element)
    _join_lines(element)
    if element.tag in (_TEXT, _SPAN):
        _join_spans(element)
        _take_in_only(element)


def _drop_class(element: ET.Element) -> None:
    kept = [name for name in (element.get("class") or "").split() if name in ASKED_FOR]
    element.attrib.pop("class", None)
    if kept:
        element.set("class", " ".join(kept))


def _shorten(element: ET.Element) -> None:
    if moved := _MOVED_AND_SCALED.fullmatch(element.get("transform", "")):
        element.set("transform", f"translate({moved[1]} {moved[2]})scale({moved[3]})")


def _open_groups(element: ET.Element) -> None:
    """Put what is in groups without attributes into their places."""
    for child in list(element):
        if child.tag in (_GROUP, _SPAN) and not child.attrib and len(child):
            place = list(element).index(child)
            element[place : place + 1] = list(child)


def _join_lines(element: ET.Element) -> None:
    """Make one path of all straight lines in an element that look alike; in which order they are drawn doesn't show."""
    firsts: dict[tuple[tuple[str, str], ...], ET.Element] = {}
    for child in list(element):
        line = _LINE.fullmatch(child.get("d", "")) if child.tag == _PATH else None
        if line is None:
            continue
        path = f"M{line[1]} {line[2]}L{line[3]} {line[4]}"
        look = tuple(sorted((name, value) for name, value in child.attrib.items() if name != "d"))
        first = firsts.setdefault(look, child)
        if first is child:
            child.set("d", path)
        else:
            first.set("d", first.get("d", "") + path)
            element.remove(child)


def _join_spans(text: ET.Element) -> None:
    """Make one span of neighbors that look alike and follow each other on one line."""
    before: ET.Element | None = None
    for span in list(text):
        alike = before is not None and span.attrib == before.attrib and not {"dx", "dy"} & span.attrib.keys()
        if alike and before is not None and not len(span) and not len(before):
            before.text = (before.text or "") + (span.text or "")
            text.remove(span)
        else:
            before = span


def _take_in_only(text: ET.Element) -> None:
    """Take the only span of a text into it; its font size is the one that counts."""
    if len(text) == 1 and not text.text and text.attrib.keys() & text[0].attrib.keys() <= {"font-size"}:
        [only] = text
        text.attrib.update(only.attrib)
        text.text = only.text
        text[:] = list(only)
