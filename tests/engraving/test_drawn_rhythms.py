"""Checks the pictures of rhythms: beams by the beat, tuplets, ties, and the count under the notes."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest

from understave.engraving.rhythm_pictures import rhythm_picture
from understave.engraving.studio import Studio
from understave.entries.kept import load_glossary
from understave.entries.values import CountingSystem, RhythmFigure
from understave.theory.counting import count
from understave.theory.rhythms import Rhythm, parse_meter, parse_rhythm

from .drawn import glyph, groups, place_of

GLOSSARY = load_glossary(Path(__file__).parents[2] / "content")
SYSTEM = GLOSSARY.of(CountingSystem)["e-and-a"].system

# Common practice: a beam holds the short notes of one beat, and no rest.
BEAMS = [
    ("4/4", "8 8 8 8 4 4", [(0, 1), (2, 3)]),
    ("4/4", "4 8 8 8 8 4", [(1, 2), (3, 4)]),
    ("4/4", "8 4 8 4 4", []),
    ("3/4", "8 8 8 8 8 8", [(0, 1), (2, 3), (4, 5)]),
    ("6/8", "8 8 8 8 8 8", [(0, 1, 2), (3, 4, 5)]),
    ("6/8", "4 8 8. 16 8", [(2, 3, 4)]),
    ("9/8", "8 8 8 4. 8 8 8", [(0, 1, 2), (4, 5, 6)]),
    ("2/2", "8 8 8 8 8 8 8 8", [(0, 1, 2, 3), (4, 5, 6, 7)]),
    ("5/8", "8 8 8 8 8", [(0, 1, 2), (3, 4)]),
    ("2+3/8", "8 8 8 8 8", [(0, 1), (2, 3, 4)]),
    ("7/8", "8 8 8 8 8 8 8", [(0, 1), (2, 3), (4, 5, 6)]),
    ("4/4", "16 16 16 16 8. 16 16 8. 16 8 16", [(0, 1, 2, 3), (4, 5), (6, 7), (8, 9, 10)]),
    ("4/4", "8 8r 8 8 4 4", [(2, 3)]),
    ("4/4", "8 8 8r 8 4 4", [(0, 1)]),
    ("4/4", "12 12 12 4 12 12 12 4", [(0, 1, 2), (4, 5, 6)]),
    ("4/4", "12r 12 12 4 4 4", [(1, 2)]),
    ("4/4", "8 8 | 4 4 4 4 | 4 4 4", [(0, 1)]),
    ("4/4", "4 8 [8 8] 8 4", [(1, 2), (3, 4)]),
]

# Common practice: a bracket holds a tuplet together where no beam does.
TUPLETS = [
    ("4/4", "12 12 12 4 4 4", [(3, False)]),
    ("4/4", "4 12 12 12 12 12 12 4", [(3, False), (3, False)]),
    ("4/4", "6 12 4 4 4", [(3, True)]),
    ("4/4", "12 6 4 4 4", [(3, True)]),
    ("4/4", "12r 12 12 4 4 4", [(3, True)]),
    ("4/4", "6 6 6 2", [(3, True)]),
    ("4/4", "3 3 3", [(3, True)]),
    ("4/4", "24 24 24 24 24 24 4 4 4", [(6, False)]),
    ("4/4", "20 20 20 20 20 4 4 4", [(5, False)]),
    ("4/4", "8 8 8 8 4 4", []),
]

TIES = [
    ("4/4", "4 [4 4] 4", 1),
    ("4/4", "[4 _4 4] 4", 2),
    ("4/4", "8 [8 8] 8 [4 4]", 2),
    ("4/4", "4 4 4 4", 0),
]

Case = tuple[str, str]


@pytest.fixture(scope="module")
def drawings() -> dict[Case, ET.Element]:
    """Return the drawings of all rhythms of these tests, and of the glossary's figures, by meter and rhythm."""
    cases = [(meter, text) for table in (BEAMS, TUPLETS, TIES) for meter, text, _ in table]
    cases += [(figure.meter, figure.rhythm) for figure in GLOSSARY.of(RhythmFigure).values()]
    pictures = {case: rhythm_picture(parsed(case), count(parsed(case), SYSTEM).counts) for case in cases}
    studio = Studio(None)
    studio.draw(pictures.values())
    return {case: ET.fromstring(f"<svg>{studio[picture].inner}</svg>") for case, picture in pictures.items()}


def parsed(case: Case) -> Rhythm:
    meter, text = case
    return parse_rhythm(text, parse_meter(meter))


def numbers(group: ET.Element) -> tuple[int, ...]:
    """Return the numbers of the notes in a group."""
    return tuple(int(note.get("data-note", "").removeprefix("e")) for note in groups(group, "note"))


@pytest.mark.parametrize(("meter", "text", "beams"), BEAMS)
def test_beams_follow_the_beat(
    drawings: dict[Case, ET.Element], meter: str, text: str, beams: list[tuple[int, ...]]
) -> None:
    assert [numbers(beam) for beam in groups(drawings[meter, text], "beam")] == beams


def test_no_beam_of_any_figure_crosses_a_beat(drawings: dict[Case, ET.Element]) -> None:
    beams = 0
    for figure in GLOSSARY.of(RhythmFigure).values():
        case = (figure.meter, figure.rhythm)
        beat_of = beats(parsed(case))
        for beam in groups(drawings[case], "beam"):
            beams += 1
            assert len({beat_of[number] for number in numbers(beam)}) == 1, case
    assert beams > 50


def beats(rhythm: Rhythm) -> dict[int, tuple[int, int]]:
    """Return the measure and the beat in which each event starts, by its number."""
    found, number = {}, 0
    for measure in rhythm.measures:
        ends, end = [], measure.at - measure.missing
        for length in measure.meter.beats():
            end += length
            ends.append(end)
        for event in measure.events:
            found[number] = (measure.number, sum(end <= event.at for end in ends))
            number += 1
    return found


@pytest.mark.parametrize(("meter", "text", "tuplets"), TUPLETS)
def test_tuplets_have_a_number_and_a_bracket_where_no_beam_holds_them(
    drawings: dict[Case, ET.Element], meter: str, text: str, tuplets: list[tuple[int, bool]]
) -> None:
    found = []
    for tuplet in groups(drawings[meter, text], "tuplet"):
        [number] = groups(tuplet, "tupletNum")
        brackets = [bracket for bracket in groups(tuplet, "tupletBracket") if len(bracket)]
        # SMuFL 1.4: the tuplet digits stand at E880 to E889 (from memory)
        found.append((int(glyph(number), 16) - 0xE880, bool(brackets)))
    assert found == tuplets


@pytest.mark.parametrize(("meter", "text", "ties"), TIES)
def test_ties_are_drawn(drawings: dict[Case, ET.Element], meter: str, text: str, ties: int) -> None:
    tree = drawings[meter, text]
    assert len([tie for tie in groups(tree, "tie") if len(tie)]) == ties


def test_every_note_and_rest_of_every_figure_is_drawn(drawings: dict[Case, ET.Element]) -> None:
    for case, tree in drawings.items():
        events = parsed(case).events
        assert sorted(numbers(tree)) == [n for n, event in enumerate(events) if not event.rests], case
        assert len(list(groups(tree, "rest"))) == sum(event.rests for event in events), case


def test_notes_stand_in_the_order_of_the_rhythm(drawings: dict[Case, ET.Element]) -> None:
    for case, tree in drawings.items():
        for system in groups(tree, "system"):
            heads = [(numbers(note)[0], head(note)[0]) for note in groups(system, "note")]
            assert heads == sorted(heads), case
            assert all(earlier[1] < later[1] for earlier, later in pairwise(heads)), case


def head(note: ET.Element) -> tuple[float, float]:
    return place_of(next(next(groups(note, "notehead")).iter("use")))


def test_count_stands_in_one_row_under_the_notes_in_order(drawings: dict[Case, ET.Element]) -> None:
    for case, tree in drawings.items():
        wanted = [one.word for one in count(parsed(case), SYSTEM).counts]
        words = []
        for system in groups(tree, "system"):
            texts = [next(harm.iter("text")) for harm in groups(system, "harm")]
            words += ["".join(text.itertext()) for text in texts]
            places = [float(text.get("x", "nan")) for text in texts]
            rows = {float(text.get("y", "nan")) for text in texts}
            assert all(earlier < later for earlier, later in pairwise(places)), case
            assert len(rows) == 1, case
            assert all(head(note)[1] < min(rows) for note in groups(system, "note")), case
        assert words == wanted, case


def test_what_is_said_to_a_note_stands_under_it(drawings: dict[Case, ET.Element]) -> None:
    compared = 0
    for case, tree in drawings.items():
        rhythm = parsed(case)
        said = {one.at: number for number, one in enumerate(count(rhythm, SYSTEM).counts)}
        texts = [next(harm.iter("text")) for harm in groups(tree, "harm")]
        notes = {numbers(note)[0]: note for note in groups(tree, "note")}
        for number, event in enumerate(rhythm.events):
            if event.at in said and number in notes:
                left, _ = head(notes[number])
                word = float(texts[said[event.at]].get("x", "nan"))
                assert abs(word - left) < 250, (case, number)
                compared += 1
    assert compared > 200


def test_rhythm_fits_the_width_of_a_page(drawings: dict[Case, ET.Element]) -> None:
    # two measures of sixteenths break into two systems instead of one line that nobody can read on a phone
    case = ("4/4", " ".join(["16"] * 16 + ["|"] + ["16"] * 16))
    rhythm = parse_rhythm(case[1], parse_meter(case[0]))
    picture = rhythm_picture(rhythm, count(rhythm, SYSTEM).counts)
    studio = Studio(None)
    studio.draw([picture])
    tree = ET.fromstring(f"<svg>{studio[picture].inner}</svg>")
    assert len(list(groups(tree, "system"))) == 2
    assert sum(event.length for event in rhythm.events) == Fraction(2)
    assert len(numbers(tree)) == 32
