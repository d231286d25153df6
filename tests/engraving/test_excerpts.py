"""Draws measures of a score with symbols and counts of ours, and looks at what Verovio made of them."""

from __future__ import annotations

import dataclasses
import re
import xml.etree.ElementTree as ET
from fractions import Fraction
from pathlib import Path

import pytest

from understave.engraving.drawing import EngravingError
from understave.engraving.excerpts import Excerpt, Mark, number_notes
from understave.engraving.finishing import finish, place
from understave.engraving.score_drawing import draw_excerpt
from understave.engraving.studio import Studio

SCORE = Path("site_examples/lanternfield/scores/paper-lanterns-at-low-tide.musicxml")
MUSIC = SCORE.read_bytes()


def excerpt(first: int, last: int, symbols: tuple[Mark, ...] = (), counts: tuple[Mark, ...] = ()) -> Excerpt:
    return Excerpt(SCORE, MUSIC, first, last, symbols, counts)


def measures(svg: str) -> int:
    return svg.count('data-class="measure"')


def texts(svg: str) -> list[str]:
    return ["".join(re.findall(r">([^<>]*)</tspan>", part)).strip() for part in svg.split('data-class="harm"')[1:]]


def test_only_the_chosen_measures_are_drawn_each_time():
    assert [measures(draw_excerpt(excerpt(first, last))) for first, last in ((1, 2), (11, 11), (15, 16), (1, 2))] == [
        2, 1, 2, 2,
    ]  # fmt: skip


def test_our_symbols_and_counts_stand_there_and_the_scores_own_do_not():
    marks = tuple(Mark(11, Fraction(place, 4), (word, "", "")) for place, word in enumerate("123"))
    svg = draw_excerpt(excerpt(11, 11, (Mark(11, Fraction(0), ("F", "7", "/C")),), marks))
    assert sorted(map("".join, map(str.split, texts(svg)))) == ["1", "2", "3", "F7/C"]


def test_marks_of_one_excerpt_do_not_stay_for_the_next():
    draw_excerpt(excerpt(1, 1, (Mark(1, Fraction(0), ("F", "", "")),)))
    assert texts(draw_excerpt(excerpt(1, 1))) == []


def test_words_stand_in_the_order_of_their_places():
    marks = tuple(Mark(11, Fraction(place, 8), (str(place), "", "")) for place in range(6))
    svg = draw_excerpt(excerpt(11, 11, (), marks))
    places = [float(x) for x in re.findall(r'data-class="harm"[^>]*>.*?<text x="([\d.]+)"', svg, flags=re.S)]
    assert len(places) == 6
    assert places == sorted(places)


@pytest.mark.parametrize(("first", "last"), [(16, 17), (17, 18), (0, 1)])
def test_measures_that_are_not_there_are_an_error(first, last):
    with pytest.raises(EngravingError):
        draw_excerpt(excerpt(first, last))


def test_a_mark_outside_of_the_score_is_an_error():
    with pytest.raises(EngravingError, match="position 40"):
        draw_excerpt(excerpt(1, 1, (Mark(40, Fraction(0), ("F", "", "")),)))


def test_a_studio_draws_excerpts_once_and_names_a_score_that_it_cannot_read(tmp_path):
    one = excerpt(3, 4, (Mark(3, Fraction(0), ("G", "m9", "")),))
    Studio(tmp_path).draw([one])
    again = Studio(tmp_path)
    svg = place(again[one], "x", "t", "d")
    assert "m9" in svg
    assert 'class="note"' in svg
    broken = tmp_path / "broken.musicxml"
    for music in (b"<score-partwise><part", b"<score-partwise/>"):
        with pytest.raises(EngravingError, match=r"broken\.musicxml"):
            again.draw([Excerpt(broken, music, 1, 1, (), ())])


def test_what_changes_the_ink_changes_the_key():
    one = excerpt(3, 4)
    others = [
        dataclasses.replace(one, **change)
        for change in (
            {"music": b"<score-partwise/>"}, {"first": 4}, {"last": 5}, {"scale": 0.4},
            {"symbols": (Mark(3, Fraction(0), ("F", "", "")),)}, {"counts": (Mark(3, Fraction(0), ("1", "", "")),)},
        )
    ]  # fmt: skip
    assert len({one.key, *(other.key for other in others)}) == 7
    assert dataclasses.replace(one, score=Path("elsewhere.musicxml")).key == one.key


def test_a_finished_excerpt_has_no_fixed_color_and_no_verovio_ids():
    drawing = finish(draw_excerpt(excerpt(1, 2)), (), 0.5)
    assert "#000" not in drawing.inner
    assert "data-id" not in drawing.inner


def test_each_note_keeps_its_place_among_the_notes_of_the_file():
    score = ET.fromstring(MUSIC)
    number_notes(score)
    of_measure = score.find("part/measure[@number='11']")
    assert of_measure is not None
    wanted = [note.get("id") for note in of_measure.iter("note") if note.find("pitch") is not None]
    inner = finish(draw_excerpt(excerpt(11, 11)), (), 0.5).inner
    assert sorted(re.findall(r'data-note="(.+?)"', inner)) == sorted(map(str, wanted))
