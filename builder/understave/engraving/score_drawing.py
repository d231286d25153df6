"""MusicXML → raw SVG of some measures. Runs in workers only: a strange score can end Verovio's process."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Iterable
from functools import lru_cache
from typing import Any

from understave.engraving.drawing import OPTIONS, VARIED, EngravingError, caught_messages, new_toolkit
from understave.engraving.excerpts import Excerpt, Mark, number_notes

MEI = "http://www.music-encoding.org/ns/mei"

LEFT_OUT = (
    "slur", "label", "labelAbbr", "pgHead", "pgFoot", "expansion", "sb", "pb", "tempo", "harm", "dynam", "verse",
    "instrDef",
)  # fmt: skip
"""What of a score isn't shown: its own symbols are set anew, in the house style."""

EXCERPT_OPTIONS: dict[str, Any] = {
    **OPTIONS, **VARIED, "breaks": "none", "pageWidth": 20000, "measureMinWidth": 20, "spacingSystem": 0,
}  # fmt: skip

COUNT, SYMBOL = "c", "s"
"""How the ids of words and of symbols begin."""


def draw_excerpt(excerpt: Excerpt) -> str:
    """Return the raw SVG of an excerpt. Raises EngravingError for an unreadable score or measures left out."""
    music = _music(excerpt.music)
    marks = [*_marks(music, excerpt.symbols, SYMBOL, 2), *_marks(music, excerpt.counts, COUNT, 1)]
    try:
        with caught_messages():
            toolkit = _selecting_toolkit()
            toolkit.setOptions(EXCERPT_OPTIONS)
            toolkit.select({"measureRange": f"{excerpt.first}-{excerpt.last}"})
            loaded = toolkit.loadData(ET.tostring(music, encoding="unicode"))
            svg = str(toolkit.renderToSVG(1)) if loaded else ""
    finally:
        for measure, mark in marks:
            measure.remove(mark)
    drawn = svg.count('data-class="measure"')
    if drawn != excerpt.last - excerpt.first + 1:
        raise EngravingError(f"{drawn} measures drawn of {excerpt.first} to {excerpt.last}")
    missing = [mark.get(_ID, "") for _, mark in marks if f'data-id="{mark.get(_ID)}"' not in svg]
    if missing:
        raise EngravingError(f"not in the drawing: {', '.join(missing)}")
    return svg


_ID = "{http://www.w3.org/XML/1998/namespace}id"


@lru_cache(maxsize=1)
def _selecting_toolkit() -> Any:
    """A toolkit of its own: what was selected outlives the next document."""
    return new_toolkit()


@lru_cache(maxsize=4)
def _music(musicxml: bytes) -> ET.Element:
    """Return a score as MEI, its notes numbered, without what isn't shown."""
    try:
        score = ET.fromstring(musicxml)
    except ET.ParseError:
        raise EngravingError("it is no XML") from None
    number_notes(score)
    with caught_messages():
        toolkit = new_toolkit()
        toolkit.setOptions(EXCERPT_OPTIONS)
        if not toolkit.loadData(ET.tostring(score, encoding="unicode")):
            raise EngravingError("Verovio can't read it")
        music = ET.fromstring(toolkit.getMEI({"removeIds": False}))
    for element in music.iter():
        element.tag = element.tag.removeprefix(f"{{{MEI}}}")
    music.set("xmlns", MEI)
    for parent in list(music.iter()):
        for child in [child for child in parent if child.tag in LEFT_OUT]:
            parent.remove(child)
    return music


def _marks(music: ET.Element, marks: Iterable[Mark], prefix: str, staff: int) -> list[tuple[ET.Element, ET.Element]]:
    """Add texts below a staff. Returns each with the measure that it now stands in."""
    measures = list(music.iter("measure"))
    staves = max((int(one.get("n", "1")) for one in music.iter("staffDef")), default=1)
    units = _units(music, measures)
    added = []
    for number, mark in enumerate(marks):
        if not 1 <= mark.position <= len(measures):
            raise EngravingError(f"no measure at position {mark.position}")
        measure = measures[mark.position - 1]
        values = {
            _ID: f"{prefix}{number}",
            "place": "below",
            "staff": str(min(staff, staves)),
            "tstamp": f"{float(1 + mark.place * units[mark.position - 1]):.4f}",
        }
        text = ET.SubElement(measure, "harm", values)
        _write(text, mark.parts, small=prefix == COUNT)
        added.append((measure, text))
    return added


def _write(text: ET.Element, parts: tuple[str, str, str], *, small: bool) -> None:
    plain, raised, bass = parts
    if small:
        ET.SubElement(text, "rend", {"fontsize": "85%"}).text = plain
        return
    text.text = plain
    if raised:
        lifted = ET.SubElement(text, "rend", {"rend": "sup"})
        lifted.text, lifted.tail = raised, bass
    else:
        text.text = plain + bass


def _units(music: ET.Element, measures: list[ET.Element]) -> list[int]:
    """Return for each measure the note value that its time stamps count in."""
    unit, units = 4, []
    known = set(map(id, measures))
    for element in music.iter():
        found = element.get("meter.unit") or (element.get("unit") if element.tag == "meterSig" else None)
        if found:
            unit = int(found)
        if id(element) in known:
            units.append(unit)
    return units
