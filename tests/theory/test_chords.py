"""Checks what follows from a chord's root, degrees and bass: tones, inversions, and what players leave out."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from understave.theory.chords import Chord, easier_root, in_order, usually_left_out, usually_played
from understave.theory.symbols import read_symbol
from understave.theory.tones import DEGREES, LETTERS, ROOTS, Degree, Interval, Tone, parse_degree, parse_tone

tones = st.builds(Tone, st.sampled_from(LETTERS), st.integers(-2, 2))
intervals = st.builds(Interval, st.integers(0, 7), st.integers(0, 12))
degree_sets = st.sets(st.sampled_from(DEGREES).map(parse_degree), max_size=7).map(
    lambda degrees: in_order(degrees | {parse_degree("1")})
)
chords = st.builds(Chord, tones, degree_sets, st.one_of(st.none(), tones))


def chord_of(symbol: str) -> Chord:
    chord = read_symbol(symbol)[0].chord
    assert chord is not None
    return chord


def texts(degrees: tuple[Degree, ...]) -> list[str]:
    return list(map(str, degrees))


@pytest.mark.parametrize(
    ("symbol", "tones"),
    [
        ("Abm9", "Ab Cb Eb Gb Bb"),
        ("Cbdim7", "Cb Ebb Gbb Bbbb"),
        ("C13", "C E G Bb D F A"),
        ("Cadd2", "C D E G"),
        ("C7alt", "C E Bb Db D# Ab"),
        ("D/Gb", "D F# A"),
        ("C/Bb", "C E G"),  # a foreign bass is not among the tones
        ("F#7b9", "F# A# C# E G"),
    ],
)
def test_tones_stand_in_the_order_of_their_degrees(symbol: str, tones: str) -> None:
    assert [str(tone) for tone in chord_of(symbol).tones] == tones.split()


@pytest.mark.parametrize(
    ("symbol", "bass", "inversion"),
    [
        ("C", "C", 0), ("C/C", "C", 0), ("C/E", "E", 1), ("C/G", "G", 2), ("C7/Bb", "Bb", 3), ("Cm/Eb", "Eb", 1),
        ("Cm7b5/Gb", "Gb", 2), ("Cdim7/Bbb", "Bbb", 3), ("Caug/G#", "G#", 2), ("Cmaj7/B", "B", 3),
        ("C13/E", "E", 1), ("C/Bb", "Bb", None), ("C/B", "B", None), ("C/D", "D", None), ("C6/A", "A", None),
        ("Csus4/F", "F", None), ("Csus4/G", "G", 2), ("Cadd9/D", "D", None), ("C9/D", "D", None), ("D/Gb", "Gb", None),
        ("C/D#", "D#", None), ("Cm/D#", "D#", None),
    ],
)  # fmt: skip
def test_the_bass_decides_the_inversion(symbol: str, bass: str, inversion: int | None) -> None:
    chord = chord_of(symbol)
    assert (str(chord.bass), chord.inversion) == (bass, inversion)


@pytest.mark.parametrize(
    ("symbol", "respelled"),
    [("D/Gb", "F#"), ("D/F#", None), ("Cm/D#", "Eb"), ("C/D#", None), ("C/Bb", None), ("C", None), ("C7/A#", "Bb"),
     ("Ab/B#", "C"), ("C/Fb", "E")],
)  # fmt: skip
def test_another_spelling_is_offered_only_for_a_chord_tone(symbol: str, respelled: str | None) -> None:
    found = chord_of(symbol).bass_respelled
    assert (str(found) if found else None) == respelled


@pytest.mark.parametrize(
    ("symbol", "left_out"),
    [
        ("C13", "5 11"), ("Cmaj13", "5 11"), ("C11", "3 5"), ("Cmaj11", "3 5"), ("Cm11", "5"), ("Cm13", "5"),
        ("C9", "5"), ("Cmaj9", "5"), ("Cm9", "5"), ("Cm(maj9)", "5"), ("C9sus4", "5"), ("C13sus4", "5"),
        ("C9#11", "5"), ("C13#11", "5"), ("C13b9", "5 11"), ("C13#9", "5 11"), ("C13b9#11", "5"), ("C11b9", "3 5"),
        ("Cm11b9", "5"),
        # nothing of a chord that is no ninth, eleventh or thirteenth, and no altered fifth
        ("C", ""), ("C7", ""), ("C6/9", ""), ("Cadd9", ""), ("Cadd11", ""), ("C7#11", ""), ("C7(13)", ""),
        ("C9#5", ""), ("Cm9b5", ""), ("C7alt", ""), ("Cm7(add11)", ""),
    ],
)  # fmt: skip
def test_what_players_usually_leave_out(symbol: str, left_out: str) -> None:
    degrees = chord_of(symbol).degrees
    assert texts(usually_left_out(degrees)) == left_out.split()
    assert texts(usually_played(degrees)) == [text for text in texts(degrees) if text not in left_out.split()]


@given(degree_sets)
def test_what_is_played_and_what_is_left_out_make_the_chord(degrees: tuple[Degree, ...]) -> None:
    played, left_out = usually_played(degrees), usually_left_out(degrees)
    assert in_order(set(played) | set(left_out)) == degrees
    assert not set(played) & set(left_out)
    assert parse_degree("1") in played
    assert {degree.number for degree in left_out} <= {3, 5, 11}


@given(chords, intervals)
def test_spelling_and_transposing_commute(chord: Chord, interval: Interval) -> None:
    higher = chord.transposed(interval)
    assert higher.tones == tuple(tone.up(interval) for tone in chord.tones)
    assert higher.bass == chord.bass.up(interval)
    assert higher.inversion == chord.inversion
    moved = chord.bass_respelled.up(interval) if chord.bass_respelled else None
    assert higher.bass_respelled == moved


@given(chords)
def test_a_respelled_bass_is_a_chord_tone_that_sounds_the_same(chord: Chord) -> None:
    if chord.bass in chord.tones:
        assert chord.bass_respelled is None
    elif chord.bass_respelled is not None:
        assert chord.bass_respelled in chord.tones
        assert chord.bass_respelled.pitch_class == chord.bass.pitch_class
    else:
        assert chord.bass.pitch_class not in {tone.pitch_class for tone in chord.tones}


@pytest.mark.parametrize(
    ("symbol", "easier"),
    [
        ("Cbdim7", "B"),
        ("Fbm", "E"),
        ("G#maj7", "Ab"),
        ("D#", "Eb"),
        ("E#7", "F"),
        ("C", None),
        ("Ebm9", None),
        ("F#7", None),
    ],
)
def test_the_root_that_players_would_rather_read(symbol: str, easier: str | None) -> None:
    chord = chord_of(symbol)
    assert easier_root(chord.root, chord.degrees) == (parse_tone(easier) if easier else None)


@given(st.sampled_from(ROOTS), degree_sets)
def test_an_easier_root_is_the_same_key_with_fewer_accidentals(root: Tone, degrees: tuple[Degree, ...]) -> None:
    easier = easier_root(root, degrees)
    if easier is None:
        return
    assert easier.pitch_class == root.pitch_class
    assert easier != root
    assert sum(abs(easier.at(d).alteration) for d in degrees) < sum(abs(root.at(d).alteration) for d in degrees)
