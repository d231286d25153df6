"""Naming what sounds: the usual names come first, and every note is accounted for.

The expected names are common practice; none is taken from a table.
"""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from understave.theory.house_style import print_symbol
from understave.theory.naming import MOST_NOTES, Naming, NoNotesError, name_keys, name_notes
from understave.theory.tones import Interval, Pitch, Tone, parse_pitch


def named(text: str) -> tuple[Naming, ...]:
    left, _, right = text.partition("|")
    return name_notes([parse_pitch(word) for word in left.split()], [parse_pitch(word) for word in right.split()])


def symbols(text: str) -> list[str]:
    return [print_symbol(naming.chord) for naming in named(text)]


@pytest.mark.parametrize(
    ("notes", "name"),
    [
        ("C3 | E4 G4", "C"),
        ("A3 | C4 F4", "F/A"),
        ("G2 D3 | F4 A4 Bb4", "Gm9"),  # common practice: the left hand alone is a root and a fifth
        ("C3 | E4 G4 A4", "C6"),
        ("A2 | C4 E4 G4", "Am7"),
        ("C3 | D4 G4", "Csus2"),
        ("G2 | C4 D4", "Gsus4"),
        ("B2 | D4 F4 A4", "Bm7b5"),
        ("D3 | F4 A4 B4", "Dm6"),
        ("B2 | D4 F4 Ab4", "Bdim7"),
        ("C3 | E4 G#4", "Caug"),
        ("G2 | F4 A4 C5", "F/G"),
        ("G2 | F4 A4 C5 D5", "G9sus4"),
        ("C3 | E4 G4 D5", "Cadd9"),
        ("C3 | E4 Bb4", "C7"),
        ("F2 | A4 C5 E5 G5", "Fmaj9"),
        ("C3 | G3", "C5"),
        ("C3 G3 | Bb3 E4 A4", "C7(add13)"),
        ("E2 | C4 E4 G4 B4", "Cmaj7/E"),
    ],
)
def test_the_usual_name_comes_first(notes: str, name: str) -> None:
    assert symbols(notes)[0] == name


@pytest.mark.parametrize(
    ("notes", "others"),
    [
        ("C3 | E4 G4 A4", {"C6", "Am7/C"}),
        ("G2 | F4 A4 C5", {"F/G", "G9sus4"}),
        ("C3 | D4 G4", {"Csus2"}),
        ("C3 | G3", {"C5", "C", "Cm"}),
    ],
)
def test_the_same_notes_have_several_names(notes: str, others: set[str]) -> None:
    assert others <= set(symbols(notes))


def test_the_scores_spelling_is_evidence_and_not_law() -> None:
    best = named("G#3 C4 Eb4 |")[0]
    assert print_symbol(best.chord) == "Ab"
    assert best.why == "respelled"
    assert print_symbol(named("Gb2 | D4 A4")[0].chord) == "D/F#"


def test_the_lowest_note_is_the_bass_whichever_hand_plays_it() -> None:
    assert print_symbol(named("C4 E4 | G3")[0].chord) == "C/G"


def test_what_is_missing_and_extra_is_told_by_degree_and_hand() -> None:
    best = named("C3 | E4 Bb4")[0]
    assert [str(degree) for degree in best.missing] == ["5"]
    assert [(str(pitch), str(degree)) for pitch, degree in best.left] == [("C3", "1")]
    assert [(str(pitch), str(degree)) for pitch, degree in best.right] == [("E4", "3"), ("Bb4", "b7")]
    slash = named("G2 | F4 A4 C5")[0]
    assert [(str(extra.pitch), str(extra.degree), extra.role) for extra in slash.extra] == [("G2", "2", "bass")]


def test_two_notes_and_one() -> None:
    assert named("C3 | G3")[0].why == "open-fifth"
    assert named("C3 |")[0].why == "single-note"
    # a fourth is a fifth turned over (common practice)
    fourth = named("G3 | C4")[0]
    assert (print_symbol(fourth.chord), fourth.why) == ("C5/G", "open-fifth")


def test_nothing_and_too_much_are_refused() -> None:
    with pytest.raises(NoNotesError):
        name_notes([], [])
    with pytest.raises(NoNotesError):
        name_notes([parse_pitch("C4")] * (MOST_NOTES + 1), [])


pitches = st.builds(
    Pitch, st.builds(Tone, st.sampled_from("CDEFGAB"), st.integers(-1, 1)), st.integers(min_value=2, max_value=5)
)


@settings(max_examples=300, deadline=None)
@given(st.lists(pitches, min_size=1, max_size=4), st.lists(pitches, max_size=4))
def test_every_note_has_a_degree_and_is_a_chord_tone_or_extra(left: list[Pitch], right: list[Pitch]) -> None:
    for naming in name_notes(left, right):
        assert [pitch for pitch, _ in naming.left] == left
        assert [pitch for pitch, _ in naming.right] == right
        chord = {tone.pitch_class for tone in naming.chord.tones}
        extra = {extra.pitch.tone.pitch_class for extra in naming.extra}
        assert {pitch.tone.pitch_class for pitch in (*left, *right)} <= chord | extra
        assert naming.chord.bass.pitch_class == min((*left, *right), key=lambda p: p.key).tone.pitch_class


@settings(max_examples=100, deadline=None)
@given(st.lists(pitches, min_size=2, max_size=5))
def test_an_octave_higher_the_names_are_the_same(hand: list[Pitch]) -> None:
    higher = [Pitch(pitch.tone, pitch.octave + 1) for pitch in hand]
    assert [n.chord for n in name_notes(hand, [])] == [n.chord for n in name_notes(higher, [])]


@pytest.mark.parametrize(
    ("keys", "name"),
    [
        ([60, 63, 66, 69], "Cdim7"),  # not B#dim7, which has one accidental less
        ([65, 68, 71, 74], "Fdim7"),
        ([64, 68, 71], "E"),
        ([60, 64, 68], "Caug"),
    ],
)
def test_a_white_keys_root_is_a_natural(keys: list[int], name: str) -> None:
    """Common practice."""
    assert print_symbol(name_keys(keys)[0].chord) == name


def test_every_set_of_keys_has_a_name_over_its_bass() -> None:
    """All 2,048 sets of intervals over a bass; the name holds the bass, and transposing the keys keeps the degrees."""
    for size in range(12):
        for above in combinations(range(1, 12), size):
            keys = [48, *(48 + interval for interval in above)]
            best = name_keys(keys)[0]
            assert best.chord.bass.pitch_class == 0
            moved = name_keys([key + 5 for key in keys])[0]
            assert moved.chord.degrees == best.chord.degrees
            assert moved.chord.root.pitch_class == best.chord.root.up(Interval(3, 5)).pitch_class
