"""Checks other keys: readable names, the shorter way, what instruments and guitars with a capo read."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from understave.theory.keys import KEYS, Key, parse_key
from understave.theory.tones import Interval, parse_pitch
from understave.theory.transposing import (
    INSTRUMENTS,
    LAST_FRET,
    MOST_SIGNS,
    KeyProblem,
    key_like,
    read_by,
    readable,
    twelve_keys,
    under_capo,
    way,
)

keys = st.sampled_from(KEYS)


def tonics(found: tuple[Key, ...]) -> list[str]:
    return [str(key.tonic) for key in found]


def test_the_twelve_keys_go_up_by_half_steps_under_readable_names():
    assert tonics(twelve_keys(parse_key("C major"))) == [
        "C",
        "Db",
        "D",
        "Eb",
        "E",
        "F",
        "Gb",
        "G",
        "Ab",
        "A",
        "Bb",
        "B",
    ]
    assert tonics(twelve_keys(parse_key("G major"))) == [
        "G",
        "Ab",
        "A",
        "Bb",
        "B",
        "C",
        "Db",
        "D",
        "Eb",
        "E",
        "F",
        "F#",
    ]
    assert tonics(twelve_keys(parse_key("A minor"))) == [
        "A",
        "Bb",
        "B",
        "C",
        "C#",
        "D",
        "Eb",
        "E",
        "F",
        "F#",
        "G",
        "G#",
    ]


@given(keys)
def test_the_twelve_keys_are_twelve_and_readable(key):
    found = twelve_keys(key)
    assert [(other.tonic.pitch_class - key.tonic.pitch_class) % 12 for other in found] == list(range(12))
    assert all(abs(other.signature) <= MOST_SIGNS and other.minor == key.minor for other in found)


@pytest.mark.parametrize(
    ("key", "easier"),
    [
        ("C# major", "Db"),
        ("Cb major", "B"),
        ("A# minor", "Bb"),
        ("Ab minor", "G#"),
        ("F# major", "F#"),
        ("Gb major", "Gb"),
    ],
)
def test_seven_signs_give_way_to_five(key, easier):
    assert str(readable(parse_key(key)).tonic) == easier


@given(keys, keys.filter(lambda key: not key.minor))
def test_the_way_leads_to_the_key_and_is_the_shorter(key, other):
    target = Key(other.tonic, key.minor)
    interval = way(key, target)
    assert key.tonic.up(interval) == target.tonic
    assert abs(interval.semitones) <= 6 or abs(interval.steps) <= 3


@given(
    keys,
    keys.filter(lambda key: not key.minor),
    st.sampled_from([parse_pitch(text) for text in ("C4", "Ebb2", "B#5", "F#3")]),
)
def test_a_pitch_goes_there_and_back(key, other, pitch):
    interval = way(key, Key(other.tonic, key.minor))
    moved = pitch.up(interval)
    assert moved.key - pitch.key == interval.semitones
    assert moved.up(Interval(-interval.steps, -interval.semitones)) == pitch


def test_what_instruments_read():
    """Sounding C is written D, A and G for parts in B flat, E flat and F (common practice)."""
    assert {name: str(read_by(parse_key("C major"), name).tonic) for name in INSTRUMENTS} == {
        "Bb": "D",
        "Eb": "A",
        "F": "G",
    }
    assert str(read_by(parse_key("F# major"), "Bb").tonic) == "Ab"  # eight sharps have an easier name


def test_what_a_guitar_plays_with_a_capo():
    """Shapes of G with a capo at 3 sound in B flat; of C at 3 in E flat (common practice)."""
    assert str(under_capo(parse_key("Bb major"), 3).tonic) == "G"
    assert str(under_capo(parse_key("Eb major"), 3).tonic) == "C"
    assert str(under_capo(parse_key("B minor"), 2).tonic) == "A"
    assert under_capo(parse_key("D major"), 0) == parse_key("D major")


@given(keys, st.integers(0, LAST_FRET))
def test_a_capo_raises_by_a_half_step_a_fret(key, fret):
    shapes = under_capo(key, fret)
    assert (shapes.tonic.pitch_class + fret - key.tonic.pitch_class) % 12 == 0
    assert shapes.minor == key.minor


@pytest.mark.parametrize(
    ("text", "of", "key"),
    [
        ("Eb", "C major", "Eb major"),
        ("eb", "C major", "Eb major"),
        ("E♭ major", "C major", "Eb major"),
        ("f# minor", "A minor", "F# minor"),
        ("C#", "A minor", "C# minor"),
    ],
)
def test_a_key_is_read_as_one_types_it(text, of, key):
    assert key_like(text, parse_key(of)) == parse_key(key)


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("H", "no-key"),
        ("", "no-key"),
        ("Ebb", "no-key"),
        ("E flat or so", "no-key"),
        ("C dorian", "no-key"),
        ("C minor", "other-mode"),
    ],
)
def test_other_keys_are_told(text, problem):
    with pytest.raises(KeyProblem) as error:
        key_like(text, parse_key("C major"))
    assert error.value.problem == problem


@pytest.mark.parametrize("fret", [-1, 12, 30])
def test_a_fret_that_is_not_there_is_told(fret):
    with pytest.raises(KeyProblem):
        under_capo(parse_key("C major"), fret)


def test_an_instrument_that_is_not_there_is_told():
    with pytest.raises(KeyProblem):
        read_by(parse_key("C major"), "Cb")
