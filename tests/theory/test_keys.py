"""Checks where chords live: key signatures, the keys that hold a chord, and Roman numerals."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from understave.theory.chords import Chord
from understave.theory.keys import (
    KEYS,
    MAJOR_SCALE,
    MINOR_SCALE,
    Home,
    Key,
    homes,
    numeral,
    secondary_dominants,
)
from understave.theory.symbols import read_symbol
from understave.theory.tones import ROOTS, Interval, Tone, parse_tone


def chord_of(symbol: str) -> Chord:
    chord = read_symbol(symbol)[0].chord
    assert chord is not None
    return chord


def shown(home: Home) -> str:
    mark = {"own": "", "raised-seventh": " raised", "melodic": " melodic", "secondary": ""}[home.form]
    return f"{home.key.tonic} {'minor' if home.key.minor else 'major'} {home.numeral}{mark}"


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
        (
            "C",
            [
                "C major I",
                "F major V",
                "G major IV",
                "A minor III",
                "D minor VII",
                "E minor VI",
                "G minor IV melodic",
                "F minor V raised",
            ],
        ),
        (
            "Am",
            ["C major vi", "F major iii", "G major ii", "A minor i", "D minor v", "E minor iv", "G minor ii melodic"],
        ),
        ("G7", ["C major V7", "A minor VII7", "D minor IV7 melodic", "C minor V7 raised"]),
        ("Bdim", ["C major vii°", "A minor ii°", "D minor vi° melodic", "C minor vii° raised"]),
        ("Bm7b5", ["C major viiø7", "A minor iiø7", "D minor viø7 melodic", "C minor viiø7 melodic"]),
        ("G#m7b5", ["A major viiø7", "A minor viiø7 melodic", "B minor viø7 melodic", "F# minor iiø7"]),
        ("G#dim7", ["A minor vii°7 raised"]),
        ("C#7b9#11", []),
        # the raised 7 counts for chords on the fifth and the seventh, and where V or vii° is inside
        ("Caug", ["A minor III+ melodic"]),
        ("Cmaj7#5", ["A minor III+maj7 raised"]),
        ("Am(maj7)", ["A minor i(maj7) melodic"]),
        ("E7b9", ["A minor V7b9 raised"]),
        ("E9", ["A major V9", "A minor V9 melodic", "B minor IV9 melodic", "F# minor VII9"]),
        # no third: as the key's own triad on that root, V in minor
        (
            "Dsus4",
            [
                "C major iisus4",
                "F major visus4",
                "G major Vsus4",
                "Bb major iiisus4",
                "D major Isus4",
                "A minor ivsus4",
                "D minor isus4",
                "E minor VIIsus4",
                "G minor Vsus4",
                "B minor IIIsus4",
                "C minor iisus4 melodic",
            ],
        ),
        # a bare 6 or 5 after a numeral would be a figure of the bass
        (
            "C6",
            [
                "C major I(add6)",
                "F major V(add6)",
                "G major IV(add6)",
                "A minor III(add6)",
                "D minor VII(add6)",
                "E minor VI(add6)",
                "G minor IV(add6) melodic",
            ],
        ),
    ],
)
def test_the_keys_that_hold_a_chord(symbol: str, expected: list[str]) -> None:
    assert [shown(home) for home in homes(chord_of(symbol))] == expected


@pytest.mark.parametrize(
    ("symbol", "expected"),
    [
        # the dominants of a key's degrees: common practice
        ("D7", ["C major V7/V", "F major V7/ii", "D major V7/IV", "Bb major V7/vi", "Eb major V7/iii",
                "A minor V7/VII", "D minor V7/iv", "B minor V7/VI", "C minor V7/V"]),
        ("A7", ["C major V7/ii", "F major V7/vi", "G major V7/V", "Bb major V7/iii", "A major V7/IV",
                "A minor V7/iv", "E minor V7/VII", "G minor V7/V", "F# minor V7/VI"]),
        ("F#dim7", ["C major vii°7/V", "F major vii°7/ii", "Bb major vii°7/vi", "D major vii°7/IV",
                    "Eb major vii°7/iii", "A minor vii°7/VII", "D minor vii°7/iv", "E minor vii°7/III",
                    "B minor vii°7/VI", "C minor vii°7/V"]),
        # a half-diminished seventh leads to a major degree
        ("F#m7b5", ["C major viiø7/V", "D major viiø7/IV", "A minor viiø7/VII", "B minor viiø7/VI",
                    "C minor viiø7/V"]),
        # no dominant: no leading tone, or an added tone
        ("Dm7", []),
        ("D6", []),
        ("D7sus4", []),
        ("Daug", []),
    ],
)  # fmt: skip
def test_the_secondary_dominants(symbol: str, expected: list[str]) -> None:
    assert sorted(shown(home) for home in secondary_dominants(chord_of(symbol))) == sorted(expected)


@given(st.sampled_from(ROOTS), st.sampled_from(["", "7", "9", "7b9", "dim", "dim7", "m7b5", "13", "m7"]))
def test_a_secondary_dominant_is_no_chord_of_the_keys_own(root: Tone, suffix: str) -> None:
    chord = Chord(root, chord_of("C" + suffix).degrees)
    own = {home.key for home in homes(chord) if home.form != "melodic"}
    apart = secondary_dominants(chord)
    assert not own & {home.key for home in apart}
    assert len({home.key for home in apart}) == len(apart)
    assert all(home.form == "secondary" for home in apart)


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
        scale = {"own": home.key.tones, "raised-seventh": home.key.harmonic, "melodic": home.key.melodic}[home.form]
        assert set(chord.tones) <= scale
        assert (home.form == "own") == (set(chord.tones) <= home.key.tones)
    assert {home.key for home in found if home.form == "own"} == {key for key in KEYS if set(chord.tones) <= key.tones}


@given(st.sampled_from(KEYS), st.sampled_from(["C", "Dm7", "Bm7b5", "G7", "Fmaj7"]), st.sampled_from(ROOTS))
def test_numerals_move_with_the_key(key: Key, symbol: str, tonic: Tone) -> None:
    steps = (tonic.step - key.tonic.step) % 7
    semitones = tonic.key - key.tonic.key + (12 if tonic.step < key.tonic.step else 0)
    moved = chord_of(symbol).transposed(Interval(steps, semitones))
    assert numeral(moved, Key(tonic, key.minor)) == numeral(chord_of(symbol), key)
