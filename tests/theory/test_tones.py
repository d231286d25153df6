"""Checks that tones, pitches and degrees are spelled by letter and counted exactly."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from understave.theory.tones import (
    DEGREES,
    LETTERS,
    ROOTS,
    Degree,
    Interval,
    Pitch,
    SpellingError,
    Tone,
    parse_degree,
    parse_pitch,
    parse_tone,
    pitch_above,
)

tones = st.builds(Tone, st.sampled_from(LETTERS), st.integers(-2, 2))
degrees = st.sampled_from(DEGREES).map(parse_degree)
intervals = st.builds(Interval, st.integers(0, 13), st.integers(-2, 24))


def spelled(root: str, *degrees: str) -> list[str]:
    return [str(parse_tone(root).at(parse_degree(degree))) for degree in degrees]


@pytest.mark.parametrize(
    ("root", "degrees", "expected"),
    [
        ("C", "1 2 3 4 5 6 7", "C D E F G A B"),
        ("E", "1 2 3 4 5 6 7", "E F# G# A B C# D#"),  # the major scale: common practice
        ("Db", "1 2 3 4 5 6 7", "Db Eb F Gb Ab Bb C"),
        ("Ab", "1 b3 5 b7 9", "Ab Cb Eb Gb Bb"),  # never B for Cb
        ("Cb", "1 b3 b5 bb7", "Cb Ebb Gbb Bbbb"),  # the strict spelling needs a triple flat
        ("B#", "1 3 #5", "B# D## F###"),
        ("F#", "b9 9 #9 11 #11 b13 13", "G G# G## B B# D D#"),
        ("C", "#4 b6 b2", "F# Ab Db"),
    ],
)
def test_the_letter_comes_from_the_number_and_the_accidental_from_the_size(
    root: str, degrees: str, expected: str
) -> None:
    assert spelled(root, *degrees.split()) == expected.split()


@pytest.mark.parametrize(
    ("text", "key"),
    # MIDI key numbers with C4 = 60; the octave goes with the letter (common practice)
    [("C4", 60), ("B#3", 60), ("Dbb4", 60), ("B3", 59), ("Cb4", 59), ("A4", 69), ("A0", 21), ("C8", 108), ("C-1", 0)],
)
def test_pitches_sound_at_their_keys(text: str, key: int) -> None:
    assert parse_pitch(text).key == key
    assert str(parse_pitch(text)) == text


@pytest.mark.parametrize(("text", "line"), [("C4", 28), ("C#4", 28), ("Cb4", 28), ("D4", 29), ("B3", 27), ("B#3", 27)])
def test_the_staff_place_goes_by_letter(text: str, line: int) -> None:
    assert parse_pitch(text).line == line


def test_there_are_twenty_one_roots() -> None:
    assert [str(root) for root in ROOTS[:6]] == ["Cb", "C", "C#", "Db", "D", "D#"]
    assert len(set(ROOTS)) == len(ROOTS) == 21


def test_the_degrees_that_exist() -> None:
    wanted = "1 b2 2 b3 3 4 #4 b5 5 #5 b6 6 bb7 b7 7 b9 9 #9 11 #11 b13 13"
    assert [str(parse_degree(text)) for text in wanted.split()] == wanted.split()
    assert sorted(DEGREES) == sorted(wanted.split())


@pytest.mark.parametrize("text", ["", "0", "8", "10", "#3", "b4", "##5", "15", "b", "#", "3b", "bbb7", "１", "b 3"])
def test_other_degrees_do_not_exist(text: str) -> None:
    with pytest.raises(SpellingError):
        parse_degree(text)


@pytest.mark.parametrize("text", ["", "H", "b", "c", "C♯", "C#b", "C4", " C", "C\n", "do"])
def test_what_is_no_note_name(text: str) -> None:
    with pytest.raises(SpellingError):
        parse_tone(text)


@pytest.mark.parametrize("text", ["", "C", "4", "C 4", "C44", "C--1", "H4", "C#b4", "C4\n", "C٤"])
def test_what_is_no_pitch(text: str) -> None:
    with pytest.raises(SpellingError):
        parse_pitch(text)


@given(st.one_of(st.text(), st.text("ABCDEFG#b0123456789- ")), st.sampled_from([parse_tone, parse_pitch, parse_degree]))
def test_any_text_reads_back_or_is_refused(text: str, parse: object) -> None:
    try:
        value = parse(text)  # type: ignore[operator]
    except SpellingError:
        return
    assert str(value) == text


@given(tones, degrees)
def test_a_degree_is_found_again_by_its_letter(root: Tone, degree: Degree) -> None:
    assert root.degree_of(root.at(degree)) == degree.simple


@given(tones, degrees)
def test_a_tone_sounds_its_degree_above_the_root(root: Tone, degree: Degree) -> None:
    tone = root.at(degree)
    assert (tone.key - root.key) % 12 == degree.semitones % 12
    assert (tone.step - root.step) % 7 == (degree.number - 1) % 7
    assert tone.pitch_class == (root.pitch_class + degree.semitones) % 12


@given(tones, intervals)
def test_down_undoes_up(tone: Tone, interval: Interval) -> None:
    assert tone.up(interval).down(interval) == tone


@given(tones, intervals, intervals)
def test_intervals_add_up(tone: Tone, one: Interval, other: Interval) -> None:
    total = Interval(one.steps + other.steps, one.semitones + other.semitones)
    assert tone.up(one).up(other) == tone.up(total) == tone.up(other).up(one)


@given(tones, st.integers(0, 127))
def test_the_pitch_above_a_key_is_the_lowest(tone: Tone, key: int) -> None:
    pitch = pitch_above(tone, key)
    assert pitch.tone == tone
    assert key <= pitch.key < key + 12


@given(tones, st.integers(0, 8))
def test_a_pitch_and_its_line_agree(tone: Tone, octave: int) -> None:
    pitch = Pitch(tone, octave)
    assert pitch.key % 12 == tone.pitch_class
    assert divmod(pitch.line, 7) == (octave, tone.step)
    assert parse_pitch(str(pitch)) == pitch


@pytest.mark.parametrize(
    ("degree", "semitones", "simple"),
    [("1", 0, "1"), ("b3", 3, "b3"), ("bb7", 9, "bb7"), ("9", 14, "2"), ("b9", 13, "b2"), ("11", 17, "4"),
     ("#11", 18, "#4"), ("13", 21, "6"), ("b13", 20, "b6")],
)  # fmt: skip
def test_extensions_lie_an_octave_above_their_simple_degrees(degree: str, semitones: int, simple: str) -> None:
    assert parse_degree(degree).semitones == semitones
    assert str(parse_degree(degree).simple) == simple
