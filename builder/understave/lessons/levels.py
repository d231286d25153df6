"""The rules of the levels: what a score may ask of a hand, and where a lesson's score asks for more."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from typing import Annotated, Literal, get_args

from pydantic import AfterValidator, BeforeValidator, WithJsonSchema
from pydantic_core import PydanticCustomError

from understave.entries.faults import Fault
from understave.entries.folders import shown_path
from understave.entries.schema import Shape, Typed, wrong
from understave.entries.shaping import build
from understave.entries.yaml_files import read_yaml
from understave.lessons.demands import demands_of
from understave.lessons.schema import Level
from understave.lessons.scores import Score
from understave.theory.rhythms import recip_length

LEVELS_FILE = "levels.yaml"
"""The file of rules, beside the lessons' folder."""

Together = Literal["on-beats", "same-division", "freely"]

TOGETHER: tuple[Together, ...] = get_args(Together)
"""Where the left hand may start a note: on beats; between beats too, if both hands divide the beat by two or both by
three; anywhere."""


_NOTE_VALUE = re.compile(r"[1-9][0-9]{0,2}", re.ASCII)

MOST = 99
"""The highest number that a rule may have."""


def _number(value: object) -> int:
    text = str(value)
    if not text.isascii() or not text.isdecimal() or int(text) > MOST:
        raise wrong(repr(text), f"a whole number from 0 to {MOST}")
    return int(text)


def _division(value: str) -> str:
    if not _NOTE_VALUE.fullmatch(value):
        raise wrong(f"the note value {value!r}", "a recip token such as 8 or 16")
    return value


Number = Annotated[int, BeforeValidator(_number), WithJsonSchema({"type": "integer", "minimum": 0, "maximum": MOST})]


class LevelRules(Shape):
    """What a score of one level may ask for."""

    largest_span: Number
    """Semitones from the lowest to the highest note that one hand holds at once."""
    notes_at_once: Number
    """The most notes that one hand holds at once."""
    accidentals: Number
    """The most sharps or flats of the key signature."""
    smallest_division: Annotated[Typed, AfterValidator(_division)]
    """The shortest note, as a recip token."""
    hands_together: Together
    """Where the left hand may start a note: on beats; in the same division as the right hand; freely."""


class LevelsFile(Shape):
    """The file of rules; a level without them is not checked."""

    beginner: LevelRules | None = None
    """What a score for beginners may ask of a hand."""
    intermediate: LevelRules | None = None
    """What a score for those who have played for a while may ask of a hand."""
    advanced: LevelRules | None = None
    """What a score for advanced players may ask of a hand."""

    def wrongs(self) -> Iterator[PydanticCustomError]:
        """Yield what is wrong between fields."""
        rules = [(name, getattr(self, name)) for name in get_args(Level) if getattr(self, name)]
        for (easier, lower), (harder, higher) in pairwise(rules):
            if lower.largest_span > higher.largest_span or lower.notes_at_once > higher.notes_at_once:
                yield wrong(f"{harder} asking for less than {easier}", "rules that grow", at=(harder,))


@dataclass(frozen=True)
class Broken:
    """A rule that a score breaks: what the score asks for, what the level allows, and in which measure (or None)."""

    asked: str
    allowed: str
    where: int | None = None


def read_levels(path: Path) -> tuple[dict[str, LevelRules], list[Fault]]:
    """Return the rules by level and the file's faults; a file that isn't there has no rules."""
    if not path.exists():
        return {}, []
    document = read_yaml(path, shown_path(path))
    file = build(LevelsFile, document)
    if file is None:
        return {}, document.faults
    return {name: rules for name in get_args(Level) if (rules := getattr(file, name))}, []


def broken_rules(score: Score, rules: LevelRules) -> Iterator[Broken]:
    """Yield each rule that a score breaks, at its worst place."""
    demands = demands_of(score)
    for hand, grip in demands.widest.items():
        if grip.span > rules.largest_span:
            yield Broken(f"{grip.span} semitones in the {hand} hand", f"{rules.largest_span}", grip.measure)
    for hand, grip in demands.fullest.items():
        if len(grip.pitches) > rules.notes_at_once:
            yield Broken(
                f"{len(grip.pitches)} notes at once in the {hand} hand", f"{rules.notes_at_once}", grip.measure
            )
    if demands.signs > rules.accidentals:
        yield Broken(f"{demands.signs} sharps or flats", f"{rules.accidentals}")
    if demands.shortest < recip_length(rules.smallest_division):
        shortest = f"notes of {demands.shortest} of a whole note"
        yield Broken(shortest, f"{recip_length(rules.smallest_division)}")
    together, measure = hands_together(score)
    if TOGETHER.index(together) > TOGETHER.index(rules.hands_together):
        yield Broken(f"hands together: {together}", rules.hands_together, measure)


def hands_together(score: Score) -> tuple[Together, int | None]:
    """Return how freely the left hand's notes start against the right's, and the first measure that needs it."""
    starts: dict[tuple[int, int], dict[str, set[Fraction]]] = defaultdict(lambda: {"left": set(), "right": set()})
    for note in score.notes:
        if not note.held:
            measure = score.measure_at(note.at)
            beat, place = score.beat_at(note.at)
            starts[measure.number, beat][note.hand].add(place / measure.meter.beats()[beat - 1])
    needed: tuple[int, int | None] = (0, None)
    for (number, _), by_hand in starts.items():
        left, right = (by_hand[hand] - {Fraction(0)} for hand in ("left", "right"))
        in_three = [any(place.denominator % 3 == 0 for place in places) for places in (left, right)]
        kind = 2 if left and right and in_three[0] != in_three[1] else 1 if left else 0
        if kind > needed[0]:
            needed = (kind, number)
    return TOGETHER[needed[0]], needed[1]
