"""Cut the five accidentals out of Leipzig, the music font that comes with Verovio, as a small web font.

Leipzig is under the SIL Open Font License 1.1, whose text lies beside the cut. The signs are moved to their Unicode
places and brought to one size with the letters around them. Run from the repository's root:

    python builder/making/accidentals_font.py builder/understave/pages/styles/accidentals.woff2
"""

from __future__ import annotations

import base64
import io
import re
import sys
from pathlib import Path

import verovio
from fontTools import subset
from fontTools.pens.boundsPen import BoundsPen
from fontTools.pens.transformPen import TransformPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTFont
from fontTools.ttLib.tables import _c_m_a_p as cmaps

SIGNS = {
    0x266D: (0xE260, 1.2, "bottom", -15),  # flat
    0x266E: (0xE261, 1.08, "middle", 340),  # natural
    0x266F: (0xE262, 1.08, "middle", 340),  # sharp
    0x1D12A: (0xE263, 1.5, "middle", 330),  # double sharp
    0x1D12B: (0xE264, 1.2, "bottom", -15),  # double flat
}
"""For each Unicode sign: its place in SMuFL, its scale, and what of it is set at which height (units of the font)."""

SIDE_BEARING = 25
ASCENT, DESCENT = 900, -250


def leipzig() -> TTFont:
    """Return the font from the style sheet that Verovio carries."""
    sheet = (Path(verovio.__file__).parent / "data" / "Leipzig.css").read_text(encoding="utf-8")
    match = re.search(r"base64,([A-Za-z0-9+/=]+)", sheet)
    assert match is not None, "Verovio's Leipzig.css holds no font"
    return TTFont(io.BytesIO(base64.b64decode(match[1])))


def cut(font: TTFont) -> dict[int, str]:
    """Leave only the signs in ``font``; return their glyphs' names by Unicode place."""
    names = {place: font.getBestCmap()[sign[0]] for place, sign in SIGNS.items()}
    options = subset.Options()
    options.layout_features, options.name_IDs, options.glyph_names = [], [], False
    options.drop_tables += ["FFTM", "GPOS", "GSUB", "GDEF"]
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=[sign[0] for sign in SIGNS.values()])
    cutter.subset(font)
    return names


def resize(font: TTFont, names: dict[int, str]) -> None:
    """Scale each sign and set it at its height."""
    glyphs = font.getGlyphSet()
    drawn = {}
    for place, (_, scale, anchor, height) in SIGNS.items():
        name = names[place]
        bounds = BoundsPen(glyphs)
        glyphs[name].draw(bounds)
        left, low, right, high = bounds.bounds
        held = low if anchor == "bottom" else (low + high) / 2
        pen = TTGlyphPen(None)
        move = (scale, 0, 0, scale, SIDE_BEARING - left * scale, height - held * scale)
        glyphs[name].draw(TransformPen(pen, move))
        drawn[name] = (pen.glyph(), round((right - left) * scale) + 2 * SIDE_BEARING)
    for name, (glyph, width) in drawn.items():
        font["glyf"][name] = glyph
        font["hmtx"][name] = (width, SIDE_BEARING)


def set_tables(font: TTFont, names: dict[int, str]) -> None:
    """Give the font its Unicode places and even line heights; leave out names and times."""
    small, large = cmaps.cmap_format_4(4), cmaps.cmap_format_12(12)
    small.platformID, small.platEncID, small.language = 3, 1, 0
    large.platformID, large.platEncID, large.language = 3, 10, 0
    small.cmap = {place: name for place, name in names.items() if place < 0x10000}
    large.cmap = dict(names)
    font["cmap"].tables = [small, large]
    font["hhea"].ascent, font["hhea"].descent = ASCENT, DESCENT
    metrics = font["OS/2"]
    metrics.sTypoAscender = metrics.usWinAscent = ASCENT
    metrics.sTypoDescender, metrics.usWinDescent = DESCENT, -DESCENT
    font["name"].names = []
    font.recalcTimestamp = False
    font.flavor = "woff2"


def main() -> None:
    """Write the cut to the path given."""
    font = leipzig()
    names = cut(font)
    resize(font, names)
    set_tables(font, names)
    font.save(sys.argv[1])


if __name__ == "__main__":
    main()
