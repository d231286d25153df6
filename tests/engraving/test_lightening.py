"""Checks that lightened SVG has the same ink: the same lines at the same places, the same glyphs, the same words."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import pytest

from understave.engraving.lightening import ASKED_FOR, lighten
from understave.engraving.svg import SVG

from .drawn import Drawn


def lightened(content: str) -> str:
    tree = ET.fromstring(f'<svg xmlns="{SVG}">{content}</svg>')
    lighten(tree)
    return "".join(ET.tostring(child, encoding="unicode") for child in tree).replace(f' xmlns="{SVG}"', "")


@pytest.mark.parametrize(
    ("heavy", "light"),
    [
        ('<g class="layer"><g class="note"/></g>', '<g class="note" />'),
        ('<g class="page-margin" transform="translate(600, 0)"/>', '<g transform="translate(600, 0)" />'),
        ('<use transform="translate(9, -8.5) scale(0.72, 0.72)"/>', '<use transform="translate(9 -8.5)scale(.72)" />'),
        ('<use transform="translate(9, 8) scale(0.72, 0.5)"/>', '<use transform="translate(9, 8) scale(0.72, 0.5)" />'),
        (
            '<path d="M0 5 L9 5" stroke-width="1"/><path d="M0 6 L9 6" stroke-width="1"/>',
            '<path d="M0 5L9 5M0 6L9 6" stroke-width="1" />',
        ),
        (
            '<path d="M0 5 L9 5" stroke-width="1"/><path d="M0 6 L9 6" stroke-width="2"/>',
            '<path d="M0 5L9 5" stroke-width="1" /><path d="M0 6L9 6" stroke-width="2" />',
        ),
        ('<path d="M0 5 C9 5 1 2 3 4"/><path d="M0 6 C9 6 1 2 3 4"/>',) * 2,
        (
            '<text font-size="0px"><tspan class="text"><tspan font-size="4px">A</tspan></tspan></text>',
            '<text font-size="4px">A</text>',
        ),
        (
            '<text><tspan class="text"><tspan font-size="4px">A</tspan><tspan font-size="4px">♭</tspan></tspan>'
            '<tspan class="rend"><tspan class="text" dy="-1"><tspan font-size="2px">9</tspan></tspan></tspan></text>',
            '<text><tspan font-size="4px">A♭</tspan><tspan dy="-1" font-size="2px">9</tspan></text>',
        ),
        ('<text><tspan dy="1">A</tspan><tspan dy="1">B</tspan></text>',) * 2,
    ],
)
def test_less_is_said_of_the_same_ink(heavy: str, light: str) -> None:
    assert lightened(heavy).replace(" />", "/>") == light.replace(" />", "/>")


def test_pictures_hold_no_class_that_nothing_asks_for(drawn: list[Drawn]) -> None:
    for one in drawn:
        names = {name for names in re.findall(r'class="([^"]*)"', one.drawing.inner) for name in names.split()}
        assert names <= ASKED_FOR, one.name
        assert not re.search(r"<g>|<tspan>", one.drawing.inner), one.name
