"""Checks that a count as it is said finds the rhythms that it says, and that counting and finding are inverse."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from understave.entries.kept import load_glossary
from understave.entries.values import CountingSystem
from understave.theory.counting import NO_WORD, count
from understave.theory.finding import LIKE, MOST_RHYTHMS, MOST_WORDS, find
from understave.theory.rhythms import Rhythm, RhythmError, parse_meter, parse_rhythm

SYSTEMS = {
    name: entry.system
    for name, entry in load_glossary(Path(__file__).parents[2] / "content").of(CountingSystem).items()
}


def found(line: str, system: str = "e-and-a", meter: str = "") -> list[str]:
    return [rhythm.recip for rhythm in find(line, SYSTEMS[system], parse_meter(meter) if meter else None)]


def refused(line: str, system: str = "e-and-a", meter: str = "") -> tuple[str, tuple[str, ...]]:
    with pytest.raises(RhythmError) as caught:
        found(line, system, meter)
    return caught.value.problem, caught.value.details


@pytest.mark.parametrize(
    ("line", "system", "meter", "expected"),
    [
        ("1 & 2 e & a", "e-and-a", "", ["8 8 16 16 16 16"]),
        ("1 2 3 4", "e-and-a", "", ["4 4 4 4"]),
        ("1 & 2 & 3 & 4 &", "e-and-a", "", ["8 8 8 8 8 8 8 8"]),
        # a triplet, and an eighth with two sixteenths: both are said so
        ("1 & a", "e-and-a", "", ["12 12 12", "8 16 16"]),
        ("1 & a", "trip-let", "", ["8 16 16"]),
        ("1 trip let", "trip-let", "", ["12 12 12"]),
        ("1 & 2 trip let 3 4", "trip-let", "", ["8 8 12 12 12 4 4"]),
        ("1 ta", "eastman", "", ["16 8.", "8. 16"]),
        # a place in brackets is held or a rest, the longer note first
        ("1 (2) 3 4", "e-and-a", "", ["2 4 4", "4 4r 4 4"]),
        ("(1) 2 3 4", "e-and-a", "", ["4r 4 4 4"]),
        ("1 (2 3) 4", "e-and-a", "", ["2. 4", "2 4r 4", "4 2r 4"]),
        ("1 3", "e-and-a", "4/4", ["2 2", "2 4 4r", "4 4r 2", "4 4r 4 4r"]),
        ("1 & & 3", "e-and-a", "", ["8 4 8 4", "8 8 8r 8 4"]),
        # the numbers, or how many beats there are, make the meter
        ("1 2 3 1 2 3", "e-and-a", "", ["4 4 4 | 4 4 4"]),
        ("ta di ta ka di mi", "takadimi", "", ["8 8 16 16 16 16"]),
        ("ta ta ta ta ta ta ta ta", "takadimi", "", ["4 4 4 4 | 4 4 4 4"]),
        ("1 2 3 4 5 6", "e-and-a", "", ["8 8 8 8 8 8"]),
        ("1 2 3 4 5 6", "e-and-a", "6/8", ["8 8 8 8 8 8"]),
        ("1 & a 2 & a", "e-and-a", "6/8", ["8 8 8 8 8 8"]),
        ("1 2 3 1 2", "e-and-a", "5/8", ["8 8 8 8 8"]),
        ("1 2 1 2 3", "e-and-a", "2+3/8", ["8 8 8 8 8"]),
        ("1 2 3 4", "e-and-a", "2/2", ["4 4 4 4"]),
        ("1 & 2 &", "e-and-a", "2/2", ["4 4 4 4"]),
        ("du da di", "gordon", "3/4", ["4 4 4"]),
        ("1 & 2 & | 1 2", "e-and-a", "", ["8 8 8 8 | 4 4"]),
        # pickups
        ("4 1 2 3 4", "e-and-a", "", ["4 | 4 4 4 4"]),
        ("4 & 1 2 3", "e-and-a", "", ["8 8 | 4 4 4"]),
        ("& 1 2 3 4", "e-and-a", "", ["8 | 4 4 4 4", "8 | 4 4 4 8"]),
        ("& 2 & 3 4", "e-and-a", "", ["8r 8 8 8 4 4"]),
        # by value
        ("ta ti ti ta", "kodaly", "3/4", ["4 8 8 4"]),
        ("ti ka ti ka ta ta-a", "kodaly", "", ["16 16 16 16 4 2"]),
        ("tri o la tam ti", "kodaly", "", ["12 12 12 4. 8"]),
        ("walk run ning", "walk-and-run", "", ["4 8 8"]),
    ],
)
def test_a_line_and_the_rhythms_that_it_says(line: str, system: str, meter: str, expected: list[str]) -> None:
    assert found(line, system, meter) == expected


def test_quarter_note_triplets_are_found_on_the_grid_of_eighth_triplets() -> None:
    assert found("1 (trip) let (2) trip (let) 3 (4)", "trip-let")[0] == "6 6 6 2"


@pytest.mark.parametrize(
    ("line", "same", "system"),
    [
        ("1 and 2 AND", "1 & 2 &", "e-and-a"),
        ("1 + 2 +", "1 & 2 &", "e-and-a"),
        ("1 ee & uh", "1 e & a", "e-and-a"),
        ("1, 2, 3, 4.", "1 2 3 4", "e-and-a"),
        ("1(&)2(&)", "1 (&) 2 (&)", "e-and-a"),
        ("ta te ta té", "ta té ta té", "time-names"),
        ("ti-ti ta", "ti ti ta", "kodaly"),
        ("ta-ka-di-mi", "ta ka di mi", "takadimi"),
    ],
)
def test_words_may_be_written_otherwise(line: str, same: str, system: str) -> None:
    assert found(line, system) == found(same, system)
    assert set(LIKE.values()) <= {"&", "e", "a"}


@pytest.mark.parametrize(
    ("line", "system", "meter", "problem", "details"),
    [
        ("", "e-and-a", "", "no-words", ("",)),
        ("|", "e-and-a", "", "no-words", ("|",)),
        ("1 q 2", "e-and-a", "", "unknown-word", ("q", "2")),
        ("1 n", "e-and-a", "", "unknown-word", ("n", "2")),
        ("1 2", "takadimi", "", "unknown-word", ("1", "1")),
        ("0 1", "e-and-a", "", "unknown-word", ("0", "1")),
        ("1 – 2", "e-and-a", "", "unknown-word", ("–", "2")),
        ("ta (–) ta", "kodaly", "", "unknown-word", ("–", "2")),
        ("(1 2", "e-and-a", "", "brackets", ("(1 2",)),
        ("1) 2", "e-and-a", "", "brackets", ("1) 2",)),
        ("1 ((2))", "e-and-a", "", "brackets", ("1 ((2))",)),
        ("1 2 3 4 9", "e-and-a", "4/4", "words-do-not-fit", ("9", "5", "4/4")),
        ("1 " * (MOST_WORDS + 1), "e-and-a", "4/4", "line-too-long", (str(MOST_WORDS + 1), str(MOST_WORDS))),
    ],
)  # fmt: skip
def test_what_says_no_rhythm_is_refused(
    line: str, system: str, meter: str, problem: str, details: tuple[str, ...]
) -> None:
    assert refused(line, system, meter) == (problem, details)


def test_a_long_line_with_many_brackets_gives_the_plainest_rhythms() -> None:
    rhythms = found("1 (2) 3 (4) " * (MOST_WORDS // 4))
    assert len(rhythms) == MOST_RHYTHMS
    assert rhythms[0] == " | ".join(["2 2"] * (MOST_WORDS // 4))


def test_a_line_with_one_reading_is_read_once() -> None:
    assert found("(1) " * MOST_WORDS) == [" | ".join(["4r"] * MOST_WORDS)]


PLAIN = ["4", "4r", "8 8", "8r 8", "8. 16", "16 8.", "8 16 16", "16 16 8", "16 16 16 16", "12 12 12", "12 6", "6 12"]
DOTTED = ["4.", "8 8 8", "4 8", "8 4", "8r 8 8", "16 16 8 8", "16 16 16 16 16 16", "8. 16 8"]
WIDE = ["6 6 6", "4. 8", "8 4 8", "2", "[4 8] 8", "4 12 12 12", "[4 12] 12 12"]
four_four = st.lists(
    st.one_of(
        st.lists(st.sampled_from(PLAIN), min_size=2, max_size=2).map(" ".join),
        st.sampled_from(WIDE),
    ),
    min_size=2, max_size=4,
).map(lambda halves: (" ".join(halves[: len(halves) // 2 * 2]), "4/4"))  # fmt: skip
six_eight = st.lists(st.sampled_from(DOTTED), min_size=2, max_size=2).map(lambda beats: (" ".join(beats), "6/8"))
pickups = st.sampled_from(["4 | 4 4 4 4", "8 8 | 4 8 8 2 | 4 4 4", "8 | 1", "12 12 | 4 4 4 4", "4 2 | 1 | 4"]).map(
    lambda text: (text, "4/4")
)
fives = st.sampled_from(["8 8 8 8 8", "4. 4", "4 8 8 8", "8 4 16 16 8"]).map(lambda text: (text, "5/8"))


@example(("8. 16 4r 4r 4r 4r 8. 16 4r 4r", "4/4"), "e-and-a", True)  # 83 plainer rhythms could be meant
@settings(max_examples=150, deadline=None)
@given(st.one_of(four_four, six_eight, pickups, fives), st.sampled_from(sorted(SYSTEMS)), st.booleans())
def test_count_then_rhythm_then_count_is_the_identity(case: tuple[str, str], name: str, each: bool) -> None:
    text, meter = case
    system = SYSTEMS[name]
    said = count(parse_rhythm(text, parse_meter(meter)), system, each_beat=each).line
    if NO_WORD in said:  # what the system can't say can't be found
        return
    rhythms = find(said, system, parse_meter(meter))
    assert rhythms
    assert said in {count(rhythm, system, each_beat=each).line for rhythm in rhythms}


@settings(max_examples=100, deadline=None)
@given(st.lists(st.sampled_from([*PLAIN, "4", "4"]), min_size=4, max_size=4), st.sampled_from(["takadimi", "trip-let"]))
def test_the_rhythm_itself_is_among_those_found(beats: list[str], name: str) -> None:
    system = SYSTEMS[name]
    rhythm = parse_rhythm(" ".join(beats), parse_meter("4/4"))
    rhythms = find(count(rhythm, system).line, system, parse_meter("4/4"))
    if len(rhythms) < MOST_RHYTHMS:
        assert {starts(one) for one in rhythms} == {starts(rhythm)}
        assert silences(rhythm) in [silences(one) for one in rhythms]


def starts(rhythm: Rhythm) -> tuple[str, ...]:
    return tuple(str(event.at) for event in rhythm.events if event.starts)


def silences(rhythm: Rhythm) -> list[list[Fraction]]:
    """The stretches in which nothing sounds, from where to where."""
    found: list[list[Fraction]] = []
    for event in rhythm.events:
        if event.rests and found and found[-1][1] == event.at:
            found[-1][1] = event.at + event.length
        elif event.rests:
            found.append([event.at, event.at + event.length])
    return found


@settings(max_examples=100, deadline=None)
@given(
    st.lists(
        st.sampled_from(["1", "2", "3", "4", "&", "e", "a", "(", ")", "|", "trip", "let", "ta", "di", "ti", "-", "9"]),
        max_size=20,
    ).map(" ".join),
    st.sampled_from(sorted(SYSTEMS)),
    st.sampled_from([None, "4/4", "6/8", "5/8", "2/2"]),
)
def test_any_words_are_rhythms_that_fill_their_measures_or_are_refused(line: str, name: str, meter: str | None) -> None:
    try:
        rhythms = find(line, SYSTEMS[name], parse_meter(meter) if meter else None)
    except RhythmError:
        return
    for rhythm in rhythms:
        assert parse_rhythm(rhythm.recip, rhythm.measures[0].meter) == rhythm
