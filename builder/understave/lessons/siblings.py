"""Two levels of one tune: what the easier one simplifies, measure by measure and as a whole."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from understave.lessons.demands import Demands, demands_of
from understave.lessons.lesson import Lesson
from understave.lessons.schema import LEVELS
from understave.theory.chords import Chord
from understave.theory.tones import Tone

PART = 2
"""How many times shorter the harder level's shortest note must be for a measure's rhythm to count as plainer."""


@dataclass(frozen=True)
class OtherSymbol:
    """A place where the two levels print different symbols.

    ``relation`` is ``fewer-tones`` (the same root, some tones left out), ``other-bass`` or ``other-chord``;
    ``left_out`` are the tones of the harder symbol that the easier one doesn't name.
    """

    measure: int
    easier: Chord
    harder: Chord
    relation: str
    left_out: tuple[Tone, ...]


@dataclass(frozen=True)
class Simplification:
    """What the ``easier`` lesson simplifies of the ``harder`` one.

    ``plainer`` are the measures with plainer rhythm, ``thinner`` those with fewer notes struck.
    """

    easier: Lesson
    harder: Lesson
    demands: tuple[Demands, Demands]
    symbols: tuple[OtherSymbol, ...]
    plainer: tuple[int, ...]
    thinner: tuple[int, ...]


def simplifications(lessons: Iterable[Lesson]) -> dict[str, Simplification]:
    """Return, by the easier lesson's id, what it simplifies of the next harder lesson of its tune."""
    by_tune: dict[str, list[Lesson]] = defaultdict(list)
    for lesson in lessons:
        by_tune[lesson.file.tune].append(lesson)
    found = {}
    for siblings in by_tune.values():
        ordered = sorted(siblings, key=lambda lesson: LEVELS.index(lesson.file.level))
        for easier in ordered:
            harder = next((one for one in ordered if _level(one) > _level(easier)), None)
            if harder is not None:
                found[easier.id] = simplified(easier, harder)
    return found


def _level(lesson: Lesson) -> int:
    return LEVELS.index(lesson.file.level)


def simplified(easier: Lesson, harder: Lesson) -> Simplification:
    """Return what ``easier`` simplifies; measures are matched by their numbers, keys may differ."""
    struck = [_struck(lesson) for lesson in (easier, harder)]
    both = sorted(struck[0].keys() & struck[1].keys())
    return Simplification(
        easier,
        harder,
        (demands_of(easier.score), demands_of(harder.score)),
        tuple(_other_symbols(easier, harder)),
        tuple(number for number in both if min(struck[0][number]) >= PART * min(struck[1][number])),
        tuple(number for number in both if len(struck[0][number]) < len(struck[1][number])),
    )


def _struck(lesson: Lesson) -> dict[int, list[Fraction]]:
    """Return the lengths of the notes that each measure strikes."""
    lengths: dict[int, list[Fraction]] = defaultdict(list)
    for note in lesson.score.notes:
        if not note.held:
            lengths[lesson.score.measure_at(note.at).number].append(note.length)
    return lengths


def _other_symbols(easier: Lesson, harder: Lesson) -> Iterable[OtherSymbol]:
    """Yield where the symbols differ: the harder level's, held against what the easier one has at that place."""
    same_key = easier.file.key == harder.file.key
    if not same_key:
        return
    places = {(met.measure, met.beat): met.chord for met in easier.symbols}
    for met in harder.symbols:
        plain = places.get((met.measure, met.beat))
        if plain is not None and met.chord is not None and plain != met.chord:
            yield _compared(met.measure, plain, met.chord)


def _compared(measure: int, easier: Chord, harder: Chord) -> OtherSymbol:
    left_out = tuple(tone for tone in harder.tones if tone not in easier.tones)
    if easier.root == harder.root and easier.degrees == harder.degrees:
        relation = "other-bass"
    elif easier.root == harder.root and set(easier.degrees) <= set(harder.degrees):
        relation = "fewer-tones"
    else:
        relation = "other-chord"
    return OtherSymbol(measure, easier, harder, relation, left_out)
