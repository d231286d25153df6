"""Checks chord types against the chord qualities of Harte et al. 2005, as PyPI's mir_eval holds them."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from mir_eval import chord as harte

from understave.entries.kept import load_glossary
from understave.theory.chords import Chord
from understave.theory.symbols import read_symbol
from understave.theory.tones import parse_tone

CONTENT = Path(__file__).parents[2] / "content"
CHORDS = load_glossary(CONTENT).chords

ROOTS = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"]

ENTRIES = {
    "maj": "major", "min": "minor", "aug": "augmented", "dim": "diminished", "sus4": "suspended-fourth",
    "sus2": "suspended-second", "7": "dominant-seventh", "maj7": "major-seventh", "min7": "minor-seventh",
    "minmaj7": "minor-major-seventh", "maj6": "major-sixth", "min6": "minor-sixth", "dim7": "diminished-seventh",
    "hdim7": "half-diminished", "maj9": "major-ninth", "min9": "minor-ninth", "9": "dominant-ninth",
    "min11": "minor-eleventh", "11": "dominant-eleventh", "maj13": "major-thirteenth", "min13": "minor-thirteenth",
    "13": "dominant-thirteenth", "5": "power-chord", "b9": "dominant-seventh-flat-ninth",
    "#9": "dominant-seventh-sharp-ninth", "#11": "dominant-ninth-sharp-eleventh",
}  # fmt: skip
"""The entry of each of Harte's shorthands (and of mir_eval's few beside them)."""

EXCEPTIONS = {
    "": "no chord: N.C. here, which has no tones",
    "1": "a single tone, which is no chord",
    "b13": "mir_eval stacks 9 and 11 under it (its own shorthand, not Harte's); our 7b13 adds only itself",
}
"""The shorthands without an entry, each with the reason."""


def pitch_classes(root: str, shorthand: str) -> set[int]:
    """Return the pitch classes of a label; the tones over the seventh come as extensions."""
    base, extensions = harte.reduce_extended_quality(shorthand)
    bitmap = harte.quality_to_bitmap(base)
    for degree in extensions:
        bitmap = bitmap | harte.scale_degree_to_bitmap(degree, modulo=True, length=12)
    return set(np.flatnonzero(harte.rotate_bitmap_to_root(bitmap, harte.pitch_class_to_semitone(root))))


def test_every_shorthand_is_compared_or_listed() -> None:
    # Harte et al. 2005, mir_eval.chord.QUALITIES and EXTENDED_QUALITY_REDUX
    shorthands = {*harte.QUALITIES, *harte.EXTENDED_QUALITY_REDUX}
    assert set(ENTRIES) | set(EXCEPTIONS) == shorthands
    assert not set(ENTRIES) & set(EXCEPTIONS)


@pytest.mark.parametrize(("shorthand", "name"), ENTRIES.items())
def test_a_quality_sounds_alike_over_every_root(shorthand: str, name: str) -> None:
    # Harte et al. 2005, mir_eval.chord.QUALITIES and EXTENDED_QUALITY_REDUX
    for root in ROOTS:
        chord = Chord(parse_tone(root), CHORDS[name].degrees)
        assert {tone.pitch_class for tone in chord.tones} == pitch_classes(root, shorthand), f"{root}:{shorthand}"


def test_the_exceptions_are_exceptions() -> None:
    # mir_eval.chord: an exception that has gone must leave the table
    assert not harte.quality_to_bitmap("").any()
    assert read_symbol("N.C.")[0].chord is None
    assert pitch_classes("C", "1") == {0}
    ours = {
        tone.pitch_class for tone in Chord(parse_tone("C"), CHORDS["dominant-seventh-flat-thirteenth"].degrees).tones
    }
    assert ours < pitch_classes("C", "b13")
    assert pitch_classes("C", "b13") - ours == {2, 5}
