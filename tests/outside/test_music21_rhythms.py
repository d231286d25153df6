"""Checks 500 generated rhythms against music21: each note's length, each onset's beat, and that no beam joins beats.

music21 is told the groups of asymmetric meters (5/8 as 3/8+2/8). A listed exception: it counts 3/8 in one, we count
three eighths, so 3/8 isn't among the meters here.
"""

from __future__ import annotations

import random
import re
from fractions import Fraction
from typing import Any

import pytest
from music21 import duration, meter, note, stream, tie

from understave.engraving.rhythm_pictures import rhythm_picture
from understave.theory.counting import PositionSystem, count
from understave.theory.rhythms import Rhythm, parse_meter, parse_rhythm

TAKADIMI = PositionSystem({2: ("ta", "di"), 3: ("ta", "ki", "da"), 4: ("ta", "ka", "di", "mi")})
METERS = {
    "2/4": "2/4", "3/4": "3/4", "4/4": "4/4", "6/8": "6/8", "9/8": "9/8", "12/8": "12/8", "2/2": "2/2",
    "5/8": "3/8+2/8", "7/8": "2/8+2/8+3/8",
    "3+2/8": "3/8+2/8", "2+3/8": "2/8+3/8", "2+2+3/8": "2/8+2/8+3/8", "3+2+2/8": "3/8+2/8+2/8",
}  # fmt: skip
"""Our meters and how music21 wants them."""

FIGURES = {
    Fraction(1, 4): ("4", "4r", "8 8", "8r 8", "8. 16", "16 8.", "8 16 16", "16 16 16r 16", "12 12 12", "12r 6",
                     "20 20 20 20 20", "24 24 12 12r"),
    Fraction(3, 8): ("4.", "8 8 8", "4 8", "8 4r", "8. 16 8", "16 16 16 16 8", "8. 8.", "16 8 16 8r", "32 32 16 4"),
    Fraction(1, 2): ("2", "2r", "4. 8", "8 4 8", "4.. 16", "6 6 6", "6r 3", "12 12 12 8 8", "8 8 4"),
}  # fmt: skip
"""Figures that fill a beat: plain, dotted, with rests, in tuplets."""


def generated(seed: int) -> tuple[str, Rhythm]:
    """Return a meter and a rhythm of one to three measures in it, some of its notes tied."""
    chance = random.Random(seed)
    name = chance.choice(list(METERS))
    lengths = parse_meter(name).beats()
    tokens: list[str] = []
    measures = chance.randint(1, 3)
    ends = []
    for _ in range(measures):
        for length in lengths:
            tokens += chance.choice(FIGURES[length]).split()
        ends.append(len(tokens))
    tied = False
    written = []
    for place, token in enumerate(tokens):
        rest = token.endswith("r")
        ties = not rest and place + 1 < len(tokens) and not tokens[place + 1].endswith("r") and chance.random() < 0.15
        mark = {(False, True): f"[{token}", (True, True): f"_{token}", (True, False): f"{token}]"}
        written.append(mark.get((tied, ties), token))
        tied = ties
        if place + 1 in ends[:-1]:
            written.append("|")
    return name, parse_rhythm(" ".join(written), parse_meter(name))


def music21_part(name: str, rhythm: Rhythm) -> Any:
    """Return music21's part of the same notes, from the written values: type, dots and tuplet."""
    part = stream.Part()
    for number, ours in enumerate(rhythm.measures, 1):
        theirs = stream.Measure(number=number)
        if number == 1:
            theirs.timeSignature = meter.TimeSignature(METERS[name])
        for event in ours.events:
            theirs.append(written_note(event))
        part.append(theirs)
    return part


def written_note(event: Any) -> Any:
    number, dots, odd = int(event.token.rstrip(".")), event.token.count("."), event.tuplet
    normal = 2 ** (odd.bit_length() - 1)
    value = duration.Duration(type=duration.typeFromNumDict[number * normal // odd], dots=dots)
    if odd > 1:
        value.appendTuplet(duration.Tuplet(odd, normal))
    made = note.Rest(duration=value) if event.rests else note.Note("B4", duration=value)
    if event.held or event.holds:
        made.tie = tie.Tie("continue" if event.held and event.holds else "stop" if event.held else "start")
    return made


def quarters(value: Any) -> Fraction:
    return Fraction(value).limit_denominator(10080)


@pytest.mark.parametrize("first", range(0, 500, 50))
def test_lengths_and_beats_are_music21s(first: int) -> None:
    for seed in range(first, first + 50):
        name, rhythm = generated(seed)
        beats = {one.at: one for one in count(rhythm, TAKADIMI).counts}
        part = music21_part(name, rhythm)
        for ours, theirs in zip(rhythm.measures, part.getElementsByClass(stream.Measure), strict=True):
            for event, other in zip(ours.events, theirs.notesAndRests, strict=True):
                where = (seed, name, rhythm.recip, event.written)
                assert event.length * 4 == quarters(other.quarterLength), where
                assert (event.at - ours.at) * 4 == quarters(other.offset), where
                assert beats[event.at].sounds == event.starts, where
                assert beats[event.at].beat == int(other.beat), where


@pytest.mark.parametrize("first", range(0, 500, 50))
def test_beams_join_no_beats_that_music21_parts(first: int) -> None:
    for seed in range(first, first + 50):
        name, rhythm = generated(seed)
        groups = beamed(rhythm)
        number = 0
        part = music21_part(name, rhythm)
        part.makeBeams(inPlace=True)
        for theirs in part.getElementsByClass(stream.Measure):
            for other in theirs.notesAndRests:
                begins = isinstance(other, note.Note) and any(beam.type == "start" for beam in other.beams)
                joined = number in groups and number - 1 in groups and groups[number] == groups[number - 1]
                on_beat = other.beat == int(other.beat)
                assert not (begins and joined and on_beat), (seed, name, rhythm.recip, number)
                number += 1


def beamed(rhythm: Rhythm) -> dict[int, int]:
    """Return, for the number of each note under a beam of our picture, the number of the beam."""
    found: dict[int, int] = {}
    for beam, match in enumerate(re.finditer(r"<beam>(.*?)</beam>", rhythm_picture(rhythm, ()).mei)):
        for name in re.findall(r'xml:id="e(\d+)"', match[1]):
            found[int(name)] = beam
    return found
