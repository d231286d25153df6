"""Measure reading, spelling and naming beside pychord, mingus and music21, in one run.

    PYTHONPATH=builder python tests/benchmarks/theory_speed.py [ROUNDS]

prints microseconds of processor time, each the median over rounds in which all take turns, and how they compare. Read
the ratios only. Nothing is remembered between repetitions: the namer's memory of sets is emptied before each, music21's
chords are made anew (untimed). The others read less than we do: where one doesn't read a symbol, it gets its own way of
writing the same chord, or stays out (-).
"""

from __future__ import annotations

import gc
import statistics
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import NamedTuple

from mingus.core import chords as mingus
from music21.chord import Chord as Music21Chord
from music21.harmony import ChordSymbol, chordSymbolFigureFromChord
from pychord import Chord as PychordChord
from pychord import find_chords_from_notes

from understave.theory.matches import matches_over_bass
from understave.theory.naming import name_keys, name_notes
from understave.theory.symbols import read_symbol
from understave.theory.tones import Pitch, parse_pitch

REPETITIONS = 20
"""How often a call is repeated between two looks at the clock; music21's calls take milliseconds and are done once."""

Work = Callable[[], object]
Times = dict[str, float]
"""Microseconds a call by whose they are; who has nothing to do stays out."""


class Written(NamedTuple):
    """A chord as we read it and as each of the others does."""

    ours: str
    pychord: str
    mingus: str = ""
    music21: str = ""


def alike(*symbols: str) -> list[Written]:
    """Return symbols that all read; music21 writes a flat as a minus sign after the letter."""
    return [Written(s, s, s, s[0] + s[1:2].replace("b", "-") + s[2:]) for s in symbols]


SYMBOLS: dict[str, Sequence[Written]] = {
    "plain triads": alike("C", "Am", "Ebm", "F#dim", "Gaug", "Bbsus4"),
    "sevenths": [
        *alike("G7", "Dm7", "F#m7b5", "Bdim7"),
        Written("Ebmaj7", "Ebmaj7", "EbM7", "E-maj7"),
        Written("Cm(maj7)", "CmM7", "CmM7", "CmM7"),
    ],
    "extensions": [
        *alike("Abm9", "G13", "F#m11"),
        Written("Dbmaj9", "Dbmaj9", "DbM9", "D-M9"),
        Written("Eb6/9", "Eb69", "Eb69"),
        Written("C9sus4", "C9sus4"),
    ],
    "alterations": [
        Written("G7b9", "G7b9", "G7b9", "G7b9"),
        Written("C7(#9)", "C7#9", "C7#9", "C7#9"),
        Written("Bb7b9b13", "Bb7b9b13"),
        Written("E13(b9,#11)", "E13b9"),
        Written("Dmaj7#11", "Dmaj7#11"),
        Written("A7#5#9", "A7#9#5", "", "A7#5#9"),
    ],
    "slash": [
        *alike("D/F#", "C/G", "Am7/G"),
        Written("Bbm7/Ab", "Bbm7/Ab", "Bbm7/Ab", "B-m7/A-"),
        Written("F over A", "F/A", "F/A", "F/A"),
        Written("Cm7(add11)/Eb", "Cm7add11/Eb"),
    ],
    "words": [
        Written("B flat minor nine", "Bbm9", "Bbm9", "B-m9"),
        Written("C major seventh", "Cmaj7", "CM7", "Cmaj7"),
        Written("F sharp half diminished seventh", "F#m7b5", "F#m7b5", "F#m7b5"),
        Written("E-flat dominant thirteenth", "Eb13", "Eb13", "E-13"),
        Written("D with an added second", "Dadd9"),
    ],
    "several senses": [Written("C2", "C2"), Written("Eb11", "Eb11", "Eb11", "E-11"), Written("Cdim", "Cdim", "Cdim")],
}
"""Chord symbols by class."""

MOMENTS: dict[str, Sequence[str]] = {
    "two notes": ("C3 | G3", "E3 | G#3"),
    "triads": ("C3 G3 | E4 G4 C5", "A3 C4 | F4 A4", "Eb2 Bb2 | G3 Bb3 Eb4"),
    "sevenths": ("F2 C3 | Eb4 A4", "E2 | C4 E4 G4 B4", "B2 A3 | D4 F4"),
    "ambiguous": ("C3 | E4 G4 A4", "B2 | D4 F4 Ab4", "C3 E3 | G#3 C4", "D3 G3 | C4 D4"),
    "extended": ("G2 D3 | F4 A4 Bb4", "C3 Bb3 | E4 A4 D5", "F2 A2 E3 | G3 C4 E4 G4"),
    "altered": ("D3 F#3 | C4 Eb4 A4", "G2 F3 | B3 E4 A#4", "C3 Bb3 | E4 G#4 D#5"),
    "foreign bass": ("G2 | F4 A4 C5", "Eb2 Eb3 | F4 A4 C5", "D2 A2 | C4 E4 G4"),
    "a note too many": ("C3 E3 | F#4 G4 C5", "A2 E3 | C4 Bb4 C5"),
    "ten fingers": ("C2 G2 Bb2 D3 F3 | A3 C4 D4 F4 A4", "C3 E3 G3 Bb3 D4 | E4 G4 A4 C5 F#5"),
}
"""Left hand | right hand, by what they hold."""


class Runner(NamedTuple):
    """Someone who takes turns: ``prepare`` makes the calls of a round, untimed."""

    prepare: Callable[[], list[Work]]
    repetitions: int = REPETITIONS


def microseconds(works: Sequence[Work], repetitions: int) -> float:
    """Return the processor time of one call."""
    started = time.process_time_ns()
    for _ in range(repetitions):
        for work in works:
            work()
    return (time.process_time_ns() - started) / 1000 / repetitions / len(works)


def medians(rounds: int, runners: dict[str, Runner]) -> Times:
    """Let all take turns, and return the median of each."""
    taken: dict[str, list[float]] = {name: [] for name, runner in runners.items() if runner.prepare()}
    for _ in range(rounds):
        gc.collect()
        for name, times in taken.items():
            works = runners[name].prepare()
            times.append(microseconds(works, runners[name].repetitions))
    return {name: statistics.median(times) for name, times in taken.items()}


def reading(symbols: Sequence[Written], rounds: int) -> Times:
    """Time the reading of symbols. mingus and music21 spell while they read."""
    return medians(
        rounds,
        {
            "ours": Runner(lambda: [partial(read_symbol, symbol.ours) for symbol in symbols]),
            "pychord": Runner(lambda: [partial(PychordChord, symbol.pychord) for symbol in symbols]),
            "mingus": Runner(lambda: [partial(mingus.from_shorthand, s.mingus) for s in symbols if s.mingus]),
            "music21": Runner(lambda: [partial(ChordSymbol, s.music21) for s in symbols if s.music21], 1),
        },
    )


def spelled(symbol: str) -> list[str]:
    """Read a symbol and spell its likeliest reading."""
    chord = read_symbol(symbol)[0].chord
    assert chord is not None
    return [str(tone) for tone in chord.tones]


def spelling(symbols: Sequence[Written], rounds: int) -> Times:
    """Time reading and spelling together."""
    return medians(
        rounds,
        {
            "ours": Runner(lambda: [partial(spelled, symbol.ours) for symbol in symbols]),
            "pychord": Runner(
                lambda: [partial(lambda text: PychordChord(text).components(), s.pychord) for s in symbols]
            ),
            "mingus": Runner(lambda: [partial(mingus.from_shorthand, s.mingus) for s in symbols if s.mingus]),
            "music21": Runner(
                lambda: [partial(lambda text: ChordSymbol(text).pitches, s.music21) for s in symbols if s.music21], 1
            ),
        },
    )


def hands(moment: str) -> tuple[list[Pitch], list[Pitch]]:
    """Return the pitches of each hand."""
    left, right = ([parse_pitch(word) for word in hand.split()] for hand in moment.split("|"))
    return left, right


def afresh(name: Callable[..., object], *notes: object) -> object:
    """Name notes without any memory of sets that were matched before."""
    matches_over_bass.cache_clear()
    return name(*notes)


def naming(moments: Sequence[str], rounds: int) -> Times:
    """Time the naming of moments; pychord and mingus get note names, lowest first, each once."""
    held = [hands(moment) for moment in moments]
    rising = [sorted([*left, *right], key=lambda pitch: pitch.key) for left, right in held]
    keys = [[pitch.key for pitch in pitches] for pitches in rising]
    names = [list(dict.fromkeys(str(pitch.tone) for pitch in pitches)) for pitches in rising]
    theirs = [[str(pitch).replace("b", "-") for pitch in pitches] for pitches in rising]
    return medians(
        rounds,
        {
            "ours": Runner(lambda: [partial(afresh, name_notes, left, right) for left, right in held]),
            "again": Runner(lambda: [partial(name_notes, left, right) for left, right in held]),
            "keys": Runner(lambda: [partial(afresh, name_keys, numbers) for numbers in keys]),
            "pychord": Runner(lambda: [partial(find_chords_from_notes, tones) for tones in names], 2),
            "mingus": Runner(lambda: [partial(mingus.determine, tones, shorthand=True) for tones in names], 2),
            "music21": Runner(
                lambda: [partial(chordSymbolFigureFromChord, Music21Chord(pitches)) for pitches in theirs], 1
            ),
        },
    )


def table(title: str, columns: Sequence[str], rows: Mapping[str, Times], ratios: Mapping[str, tuple[str, str]]) -> None:
    """Print the times of each row, and as many ratios: what is divided by what."""
    print(f"\n{title:18}" + "".join(f"{column:>10}" for column in columns) + "".join(f"{r:>17}" for r in ratios))
    for name, times in rows.items():
        cells = [f"{times[column]:10.1f}" if column in times else f"{'-':>10}" for column in columns]
        cells += [f"{times[over] / times[under]:17.1f}" for over, under in ratios.values()]
        print(f"{name:18}" + "".join(cells), flush=True)


def main() -> None:
    """Print the table."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 15
    others = ("pychord", "mingus", "music21")
    beside = {"ours/pychord": ("ours", "pychord")}
    rows = {name: reading(symbols, rounds) for name, symbols in SYMBOLS.items()}
    table("reading", ("ours", *others), rows, beside)
    rows = {name: spelling(symbols, rounds) for name, symbols in SYMBOLS.items()}
    table("and spelling", ("ours", *others), rows, beside)
    rows = {name: naming(moments, rounds) for name, moments in MOMENTS.items()}
    rows["all of them"] = naming([moment for moments in MOMENTS.values() for moment in moments], rounds)
    quicker = {f"{other}/{mine}": (other, mine) for mine in ("ours", "keys") for other in ("music21", "pychord")}
    table("naming", ("ours", "again", "keys", *others), rows, quicker)


if __name__ == "__main__":
    main()
