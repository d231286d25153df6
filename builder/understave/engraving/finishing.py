"""Raw SVG → finished SVG: small, themable, with shared glyphs, labels, and room for a title and ids of the page's own.

A finished drawing has no id and no title yet: `place` gives it those, so that one drawing may stand on many pages.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from understave.engraving.lightening import lighten
from understave.engraving.pictures import Label
from understave.engraving.svg import SVG, svg_tag

FINISHING_VERSION = 5
"""Part of the cache's key: raise it when finished drawings change."""

LABEL_SIZE = 250
"""The font size of labels, in the drawing's inner units (a tenth of the viewBox's)."""

LABEL_GAP = 1.06
"""The least distance of two labels, in font sizes."""

_MOVED = re.compile(r"translate\((-?[\d.]+), (-?[\d.]+)\)")
_STAFF_LINE = re.compile(r"M-?\d+ \d+ L(\d+) \d+$")
_OWN_NAME = re.compile(r"[a-z]\d+(?:-\d+)?$|right\d*$|left\d*$")
_MUSIC_TEXT = str.maketrans({"\uea64": "♭", "\uea65": "♮", "\uea66": "♯"})
_WIDTHS = {"♭": 0.29, "♯": 0.27, "♮": 0.22, "𝄫": 0.52, "𝄪": 0.44}

ET.register_namespace("", SVG)


@dataclass(frozen=True)
class Drawing:
    """A finished drawing: the ``inner`` SVG, its size, and its ``glyphs``: paths by name, shared on a page."""

    inner: str
    width: float
    height: float
    scale: float
    glyphs: dict[str, str]


def finish(raw: str, labels: Sequence[Label], scale: float) -> Drawing:
    """Return the finished drawing of a raw SVG."""
    root = ET.fromstring(raw)
    inner, margin = root.find(svg_tag("svg")), root.find(f"{svg_tag('svg')}/{svg_tag('g')}")
    assert inner is not None
    assert margin is not None
    box = [float(value) for value in (root.get("viewBox") or "").split()]
    if labels:
        box[2] = max(box[2], _add_labels(margin, labels))
    glyphs = _take_glyphs(root)
    for element in root.iter():
        _simplify(element)
    _prune(inner)
    lighten(inner)
    for name in ("color", "font-family", "class"):
        inner.attrib.pop(name, None)
    content = "".join(ET.tostring(child, encoding="unicode") for child in inner)
    content = content.replace(f' xmlns="{SVG}"', "").replace(" />", "/>")
    return Drawing(content, box[2], box[3], scale, glyphs)


def _add_labels(margin: ET.Element, labels: Sequence[Label]) -> float:
    """Add a column of letters and degrees right of the bar line; return the width that the drawing needs."""
    heads = _notehead_places(margin)
    right = max(
        float(match[1]) for path in margin.iter(svg_tag("path")) if (match := _STAFF_LINE.match(path.get("d", "")))
    )
    placed = sorted((heads[label.note][1], heads[label.note][0], label.letter, label.degree) for label in labels)
    letters = right + 170
    degrees = letters + max(_text_width(letter) for _, _, letter, _ in placed) + 130
    group = ET.SubElement(margin, svg_tag("g"), {"class": "tones"})
    heights = _spread([y for y, *_ in placed], LABEL_SIZE * LABEL_GAP)
    for (y, x, letter, degree), height in zip(placed, heights, strict=True):
        line = f"M{x + 290:.0f} {y:.0f}L{right + 40:.0f} {y:.0f}L{letters - 40:.0f} {height:.0f}"
        ET.SubElement(group, svg_tag("path"), {"class": "lead", "d": line})
        for place, text, name in ((letters, letter, "letter"), (degrees, degree, "degree")):
            if text:
                where = {"x": f"{place:.0f}", "y": f"{height + LABEL_SIZE * 0.36:.0f}"}
                ET.SubElement(
                    group, svg_tag("text"), {**where, "font-size": str(LABEL_SIZE), "class": name}
                ).text = text
    moved = _MOVED.match(margin.get("transform", ""))
    assert moved is not None
    return (float(moved[1]) + degrees + max(_text_width(degree) for *_, degree in placed) + 60) / 10


def _notehead_places(margin: ET.Element) -> dict[str, tuple[float, float]]:
    places = {}
    for group in margin.iter(svg_tag("g")):
        if group.get("data-class") == "note":
            head = next(group.iter(svg_tag("use")))
            moved = _MOVED.match(head.get("transform", ""))
            assert moved is not None
            places[group.get("data-id", "")] = (float(moved[1]), float(moved[2]))
    return places


def _text_width(text: str) -> float:
    return LABEL_SIZE * sum(_WIDTHS.get(letter, 0.62) for letter in text)


def _spread(wanted: list[float], gap: float) -> list[float]:
    """Return places as near to those wanted as they can be with ``gap`` between neighbors."""
    blocks: list[tuple[float, int]] = []
    for index, place in enumerate(wanted):
        block = (place - index * gap, 1)
        while blocks and blocks[-1][0] > block[0]:
            mean, count = blocks.pop()
            block = ((mean * count + block[0] * block[1]) / (count + block[1]), count + block[1])
        blocks.append(block)
    starts = [mean for mean, count in blocks for _ in range(count)]
    return [start + index * gap for index, start in enumerate(starts)]


def _take_glyphs(root: ET.Element) -> dict[str, str]:
    glyphs = {}
    for definitions in root.findall(svg_tag("defs")):
        for group in definitions:
            glyphs[_glyph_name(group.get("id", ""))] = group[0].get("d", "")
        root.remove(definitions)
    return glyphs


def _glyph_name(name: str) -> str:
    return "g" + name.lstrip("#").split("-")[0]


def _simplify(element: ET.Element) -> None:
    if element.get("href"):
        element.set("href", "#" + _glyph_name(element.get("href", "")))
    if element.tag == svg_tag("tspan") and element.text and element.text != element.text.translate(_MUSIC_TEXT):
        element.attrib.pop("font-family", None)
        size = int(element.get("font-size", "0px").removesuffix("px"))
        element.set("font-size", f"{round(size * 0.5625)}px")
        element.text = element.text.translate(_MUSIC_TEXT)
    name = element.get("data-id", "")
    element.attrib.pop("data-id", None)
    element.attrib.pop("data-class", None)
    element.attrib.pop("data-related", None)
    element.attrib.pop("id", None)
    if element.get("class") == "note" and _OWN_NAME.match(name):
        element.set("data-note", name)


def _prune(element: ET.Element) -> None:
    """Take out titles, placeholders and groups that hold nothing."""
    for child in list(element):
        _prune(child)
        placeholder = "placeholder" in (child.get("class") or "").split()
        if child.tag == svg_tag("title") or placeholder or (child.tag == svg_tag("g") and not len(child)):
            element.remove(child)


def place(drawing: Drawing, name: str, title: str, words: str) -> str:
    """Return the drawing as inline SVG with ids that start with ``name``, a title and a description in words."""
    width, height = drawing.width, drawing.height
    return (
        f'<svg xmlns="{SVG}" class="notation" id="{name}" viewBox="0 0 {width:g} {height:g}" '
        f'width="{round(width * drawing.scale)}" height="{round(height * drawing.scale)}" role="img" '
        f'aria-labelledby="{name}-t" aria-describedby="{name}-d">'
        f'<title id="{name}-t">{escape(title)}</title><desc id="{name}-d">{escape(words)}</desc>'
        f'<svg viewBox="0 0 {width * 10:g} {height * 10:g}" aria-hidden="true">{drawing.inner}</svg></svg>'
    )


def sprite(drawings: Sequence[Drawing]) -> str:
    """Return the glyphs of a page's drawings, each once, to stand before them."""
    glyphs = {name: path for drawing in drawings for name, path in drawing.glyphs.items()}
    paths = "".join(f'<path id="{name}" transform="scale(1,-1)" d="{path}"/>' for name, path in sorted(glyphs.items()))
    return f'<svg class="glyphs" width="0" height="0" aria-hidden="true"><defs>{paths}</defs></svg>' if paths else ""
