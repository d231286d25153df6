"""Checks the printed symbols: what the entries print, and that every printed chord reads back as itself."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from understave.entries.kept import load_glossary
from understave.entries.values import Spelled
from understave.theory.chords import Chord, in_order
from understave.theory.house_style import print_suffix, print_symbol
from understave.theory.symbols import read_symbol
from understave.theory.tones import LETTERS, ROOTS, Degree, Tone, parse_degree

CONTENT = Path(__file__).parents[2] / "content"
CHORDS = load_glossary(CONTENT).chords
CASES: list[dict[str, Any]] = json.loads(Path(__file__).with_name("symbol_cases.json").read_text("utf-8"))

roots = st.builds(Tone, st.sampled_from(LETTERS), st.integers(-2, 2))


def one_of(*choices: str) -> st.SearchStrategy[tuple[str, ...]]:
    """Draw one choice of degrees parted by spaces."""
    return st.sampled_from(choices).map(lambda choice: tuple(choice.split()))


degree_sets = (
    st.tuples(
        st.one_of(
            st.tuples(
                one_of("3", "3", "b3", "2", "4", "2 4", "2 3", "3 4", "b3 4", ""),
                one_of("5", "5", "b5", "#5", "b5 #5", ""),
                one_of("", "6", "b7", "b7", "7", "b6"),
            ).map(lambda parts: tuple(text for part in parts for text in part)),
            one_of("b3 b5 bb7"),
        ),
        one_of("", "", "9", "b9", "#9", "b9 #9"),
        one_of("", "", "11", "#11"),
        one_of("", "", "13", "b13"),
    )
    .map(lambda parts: in_order({parse_degree(text) for text in ("1", *(text for part in parts for text in part))}))
    .filter(
        lambda degrees: not any({number, number + 7} <= {degree.number for degree in degrees} for number in (2, 4, 6))
    )
)
"""Sets of degrees such as symbols can state: two sizes only of the fifth and the ninth, no letter in two octaves."""


@pytest.mark.parametrize(("name", "entry"), CHORDS.items(), ids=list(CHORDS))
def test_an_entry_prints_as_its_first_written_form(name: str, entry: Spelled) -> None:
    assert print_suffix(entry.degrees) == entry.written[0]


@pytest.mark.parametrize(("name", "entry"), CHORDS.items(), ids=list(CHORDS))
def test_an_entry_reads_back_first_under_every_root(name: str, entry: Spelled) -> None:
    for root in ROOTS:
        printed = print_symbol(Chord(root, entry.degrees))
        first = read_symbol(printed)[0].chord
        assert first is not None
        assert (first.root, first.degrees) == (root, entry.degrees), printed


@pytest.mark.parametrize(
    ("degrees", "suffix"),
    [
        ("1 3 5", ""), ("1 b3 5", "m"), ("1 b3 b5", "dim"), ("1 3 #5", "aug"), ("1 5", "5"), ("1 4 5", "sus4"),
        ("1 3 b5", "(b5)"), ("1 3 5 b7 b9 #11", "7b9#11"), ("1 b3 5 9", "m(add9)"), ("1 3 5 9", "add9"),
        ("1 4 5 b7 9", "9sus4"), ("1 3 5 6 9", "6/9"), ("1 b3 5 7", "m(maj7)"), ("1 b3 b5 b7 9", "m9b5"),
        ("1 3 b5 #5 b7", "7b5#5"), ("1 3 b7 b9 #9 b13", "7alt"), ("1 3 5 b7 13", "7(add13)"), ("1 3 b7", "7(no5)"),
        ("1 5 b7", "7(no3)"), ("1 3", "(no5)"),
    ],
)  # fmt: skip
def test_the_style(degrees: str, suffix: str) -> None:
    assert print_suffix(tuple(map(parse_degree, degrees.split()))) == suffix


@pytest.mark.parametrize(
    ("symbol", "printed"),
    [("C△7", "Cmaj7"), ("B♭m⁹", "Bbm9"), ("Ab5", "Ab5"), ("A(b5)", "A(b5)"), ("Fx7", "F##7"), ("C/E", "C/E"),
     ("C/C", "C"), ("D/Gb", "D/Gb"), ("C69/E", "C6/9/E"), ("C-Δ7", "Cm(maj7)"), ("Cø", "Cm7b5")],
)  # fmt: skip
def test_symbols_print_in_ascii(symbol: str, printed: str) -> None:
    chord = read_symbol(symbol)[0].chord
    assert chord is not None
    assert print_symbol(chord) == printed


def check_fixed_point(symbol: str) -> None:
    """Raises AssertionError where a reading of a symbol prints otherwise than it reads back."""
    for reading in read_symbol(symbol):
        if reading.chord is not None:
            printed = print_symbol(reading.chord)
            first = read_symbol(printed)[0].chord
            assert first is not None
            own = reading.chord
            assert (first.root, first.degrees, first.bass) == (own.root, own.degrees, own.bass), (symbol, printed)
            assert print_symbol(first) == printed, symbol


@pytest.mark.parametrize("name", CHORDS)
def test_every_written_form_prints_as_a_fixed_point_under_every_root_and_over_every_bass(name: str) -> None:
    entry = CHORDS[name]
    for root in ROOTS:
        for form in entry.written:
            check_fixed_point(f"{root}{form}")
        for bass in ROOTS:
            check_fixed_point(f"{root}{entry.written[0]}/{bass}")


@pytest.mark.parametrize(
    "case",
    [case for case in CASES if "readings" in case and "language" not in case],
    ids=lambda case: repr(case["text"]),
)
def test_every_symbol_of_the_shared_cases_prints_as_a_fixed_point(case: dict[str, Any]) -> None:
    check_fixed_point(case["text"])


@settings(max_examples=20 * settings.default.max_examples, deadline=None)
@given(roots, degree_sets, st.one_of(st.none(), roots))
def test_every_printed_chord_reads_back_as_itself(root: Tone, degrees: tuple[Degree, ...], bass: Tone | None) -> None:
    printed = print_symbol(Chord(root, degrees, bass))
    assert printed.isascii()
    first = read_symbol(printed)[0].chord
    assert first is not None
    assert (first.root, first.degrees, first.bass) == (root, degrees, bass or root), printed
    assert print_symbol(first) == printed
