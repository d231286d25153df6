"""Naming a stretch: foreign notes are told by what they do, and do not rename the chord.

What is expected is common practice: how passing notes, neighbors, suspensions, anticipations and pedal points are
defined, and which name two hands add up to.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from understave.theory.house_style import print_symbol
from understave.theory.keys import Key
from understave.theory.naming import Naming, NoNotesError, name_notes
from understave.theory.rhythms import recip_length
from understave.theory.spans import Guess
from understave.theory.stretches import StretchNote, name_span
from understave.theory.symbols import suffix_degrees
from understave.theory.tones import Pitch, parse_degree, parse_pitch, parse_tone

Line = str
"""Notes of a hand one after the other: ``4C3`` is a quarter, ``2C3.E3.G3`` a chord, ``4r`` a rest."""


def line(text: Line, hand: str, start: Fraction = Fraction(0)) -> list[StretchNote]:
    notes, at = [], start
    for word in text.split():
        digits = word[: next(place for place, sign in enumerate(word) if sign.isalpha())]
        length = recip_length(digits)
        if not word.endswith("r"):
            notes += [StretchNote(parse_pitch(p), at, length, hand) for p in word[len(digits) :].split(".")]
        at += length
    return notes


def named(left: Line, right: Line, length: int | Fraction = 1, **around: object) -> tuple[Naming, ...]:
    before = around.pop("before", "")
    notes = line(left, "left") + line(right, "right")
    if before:
        lead = line(str(before), "right")
        notes += line(str(before), "right", -sum((note.duration for note in lead), Fraction(0)))
    return name_span(notes, Fraction(length), **around)  # type: ignore[arg-type]


def symbol(left: Line, right: Line, **around: object) -> str:
    return print_symbol(named(left, right, **around)[0].chord)


def roles(left: Line, right: Line, **around: object) -> dict[str, str]:
    return {str(extra.pitch): extra.role for extra in named(left, right, **around)[0].extra}


@pytest.mark.parametrize(
    ("left", "right", "name"),
    [
        ("1C3", "4E4 4G4 4E4 4G4", "C"),
        ("8C3 8G3 8E3 8G3 8C3 8G3 8E3 8G3", "1C5", "C"),
        ("8E3 8G3 8C4 8G3 8E3 8G3 8C4 8G3", "1C5", "C/E"),
        ("4C3 4E3.G3 4G2 4E3.G3", "1C5", "C"),
        ("1G2.D3", "4Bb3.F4.A4 2.Bb3.F4.A4", "Gm9"),
        ("1G2", "2F4.B4 2F4.D5", "G7"),
        ("1C3", "8C5 8B4 8A4 8G4 8F4 8E4 8D4 8C4", "C"),
    ],
)
def test_a_stretch_has_the_name_that_both_hands_add_up_to(left, right, name):
    assert symbol(left, right) == name


@pytest.mark.parametrize(
    ("right", "pitch", "role"),
    [
        ("4C5 8D5 8E5 2G5", "D5", "passing"),
        ("4E5 8D5 8C5 2G5", "D5", "passing"),
        ("4G5 8A5 8G5 2E5", "A5", "neighbor"),
        ("4E5 8D5 8E5 2G5", "D5", "neighbor"),
        ("4G5 8A5 8C5 2E5", "A5", "unexplained"),
        ("4E5 16F5 16F#5 8G5 2G5", "F5", "passing"),
    ],
)
def test_what_a_short_foreign_note_does(right, pitch, role):
    assert symbol("1C3.G3", right) == "C"
    assert roles("1C3.G3", right)[pitch] == role


def test_a_note_held_or_repeated_from_before_that_steps_down_is_a_suspension():
    repeated = {"before": "1F5"}
    assert symbol("1C3.G3", "4F5 2.E5", **repeated) == "C"
    assert roles("1C3.G3", "4F5 2.E5", **repeated) == {"F5": "suspension"}
    held = [
        *line("1C3.G3", "left"),
        StretchNote(parse_pitch("F5"), Fraction(-1, 2), Fraction(3, 4), "right"),
        StretchNote(parse_pitch("E5"), Fraction(1, 4), Fraction(3, 4), "right"),
    ]
    assert [extra.role for extra in name_span(held, Fraction(1))[0].extra] == ["suspension"]


def test_a_fourth_that_the_third_follows_is_no_added_tone():
    names = [print_symbol(one.chord) for one in named("1C3.G3", "2F5 2E5")]
    assert names[0] in ("C", "Csus4")
    assert "Cadd11" not in names[:2]


def test_a_note_that_comes_too_early_is_an_anticipation():
    notes = line("1C3.G3", "left") + line("2E5 4.C5 8A5 1A5", "right")
    best = name_span(notes, Fraction(1))[0]
    assert print_symbol(best.chord) == "C"
    assert [(str(extra.pitch), extra.role) for extra in best.extra] == [("A5", "anticipation")]


def test_a_long_bass_that_is_foreign_to_the_chord_is_a_pedal():
    best = next(one for one in named("1C3", "1G4.B4.D5.F5") if print_symbol(one.chord) == "G7/C")
    assert [(str(extra.pitch), extra.role) for extra in best.extra] == [("C3", "pedal")]


def test_long_notes_count_and_short_ones_hardly_do():
    assert symbol("1C3.G3", "2E4.A4 2E4.A4") == "C6"
    assert symbol("1C3.G3", "4E4 16G4 16A4 16G4 16E4 2E4") == "C"


def test_degrees_and_hands_stand_beside_every_note():
    best = named("1G2.D3", "1Bb3.F4.A4")[0]
    assert [(str(pitch), str(degree)) for pitch, degree in best.left] == [("G2", "1"), ("D3", "5")]
    assert [(str(pitch), str(degree)) for pitch, degree in best.right] == [("Bb3", "b3"), ("F4", "b7"), ("A4", "9")]
    assert (best.missing, best.extra) == ((), ())


def test_a_bass_that_was_held_before_stays():
    assert symbol("4E3.G3 4E3.G3", "2C5", bass=parse_pitch("C3"), length=Fraction(1, 2)) == "C"
    assert symbol("4E3.G3 4E3.G3", "2C5", length=Fraction(1, 2)) == "C/E"


def test_a_tune_alone_has_no_bass():
    assert symbol("1r", "4E4 4F4 4G4 4C5") == "C"
    assert symbol("1r", "4E4 4G4 4C5 4G4") == "C/E"


def test_what_the_music_around_suggests_decides_what_is_open():
    def guess(root: str, suffix: str) -> Guess:
        return Guess(parse_tone(root), suffix_degrees(suffix), parse_tone(root), 0)

    assert symbol("1C3.G3", "1C5", guesses=[guess("C", "m")]) == "C5"
    assert symbol("2C3", "2C5", guesses=[guess("C", "m"), guess("C", "")], length=Fraction(1, 2)) == "Cm"
    assert named("2C3", "2C5", guesses=[guess("C", "m")], length=Fraction(1, 2))[0].why == "sums-up"


@pytest.mark.parametrize("steps", range(12))
def test_a_moved_stretch_has_a_moved_name(steps):
    notes = line("8C3 8G3 8E3 8G3 2C3", "left") + line("4E5 8D5 8C5 4A4 4G4", "right")
    plain = name_span(notes, Fraction(1))
    moved = [StretchNote(up(note.pitch, steps), note.onset, note.duration, note.hand) for note in notes]
    other = name_span(moved, Fraction(1))
    assert [one.chord.degrees for one in plain] == [one.chord.degrees for one in other]
    assert (other[0].chord.root.pitch_class - plain[0].chord.root.pitch_class) % 12 == steps


UP = ("1", "b2", "2", "b3", "3", "4", "b5", "5", "b6", "6", "b7", "7")


def up(pitch: Pitch, steps: int) -> Pitch:
    interval = parse_degree(UP[steps]).interval
    octave = (pitch.tone.step + interval.steps) // 7
    return Pitch(pitch.tone.up(interval), pitch.octave + octave)


@pytest.mark.parametrize(
    ("notes", "key", "name"),
    [
        ("C4 E4 G4 A4", Key(parse_tone("C"), False), "C6"),
        ("C4 E4 G4 A4", Key(parse_tone("A"), True), "Am7/C"),
        ("D4 F4 Ab4 B4", Key(parse_tone("C"), True), "Bdim7/D"),
        ("C4 E4 G#4", Key(parse_tone("A"), True), "Caug"),
    ],
)
def test_a_key_breaks_ties(notes, key, name):
    """Common practice: the tonic's own chord, and in minor the diminished seventh on the leading tone."""
    pitches = [parse_pitch(word) for word in notes.split()]
    assert print_symbol(name_notes([], pitches, key)[0].chord) == name
    held = [StretchNote(pitch, Fraction(0), Fraction(1), "right") for pitch in pitches]
    assert print_symbol(name_span(held, Fraction(1), key=key)[0].chord) == name


def test_a_key_does_not_outweigh_the_bass():
    pitches = [parse_pitch(word) for word in ("A3", "C4", "E4", "G4")]
    assert print_symbol(name_notes([], pitches, Key(parse_tone("C"), False))[0].chord) == "Am7"


def test_silence_has_no_name():
    with pytest.raises(NoNotesError):
        name_span([], Fraction(1))
    with pytest.raises(NoNotesError):
        name_span(line("1C3", "left", Fraction(2)), Fraction(1))


def test_the_order_of_notes_says_nothing():
    notes = line("8C3 8G3 8E3 8G3 2C3", "left") + line("4E5 8D5 8C5 4A4 4G4", "right")
    assert name_span(notes, Fraction(1)) == name_span(notes[::-1], Fraction(1))
