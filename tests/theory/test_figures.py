"""Finds rhythm figures in other music. What each figure is and where it may stand is common practice."""

from __future__ import annotations

from fractions import Fraction

import pytest

from understave.entries.values import RhythmFigure
from understave.theory.figures import figures_in, telling
from understave.theory.rhythms import Rhythm, parse_meter, parse_rhythm


def rhythm(tokens: str, meter: str = "4/4") -> Rhythm:
    return parse_rhythm(tokens, parse_meter(meter))


FIGURES = {
    "triplets": ("12 12 12 12 12 12 4 4", "4/4", "12 12 12"),
    "change": ("12 12 12 12 12 12 8 8 8 8", "4/4", "12 12 12 8 8"),
    "dotted": ("4. 8 4 4", "4/4", "4. 8"),
    "syncopated": ("8 4 8 4 4", "4/4", "8 4 8"),
    "middle": ("4 8 [8 8] 8 4", "4/4", "[8 8]"),
    "over the bar": ("4 4 4 8 [8 | 2] 2", "4/4", "[8 2]"),
    "charleston": ("4. 8 2r", "4/4", "4. 8 2r"),
    "off-beat": ("8r 8 4 8r 8 4", "4/4", "8r 8"),
    "pickup": ("4 | 4 4 4 4 | 2.", "4/4", "4"),
    "in three": ("4. 8 4 | 2.", "3/4", "4. 8 4"),
    "siciliano": ("8. 16 8 4 8", "6/8", "8. 16 8"),
    "hemiola": ("2 [4 | 4] 2", "3/4", "2 [4 4] 2"),
}

KNOWN = {name: telling(rhythm(tokens, meter), known) for name, (tokens, meter, known) in FIGURES.items()}


def found(tokens: str, meter: str = "4/4") -> list[tuple[str, int, Fraction]]:
    music = rhythm(tokens, meter)
    known = {name: one for name, one in KNOWN.items() if one is not None}
    return [(one.name, one.measure.number, one.at) for one in figures_in(music, known)]


@pytest.mark.parametrize(
    ("tokens", "meter", "figures"),
    [
        ("4 12 12 12 2", "4/4", [("triplets", 1, "1/4")]),
        ("12 12 12 8 8 2", "4/4", [("change", 1, "0")]),  # the triplet within the change isn't told again
        ("12 12 12 12 12 12 8 8", "3/4", [("triplets", 1, "0"), ("change", 1, "1/4")]),
        ("2 4. 8", "4/4", [("dotted", 1, "1/2")]),
        ("4 4. 8 4", "4/4", []),  # on a weak beat the dotted quarter hides the strong one
        ("4. 8 4", "3/4", [("in three", 1, "0")]),
        ("8 4 8 2", "4/4", [("syncopated", 1, "0")]),
        ("4 8 4 8 4", "4/4", [("middle", 1, "3/8")]),
        ("8 4 4 4 8", "4/4", [("syncopated", 1, "0"), ("middle", 1, "3/8")]),  # the last quarter rings on
        ("4 4 4 [4 | 2] 2", "4/4", [("over the bar", 1, "3/4")]),
        ("1", "4/4", []),
        ("4. 8 2r", "4/4", [("charleston", 1, "0")]),
        ("4. 8 2", "4/4", [("dotted", 1, "0")]),
        ("4 8r 8 2", "4/4", [("off-beat", 1, "1/4")]),
        ("4 [4 8] 8 4", "4/4", []),  # held where the figure rests
        ("4 | 1 | 2.", "4/4", [("pickup", 0, "0")]),
        ("4 4 4 4", "4/4", []),
        ("4. 8. 16 8", "6/8", [("siciliano", 1, "3/8")]),
        # beats of another length make no siciliano
        ("8. 16 8 4. 8r 8", "4/4", [("middle", 1, "3/8"), ("off-beat", 1, "3/4")]),
        ("2 [4 | 4] 2", "3/4", [("hemiola", 1, "0")]),
    ],
)
def test_figures_stand_where_their_notes_do(tokens, meter, figures):
    assert found(tokens, meter) == [(name, measure, Fraction(at)) for name, measure, at in figures]


def test_an_exact_place_is_told_from_one_whose_last_note_rings_on():
    known = KNOWN["dotted"]
    assert known is not None
    music = rhythm("4. [8 2] | 4. 8 2")
    assert [(one.measure.number, one.exact) for one in figures_in(music, {"dotted": known})] == [(1, False), (2, True)]


@pytest.mark.parametrize("known_by", ["8 4", "", "16", "[4 4]"])
def test_a_figure_is_known_by_nothing_that_it_does_not_have(known_by):
    assert telling(rhythm("4 8 8 2"), known_by) is None


def test_every_figure_of_the_glossary_is_found_in_itself_or_within_a_longer_one(glossary):
    figures = glossary.of(RhythmFigure)
    known = {name: entry.telling for name, entry in figures.items() if entry.telling is not None}
    assert len(known) > 25
    for name, one in known.items():
        assert [place.name for place in figures_in(figures[name].parsed, {name: one})], name
