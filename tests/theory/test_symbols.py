"""Checks that chord symbols read as charts mean them: the shared cases, and laws over any text."""

from __future__ import annotations

import json
import re
import time
from pathlib import Path
from typing import Any

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from understave.theory import grammar
from understave.theory.house_style import print_symbol
from understave.theory.symbols import Reading, SymbolError, nearest_readable, read_symbol
from understave.theory.tones import parse_degree

CASES: list[dict[str, Any]] = json.loads(Path(__file__).with_name("symbol_cases.json").read_text("utf-8"))
"""The cases that the browser's reader is driven by too: readings in order, or the place where the text stops reading.

A case may name the ``language`` of its note names, the id of what an error ``expected``, and of a reading's ``why``.
"""

READABLE = [case for case in CASES if "readings" in case and "language" not in case]
REFUSED = [case for case in CASES if "error_at" in case]
OTHER_NAMES = [case for case in CASES if "language" in case]

GRAMMAR_LETTERS = "".join(
    sorted(
        {letter for form in (*grammar.LETTER_TOKENS, *grammar.WORD_TOKENS, *grammar.ROOT_SIGNS) for letter in form}
        | set("ABCDEFGHabcdefgh0123456789 /()")
        | set(grammar.CHARACTERS)
    )
)
GRAMMAR_FORMS = sorted(
    {*grammar.LETTER_TOKENS, *grammar.WORD_TOKENS, *grammar.ROOT_SIGNS, *grammar.BASS_MARKS, *grammar.BASS_TAILS}
)
FOREIGN_FORMS = sorted(
    {form for language in grammar.LANGUAGES.values() for form in (*language.notes, *language.signs, *language.words)}
)

MANY = 20 * settings.default.max_examples
"""How many cases the reader is tried with: 2,000, and 100,000 under the profile ``thorough``."""

roots = st.tuples(st.sampled_from("ABCDEFG"), st.sampled_from(["", "b", "#", "bb", "x"])).map("".join)
suffixes = st.lists(st.sampled_from(GRAMMAR_FORMS), max_size=6).map("".join)
basses = st.one_of(st.just(""), roots.map(lambda root: "/" + root))
any_text = st.one_of(
    st.text(),
    st.text(GRAMMAR_LETTERS),
    st.tuples(roots, suffixes, basses).map("".join),
    st.tuples(st.sampled_from("ABCDEFG"), st.text(GRAMMAR_LETTERS, max_size=8)).map("".join),
)


token_text = st.tuples(
    st.one_of(st.sampled_from("ABCDEFGHabcdefgh"), roots, st.sampled_from(FOREIGN_FORMS)),
    st.lists(st.sampled_from([*GRAMMAR_FORMS, *grammar.CHARACTERS, *FOREIGN_FORMS, *"ABCDEFGH /"]), max_size=12).map(
        "".join
    ),
).map("".join)
languages = st.sampled_from(["", "", *grammar.LANGUAGES])


def as_data(reading: Reading) -> dict[str, Any]:
    chord = reading.chord
    if chord is None:
        return {"root": None, "degrees": [], "bass": None}
    return {"root": str(chord.root), "degrees": list(map(str, chord.degrees)), "bass": str(chord.bass)}


def read_or_refuse(text: str, language: str = "") -> tuple[Reading, ...] | SymbolError:
    try:
        return read_symbol(text, language)
    except SymbolError as error:
        return error


def without_why(readings: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return [{key: value for key, value in reading.items() if key != "why"} for reading in readings]


def text_of(case: dict[str, Any]) -> str:
    return f"{case['text']!r}" + (f" in {case['language']}" if "language" in case else "")


@pytest.mark.parametrize("case", READABLE, ids=text_of)
def test_reads_as_charts_mean_it(case: dict[str, Any]) -> None:
    readings = read_symbol(case["text"])
    assert [as_data(reading) for reading in readings] == without_why(case["readings"])
    for reading, wanted in zip(readings, case["readings"], strict=True):
        if "why" in wanted:
            assert reading.why == wanted["why"]


@pytest.mark.parametrize("case", REFUSED, ids=text_of)
def test_refuses_and_says_where(case: dict[str, Any]) -> None:
    with pytest.raises(SymbolError) as caught:
        read_symbol(case["text"])
    error = caught.value
    assert (error.at, error.found) == (case["error_at"], case["text"][case["error_at"] :])
    assert error.expected == case.get("expected", error.expected)
    assert error.expected


@pytest.mark.parametrize("case", OTHER_NAMES, ids=text_of)
def test_reads_the_note_names_of_other_traditions(case: dict[str, Any]) -> None:
    readings = read_symbol(case["text"], language=case["language"])  # type: ignore[call-arg]
    assert [as_data(reading) for reading in readings] == without_why(case["readings"])


def test_each_case_stands_once() -> None:
    keys = [(case["text"], case.get("language")) for case in CASES]
    assert len(set(keys)) == len(keys)
    assert all(("readings" in case) != ("error_at" in case) for case in CASES)


def test_every_several_readings_gives_its_reasons() -> None:
    for suffix, senses in grammar.AMBIGUOUS.items():
        readings = read_symbol("C" + suffix)
        assert [reading.why for reading in readings] == [sense.why for sense in senses], suffix
        assert len({reading.why for reading in readings}) == len(readings) > 1
        assert len({reading.chord for reading in readings}) == len(readings), suffix


@settings(max_examples=MANY, deadline=None)
@given(any_text, languages)
@example("C" + "(" * 500, "")
@example("C" + "7" * 500, "")
@example("\x00", "")
@example("C/\ufe0f", "")
@example("ǰ", "")
@example("C½", "")
def test_any_text_reads_or_is_refused(text: str, language: str) -> None:
    check_read_or_refused(text, language)


@settings(max_examples=MANY, deadline=None)
@given(token_text, languages)
def test_any_row_of_the_grammars_pieces_reads_or_is_refused(text: str, language: str) -> None:
    check_read_or_refused(text, language)


def check_read_or_refused(text: str, language: str) -> None:
    """Raises AssertionError where a text reads wrongly, and whatever the reader raises beside SymbolError."""
    readings = read_or_refuse(text, language)
    if isinstance(readings, SymbolError):
        assert 0 <= readings.at <= len(text)
        assert readings.found == text[readings.at :]
        assert readings.expected
    else:
        assert readings
        for reading in readings:
            if reading.chord is not None:
                assert abs(reading.chord.root.alteration) <= 2
                assert abs(reading.chord.bass.alteration) <= 2
                assert parse_degree("1") in reading.chord.degrees
                ranks = [degree.rank for degree in reading.chord.degrees]
                assert ranks == sorted(set(ranks))


@settings(max_examples=500, deadline=None, report_multiple_bugs=False)
@given(any_text)
def test_the_nearest_symbol_of_an_error_reads(text: str) -> None:
    error = read_or_refuse(text)
    if isinstance(error, SymbolError):
        nearest = nearest_readable(text, error)
        assert nearest is None or not isinstance(read_or_refuse(nearest), SymbolError)


@pytest.mark.parametrize(
    ("text", "nearest"), [("C7q", "C7"), ("H7", "B7"), ("C9b9", "C9"), ("C7(b9", "C7"), ("m7", "Cm7")]
)
def test_the_nearest_symbol_is_what_a_reader_would_try(text: str, nearest: str) -> None:
    with pytest.raises(SymbolError) as caught:
        read_symbol(text)
    assert nearest_readable(text, caught.value) == nearest


@settings(max_examples=MANY, deadline=None)
@given(st.tuples(roots, suffixes, basses).map("".join))
def test_printing_what_was_read_is_a_fixed_point(text: str) -> None:
    try:
        readings = read_symbol(text)
    except SymbolError:
        return
    for reading in readings:
        if reading.chord is not None:
            printed = print_symbol(reading.chord)
            again = read_symbol(printed)[0].chord
            assert again is not None
            assert (again.root, again.degrees, again.bass) == (
                reading.chord.root,
                reading.chord.degrees,
                reading.chord.bass,
            )
            assert print_symbol(again) == printed


@given(roots, st.sampled_from([case for case in READABLE if re.fullmatch("C[A-Za-zΔ°ø0-9(][^ ]*", case["text"])]))
def test_a_suffix_means_the_same_under_every_root(root: str, case: dict[str, Any]) -> None:
    suffix = case["text"][1:]
    assume(suffix[0] not in "bx")  # those would belong to the root
    wanted = [reading["degrees"] for reading in case["readings"]]
    assert [as_data(reading)["degrees"] for reading in read_symbol(root + suffix)] == wanted


LONG_PIECES = (
    "(", ")", "7", "#", "-", " ", ",", "add", "add9", "(b9)", "((b9)", "no3", "sus2", "m", "maj", "6/9", "/E", " over ",
    " with ", " in the bass", "flat ", "half-", "half diminished ", "-a", "\u00ad", "\ufdfa", "C7 ", "é",
    "décima primeira ",
)  # fmt: skip
"""What long texts are made of: pieces that open, part, look far ahead, vanish, or stand for many characters."""


@pytest.mark.usefixtures("uncollected")
@pytest.mark.parametrize("language", ["", "pt"])
def test_reading_takes_time_in_proportion_to_the_text(language: str) -> None:
    # eight times the text; a square of it would take sixty-four times. The processor's time: others share the machine
    def seconds(text: str) -> float:
        start = time.process_time()
        error = read_or_refuse(text, language)
        if isinstance(error, SymbolError):
            nearest_readable(text, error)
        return time.process_time() - start

    for start in ("", "C", "C/"):
        for piece in LONG_PIECES:
            count = 300 // len(piece)
            short, long = start + piece * count, start + piece * (8 * count)
            ratio = min(seconds(long) for _ in range(2)) / max(min(seconds(short) for _ in range(3)), 1e-4)
            assert ratio < 30, (start, piece, ratio)
