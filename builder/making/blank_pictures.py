"""Draw the empty grand staff and the empty keyboard that practice sheets are filled in on.

They are the same for every chord: drawn once, they lie beside the style sheet. Run from the repository's root:

    python builder/making/blank_pictures.py builder/understave/pages/styles
"""

from __future__ import annotations

import sys
from pathlib import Path

from understave.engraving import mei
from understave.engraving.drawing import draw
from understave.engraving.finishing import SVG, Drawing, finish, sprite
from understave.engraving.keyboard import ABOVE, BLACK_HEIGHT, BLACK_WIDTH, HEIGHT, WHITE, WIDTH

WIDE = 2
"""How many quarter notes of room the staff has for notes."""

LOWEST, HIGHEST = 41, 84
"""The keys that are drawn, F2 to C6: all that our chords use; middle C is 60."""


def staff() -> str:
    """Return an empty grand staff as an SVG file."""
    space = '<space dur="4"/>' * WIDE
    layout = (("spacingNonLinear", 1), ("measureMinWidth", 30), ("spacingSystem", 0), ("pageWidth", 2000))
    drawing = finish(draw(mei.document(mei.GRAND_STAFF, [mei.measure([space, space])]), layout, ()), (), 1)
    return file(drawing)


def file(drawing: Drawing) -> str:
    """Return a drawing as a file of its own, in black."""
    width, height = drawing.width, drawing.height
    glyphs = sprite([drawing]).partition("<defs>")[2].partition("</defs>")[0]
    return (
        f'<svg xmlns="{SVG}" viewBox="0 0 {width:g} {height:g}" width="{width:g}" height="{height:g}">'
        f"<style>path{{stroke:#000}}use,defs *{{stroke:none}}</style><defs>{glyphs}</defs>"
        f'<svg viewBox="0 0 {width * 10:g} {height * 10:g}">{drawing.inner}</svg></svg>\n'
    )


def keys() -> str:
    """Return an empty keyboard as an SVG file, a C under middle C."""
    whites = [key for key in range(LOWEST, HIGHEST + 1) if key % 12 in WHITE]
    places = {key: index * WIDTH for index, key in enumerate(whites)}
    blacks = [key for key in range(LOWEST, HIGHEST + 1) if key % 12 not in WHITE]
    white = "".join(f"M{places[key]} 1v{HEIGHT}h{WIDTH}v-{HEIGHT}z" for key in whites)
    edges = [places[key - 1] + WIDTH - BLACK_WIDTH // 2 for key in blacks]
    black = "".join(f"M{edge} 1v{BLACK_HEIGHT}h{BLACK_WIDTH}v-{BLACK_HEIGHT}z" for edge in edges)
    width, height = len(whites) * WIDTH, HEIGHT + ABOVE
    middle = places[60] + WIDTH / 2
    return (
        f'<svg xmlns="{SVG}" viewBox="-1 0 {width + 2} {height}" width="{width + 2}" height="{height}">'
        f'<path d="{white}" fill="#fff" stroke="#000" stroke-width=".7"/><path d="{black}"/>'
        f'<text x="{middle:g}" y="{HEIGHT + 11}" text-anchor="middle" font-size="10" font-family="serif">C</text>'
        "</svg>\n"
    )


def main() -> None:
    """Write both files into the folder given."""
    folder = Path(sys.argv[1])
    (folder / "blank-staff.svg").write_text(staff(), encoding="utf-8")
    (folder / "blank-keys.svg").write_text(keys(), encoding="utf-8")


if __name__ == "__main__":
    main()
