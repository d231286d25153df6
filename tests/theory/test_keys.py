"""Checks where chords live: key signatures, the keys that hold a chord, and Roman numerals."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from understave.theory.chords import Chord
from understave.theory.keys import KEYS, MAJOR_SCALE, MINOR_SCALE, Home, Key, homes, numeral
from understave.theory.symbols import read_symbol
from understave.theory.tones import ROOTS, Interval, Tone, parse_degree, parse_tone


def chord_of(symbol: str) -> Chord:
    chord = read_symbol(symbol)[0].chord
    assert chord is not None
    return chord


def shown(home: Home) -> str:
    return f"{home.key.tonic} {'minor' if home.key.minor else 'major'} {home.numeral}"


def key_of(text: str) -> Key:
    tonic, mode = text.split()
    return Key(parse_tone(tonic), mode == "minor")


@pytest.mark.parametrize(
    ("key", "signature"),
    # the circle of fifths: common practice
    [("C major", 0), ("A minor", 0), ("G major", 1), ("F major", -1), ("Bb major", -2), ("F# minor", 3),
     ("Eb minor", -6), ("C# major", 7), ("Cb major", -7), ("A# minor", 7), ("Ab minor", -7), ("D minor", -1)],
)  # fmt: skip
def test_key_signatures(key: str, signature: int) -> None:
    assert key_of(key).signature == signature
    assert key_of(key) in KEYS


def test_there_are_fifteen_major_and_fifteen_minor_keys() -> None:
    for minor in (False, True):
        assert sorted(key.signature for key in KEYS if key.minor is minor) == list(range(-7, 8))


@pytest.mark.parametrize("key", KEYS, ids=lambda key: f"{key.tonic}-{key.minor}")
def test_the_signature_is_the_sum_of_the_scales_accidentals(key: Key) -> None:
    assert len(key.tones) == 7
    assert sum(tone.alteration for tone in key.tones) == key.signature


@pytest.mark.parametrize(
    ("symbol", "expected"),
    [
        # major keys before minor ones, each from the fewest accidentals: diatonic harmony, common practice
        ("C", ["C major I", "F major V", "G major IV", "A minor III", "D minor VII", "E minor VI", "F minor V"]),
        ("Am", ["C major vi", "F major iii", "G major ii", "A minor i", "D minor v", "E minor iv"]),
        ("G7", ["C major V7", "A minor VII7", "C minor V7"]),
        ("Bdim", ["C major vii°", "A minor ii°", "C minor #vii°"]),
        ("Bm7b5", ["C major viiø7", "A minor iiø7"]),
        ("G#dim7", ["A minor #vii°7"]),
        ("C#7b9#11", []),
        # the raised 7 counts for chords on the fifth and the seventh only
        ("Caug", []),
        ("Am(maj7)", []),
    ],
)
def test_the_keys_that_hold_a_chord(symbol: str, expected: list[str]) -> None:
    assert [shown(home) for home in homes(chord_of(symbol))] == expected


def test_the_raised_seventh_of_a_minor_key_is_marked() -> None:
    raised = {shown(home): home.raised for symbol in ("E7", "Em7", "G#dim7", "Am") for home in homes(chord_of(symbol))}
    assert raised["A minor V7"]
    assert raised["A minor #vii°7"]
    assert not raised["A minor v7"]
    assert not raised["A minor i"]
    assert not raised["A major V7"]


@pytest.mark.parametrize(
    ("mode", "triads", "sevenths"),
    [
        # triads and sevenths of the major and the natural minor scale: common practice
        ("major", "I ii iii IV V vi vii°", "Imaj7 ii7 iii7 IVmaj7 V7 vi7 viiø7"),
        ("minor", "i ii° III iv v VI VII", "i7 iiø7 IIImaj7 iv7 v7 VImaj7 VII7"),
    ],
)
def test_the_numerals_of_a_scale(mode: str, triads: str, sevenths: str) -> None:
    scale = MINOR_SCALE if mode == "minor" else MAJOR_SCALE
    for key in (key for key in KEYS if key.minor is (mode == "minor")):
        tones = [key.tonic.at(degree) for degree in scale]
        for size, wanted in ((3, triads), (4, sevenths)):
            for index, roman in enumerate(wanted.split()):
                stack = [tones[(index + 2 * step) % 7] for step in range(size)]
                degrees = tuple(tones[index].degree_of(tone) for tone in stack)
                chord = Chord(tones[index], degrees)
                assert numeral(chord, key) == roman
                assert Home(key, roman) in homes(chord)


@given(st.sampled_from(ROOTS), st.sampled_from(["", "m", "dim", "7", "maj7", "m7", "m7b5", "dim7", "9", "6", "sus4"]))
def test_a_home_holds_all_tones(root: Tone, suffix: str) -> None:
    chord = Chord(root, chord_of("C" + suffix).degrees)
    found = homes(chord)
    for home in found:
        raised = {home.key.tonic.at(parse_degree("7"))} if home.raised else set()
        assert set(chord.tones) <= home.key.tones | raised
        assert home.raised == (not set(chord.tones) <= home.key.tones)
    assert {home.key for home in found if not home.raised} == {key for key in KEYS if set(chord.tones) <= key.tones}


@given(st.sampled_from(KEYS), st.sampled_from(["C", "Dm7", "Bm7b5", "G7", "Fmaj7"]), st.sampled_from(ROOTS))
def test_numerals_move_with_the_key(key: Key, symbol: str, tonic: Tone) -> None:
    steps = (tonic.step - key.tonic.step) % 7
    semitones = tonic.key - key.tonic.key + (12 if tonic.step < key.tonic.step else 0)
    moved = chord_of(symbol).transposed(Interval(steps, semitones))
    assert numeral(moved, Key(tonic, key.minor)) == numeral(chord_of(symbol), key)
