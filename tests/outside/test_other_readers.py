"""Checks every chord symbol that three other readers know against ours, by pitch class and by bass.

The readers are music21's harmony.ChordSymbol (the abbreviations of harmony.CHORD_TYPES, and its words for added,
altered and omitted degrees), PyPI's pychord (pychord.constants.qualities) and PyPI's mir_eval (the shorthands of Harte
et al. 2005, mir_eval.chord; written here without the colon after the root, and with a note for the bass). Each symbol
stands under all 21 roots, some also over another bass. The run's summary prints the table.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
import pytest
from mir_eval import chord as harte
from music21 import harmony
from pychord import Chord as PychordChord
from pychord.constants.qualities import DEFAULT_QUALITIES

from understave.theory.symbols import SymbolError, read_symbol
from understave.theory.tones import ROOTS, Tone, parse_degree

Sound = tuple[frozenset[int], int]
"""The pitch classes of chord and bass, and the pitch class of the bass."""


@dataclass(frozen=True)
class Sample:
    """A symbol as we write it: ``root``, ``suffix`` and ``bass``, and what another reader takes it to sound like."""

    root: Tone
    suffix: str
    bass: Tone | None
    theirs: Sound

    @property
    def symbol(self) -> str:
        return f"{self.root}{self.suffix}" + (f"/{self.bass}" if self.bass else "")


BASSES = tuple(map(parse_degree, ("b3", "3", "5", "b7", "7", "2", "4")))
"""Degrees that stand in the bass: chord tones of many chords, and foreign ones of others."""


def rooted(suffixes: list[str], over_basses: list[str]) -> Iterator[tuple[Tone, str, Tone | None]]:
    """Yield every suffix under every root, and those of ``over_basses`` over other basses too."""
    for suffix in suffixes:
        for root in ROOTS:
            yield root, suffix, None
            for degree in BASSES if suffix in over_basses else ():
                if abs(root.at(degree).alteration) < 2:
                    yield root, suffix, root.at(degree)


MUSIC21_ABBREVIATIONS = [form for _, forms in harmony.CHORD_TYPES.values() for form in forms]
MUSIC21_CHANGES = [
    f"{base}{change}"
    for base in ("", "m", "7", "m7", "maj7")
    for change in (
        "add2", "add4", "add9", "addb9", "add#9", "add11", "add#11", "add13", "addb13", "omit3", "omit5", "add9omit5",
        "add9add11", "alterb5", "alter#5", "subtract5", "b9", "#9", "#11", "b9#11", "b5", "#5",
    )
    if base or change[0] not in "b#"  # a sign right after the letter is the root's
]  # fmt: skip


def music21_samples() -> Iterator[Sample]:
    # music21 harmony.ChordSymbol; its flats are written with a minus
    for root, suffix, bass in rooted([*MUSIC21_ABBREVIATIONS, *MUSIC21_CHANGES], ["", "m", "7", "maj7", "m7", "sus4"]):
        written = f"{_with_minus(root)}{suffix}" + (f"/{_with_minus(bass)}" if bass else "")
        try:
            found = harmony.ChordSymbol(written)
        except ValueError:
            continue
        sounding = frozenset(pitch.pitchClass for pitch in found.pitches)
        yield Sample(root, suffix, bass, (sounding, found.bass().pitchClass))


def _with_minus(tone: Tone) -> str:
    return str(tone).replace("b", "-")


def pychord_samples() -> Iterator[Sample]:
    # pychord.Chord.components
    for root, suffix, bass in rooted([suffix for suffix, _ in DEFAULT_QUALITIES], ["", "m", "7", "maj7", "m7", "sus4"]):
        found = PychordChord(f"{root}{suffix}" + (f"/{bass}" if bass else ""))
        keys = [key % 12 for key in found.components(visible=False)]
        yield Sample(root, suffix, bass, (frozenset(keys), keys[0]))


def harte_samples() -> Iterator[Sample]:
    # mir_eval.chord.encode: Harte et al. 2005; a quality of nothing is its N, no chord
    shorthands = [form for form in dict.fromkeys([*harte.QUALITIES, *harte.EXTENDED_QUALITY_REDUX]) if form]
    for root, suffix, bass in rooted(shorthands, ["maj", "min", "7", "maj7", "min7", "sus4"]):
        degree = f"/{root.degree_of(bass)}" if bass else ""
        try:
            number, bitmap, lowest = harte.encode(f"{root}:{suffix}{degree}", reduce_extended_chords=True)
        except harte.InvalidChordException:  # a few of its own shorthands are no label that it reads
            continue
        sounding = frozenset(int(key + number) % 12 for key in np.flatnonzero(bitmap))
        yield Sample(root, suffix, bass, (sounding, int(number + lowest) % 12))


@dataclass(frozen=True)
class Reader:
    """Another reader: its ``samples`` and the suffixes that we take otherwise or don't read, each with the reason."""

    samples: Callable[[], Iterator[Sample]]
    exceptions: dict[str, str]


WORDS = "MusicXML's kinds of changes written out, which no chart does; b5, #5 and no5 read"
SIXTHS = "the name of a chord in a key, which no chart writes after a letter"

READERS = {
    "music21": Reader(
        music21_samples,
        {
            **dict.fromkeys(["N6", "It+6", "It", "Fr+6", "Fr", "Gr+6", "Ger", "tristan"], SIXTHS),
            "pedal": "one tone and no chord",
            "ob9": "stacks a seventh under the b9 there (not so dimb9); an alteration adds only itself here",
            "dom7dim5": "music21's own word for 7b5, which no chart writes",
            **{
                f"{base}{change}": WORDS
                for base in ("", "m", "7", "m7", "maj7")
                for change in ("alterb5", "alter#5", "subtract5")
            },
        },
    ),
    "pychord": Reader(
        pychord_samples,
        {
            "4": "an added eleventh there; charts that write 4 mostly suspend: sus4 comes first here, add4 second",
            "7b9b13": "stacks a natural 11 under the b13 there; an alteration adds only itself here",
        },
    ),
    "mir_eval": Reader(
        harte_samples,
        {
            "1": "a single tone and no chord",
        },
    ),
}


def read_by_us(symbol: str) -> list[Sound]:
    """Return what each reading of a symbol sounds like; nothing for a symbol that we don't read."""
    try:
        chords = [reading.chord for reading in read_symbol(symbol) if reading.chord]
    except SymbolError:
        return []
    return [
        (frozenset(tone.pitch_class for tone in (*chord.tones, chord.bass)), chord.bass.pitch_class) for chord in chords
    ]


@pytest.mark.parametrize("name", READERS)
def test_every_symbol_agrees_or_is_listed(name: str, outside_table: list[str]) -> None:
    reader = READERS[name]
    agreed: Counter[str] = Counter()
    apart: dict[str, list[str]] = {}
    for sample in reader.samples():
        if sample.theirs in read_by_us(sample.symbol)[:1]:
            agreed[sample.suffix] += 1
        else:
            apart.setdefault(sample.suffix, []).append(sample.symbol)
    listed = sum(len(apart.get(suffix, ())) for suffix in reader.exceptions)
    tried = agreed.total() + sum(map(len, apart.values()))
    outside_table.append(f"{name}: {tried} symbols tried, {agreed.total()} agree, {listed} listed exceptions")
    reasons = {
        reason: [suffix for suffix in reader.exceptions if reader.exceptions[suffix] == reason]
        for reason in reader.exceptions.values()
    }
    outside_table.extend(f"  {' '.join(suffixes)}: {reason}" for reason, suffixes in reasons.items())
    assert {suffix: symbols[:3] for suffix, symbols in apart.items() if suffix not in reader.exceptions} == {}
    # an exception that has gone must leave the table
    assert set(reader.exceptions) <= set(apart)
    assert tried > 1000


def test_a_second_reading_of_four_agrees() -> None:
    # pychord.constants.qualities: its 4 is our second sense
    for sample in pychord_samples():
        if sample.suffix == "4":
            assert sample.theirs in read_by_us(sample.symbol)[1:]
