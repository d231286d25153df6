"""Checks meters, recip tokens, ties, pickups and measures, in exact fractions."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from understave.theory.rhythms import (
    Event,
    Rhythm,
    RhythmError,
    parse_meter,
    parse_rhythm,
    recip_length,
    recip_token,
)


def read(text: str, meter: str = "4/4") -> Rhythm:
    return parse_rhythm(text, parse_meter(meter))


def refused(text: str, meter: str = "4/4") -> tuple[str, tuple[str, ...]]:
    with pytest.raises(RhythmError) as caught:
        read(text, meter)
    return caught.value.problem, caught.value.details


def beats(meter: str, beat: Fraction | None = None) -> list[str]:
    return [str(length) for length in parse_meter(meter).beats(beat)]


@pytest.mark.parametrize(
    ("token", "length"),
    # Humdrum **recip: the number divides the whole note, a dot adds half (from memory); 0 is a breve
    [("4", "1/4"), ("8.", "3/16"), ("4..", "7/16"), ("12", "1/12"), ("6", "1/6"), ("24", "1/24"), ("1", "1"),
     ("0", "2"), ("3", "1/3"), ("2.", "3/4"), ("0.", "3"), ("20", "1/20")],
)  # fmt: skip
def test_recip_tokens(token: str, length: str) -> None:
    assert recip_length(token) == Fraction(length)


@given(st.integers(1, 2000), st.integers(0, 2))
def test_a_length_has_its_token_back(number: int, dots: int) -> None:
    length = recip_length(f"{number}{'.' * dots}")
    assert recip_length(recip_token(length)) == length


@pytest.mark.parametrize("length", ["5/8", "9/16", "5/32"])
def test_lengths_that_no_single_note_has(length: str) -> None:
    assert recip_token(Fraction(length)) == ""


@pytest.mark.parametrize(
    ("meter", "expected"),
    [
        # the beat is what is numbered: design, section 5, and common practice
        ("4/4", ["1/4"] * 4), ("3/4", ["1/4"] * 3), ("2/4", ["1/4"] * 2), ("2/2", ["1/2"] * 2), ("3/2", ["1/2"] * 3),
        ("6/8", ["3/8"] * 2), ("9/8", ["3/8"] * 3), ("12/8", ["3/8"] * 4), ("6/4", ["3/4"] * 2), ("3/8", ["1/8"] * 3),
        ("5/8", ["3/8", "1/4"]), ("7/8", ["1/4", "1/4", "3/8"]), ("2+3/8", ["1/4", "3/8"]),
        ("3+2+2/8", ["3/8", "1/4", "1/4"]), ("5/4", ["1/4"] * 5), ("1/4", ["1/4"]),
    ],
)  # fmt: skip
def test_the_beats_of_a_meter(meter: str, expected: list[str]) -> None:
    assert beats(meter) == expected
    assert sum(parse_meter(meter).beats()) == parse_meter(meter).length


def test_another_beat_can_be_picked() -> None:
    assert beats("6/8", Fraction(1, 8)) == ["1/8"] * 6
    assert beats("2/2", Fraction(1, 4)) == ["1/4"] * 4
    assert beats("3/4", Fraction(3, 4)) == ["3/4"]
    with pytest.raises(RhythmError) as caught:
        beats("4/4", Fraction(3, 8))
    assert caught.value.problem == "beat-does-not-fit"


@pytest.mark.parametrize(
    ("meter", "asymmetric"),
    [("5/8", True), ("7/8", True), ("2+3/8", True), ("6/8", False), ("4/4", False), ("3/8", False)],
)
def test_groups_of_unequal_length_are_asymmetric(meter: str, asymmetric: bool) -> None:
    assert parse_meter(meter).asymmetric is asymmetric


@pytest.mark.parametrize(
    "text",
    ["", "4", "4/", "/4", "4/3", "0/4", "4/0", "-3/4", "2+/8", "+3/8", "65/4", "4/4 ", "C", "٤/4", "4.5/4", "0+3/8"],
)
def test_what_is_no_meter(text: str) -> None:
    with pytest.raises(RhythmError) as caught:
        parse_meter(text)
    assert (caught.value.problem, caught.value.details) == ("no-meter", (text,))


@pytest.mark.parametrize("text", ["4/4", "2+2+3/8", "12/8", "3/16"])
def test_a_meter_prints_as_written(text: str) -> None:
    assert str(parse_meter(text)) == text


def test_measures_are_found_by_filling() -> None:
    rhythm = read("4 4 2 1 8 8 4 4 4")
    assert [(measure.number, str(measure.at), len(measure.events)) for measure in rhythm.measures] == [
        (1, "0", 3), (2, "1", 1), (3, "2", 5),
    ]  # fmt: skip


def test_measures_by_bar_lines_are_the_same() -> None:
    assert read("4 4 2 | 1 | 8 8 4 4 4") == read("4 4 2 1 8 8 4 4 4")
    assert read("4 4 2 |") == read("4 4 2")


def test_the_meter_can_change() -> None:
    for text in ("1 *M3/4 4 4 4 *M6/8 4. 4.", "1 | *M3/4 4 4 4 | *M6/8 4. 4."):
        rhythm = read(text)
        assert [str(measure.meter) for measure in rhythm.measures] == ["4/4", "3/4", "6/8"]
        assert [str(measure.at) for measure in rhythm.measures] == ["0", "1", "7/4"]


@pytest.mark.parametrize(
    ("text", "meter", "problem", "details"),
    [
        ("4 4 4", "4/4", "measure-short", ("1", "1/4", "4/4")),
        ("4 4 4 4 4", "4/4", "measure-short", ("2", "3/4", "4/4")),
        ("4 4 4 2", "4/4", "measure-long", ("1", "1/4", "4/4")),
        ("1 | 4 4 4 | 1", "4/4", "measure-short", ("2", "1/4", "4/4")),
        ("1 | 1 4 | 1", "4/4", "measure-long", ("2", "1/4", "4/4")),
        ("1 4 | 1", "4/4", "measure-long", ("1", "1/4", "4/4")),
        ("1 | 4 4 4", "4/4", "measure-short", ("2", "1/4", "4/4")),
        ("4 | 1 | 4 4", "4/4", "measure-short", ("2", "1/2", "4/4")),
        ("4 | 4 4 | 1", "4/4", "measure-short", ("1", "1/2", "4/4")),
        ("4 | 1 | 1 4", "4/4", "measure-long", ("2", "1/4", "4/4")),
        ("4 4 4 *M3/4 4 4 4", "4/4", "measure-short", ("1", "1/4", "4/4")),
    ],
)  # fmt: skip
def test_a_measure_that_does_not_fill_its_meter_names_itself_and_the_difference(
    text: str, meter: str, problem: str, details: tuple[str, ...]
) -> None:
    assert refused(text, meter) == (problem, details)


@pytest.mark.parametrize(
    ("text", "meter", "details"),
    [
        ("12 12", "2/4", ("1", "1/3", "3", "12", "2")),  # the measure ends in it
        ("4 4 4 12 12", "4/4", ("1", "1/12", "3", "12", "5")),
        ("1 | 4 4 4 12 12 | 1", "4/4", ("2", "1/12", "3", "12", "7")),
        ("12 12 4 4 4", "4/4", ("1", "1/12", "3", "4", "3")),  # a plain note stands in it
        ("12 12 4 12 4 4", "4/4", ("1", "1/12", "3", "4", "3")),  # though the measure adds up
        ("6 4 6 6 4", "4/4", ("1", "1/3", "3", "4", "2")),
        ("20 20 20 4 4 4", "4/4", ("1", "1/10", "5", "4", "4")),
        ("12 20 20 20 20 20 12 12 4 4", "4/4", ("1", "1/6", "3", "20", "2")),
    ],
)
def test_a_tuplet_left_open_names_the_measure_what_is_missing_and_the_note(
    text: str, meter: str, details: tuple[str, ...]
) -> None:
    assert refused(text, meter) == ("tuplet-open", details)


@pytest.mark.parametrize(
    ("text", "meter"),
    [
        ("12 12 12 4 4 4", "4/4"), ("6 12 12 6 2", "4/4"), ("6. 12 6 2", "4/4"), ("3 3 3", "4/4"),
        ("12 [6 12] 12 12 2", "4/4"), ("24 24 12 12 4", "2/4"), ("60 60 60 60 60 12 12", "1/4"),
        ("12 4 | 1", "4/4"),  # a pickup that begins within a triplet
        ("12 | 4 4 4 12 12", "4/4"),  # what it lacks at its front, the last measure lacks at its end
        ("16 48 24 24 48 16", "1/4"),  # three against four
    ],
)  # fmt: skip
def test_a_tuplet_that_closes(text: str, meter: str) -> None:
    assert read(text, meter).events


def test_tuplets_within_tuplets_without_end_are_refused() -> None:
    assert refused(" ".join(str(number) for number in range(9999, 9000, -2)))[0] == "too-fine"


def test_places_in_the_text_count_bar_lines_too() -> None:
    assert refused("1 | 4 q 2") == ("unknown-token", ("q", "4"))
    assert refused("1 | 4] 4 2") == ("tie-to-nothing", ("4]", "3"))
    assert refused("1 | 2. [4") == ("tie-open", ("[4", "4"))


@pytest.mark.parametrize("text", ["1 | | 1", "4 | | 1 | 4 4 4", "1 | *M3/4 | 1"])
def test_an_empty_measure_is_refused(text: str) -> None:
    assert refused(text)[0] == "measure-short"


def test_only_a_bar_line_makes_a_pickup() -> None:
    assert refused("4 4 *M3/4 4 4 4 | 2.") == ("measure-short", ("1", "1/2", "4/4"))


@pytest.mark.parametrize(
    ("text", "meter", "missing", "numbers"),
    [
        ("4 | 4 4 4 4 | 4 4 4", "4/4", "3/4", [0, 1, 2]),  # the last is short by just as much
        ("4 | 4 4 4 4", "4/4", "3/4", [0, 1]),  # it may be short, and needn't
        ("8 8 | 4 4 4 | 4 4", "3/4", "1/2", [0, 1, 2]),
        ("8 | 4 8 4 8 | 4. 4", "6/8", "5/8", [0, 1, 2]),
        ("4 | 4 4 4", "4/4", "3/4", [0, 1]),
    ],
)
def test_a_short_first_measure_is_a_pickup(text: str, meter: str, missing: str, numbers: list[int]) -> None:
    rhythm = read(text, meter)
    assert [measure.number for measure in rhythm.measures] == numbers
    assert rhythm.measures[0].missing == Fraction(missing)
    assert all(measure.missing == 0 for measure in rhythm.measures[1:])


def test_a_pickup_needs_its_bar_line() -> None:
    assert refused("4 4 4 4 4 4 4 4 4")[0] == "measure-short"
    assert read("4 | 4 4 4 4 | 4 4 4 4").measures[0].number == 0


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("4 4 4 [4", "tie-open"), ("[1", "tie-open"), ("4] 4 2", "tie-to-nothing"), ("4 4] 2", "tie-to-nothing"),
        ("4_ 4 2", "tie-to-nothing"), ("[4 4 2", "tie-open"), ("[4 [4 2]", "tie-open"), ("[4 4r 2]", "tie-open"),
        ("[4r 4] 2", "tie-open"), ("[4 _4 2", "tie-open"), ("[2 2] | 1]", "tie-to-nothing"),
    ],
)  # fmt: skip
def test_a_tie_left_open_or_tied_to_nothing_is_refused(text: str, problem: str) -> None:
    assert refused(text)[0] == problem


def test_ties_hold() -> None:
    for text in ("[4 4_ 4] 4", "[4 _4 4] 4"):
        events = read(text).events
        assert [event.starts for event in events] == [True, False, False, True]
        assert [event.holds for event in events] == [True, True, False, False]
    over_the_bar = read("2. [4 | 4] 2.")
    assert [event.starts for event in over_the_bar.events] == [True, True, False, True]


def test_rests_do_not_start() -> None:
    assert [(event.rests, event.starts) for event in read("4r 4 2r").events] == [
        (True, False),
        (False, True),
        (True, False),
    ]


@pytest.mark.parametrize(
    "text", ["x", "4 q 2", "4 4 4 4x", "-4 4 4 4", "4r] 2.", "5/4", "4.... 2", "*M 1", "1 |x", "٤ ٤ ٤ ٤", "¼"]
)
def test_what_is_no_rhythm(text: str) -> None:
    assert refused(text)[0] in ("unknown-token", "no-meter", "tie-to-nothing")


@pytest.mark.parametrize("text", ["", " ", "|", "| |", "*M3/4", "*M3/4 |"])
def test_a_rhythm_has_notes(text: str) -> None:
    assert refused(text) == ("no-notes", (text,))


@pytest.mark.parametrize(
    ("token", "number"),
    # a number that is 3 x 2^n divides the whole note into triplets: Humdrum **recip (from memory)
    [
        ("4", 1),
        ("12", 3),
        ("6", 3),
        ("24", 3),
        ("3", 3),
        ("20", 5),
        ("8.", 1),
        ("28", 7),
        ("1", 1),
        ("0", 1),
        ("00", 1),
    ],
)
def test_the_tuplet_of_a_note(token: str, number: int) -> None:
    assert Event(Fraction(0), recip_length(token), token).tuplet == number


tokens = st.lists(
    st.one_of(
        st.sampled_from(
            [
                "1",
                "2",
                "2.",
                "4",
                "4.",
                "4..",
                "8",
                "8.",
                "16",
                "12",
                "6",
                "24",
                "3",
                "0",
                "4r",
                "8r",
                "[4",
                "4]",
                "[8",
                "8]",
                "4_",
                "|",
                "*M3/4",
                "*M6/8",
            ]
        ),
        st.text("0123456789.r[]_|*M/+", max_size=5),
    ),
    max_size=12,
).map(" ".join)


@settings(max_examples=600, deadline=None)
@given(st.one_of(st.text(), tokens), st.sampled_from(["4/4", "3/4", "6/8", "5/8", "2/2"]))
@example("9999 " * 3, "4/4")
@example("0000", "4/4")
@example("2²", "4/4")
def test_any_text_is_a_rhythm_that_fills_its_measures_or_is_refused(text: str, meter: str) -> None:
    try:
        rhythm = read(text, meter)
    except RhythmError:
        return
    at = Fraction(0)
    for measure in rhythm.measures:
        assert measure.at == at
        for event in measure.events:
            assert event.at == at
            assert event.length > 0
            at += event.length
        length = sum(event.length for event in measure.events)
        pickup = rhythm.measures[0].missing
        assert length + measure.missing == measure.meter.length or (
            measure is rhythm.measures[-1]
            and pickup
            and length == measure.meter.length - rhythm.measures[0].meter.length + pickup
        )


@pytest.mark.parametrize(
    ("token", "length"),
    # Humdrum **recip (from memory): the divisor of a whole note, 0 a breve, 00 a long, 000 a maxima, dots
    [("1", "1"), ("2", "1/2"), ("4", "1/4"), ("16", "1/16"), ("12", "1/12"), ("20", "1/20"), ("0", "2"), ("00", "4"),
     ("000", "8"), ("4.", "3/8"), ("4..", "7/16"), ("6.", "1/4"), ("0.", "3")],
)  # fmt: skip
def test_the_length_of_a_token(token: str, length: str) -> None:
    assert recip_length(token) == Fraction(length)


@settings(deadline=None)
@given(tokens, st.sampled_from(["4/4", "3/4", "6/8", "5/8"]))
@example("8 8 | [4 4] 4r 4 | *M3/4 2. | 00", "4/4")
def test_a_rhythm_prints_as_tokens_that_read_back(text: str, meter: str) -> None:
    try:
        rhythm = read(text, meter)
    except RhythmError:
        return
    assert read(rhythm.recip, str(rhythm.measures[0].meter)) == rhythm
