"""Measure counting a bar beside music21, and a long rhythm beside a short one, in one run.

    PYTHONPATH=builder python tests/benchmarks/counting_speed.py

prints processor time, each the median over rounds that take turns, and the ratios. Read the ratios only.
"""

from __future__ import annotations

import copy
import statistics
import time
from collections.abc import Callable

from music21 import meter, note, stream

from understave.theory.counting import PositionSystem, count
from understave.theory.rhythms import parse_meter, parse_rhythm

SYSTEM = PositionSystem({2: ("n", "&"), 3: ("n", "&", "a"), 4: ("n", "e", "&", "a")})
FOUR_FOUR = parse_meter("4/4")
BAR = "8 8 16 16 16 16 8. 16 4"


def music21_bar() -> stream.Measure:
    """Return music21's measure of BAR."""
    measure = stream.Measure(number=1)
    measure.timeSignature = meter.TimeSignature("4/4")
    for token in BAR.split():
        measure.append(note.Note("B4", quarterLength=4 / int(token.rstrip(".")) * (1.5 if "." in token else 1)))
    return measure


def seconds(work: Callable[[], object]) -> float:
    """Return the processor time of one call."""
    started = time.process_time()
    work()
    return time.process_time() - started


def beside_music21(rounds: int) -> dict[str, float]:
    """Return the median seconds of counting BAR, read from text, and of music21's beats and beams of a made measure."""
    template = music21_bar()

    def ours() -> None:
        count(parse_rhythm(BAR, FOUR_FOUR), SYSTEM)

    times: dict[str, list[float]] = {"ours": [], "music21": []}
    for _ in range(rounds):
        measure = copy.deepcopy(template)

        def theirs(measure: stream.Measure = measure) -> None:
            measure.makeBeams(inPlace=True)
            assert all(one.beat >= 1 for one in measure.notes)

        times["ours"].append(seconds(ours))
        times["music21"].append(seconds(theirs))
    return {name: statistics.median(all_) for name, all_ in times.items()}


def long_and_short(notes: int, rounds: int) -> float:
    """Return how many times as long ten times as many notes take as ``notes``, read and counted."""
    bar = "8 8 16 16 16 16 12 12 12 4"
    medians = []
    for size in (notes, 10 * notes):
        text = " | ".join([bar] * (size // 10))
        medians.append(
            statistics.median(
                seconds(lambda text=text: count(parse_rhythm(text, FOUR_FOUR), SYSTEM)) for _ in range(rounds)
            )
        )
    return medians[1] / medians[0]


def main() -> None:
    """Print the figures."""
    times = beside_music21(200)
    print(f"a bar: ours {times['ours'] * 1e6:.0f} µs, music21 {times['music21'] * 1e6:.0f} µs")
    print(f"music21 / ours: {times['music21'] / times['ours']:.1f} (aim: 20)")
    print(f"100,000 notes / 10,000 notes: {long_and_short(10_000, 3):.1f} (linear: 10)")


if __name__ == "__main__":
    main()
