"""The order in which a score's measures are played: repeats, endings, and jumps from D.C. and D.S. to Fine and Coda."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

MOST_TIMES = 16
"""How often a section is played at most, whatever a score asks for."""


@dataclass
class Signs:
    """What stands at a measure that leads to another: repeat bars, endings and words.

    ``ending`` holds the numbers of an ending that starts here; ``times`` is how often a section that ends here is
    played, 0 where no repeat stands. ``coda`` is where the coda starts, ``to_coda`` where one leaves for it.
    """

    forward: bool = False
    times: int = 0
    ending: frozenset[int] = frozenset()
    ending_stops: bool = False
    segno: bool = False
    coda: bool = False
    fine: bool = False
    to_coda: bool = False
    da_capo: bool = False
    dal_segno: bool = False


@dataclass(frozen=True)
class _Ending:
    """An ending: its numbers, its last measure, and the highest number among the endings beside it."""

    numbers: frozenset[int]
    last: int
    rounds: int

    @property
    def is_last(self) -> bool:
        """Whether the music goes on after it."""
        return max(self.numbers) == self.rounds


def playing_order(signs: Sequence[Signs]) -> list[int]:
    """Return the places of measures in the order in which they are played.

    After D.C. or D.S. repeats are not taken again and the last ending is played (common practice). One jump is made,
    so that the order always ends.
    """
    endings = _endings(signs)
    order: list[int] = []
    place = start = 0
    time, jumped = 1, False
    while place < len(signs):
        sign, ending = signs[place], endings.get(place)
        if sign.forward and place != start:
            start, time = place, 1
        if ending and sign.ending and not _is_played(ending, time, jumped):
            place = ending.last + 1
            if ending.is_last:
                start, time = place, 1
            continue
        order.append(place)
        times = max(sign.times, ending.rounds if ending else 0) if sign.times else 0
        if jumped and sign.fine:
            break
        if jumped and sign.to_coda and (coda := _coda(signs, place)) is not None:
            place = start = coda
            continue
        if not jumped and time < min(times, MOST_TIMES):
            place, time = start, time + 1
            continue
        if times or (ending and place == ending.last and ending.is_last):
            start, time = place + 1, 1
        if not jumped and (sign.da_capo or sign.dal_segno):
            place = start = _segno(signs) if sign.dal_segno else 0
            time, jumped = 1, True
            continue
        place += 1
    return order


def _is_played(ending: _Ending, time: int, jumped: bool) -> bool:
    return ending.is_last if jumped else time in ending.numbers


def _segno(signs: Sequence[Signs]) -> int:
    """Return where the sign stands; a score without one goes on from its start."""
    return next((place for place, sign in enumerate(signs) if sign.segno), 0)


def _coda(signs: Sequence[Signs], place: int) -> int | None:
    return next((after for after in range(place + 1, len(signs)) if signs[after].coda), None)


def _endings(signs: Sequence[Signs]) -> dict[int, _Ending]:
    """Return for each measure under a bracket its ending; endings that touch each other belong together."""
    brackets: list[tuple[int, int]] = []
    for first, sign in enumerate(signs):
        if not sign.ending:
            continue
        last = first
        while not (signs[last].ending_stops or signs[last].times) and last + 1 < len(signs):
            if signs[last + 1].ending or signs[last + 1].forward:
                break
            last += 1
        brackets.append((first, last))
    groups: list[list[tuple[int, int]]] = []
    for bracket in brackets:
        if groups and groups[-1][-1][1] + 1 == bracket[0]:
            groups[-1].append(bracket)
        else:
            groups.append([bracket])
    found = {}
    for group in groups:
        rounds = max(number for first, _ in group for number in signs[first].ending)
        for first, last in group:
            ending = _Ending(signs[first].ending, last, rounds)
            found.update(dict.fromkeys(range(first, last + 1), ending))
    return found
