"""Checks facts of the trade, each marked common practice: added tones, inversions, syllables, both hands together."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from understave.entries.kept import load_glossary
from understave.entries.values import AddedTone, ChordSymbol, CountingSystem
from understave.theory.chords import Chord, usually_played
from understave.theory.counting import PositionSystem, count
from understave.theory.keys import MAJOR_SCALE, MINOR_SCALE
from understave.theory.rhythms import parse_meter, parse_rhythm
from understave.theory.symbols import read_symbol
from understave.theory.tones import ROOTS, parse_degree
from understave.theory.voicings import close_position, voice

CONTENT = Path(__file__).parents[2] / "content"
GLOSSARY = load_glossary(CONTENT)
TYPES = GLOSSARY.of(ChordSymbol)
ADDED = GLOSSARY.of(AddedTone)
POSITIONS = {
    name: entry.system
    for name, entry in GLOSSARY.of(CountingSystem).items()
    if isinstance(entry.system, PositionSystem)
}

MINOR_NINTH = TYPES["minor-ninth"].degrees


def scale(chord: Chord, minor: bool) -> list[str]:
    return [str(chord.root.at(degree)) for degree in (MINOR_SCALE if minor else MAJOR_SCALE)]


@pytest.mark.parametrize(("name", "minor"), [("added-second", False), ("minor-added-second", True)])
def test_an_added_second_keeps_the_third_and_adds_the_second_of_the_chords_own_scale(name: str, minor: bool) -> None:
    # common practice
    for root in ROOTS:
        chord = Chord(root, ADDED[name].degrees)
        triad = Chord(root, TYPES["minor" if minor else "major"].degrees)
        assert [str(tone) for tone in chord.tones] == scale(chord, minor)[:3] + scale(chord, minor)[4:5]
        assert set(chord.tones) - set(triad.tones) == {root.at(parse_degree("2"))}
        assert triad.tones[1] in chord.tones


def test_a_suspended_second_gives_the_third_up() -> None:
    # common practice
    for root in ROOTS:
        tones = Chord(root, TYPES["suspended-second"].degrees).tones
        assert not {root.at(parse_degree("3")), root.at(parse_degree("b3"))} & set(tones)


@pytest.mark.parametrize("name", ["major", "minor", "diminished", "augmented"])
def test_a_triads_third_in_the_bass_is_its_first_inversion_and_its_fifth_the_second(name: str) -> None:
    # common practice
    for root in ROOTS:
        triad = Chord(root, TYPES[name].degrees)
        inversions = [Chord(root, triad.degrees, tone).inversion for tone in triad.tones]
        assert inversions == [0, 1, 2]


@pytest.mark.parametrize(
    "name", ["dominant-seventh", "major-seventh", "minor-seventh", "half-diminished", "diminished-seventh"]
)
def test_a_seventh_in_the_bass_is_the_third_inversion(name: str) -> None:
    # common practice
    for root in ROOTS:
        chord = Chord(root, TYPES[name].degrees)
        assert Chord(root, chord.degrees, chord.tones[3]).inversion == 3


@pytest.mark.parametrize("name", ["major", "minor", "dominant-seventh", "minor-seventh"])
def test_the_lowest_note_decides_the_inversion_however_the_others_lie(name: str) -> None:
    # common practice: both hands' voicing and the close position of one inversion have one lowest tone
    for root in ROOTS:
        degrees = TYPES[name].degrees
        for number, degree in enumerate(degrees):
            chord = Chord(root, degrees, root.at(degree))
            together = voice(chord)
            pitches = [pitch for pitch, _ in (*together.left, *together.right)]
            lowest = min(pitches, key=lambda pitch: pitch.key).tone
            close = close_position(chord, number).right[0][0].tone
            assert lowest == close == root.at(degree)
            assert Chord(root, degrees, lowest).inversion == number


def lengths(text: str, meter: str, system: str, beat: str | None = None) -> list[Fraction]:
    rhythm = parse_rhythm(text, parse_meter(meter))
    return [one.length for one in count(rhythm, POSITIONS[system], beat).counts]


def syllables(text: str, meter: str, system: str) -> list[str | None]:
    rhythm = parse_rhythm(text, parse_meter(meter))
    return [one.says for one in count(rhythm, POSITIONS[system]).counts]


@pytest.mark.parametrize("system", [name for name, words in POSITIONS.items() if {2, 3, 4} <= set(words.words)])
def test_a_beat_in_three_takes_three_even_syllables_eighths_two_and_sixteenths_four(system: str) -> None:
    # common practice
    for text, meter, parts in (
        ("12 12 12", "1/4", 3), ("8 8", "1/4", 2), ("16 16 16 16", "1/4", 4), ("8 8 8 4.", "6/8", 3),
        ("6 12", "1/4", 3),
    ):  # fmt: skip
        first = lengths(text, meter, system)[:parts]
        assert len(set(first)) == 1
        assert sum(first) == parse_meter(meter).beats()[0]
        words = syllables(text, meter, system)[:parts]
        assert None not in words
        assert words == list(POSITIONS[system].words[parts]) or words == ["1", *POSITIONS[system].words[parts][1:]]


@pytest.mark.parametrize(
    ("text", "meter", "finest"),
    [("4 4 4 4", "4/4", "1/4"), ("4 8 8 2", "4/4", "1/8"), ("4. 8 2", "4/4", "1/8"), ("8. 16 4 2", "4/4", "1/16"),
     ("1", "4/4", "1/4"), ("4. 4.", "6/8", "3/8"), ("4 8 4.", "6/8", "1/8"), ("12 12 12 4 2", "4/4", "1/12"),
     ("2 2", "2/2", "1/2"), ("4 4 2", "2/2", "1/4")],
)  # fmt: skip
def test_never_finer_than_the_smallest_note_needs(text: str, meter: str, finest: str) -> None:
    # common practice
    for system in ("e-and-a", "takadimi", "eastman"):
        assert min(lengths(text, meter, system)) == Fraction(finest)


def test_the_symbol_sums_up_the_harmony_of_both_hands() -> None:
    # common practice: a viewer who looks at one hand of a minor ninth can't find the chord there
    for root in ROOTS:
        chord = Chord(root, MINOR_NINTH)
        voicing = voice(chord)
        hands = [{degree for _, degree in hand} for hand in (voicing.left, voicing.right)]
        needed = set(usually_played(chord.degrees))
        assert all(not needed <= hand for hand in hands)
        assert needed <= hands[0] | hands[1]


def test_the_hand_with_root_and_fifth_of_a_minor_ninth_does_not_hold_its_third() -> None:
    # common practice: root and fifth alone are neither major nor minor, the other hand says which
    left = read_symbol("C5")[0].chord
    whole = read_symbol("Cm9")[0].chord
    assert left is not None
    assert whole is not None
    third = parse_degree("b3")
    assert set(left.tones) < set(whole.tones)
    assert third not in left.degrees
    right = set(whole.tones) - set(left.tones)
    assert {str(tone) for tone in right} == {"Eb", "Bb", "D"}
    # the right hand alone is a chord of its own, on another root: Ebmaj7 without its third
    alone = read_symbol("Ebmaj7(no3)")[0].chord
    assert alone is not None
    assert set(alone.tones) == right
    for root in ROOTS:
        voicing = voice(Chord(root, MINOR_NINTH))
        with_root = [
            hand for hand in (voicing.left, voicing.right) if parse_degree("1") in {degree for _, degree in hand}
        ]
        assert with_root
        assert all(third not in {degree for _, degree in hand} for hand in with_root)
