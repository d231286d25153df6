"""Checks what `spell` answers: the shape of its JSON, letter by letter as settled, and its text."""

from __future__ import annotations

import re
import time
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from understave.answers.spelling import spell, spell_text
from understave.theory.symbols import read_symbol
from understave.theory.tones import ROOTS

READING_KEYS = [
    "symbol",
    "chord",
    "parts",
    "root",
    "bass",
    "bass_respelled",
    "degrees",
    "tones",
    "usually_left_out",
    "inversion",
    "why",
]


def readings(symbol: str, glossary) -> list[dict[str, Any]]:
    item = spell(symbol, glossary)
    assert item["error"] is None
    return item["readings"]


def without_why(value: dict[str, Any]) -> dict[str, Any]:
    assert list(value) == READING_KEYS
    assert isinstance(value["why"], str)
    assert value["why"]
    return {key: part for key, part in value.items() if key != "why"}


def test_a_reading_is_told_as_settled(glossary):
    item = spell("Abm7/Cb", glossary)
    assert list(item) == ["symbol", "readings", "error"]
    assert item["symbol"] == "Abm7/Cb"
    assert item["error"] is None
    assert [without_why(value) for value in item["readings"]] == [
        {
            "symbol": "Abm7/Cb",
            "chord": "minor-seventh",
            "parts": ["minor-seventh", "minor-seventh-first-inversion"],
            "root": "Ab",
            "bass": "Cb",
            "bass_respelled": None,
            "degrees": ["1", "b3", "5", "b7"],
            "tones": ["Ab", "Cb", "Eb", "Gb"],
            "usually_left_out": [],
            "inversion": 1,
        }
    ]


def test_two_senses_come_likeliest_first(glossary):
    both = readings("C2", glossary)
    assert [(value["symbol"], value["chord"]) for value in both] == [
        ("Cadd2", "added-second"),
        ("Csus2", "suspended-second"),
    ]
    assert len({value["why"] for value in both}) == 2


def test_no_chord_has_one_reading_without_tones(glossary):
    assert [without_why(value) for value in readings("N.C.", glossary)] == [
        {
            "symbol": "N.C.",
            "chord": None,
            "parts": [],
            "root": None,
            "bass": None,
            "bass_respelled": None,
            "degrees": [],
            "tones": [],
            "usually_left_out": [],
            "inversion": None,
        }
    ]


@pytest.mark.parametrize(
    ("symbol", "bass", "respelled", "inversion"),
    [
        ("C", "C", None, 0),
        ("C/C", "C", None, 0),
        ("C/E", "E", None, 1),
        ("C/G", "G", None, 2),
        ("G7/F", "F", None, 3),
        ("D/Gb", "Gb", "F#", None),
        ("C/D", "D", None, None),
        ("C9/D", "D", None, None),
        ("Bb/Cx", "C##", "D", None),
    ],
)
def test_a_bass_stays_as_written(symbol, bass, respelled, inversion, glossary):
    value = readings(symbol, glossary)[0]
    assert (value["bass"], value["bass_respelled"], value["inversion"]) == (bass, respelled, inversion)
    assert value["bass"] not in value["tones"] or inversion is not None or symbol == "C9/D"


@pytest.mark.parametrize(
    ("symbol", "left_out"),
    [
        ("C13", ["5", "11"]),
        ("Cmaj13", ["5", "11"]),
        ("Cm13", ["5"]),
        ("C11", ["3", "5"]),
        ("Cm11", ["5"]),
        ("C9", ["5"]),
        ("C7", []),
        ("C", []),
    ],
)
def test_what_is_usually_left_out_stands_apart(symbol, left_out, glossary):
    assert readings(symbol, glossary)[0]["usually_left_out"] == left_out


def test_a_chord_without_an_entry_names_its_parts(glossary):
    value = readings("C7(add4)", glossary)[0]
    assert value["chord"] is None
    assert value["parts"] == ["dominant-seventh", "added-fourth"]


def test_every_entry_is_spelled_under_every_root(glossary):
    for name, entry in glossary.chords.items():
        for root in ROOTS:
            value = readings(f"{root}{entry.written[0]}", glossary)[0]
            assert value["chord"] == name
            assert value["symbol"] == f"{root}{entry.written[0]}"
            assert value["parts"] == [name]
            assert value["degrees"] == [str(degree) for degree in entry.degrees]
            assert value["tones"] == [str(root.at(degree)) for degree in entry.degrees]
            ascii_values = {key: part for key, part in value.items() if key != "why"}
            assert repr(ascii_values).isascii()


@pytest.mark.parametrize(
    ("symbol", "at", "nearest"),
    [
        ("Xm7", 0, None),
        ("Cm7x", 3, "Cm7"),
        ("C(b5", 4, "C"),
        ("Hm7", 0, "Bm7"),
        ("C/", 2, "C"),
        ("", 0, None),
        ("C7 G7", 3, None),
    ],
)
def test_an_unreadable_symbol_says_where_and_what_is_nearest(symbol, at, nearest, glossary):
    item = spell(symbol, glossary)
    assert list(item) == ["symbol", "readings", "error"]
    assert item["symbol"] == symbol
    assert item["readings"] == []
    assert list(item["error"]) == ["message", "at", "nearest"]
    assert item["error"]["at"] == at
    if nearest:
        assert item["error"]["nearest"] == nearest
    assert f"(character {at + 1})" in item["error"]["message"]


any_symbol = st.one_of(
    st.text(max_size=12),
    st.text("ABCDEFGHabcdefgh#b♭♯/()0123456789msuajdinoø°Δ+-, ", max_size=12),
    st.sampled_from(["C", "Bb", "F#m", "G7"]).flatmap(
        lambda start: st.text("#b/()13579msuadno", max_size=8).map(lambda end: start + end)
    ),
)


@settings(max_examples=400, deadline=None)
@given(text=any_symbol)
@example(text="C\n7?")
@example(text="C7\x1b[31m")
@example(text="C7(\u2028x")
def test_any_text_gets_readings_or_one_error(text, glossary):
    item = spell(text, glossary)
    assert bool(item["readings"]) != bool(item["error"])
    if item["error"]:
        assert 0 <= item["error"]["at"] <= len(text)
        assert len(item["error"]["message"].splitlines()) == 1
        if item["error"]["nearest"] is not None:
            assert read_symbol(item["error"]["nearest"])
    for value in item["readings"]:
        assert list(value) == READING_KEYS
        assert repr({key: part for key, part in value.items() if key != "why"}).isascii()
        assert len(value["degrees"]) == len(value["tones"])
    assert spell_text(item)


@pytest.mark.usefixtures("uncollected")
@pytest.mark.parametrize(("start", "piece"), [("C", "add9"), ("", "C"), ("C", "#"), ("C7 ?", " "), ("C", "(")])
def test_a_long_text_takes_time_in_proportion(start, piece, glossary):
    # eight times the text; a square of it would take sixty-four times
    def seconds(count):
        began = time.process_time()
        spell(start + piece * count, glossary)
        return time.process_time() - began

    assert min(seconds(8000) for _ in range(2)) < 30 * max(min(seconds(1000) for _ in range(3)), 1e-4)


def test_the_text_could_be_read_out(glossary):
    assert spell_text(spell("C2", glossary)).splitlines() == [
        "C2: Cadd2 = C (root), D (2nd), E (3rd), G (5th)",
        "    Most song sheets write 2 for an added second: the 3rd stays. If the staff shows no 3rd, it is the "
        "suspended second.",
        "  or: Csus2 = C (root), D (2nd), G (5th)",
        "    Some writers mean the suspended second: the 2nd in place of the 3rd. Look for a 3rd in both hands.",
    ]
    assert "F♯" in spell_text(spell("D/Gb", glossary)).splitlines()[-1]
    assert "Usually left out: 5th and 11th." in spell_text(spell("C13", glossary))
    assert spell_text(spell("N.C.", glossary)) == "N.C.: N.C. means no chord: the accompaniment rests here."


@pytest.mark.parametrize(
    ("symbol", "said"),
    [
        ("C/E", ["E, the 3rd, is the lowest note", "first inversion"]),
        ("C/G", ["G, the 5th, is the lowest note", "second inversion"]),
        ("G7/F", ["F, the ♭7th, is the lowest note", "third inversion"]),
        ("Cmaj7/B", ["B, the 7th, is the lowest note", "third inversion"]),
        ("C/D", ["D is the lowest note"]),
        ("C/Db", ["D♭ is the lowest note", "minor second"]),
        ("C/Ex", ["E𝄪 is the lowest note", "doubly augmented third"]),
    ],
)
def test_the_text_says_which_note_is_lowest(symbol, said, glossary):
    last = spell_text(spell(symbol, glossary)).splitlines()[-1]
    assert all(words.casefold() in last.casefold() for words in said), last
    assert ("inversion" in last) == ("inversion" in said[-1])


@pytest.mark.parametrize(
    ("symbol", "said"),
    # common practice
    [
        ("C/E", "Figured bass writes 6. The lowest note decides the inversion"),
        (
            "Am/G",
            "adds the ♭7th below the chord. All together these are the notes of Am7, third inversion. Figured bass",
        ),
        ("F/G", "All together it sounds like G9sus4."),
        ("C6/A", "All together it sounds like Am7."),
        ("D/Gb", "It sounds like a chord tone, which is spelled F♯. F♯, the 3rd, is the lowest note: first inversion."),
        ("C/F", "a 4th above the root: an 11th put in the bass."),
    ],
)
def test_the_text_says_what_the_bass_makes_of_the_chord(symbol, said, glossary):
    assert said in spell_text(spell(symbol, glossary))


@pytest.mark.parametrize("chord", ["C", "Fm7", "Bdim", "Ab13", "Cbb", "Fx7"])
def test_every_bass_can_be_told(chord, glossary):
    for letter in "CDEFGAB":
        for sign in ("bb", "b", "", "#", "x"):
            assert spell_text(spell(f"{chord}/{letter}{sign}", glossary))


def test_the_text_is_typeset_where_it_isn_t_quoted(glossary):
    for entry in glossary.chords.values():
        text = spell_text(spell(f"Bb{entry.written[0]}", glossary))
        assert not re.search(r"\b[A-G](?:b|#)(?![a-z])", text), text
