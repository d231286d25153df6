"""Measure counting a bar beside music21 finding its beats and beams, and counting as rhythms grow, in one run.

    PYTHONPATH=builder python tests/benchmarks/counting_speed.py [ROUNDS]

prints microseconds of processor time, each the median over rounds in which both take turns, and the ratio. Read the
ratios only; the aim is 20 and more. Counting gives every place of the bar its word and each beat its reason; music21 is
asked for the beams of the bar (makeBeams) and the beat of each note, of a measure made anew each time (untimed). Tables
by meter are kept on both sides. The second table says what a note costs in long rhythms: the same in all of them.
"""

from __future__ import annotations

import gc
import statistics
import sys
import time
from collections.abc import Callable
from fractions import Fraction
from functools import partial

from music21 import meter, note, stream

from understave.theory.counting import PositionSystem, count
from understave.theory.rhythms import Rhythm, parse_meter, parse_rhythm

REPETITIONS = 20
"""How often a bar is counted between two looks at the clock."""

LENGTHS = (1_000, 10_000, 100_000)
"""How many notes the long rhythms have."""

TRIP_LET = PositionSystem({2: ("n", "&"), 3: ("n", "trip", "let"), 4: ("n", "e", "&", "a")})

BARS = {
    "quarters": ("4/4", "4 4 4 4"),
    "eighths and triplets": ("4/4", "8 8 12 12 12 4 4"),
    "sixteenths": ("4/4", "16 16 16 16 8 8 8. 16 16 16 8"),
    "eighths in 6/8": ("6/8", "8 8 8 4 8"),
    "sixteenths in 7/8": ("7/8", "8 8 16 16 8 8 16 16 8"),
}

LONG_BAR = "8 8 12 12 12 16 16 16 16 4"


def counting(rhythm: Rhythm) -> None:
    """Count a bar."""
    count(rhythm, TRIP_LET)


def music21_bar(rhythm: Rhythm) -> stream.Measure:
    """Return a bar as music21 has it, without beams."""
    bar = stream.Measure()
    bar.timeSignature = meter.TimeSignature(str(rhythm.measures[0].meter))
    for event in rhythm.events:
        bar.append(note.Note("B4", quarterLength=4 * event.length))
    return bar


def beats_and_beams(bar: stream.Measure) -> None:
    """Find the beams of a bar and the beat of each note."""
    bar.makeBeams(inPlace=True)
    for one in bar.notes:
        one.beat  # noqa: B018


def processor_time(work: Callable[[], None]) -> float:
    """Return the seconds that work takes, the collector of garbage asleep."""
    gc.collect()
    gc.disable()
    started = time.process_time()
    work()
    took = time.process_time() - started
    gc.enable()
    return took


def bar_times(rhythm: Rhythm, rounds: int) -> tuple[float, float]:
    """Return the median microseconds of counting a bar, and of music21's beats and beams."""
    ours, theirs = [], []
    for _ in range(rounds):
        ours.append(processor_time(partial(_repeat, partial(counting, rhythm))) / REPETITIONS)
        bars = [music21_bar(rhythm) for _ in range(REPETITIONS)]
        theirs.append(processor_time(partial(_each, bars)) / REPETITIONS)
    return statistics.median(ours) * 1e6, statistics.median(theirs) * 1e6


def _repeat(work: Callable[[], None]) -> None:
    for _ in range(REPETITIONS):
        work()


def _each(bars: list[stream.Measure]) -> None:
    for bar in bars:
        beats_and_beams(bar)


def note_times(notes: int) -> tuple[float, float]:
    """Return the microseconds that a note of a long rhythm costs: reading it, and counting it."""
    text, read = " ".join([LONG_BAR] * (notes // len(LONG_BAR.split()))), list[Rhythm]()
    reading = processor_time(lambda: read.append(parse_rhythm(text, parse_meter("4/4"))))
    assert sum((event.length for event in read[0].events), Fraction(0)) == notes // 10
    return reading / notes * 1e6, processor_time(partial(counting, read[0])) / notes * 1e6


def main() -> None:
    """Print both tables."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 15
    print(f"{'bar':24}{'counting':>10}{'music21':>10}{'ratio':>8}")
    for name, (meter_text, text) in BARS.items():
        ours, theirs = bar_times(parse_rhythm(text, parse_meter(meter_text)), rounds)
        print(f"{name:24}{ours:10.0f}{theirs:10.0f}{theirs / ours:8.1f}")
    print(f"\n{'notes':24}{'reading':>10}{'counting':>10}")
    for notes in LENGTHS:
        reading, counted = note_times(notes)
        print(f"{notes:<24}{reading:10.1f}{counted:10.1f}")


if __name__ == "__main__":
    main()
