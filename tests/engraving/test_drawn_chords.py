"""Checks what stands in the finished drawings of chords: their notes, accidentals, hands, words and cleanliness."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from collections import Counter
from itertools import pairwise

import pytest

from understave.engraving.drawing import EngravingError
from understave.engraving.finishing import place, sprite
from understave.engraving.mei import TREBLE_STAFF, document, measure
from understave.engraving.pictures import Picture, chord_picture
from understave.engraving.studio import Studio
from understave.phrases.typesetting import symbol_text, tone_text
from understave.theory.symbols import read_symbol
from understave.theory.voicings import voice

from .drawn import Drawn, glyph, groups, place_of

ACCIDENTAL_GLYPHS = {"E260": -1, "E262": 1, "E263": 2, "E264": -2, "E265": 3, "E266": -3}
"""Accidentals by their code points (SMuFL 1.4, standard accidentals; from memory)."""

STEP = 90
"""Half a staff space in Verovio's units at scale 100: a line is 180 above the next."""

BOTTOM_LINES = (30, 18)
"""What lies on the bottom line, in steps above C0: E4 in the treble clef, G2 in the bass clef (common practice)."""


def notes(tree: ET.Element) -> dict[str, ET.Element]:
    return {group.get("data-note", ""): group for group in tree.iter("g") if group.get("data-note")}


def test_everything_is_drawn_and_verovio_says_nothing(drawn: list[Drawn]) -> None:
    # the fixture raises EngravingError at a single message; four roots of all types, patterns and positions
    assert len(drawn) > 4 * (86 + 20)
    assert all(one.drawing.inner for one in drawn)


def test_every_note_is_in_its_drawing(drawn: list[Drawn]) -> None:
    for one in drawn:
        assert set(notes(one.tree())) == set(one.pitches) == set(one.picture.notes), one.name


def test_accidentals_are_those_of_the_tones(drawn: list[Drawn]) -> None:
    seen: Counter[int] = Counter()
    for one in drawn:
        for name, group in notes(one.tree()).items():
            signs = [ACCIDENTAL_GLYPHS[glyph(sign)] for sign in groups(group, "accid") if len(sign)]
            alteration = one.pitches[name].tone.alteration
            assert signs == ([alteration] if alteration else []), (one.name, name)
            seen[alteration] += 1
    assert set(seen) >= {-3, -2, -1, 0, 1, 2}


def test_hands_stand_on_their_staves(drawn: list[Drawn]) -> None:
    for one in drawn:
        for bar in groups(one.tree(), "measure"):
            staves = [staff for staff in bar if "staff" in (staff.get("class") or "").split()]
            hands = [{name[0] for name in notes(staff)} for staff in staves]
            assert hands in ([{"r"}, {"l"}], [{"r"}], [{"r"}, set()], [set(), {"l"}]), one.name
            assert len(staves) == (1 if ", position" in one.name else 2), one.name


def test_noteheads_stand_on_the_lines_of_their_pitches(drawn: list[Drawn]) -> None:
    for one in drawn:
        for bar in groups(one.tree(), "measure"):
            staves = [staff for staff in bar if "staff" in (staff.get("class") or "").split()]
            for staff, bottom in zip(staves, BOTTOM_LINES, strict=False):
                first = next(staff.iter("path")).get("d", "")
                lines = sorted({float(y) for y in re.findall(r"M\s*-?[\d.]+[ ,](-?[\d.]+)", first)})
                assert len(lines) == 5, one.name
                for name, group in notes(staff).items():
                    _, height = place_of(next(next(groups(group, "notehead")).iter("use")))
                    above = (lines[-1] - height) / STEP
                    assert round(above, 2) == one.pitches[name].line - bottom, (one.name, name)


def test_symbols_stand_under_the_notes_in_true_signs(drawn: list[Drawn]) -> None:
    for one in drawn:
        words = ["".join(harm.itertext()) for harm in groups(one.tree(), "harm")]
        assert " ".join(words) == " ".join(map(symbol_text, one.symbol.split())), one.name


def test_labels_name_the_notes_and_do_not_run_into_each_other(drawn: list[Drawn]) -> None:
    for one in drawn:
        if not one.picture.labels:
            continue
        tree = one.tree()
        letters = [text for text in tree.iter("text") if text.get("class") == "letter"]
        heights = [float(text.get("y", "nan")) for text in letters]
        high_to_low = sorted(one.pitches.values(), key=lambda pitch: -pitch.key)
        assert [text.text for text in letters] == [tone_text(pitch.tone) for pitch in high_to_low], one.name
        sizes = {float(text.get("font-size", "nan")) for text in letters}
        assert all(lower - upper >= max(sizes) for upper, lower in pairwise(heights)), one.name


def test_labels_tell_degrees_as_words_and_no_bare_digit(drawn: list[Drawn]) -> None:
    for one in drawn:
        for text in one.tree().iter("text"):
            if text.get("class") in ("letter", "degree"):
                assert not re.fullmatch(r"[♭♯𝄫𝄪]*\d+", text.text or ""), one.name


def test_finished_drawings_hold_nothing_of_the_tool(drawn: list[Drawn]) -> None:
    for one in drawn:
        inner = one.drawing.inner
        assert not re.search(r"[\ue000-\uf8ff]|&#x?[eEfF][0-9a-fA-F]{3};", inner), one.name
        assert "font-family" not in inner, one.name
        assert not re.search(r"\b(black|#000(000)?|rgb\(0)\b", inner), one.name
        assert not re.search(r"\sid=|\sdata-id=|\sstyle=|<style|<title|<desc|xlink|@import|https?:", inner), one.name


def test_glyphs_that_are_used_stand_in_the_sprite(drawn: list[Drawn]) -> None:
    for one in drawn:
        used = {use.get("href", "").removeprefix("#") for use in one.tree().iter("use")}
        shared = set(re.findall(r'id="([^"]+)"', sprite([one.drawing])))
        assert used, one.name
        assert used <= shared, one.name


def test_one_drawing_stands_twice_on_a_page_without_a_clash(drawn: list[Drawn]) -> None:
    one = drawn[0].drawing
    page = sprite([one, one]) + place(one, "p1", "<C> & so on", "C 3, root") + place(one, "p2", "C", "C 3, root")
    ids = re.findall(r'\sid="([^"]+)"', page)
    assert len(ids) == len(set(ids)) > 6
    tree = ET.fromstring(f"<div>{page}</div>")
    first = next(svg for svg in tree if svg.get("id") == "p1")
    name, words = first.get("aria-labelledby"), first.get("aria-describedby")
    said = {element.get("id"): element.text for element in first}
    assert (said[name], said[words]) == ("<C> & so on", "C 3, root")
    assert first.get("role") == "img"


SCRIPT = """
import hashlib
from understave.engraving.pictures import chord_picture
from understave.engraving.studio import Studio
from understave.theory.symbols import read_symbol
from understave.theory.voicings import voice
pictures = [chord_picture(voice(read_symbol(text)[0].chord), text) for text in ("Abm11", "Cbdim7", "F#13", "Bb/C")]
studio = Studio(None)
if __name__ == "__main__":
    studio.draw(pictures)
    print(hashlib.sha256(repr([studio[picture] for picture in pictures]).encode()).hexdigest())
"""


def test_processes_draw_the_same_bytes(tmp_path: object) -> None:
    script = f"{tmp_path}/drawing.py"
    with open(script, "w", encoding="utf-8") as file:  # noqa: PTH123
        file.write(SCRIPT)
    hashes = set()
    for changes in ({"PYTHONHASHSEED": "1", "TZ": "UTC"}, {"PYTHONHASHSEED": "2", "TZ": "AAA-14", "LC_ALL": "C"}):
        run = subprocess.run(
            [sys.executable, script], env={**os.environ, **changes}, capture_output=True, text=True, check=False
        )
        assert run.returncode == 0, run.stderr
        assert re.fullmatch(r"[0-9a-f]{64}\n", run.stdout)
        hashes.add(run.stdout)
    assert len(hashes) == 1


def note_on(staff: str, attributes: str, notes: tuple[str, ...] = ("n0",)) -> Picture:
    """Return a picture of one note whose attributes are written by hand, as no entry could."""
    return Picture(
        document(TREBLE_STAFF, [measure([f'<note xml:id="n0" dur="1" {attributes}/>'])]).replace('n="1"', staff), (),
        notes=notes,
    )  # fmt: skip


@pytest.mark.parametrize(
    "picture",
    [
        pytest.param(note_on('n="1"', 'pname="c" oct="4" accid="zz"'), id="an accidental that doesn't exist"),
        pytest.param(note_on('n="1"', 'pname="c" oct="4"', ("n0", "n1")), id="a note that isn't there"),
        pytest.param(Picture("<mei"), id="no MEI"),
        pytest.param(Picture("A note, please"), id="no XML"),
    ],
)
def test_what_verovio_warns_of_is_an_error(picture: Picture) -> None:
    with pytest.raises(EngravingError):
        Studio(None).draw([picture])


def test_crash_of_the_drawing_program_is_an_error_and_hurts_nothing(capfd: pytest.CaptureFixture[str]) -> None:
    # a staff with the number 0 ends Verovio's process; it must be a worker's
    with pytest.raises(EngravingError):
        Studio(None).draw([note_on('n="0"', 'pname="c" oct="x"')])
    chord = read_symbol("C")[0].chord
    assert chord
    good = chord_picture(voice(chord), "C")
    studio = Studio(None)
    studio.draw([good])
    assert "data-note" in studio[good].inner
