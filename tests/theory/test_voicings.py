"""Checks that voicings can be played: an octave a hand at most, the bass lowest, nothing needed missing."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from understave.entries.kept import load_glossary
from understave.entries.values import Spelled
from understave.theory.chords import Chord, usually_played
from understave.theory.symbols import read_symbol
from understave.theory.tones import LETTERS, ROOTS, Tone, parse_degree
from understave.theory.voicings import Voicing, close_position, voice

CONTENT = Path(__file__).parents[2] / "content"
CHORDS = load_glossary(CONTENT).chords

tones = st.builds(Tone, st.sampled_from(LETTERS), st.integers(-1, 1))

OCTAVE = 12
"""The widest span of a hand in semitones (common practice for a page that everyone can play from)."""


def problems(chord: Chord, voicing: Voicing) -> list[str]:
    """Return what makes a voicing of a chord unplayable or wrong."""
    found = []
    left, right = ([pitch for pitch, _ in hand] for hand in (voicing.left, voicing.right))
    for name, hand in (("left", left), ("right", right)):
        keys = [pitch.key for pitch in hand]
        if keys != sorted(set(keys)):
            found.append(f"{name} not low to high")
        if keys and keys[-1] - keys[0] > OCTAVE:
            found.append(f"{name} spans {keys[-1] - keys[0]}")
        if len(keys) > 5:
            found.append(f"{name} has {len(keys)} notes")
    if left and right and left[-1].key >= right[0].key:
        found.append("hands cross")
    if (left + right)[0].tone != chord.bass:
        found.append("bass not lowest")
    for pitch, degree in (*voicing.left, *voicing.right):
        if pitch.tone != (chord.bass if degree is None else chord.root.at(degree)):
            found.append(f"{pitch} is no {degree}")
    held = {degree for _, degree in (*voicing.left, *voicing.right)}
    needed = set(usually_played(chord.degrees))
    ninths = {degree for degree in needed if degree.number == 9}
    missing = needed - held - ninths
    if missing or (ninths and not ninths & held):
        found.append(f"misses {' '.join(sorted(map(str, missing | (ninths - held))))}")
    if held - {None} - set(chord.degrees):
        found.append("a degree outside the chord")
    # an altered dominant is shown with one ninth at a time
    if len({degree for degree in held if degree is not None and degree.number == 9}) > 1:
        found.append("two ninths at a time")
    return found


@pytest.mark.parametrize(("name", "entry"), CHORDS.items(), ids=list(CHORDS))
def test_every_chord_type_can_be_played_under_every_root_and_over_every_tone(name: str, entry: Spelled) -> None:
    for root in ROOTS:
        for bass in (None, *(root.at(degree) for degree in entry.degrees)):
            chord = Chord(root, entry.degrees, bass)
            assert problems(chord, voice(chord)) == [], f"{root} {name} over {bass}"


@settings(max_examples=300, deadline=None)
@given(tones, st.sampled_from([entry.degrees for entry in CHORDS.values()]), tones)
def test_a_foreign_bass_can_be_played_too(root: Tone, degrees: tuple, bass: Tone) -> None:  # type: ignore[type-arg]
    chord = Chord(root, degrees, bass)
    voicing = voice(chord)
    assert problems(chord, voicing) == []
    if bass not in chord.tones:
        assert voicing.left[0][1] is None


@pytest.mark.parametrize(
    "symbol", ["C7b9#9", "C7b5#5", "C(no5)", "C7(no3,no5)", "Cm7(add11)", "C6", "C13b5", "Csus2sus4", "C5"]
)
def test_rare_symbols_can_be_played(symbol: str) -> None:
    chord = read_symbol(symbol)[0].chord
    assert chord is not None
    assert problems(chord, voice(chord)) == []


@pytest.mark.parametrize("symbol", ["C13", "Cmaj13", "C11", "Cmaj11"])
def test_what_clashes_is_left_out_of_the_voicing(symbol: str) -> None:
    chord = read_symbol(symbol)[0].chord
    assert chord is not None
    voicing = voice(chord)
    clashing = parse_degree("11") if "13" in symbol else parse_degree("3")
    assert clashing not in {degree for _, degree in (*voicing.left, *voicing.right)}


@pytest.mark.parametrize("name", [name for name, entry in CHORDS.items() if 3 <= len(entry.degrees) <= 4])
def test_close_positions_hold_every_tone_once_in_less_than_two_octaves(name: str) -> None:
    degrees = CHORDS[name].degrees
    for root in ROOTS:
        chord = Chord(root, degrees)
        for inversion, lowest in enumerate(degrees):
            voicing = close_position(chord, inversion)
            assert voicing.left == ()
            pitches = [pitch for pitch, _ in voicing.right]
            assert voicing.right[0][1] == lowest
            assert sorted(map(str, (pitch.tone for pitch in pitches))) == sorted(map(str, chord.tones))
            assert [pitch.key for pitch in pitches] == sorted({pitch.key for pitch in pitches})
            if all(degree.number <= 7 for degree in degrees):
                assert voicing.span < OCTAVE


def test_close_position_of_a_triad_and_its_inversions() -> None:
    chord = read_symbol("C")[0].chord
    assert chord is not None
    shown = [[str(pitch) for pitch, _ in close_position(chord, inversion).right] for inversion in range(3)]
    # close position, first and second inversion of C: common practice
    assert shown == [["C4", "E4", "G4"], ["E4", "G4", "C5"], ["G4", "C5", "E5"]]
