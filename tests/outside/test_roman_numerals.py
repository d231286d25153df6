"""Checks Roman numerals against music21's roman module, both ways: what its numerals spell, and how it reads chords."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest
from music21 import chord as music21_chord
from music21 import key as music21_key
from music21 import roman

from understave.entries.kept import load_glossary
from understave.theory.chords import FLAT_THIRD, THIRD, Chord
from understave.theory.keys import KEYS, NUMERALS, Home, Key, homes, secondary_dominants
from understave.theory.tones import ROOTS, Tone, parse_tone, pitch_above

CONTENT = Path(__file__).parents[2] / "content"
TYPES = {name: entry.degrees for name, entry in load_glossary(CONTENT).chords.items()}

NUMERAL = re.compile(r"([ivIV]+)([°ø+]?)(maj|\(maj(?=\d))?(6/9|\d*)\)?(.*?)((?:/[ivIV]+)?)")


def ours(name: str) -> Tone:
    """Return music21's note name as a tone of ours: its flats are written with a minus."""
    return parse_tone(name.replace("-", "b"))


def theirs(tone: Tone) -> str:
    return str(tone).replace("b", "-")


@cache
def their_key(of: Key) -> music21_key.Key:
    return music21_key.Key(theirs(of.tonic), "minor" if of.minor else "major")


def their_figure(home: Home) -> str:
    """Return a numeral of ours as music21 writes it: ø is /o, and the numbers count within the key's natural scale.

    So maj and the signs before a number go where the scale has that size anyway: everywhere but for the raised 6 and
    7 of minor, and for a lowered ninth that leads to a major degree.
    """
    match = NUMERAL.fullmatch(home.numeral)
    assert match is not None, home.numeral
    letters, quality, major, number, rest, target = match.groups()
    figure = letters + {"°": "o", "ø": "/o"}.get(quality, quality)
    added = re.findall(r"(?:add)?([#b]?)(\d+)", re.sub(r"no3|sus\d", "", rest))
    if number == "6/9":
        number, added = "", [("", "6"), ("", "9"), *added]
    elif number and home.form != "own" and not target:
        number, added = "7", [*(("", over) for over in ("9", "11", "13") if int(over) <= int(number)), *added]
    tonic_seventh = bool(major) and home.key.minor and letters == "i"
    figure += "#7" if tonic_seventh else number
    for sign, degree in added:
        figure += f"[add{sign if target.isupper() else _raising(home, letters, int(degree))}{degree}]"
    if "no3" in rest or "sus" in rest:
        figure += "[no3]" + "".join(
            f"[add{_raising(home, letters, int(degree))}{degree}]" for degree in re.findall(r"sus(\d)", rest)
        )
    return figure + target


def _raising(home: Home, letters: str, number: int) -> str:
    """Return the sharp that a number needs where it lands on the 6 or 7 of the melodic minor."""
    place = (NUMERALS.index(letters.upper()) + number - 1) % 7 + 1
    return "#" if home.form == "melodic" and place in (6, 7) else ""


def spelled(figure: str, of: Key) -> set[Tone]:
    # music21 roman.RomanNumeral
    return {ours(pitch.name) for pitch in roman.RomanNumeral(figure, their_key(of)).pitches}


def all_homes(name: str) -> list[tuple[Chord, Home]]:
    """Return a chord type on every root, in every key that holds it or that it leads within."""
    chords = [Chord(root, TYPES[name]) for root in ROOTS]
    return [(chord, home) for chord in chords for home in (*homes(chord), *secondary_dominants(chord))]


@pytest.mark.parametrize("name", TYPES)
def test_a_numeral_spells_the_same_chord_in_every_key(name: str) -> None:
    # music21 roman.RomanNumeral
    for chord, home in all_homes(name):
        figure = their_figure(home)
        assert spelled(figure, home.key) == set(chord.tones), f"{home.key} {home.numeral} as {figure}"


def test_no_numeral_goes_uncompared() -> None:
    compared = {(home.key, home.form) for name in TYPES for _, home in all_homes(name)}
    forms = ("own", "raised-seventh", "melodic", "secondary")
    assert compared == {
        (of, form) for of in KEYS for form in forms if of.minor or form not in ("raised-seventh", "melodic")
    }


def read_by_music21(chord: Chord, of: Key) -> roman.RomanNumeral:
    # music21 roman.romanNumeralFromChord, told the root, which it would look for in a sixth chord
    upwards = [
        pitch_above(tone, 48 + chord.root.key + degree.semitones)
        for tone, degree in zip(chord.tones, chord.degrees, strict=True)
    ]
    sounding = music21_chord.Chord([f"{theirs(pitch.tone)}{pitch.octave}" for pitch in upwards])
    sounding.root(sounding.pitches[0])
    return roman.romanNumeralFromChord(sounding, their_key(of))


PLAIN = [name for name, degrees in TYPES.items() if len(degrees) <= 4 and {THIRD, FLAT_THIRD} & set(degrees)]
"""The types with a third and at most four tones: music21 has no figure of its own for larger stacks."""


@pytest.mark.parametrize("name", PLAIN)
def test_music21_reads_the_same_degree_and_the_same_size_of_letters(name: str) -> None:
    # music21 roman.romanNumeralFromChord
    for chord, home in all_homes(name):
        if home.form == "secondary":
            continue
        found = read_by_music21(chord, home.key)
        letters = home.numeral[: len(found.romanNumeralAlone)]
        assert letters == found.romanNumeralAlone, f"{home.key} {home.numeral} as {found.figure}"
        assert {ours(pitch.name) for pitch in found.pitches} == set(chord.tones)


TRIADS_AND_SEVENTHS = {
    "major": "{}", "minor": "{}", "diminished": "{}o", "augmented": "{}+", "dominant-seventh": "{}7",
    "minor-seventh": "{}7", "major-seventh": "{}7", "half-diminished": "{}ø7", "diminished-seventh": "{}o7",
}  # fmt: skip
"""How music21 writes the chord types that its figures and ours both have, after the letters."""


@pytest.mark.parametrize(("name", "figure"), TRIADS_AND_SEVENTHS.items())
def test_music21_writes_the_same_numeral(name: str, figure: str) -> None:
    # music21 roman.romanNumeralFromChord; its b before VI and VII of a minor key says no more than ours without, and
    # 75#3 is how a bass line's figures state the raised third of V7
    for chord, home in all_homes(name):
        if home.form in ("own", "raised-seventh"):
            letters = re.sub("[^iIvV]", "", home.numeral)
            found = read_by_music21(chord, home.key)
            theirs_plain = found.figure.removeprefix("b").replace("75#3", "7")
            assert theirs_plain == figure.format(letters), f"{home.key} {home.numeral}"
