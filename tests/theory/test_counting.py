"""Checks what is said at every place of a rhythm: the grid, brackets, triplets, pickups, groups and other beats."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from understave.theory.counting import Count, PositionSystem, ValueSystem, count
from understave.theory.rhythms import Rhythm, RhythmError, parse_meter, parse_rhythm


def by_position(*lists: str, beats: dict[str, str] | None = None) -> PositionSystem:
    return PositionSystem({len(words.split()): tuple(words.split()) for words in lists}, beats or {})


# The words of the systems by position: e-and-a, trip-let and the numbers are common practice; takadimi is Hoffman,
# Pelto and White 1996, Eastman's and Gordon's syllables are as taught (all from memory).
SYSTEMS = {
    "e-and-a": by_position("n &", "n & a", "n e & a"),
    "trip-let": by_position("n &", "n trip let", "n e & a"),
    "takadimi": by_position("ta di", "ta ki da", "ta ka di mi", "ta va ki di da ma"),
    "eastman": by_position("n te", "n la li", "n ta te ta", "n ta la ta li ta"),
    "gordon": by_position("du de", "du da di", "du ta de ta", "du ta da ta di ta", beats={"3/4": "measure"}),
}
KODALY = ValueSystem(
    {
        tuple(values.split()): tuple(words.split())
        for values, words in {
            "1": "ta-a-a-a", "2.": "ta-a-a", "2": "ta-a", "4.": "tam", "4": "ta", "8": "ti",
            "16 16 16 16": "ti ka ti ka", "16 16": "ti ka", "8 16 16": "ti ti ka", "16 16 8": "ti ka ti",
            "8. 16": "tim ka", "12 12 12": "tri o la",
        }.items()
    }
)  # fmt: skip


def rhythm(text: str, meter: str = "4/4") -> Rhythm:
    return parse_rhythm(text, parse_meter(meter))


def counted(
    text: str, meter: str = "4/4", system: str = "e-and-a", beat: str | None = None, each: bool = False
) -> tuple[Count, ...]:
    return count(rhythm(text, meter), SYSTEMS[system], beat, each).counts


def said(text: str, meter: str = "4/4", system: str = "e-and-a", beat: str | None = None, each: bool = False) -> str:
    return count(rhythm(text, meter), SYSTEMS[system], beat, each).line


@pytest.mark.parametrize(
    ("text", "meter", "expected"),
    [
        # the smallest division that the passage needs, no smaller
        ("4 4 4 4", "4/4", "1 2 3 4"),
        ("8 8 8 8 8 8 8 8", "4/4", "1 & 2 & 3 & 4 &"),
        ("16 16 16 16", "1/4", "1 e & a"),
        # each place of the finest grid is a word; in brackets where no note starts
        ("1", "4/4", "1 (2) (3) (4)"),
        ("2 2", "4/4", "1 (2) 3 (4)"),
        ("4 8 8 2", "4/4", "1 (&) 2 & 3 (&) (4) (&)"),
        ("4 8 16 16", "2/4", "1 (e) (&) (a) 2 (e) & a"),
        ("4. 8 2", "4/4", "1 (&) (2) & 3 (&) (4) (&)"),
        ("8. 16 4", "2/4", "1 (e) (&) a 2 (e) (&) (a)"),
        ("8 4 8 2", "4/4", "1 & (2) & 3 (&) (4) (&)"),
        ("4r 4 4r 4", "4/4", "(1) 2 (3) 4"),
        ("8r 8 4 2", "4/4", "(1) & 2 (&) 3 (&) (4) (&)"),
        # beats in two take the passage's finest division, beats in three take three
        ("8 8 12 12 12 4 4", "4/4", "1 & 2 & a 3 (&) 4 (&)"),
        ("12 12 12 4 4 4", "4/4", "1 & a 2 3 4"),
        ("12 12 12 16 16 16 16 2", "4/4", "1 & a 2 e & a 3 (e) (&) (a) (4) (e) (&) (a)"),
        ("12 6 4", "2/4", "1 & (a) 2"),
        ("6 12 4", "2/4", "1 (&) a 2"),
        ("12 12r 12 4", "2/4", "1 (&) a 2"),
        # three measures share one grid
        ("2 | 8 8 4 | 2", "2/4", "1 (&) (2) (&) 1 & 2 (&) 1 (&) (2) (&)"),
    ],
)  # fmt: skip
def test_the_grid(text: str, meter: str, expected: str) -> None:
    assert said(text, meter) == expected


@pytest.mark.parametrize(
    ("text", "meter", "expected"),
    [
        ("4 8 8 2", "4/4", "1 2 & 3 (4)"),
        ("8 8 12 12 12 4 4", "4/4", "1 & 2 & a 3 4"),
        ("4 8 16 16 2", "4/4", "1 2 (e) & a 3 (4)"),
        ("4. 8 8 8", "6/8", "1 2 & a"),
        ("4. 8 2", "4/4", "1 (2) & 3 (4)"),
    ],
)
def test_each_beat_can_be_divided_by_its_own_notes(text: str, meter: str, expected: str) -> None:
    assert said(text, meter, each=True) == expected


@pytest.mark.parametrize(
    ("system", "twos", "threes", "fours"),
    [
        ("e-and-a", "1 & 2 &", "1 & a 2 & a", "1 e & a 2 e & a"),
        ("trip-let", "1 & 2 &", "1 trip let 2 trip let", "1 e & a 2 e & a"),
        ("takadimi", "ta di ta di", "ta ki da ta ki da", "ta ka di mi ta ka di mi"),
        ("eastman", "1 te 2 te", "1 la li 2 la li", "1 ta te ta 2 ta te ta"),
        ("gordon", "du de du de", "du da di du da di", "du ta de ta du ta de ta"),
    ],
)
def test_the_words_of_the_systems(system: str, twos: str, threes: str, fours: str) -> None:
    assert said("8 8 8 8", "2/4", system) == twos
    assert said("12 12 12 12 12 12", "2/4", system) == threes
    assert said("8 8 8 8 8 8", "6/8", system) == threes  # compound thirds have the same words
    assert said(" ".join(["16"] * 8), "2/4", system) == fours


def test_six_in_a_beat() -> None:
    # Hoffman, Pelto and White 1996 (from memory)
    for text, meter in ((" ".join(["24"] * 6), "1/4"), (" ".join(["16"] * 12), "6/8")):
        assert said(text, meter, "takadimi").split()[:6] == ["ta", "va", "ki", "di", "da", "ma"]


def test_quarter_note_triplets_stand_on_the_grid_of_eighth_triplets() -> None:
    assert said("6 6 6 2", system="trip-let") == "1 (trip) let (2) trip (let) 3 (4)"
    takadimi = counted("6 6 6", "2/4", "takadimi")
    assert said("6 6 6", "2/4", "takadimi") == "ta (ki) da (ta) ki (da)"
    assert [one.says for one in takadimi if one.sounds] == ["ta", "da", "ki"]
    assert {one.length for one in takadimi} == {Fraction(1, 12)}


def test_half_note_triplets_stand_on_the_same_grid() -> None:
    assert said("3 3 3", system="trip-let") == "1 (trip) (let) (2) trip (let) (3) (trip) let (4) (trip) (let)"


def test_two_against_three_in_a_measure_of_three() -> None:
    assert said("4. 4.", "3/4", "eastman") == "1 (te) (2) te (3) (te)"


@pytest.mark.parametrize(
    ("text", "meter", "system", "expected"),
    [
        ("4 | 4 4 4 4 | 4 4 4", "4/4", "e-and-a", "4 1 2 3 4 1 2 3"),
        ("8 8 | 4 4 4 4 | 4 4 4", "4/4", "e-and-a", "4 & 1 (&) 2 (&) 3 (&) 4 (&) 1 (&) 2 (&) 3 (&)"),
        ("8 | 4 4 4 4 | 4 4 4 8", "4/4", "e-and-a", "& 1 (&) 2 (&) 3 (&) 4 (&) 1 (&) 2 (&) 3 (&) 4"),
        ("4 | 4 4 4 | 4 4", "3/4", "e-and-a", "3 1 2 3 1 2"),
        ("8 | 4 8 4 8 | 4. 4", "6/8", "e-and-a", "a 1 (&) a 2 (&) a 1 (&) (a) 2 (&)"),
        ("4 4 | 1", "4/4", "takadimi", "ta ta ta (ta) (ta) (ta)"),
    ],
)
def test_pickups_are_counted_from_where_they_begin(text: str, meter: str, system: str, expected: str) -> None:
    assert said(text, meter, system) == expected


def test_a_pickup_is_measure_0_and_keeps_its_beat() -> None:
    first, second, *_ = counted("8 8 | 4 4 4 4 | 4 4 4")
    assert (first.measure, first.beat, first.in_beat, first.at) == (0, 4, Fraction(0), Fraction(0))
    assert (second.measure, second.beat, second.in_beat, second.at) == (0, 4, Fraction(1, 8), Fraction(1, 8))


@pytest.mark.parametrize(
    ("text", "meter", "system", "expected"),
    [
        # number systems count the eighths in each group
        ("8 8 8 8 8", "5/8", "e-and-a", "1 2 3 1 2"),
        ("8 8 8 8 8", "2+3/8", "e-and-a", "1 2 1 2 3"),
        ("8 8 8 8 8 8 8", "7/8", "e-and-a", "1 2 1 2 1 2 3"),
        ("8 8 8 8 8 8 8", "3+2+2/8", "trip-let", "1 2 3 1 2 1 2"),
        ("4. 4", "5/8", "e-and-a", "1 (2) (3) 1 (2)"),
        ("4 4 4.", "7/8", "eastman", "1 (2) 1 (2) 1 (2) (3)"),
        ("4 8 4", "5/8", "e-and-a", "1 (2) 3 1 (2)"),
        (" ".join(["16"] * 10), "5/8", "e-and-a", "1 & 2 & 3 & 1 & 2 &"),
        # syllables keep their own words for a group of three and a group of two
        ("8 8 8 8 8", "5/8", "takadimi", "ta ki da ta di"),
        ("8 8 8 8 8 8 8", "7/8", "gordon", "du de du de du da di"),
    ],
)
def test_groups_of_asymmetric_meters(text: str, meter: str, system: str, expected: str) -> None:
    assert said(text, meter, system) == expected


@pytest.mark.parametrize(
    ("text", "meter", "beat", "expected"),
    [
        ("4. 4.", "6/8", None, "1 2"),
        ("4 8 4 8", "6/8", None, "1 (&) a 2 (&) a"),
        ("4. 8 8 8", "6/8", None, "1 (&) (a) 2 & a"),
        ("8 8 8 8 8 8", "6/8", "eighth", "1 2 3 4 5 6"),
        ("8 8 8 8 8 8", "6/8", "dotted-quarter", "1 & a 2 & a"),
        ("4 4 4 4 4 4", "6/4", None, "1 & a 2 & a"),
        ("8 8 8 8 8 8 8 8 8", "9/8", None, "1 & a 2 & a 3 & a"),
        ("4. 4. 4. 4.", "12/8", None, "1 2 3 4"),
        ("8 8 8", "3/8", None, "1 2 3"),
        ("8 8 8", "3/8", "measure", "1 & a"),
        ("4 4 4", "3/4", None, "1 2 3"),
        ("4 4 4", "3/4", "measure", "1 & a"),
        ("2.", "3/4", "measure", "1"),
        ("2 2", "2/2", None, "1 2"),
        ("4 4 4 4", "2/2", None, "1 & 2 &"),
        ("4 4 4 4", "2/2", "quarter", "1 2 3 4"),
        ("4 4 4 4", "4/4", "half", "1 & 2 &"),
        ("1", "4/4", "whole", "1"),
        ("16 16 16 16 4", "2/4", "eighth", "1 & 2 & 3 (&) (4) (&)"),
    ],
)
def test_the_beat_is_what_is_numbered_and_another_can_be_picked(
    text: str, meter: str, beat: str | None, expected: str
) -> None:
    assert said(text, meter, beat=beat) == expected


def test_gordons_beat_in_three_four_is_the_measure() -> None:
    assert said("4 4 4", "3/4", "gordon") == "du da di"
    assert said("8 8 8 8 8 8", "3/4", "gordon") == "du ta da ta di ta"
    assert said("4 4 4", "3/4", "gordon", beat="quarter") == "du du du"


@pytest.mark.parametrize(
    ("beat", "meter", "problem"),
    [
        ("crotchet", "4/4", "no-beat"),
        ("", "4/4", "no-beat"),
        ("dotted-quarter", "4/4", "beat-does-not-fit"),
        ("half", "3/4", "beat-does-not-fit"),
    ],
)
def test_a_beat_that_does_not_exist_or_fit_is_refused(beat: str, meter: str, problem: str) -> None:
    text = "4 4 4 4" if meter == "4/4" else "4 4 4"
    with pytest.raises(RhythmError) as caught:
        said(text, meter, beat=beat)
    assert caught.value.problem == problem


@pytest.mark.parametrize(
    ("text", "meter", "expected"),
    [
        ("2 [2 | 2] 2", "4/4", "1 (2) 3 (4) (1) (2) 3 (4)"),
        ("[4 8] 8 4 4", "4/4", "1 (&) (2) & 3 (&) 4 (&)"),
        ("4 [8 8] 8 8 4", "4/4", "1 (&) 2 (&) 3 & 4 (&)"),
        ("[4. 4.]", "6/8", "1 (2)"),
    ],
)
def test_a_tied_note_is_held_and_not_said(text: str, meter: str, expected: str) -> None:
    assert said(text, meter) == expected


def test_the_words_in_brackets_say_whether_a_note_is_held_or_rests() -> None:
    counts = counted("4 8r 8 2")
    assert [(one.says, one.sounds, one.note) for one in counts[:5]] == [
        ("1", True, ""), ("&", False, "held"), ("2", False, "rest"), ("&", True, ""), ("3", True, ""),
    ]  # fmt: skip


def test_a_change_of_meter_starts_the_numbers_anew() -> None:
    assert said("4 4 4 4 *M3/4 4 4 4 *M6/8 4. 4.") == "1 2 3 4 1 2 3 1 2"


def test_places_are_exact() -> None:
    counts = counted("6 6 6 2", system="trip-let")
    assert [(one.measure, one.beat, one.in_beat, one.at) for one in counts[3:5]] == [
        (1, 2, Fraction(0), Fraction(1, 4)),
        (1, 2, Fraction(1, 12), Fraction(1, 3)),
    ]


@pytest.mark.parametrize(
    ("text", "meter", "system", "words"),
    [
        # no words are agreed for six in a beat in numbers: the thirds keep theirs, what lies between has none
        (" ".join(["24"] * 6), "1/4", "e-and-a", {0: "1", 1: None, 5: None}),
        (" ".join(["16"] * 12), "6/8", "trip-let", {0: "1", 1: None, 6: "2", 11: None}),
        # five in a beat has no word anywhere but on the beat
        ("20 20 20 20 20", "1/4", "takadimi", {0: "ta", 1: None, 2: None, 4: None}),
        (" ".join(["32"] * 8), "1/4", "e-and-a", {0: "1", 1: None, 2: "e", 3: None, 4: "&"}),
    ],
)
def test_a_place_without_a_word_has_none_and_is_not_guessed(
    text: str, meter: str, system: str, words: dict[int, str | None]
) -> None:
    counts = counted(text, meter, system)
    assert {place: counts[place].says for place in words} == words
    for one in counts:
        assert (one.note == "no-word") == (one.says is None)
    assert said(text, meter, system).count("–") == sum(one.says is None for one in counts)


@pytest.mark.parametrize(
    ("text", "meter", "expected"),
    [
        ("4 8 8 2", "4/4", "ta ti ti ta-a"),
        ("16 16 16 16 4 2", "4/4", "ti ka ti ka ta ta-a"),
        ("8 16 16 16 16 8 2", "4/4", "ti ti ka ti ka ti ta-a"),
        ("8. 16 4 2", "4/4", "tim ka ta ta-a"),
        ("12 12 12 4 2", "4/4", "tri o la ta ta-a"),
        ("4. 8 2", "4/4", "tam ti ta-a"),
        ("1 | 2. 4", "4/4", "ta-a-a-a ta-a-a ta"),
        ("8 4 8 2", "4/4", "ti ta ti ta-a"),
    ],
)
def test_a_system_by_value_says_how_long_a_note_is(text: str, meter: str, expected: str) -> None:
    # Kodaly's words in one usual form (from memory)
    counts = count(rhythm(text, meter), KODALY).counts
    assert [one.says for one in counts] == expected.split()


def test_a_system_by_value_hears_a_tie_as_one_note() -> None:
    counts = count(rhythm("[4 8] 8 2"), KODALY).counts
    assert [one.says for one in counts if one.sounds] == ["tam", "ti", "ta-a"]
    assert [one.sounds for one in counts] == [True, False, True, True]


def test_a_system_by_value_without_a_word_says_so() -> None:
    counts = count(rhythm("16. 32 8 4 2"), KODALY).counts
    assert [(one.says, one.note) for one in counts[:2]] == [(None, "no-word"), (None, "no-word")]
    assert [one.says for one in count(rhythm("4r 4 2"), KODALY).counts] == [None, "ta", "ta-a"]


beat_figures = {
    "4": ["4", "4r", "8 8", "8. 16", "8 16 16", "16 16 16 16", "8r 8", "16 8 16"],
    "triplet": ["12 12 12", "6 12", "12 6", "12r 12 12"],
    "dotted": ["4.", "8 8 8", "4 8", "8 4", "8. 16 8", "8r 8 8"],
}
simple = st.lists(st.sampled_from(beat_figures["4"]), min_size=1, max_size=6)
with_triplets = st.lists(st.sampled_from(beat_figures["4"] + beat_figures["triplet"]), min_size=1, max_size=6)
compound = st.lists(st.sampled_from(beat_figures["dotted"]), min_size=1, max_size=6)


def in_measures(beats: list[str], meter: str) -> Rhythm:
    """Return beats as measures of one beat each, so that every list fills its meter."""
    return parse_rhythm(" ".join(beats), parse_meter(meter))


@settings(deadline=None)
@given(
    st.one_of(st.tuples(with_triplets, st.just("1/4")), st.tuples(compound, st.just("3/8"))),
    st.sampled_from(sorted(SYSTEMS)),
    st.booleans(),
)
def test_every_note_has_its_word_and_the_count_fills_the_rhythm(
    case: tuple[list[str], str], system: str, each: bool
) -> None:
    beats, meter = case
    music = in_measures(beats, meter)
    counts = count(music, SYSTEMS[system], "measure", each).counts
    assert [one.at for one in counts if one.sounds] == [event.at for event in music.events if event.starts]
    at = Fraction(0)
    for one in counts:
        assert one.at == at
        at += one.length
    assert at == sum(event.length for event in music.events)


@settings(deadline=None)
@given(simple, st.booleans())
def test_no_place_is_finer_than_the_passage_needs(beats: list[str], each: bool) -> None:
    music = in_measures(beats, "1/4")
    lengths = {one.length for one in count(music, SYSTEMS["e-and-a"], each_beat=each).counts}
    needed = max(event.at.denominator for event in music.events)
    assert min(lengths) == Fraction(1, max(4, needed))
    if not each:
        assert len(lengths) == 1


@settings(deadline=None)
@given(with_triplets)
def test_beats_in_three_take_three(beats: list[str]) -> None:
    assume(any(beat in beat_figures["triplet"] for beat in beats))
    counts = count(in_measures(beats, "1/4"), SYSTEMS["trip-let"]).counts
    for number, beat in enumerate(beats, 1):
        places = [one for one in counts if one.measure == number]
        if beat in beat_figures["triplet"]:
            assert [one.says for one in places] == ["1", "trip", "let"]
        else:
            assert len(places) in (1, 2, 4)


@settings(deadline=None)
@given(with_triplets)
def test_the_line_has_a_word_for_every_count_in_brackets_where_no_note_starts(beats: list[str]) -> None:
    found = count(in_measures(beats, "1/4"), SYSTEMS["e-and-a"])
    counts, words = found.counts, found.line.split()
    assert len(words) == len(counts)
    assert [word.startswith("(") for word in words] == [not one.sounds for one in counts]
    assert [word.strip("()") for word in words] == [one.says for one in counts]


def reasons(text: str, meter: str = "4/4", system: str = "e-and-a", each: bool = False) -> list[tuple[int, int, str]]:
    """Return what each beat needs, in how many parts it is counted, and why."""
    counted = count(rhythm(text, meter), SYSTEMS[system], None, each)
    return [(beat.needs, beat.parts, beat.why) for beat in counted.beats]


@pytest.mark.parametrize(
    ("text", "meter", "system", "expected"),
    [
        ("4 4", "2/4", "e-and-a", [(1, 1, "whole"), (1, 1, "whole")]),
        ("8 8 4", "2/4", "e-and-a", [(2, 2, "smallest"), (1, 2, "passage")]),
        ("16 16 8 8 8", "2/4", "e-and-a", [(4, 4, "smallest"), (2, 4, "passage")]),
        ("12 12 12 4", "2/4", "e-and-a", [(3, 3, "triplet"), (1, 1, "whole")]),
        ("6 6 6", "2/4", "trip-let", [(3, 3, "triplet-grid"), (3, 3, "triplet-grid")]),
        ("3 3 3", "4/4", "trip-let", [(3, 3, "triplet-grid")] * 4),
        ("8 8 8 4.", "6/8", "e-and-a", [(3, 3, "dotted"), (1, 3, "dotted")]),
        ("4. 4.", "6/8", "e-and-a", [(1, 1, "whole"), (1, 1, "whole")]),
        ("16 16 8 8 4 8", "6/8", "takadimi", [(6, 6, "smallest"), (3, 3, "dotted")]),
        ("8. 8. 8 8 8", "6/8", "e-and-a", [(2, 2, "smallest"), (3, 3, "dotted")]),
        ("8 8 8 4", "5/8", "takadimi", [(3, 3, "group"), (1, 2, "group")]),
        ("8 8 8 16 16 8", "5/8", "takadimi", [(3, 3, "group"), (4, 4, "smallest")]),
        ("8 8 8 4", "5/8", "e-and-a", [(1, 1, "whole")] * 5),
        ("20 20 20 20 20 4", "2/4", "takadimi", [(5, 5, "tuplet"), (1, 1, "whole")]),
        ("256 " * 64, "1/4", "e-and-a", [(64, 64, "by-notes")]),
    ],
)  # fmt: skip
def test_each_beat_says_what_it_needs_and_why(
    text: str, meter: str, system: str, expected: list[tuple[int, int, str]]
) -> None:
    assert reasons(text, meter, system) == expected


def changes(text: str, meter: str = "4/4", swung: bool = False) -> list[tuple[int, int, int, int, str]]:
    counted = count(replace(rhythm(text, meter), swung=swung), SYSTEMS["trip-let"])
    return [(one.measure, one.beat, one.before, one.after, one.even) for one in counted.changes]


@pytest.mark.parametrize(
    ("text", "meter", "expected"),
    [
        ("8 8 8 8 4 4", "4/4", []),
        ("12 12 12 4 4 4", "4/4", []),
        ("8 8 12 12 12 4 4", "4/4", [(1, 2, 2, 3, "beat")]),
        ("12 12 12 4 8 8 4", "4/4", [(1, 3, 3, 2, "beat")]),  # the undivided beat between is neither
        ("8 8 12 12 12 8 8 4", "4/4", [(1, 2, 2, 3, "beat"), (1, 3, 3, 2, "beat")]),
        ("6 6 6 8 8 4", "4/4", [(1, 3, 3, 2, "beat")]),
        ("8 8 4 2 | 12 12 12 4 2", "4/4", [(2, 1, 2, 3, "beat")]),
        ("8 8 8 8. 8.", "6/8", [(1, 2, 3, 2, "beat")]),
        ("8 8 8 4. | *M2/4 8 8 4", "6/8", [(2, 1, 3, 2, "part")]),
        ("8 8 8 4. | *M2/2 4 4 2", "6/8", [(2, 1, 3, 2, "nothing")]),
        ("8 8 8 8 8", "5/8", []),  # groups of three and two of the same eighths
        ("8 8 12 12 12 20 20 20 20 20 8 8", "4/4", [(1, 2, 2, 3, "beat"), (1, 4, 3, 2, "beat")]),
    ],
)  # fmt: skip
def test_the_changes_of_feel(text: str, meter: str, expected: list[tuple[int, int, int, int, str]]) -> None:
    assert changes(text, meter) == expected


def test_a_swung_passage_has_no_change_of_feel_and_the_same_count() -> None:
    text = "8 8 12 12 12 8 8 4"
    assert changes(text)
    assert changes(text, swung=True) == []
    assert count(replace(rhythm(text), swung=True), SYSTEMS["trip-let"]).line == said(text, system="trip-let")


@pytest.mark.parametrize(
    ("text", "meter", "system", "expected"),
    [
        # beats in three take three, whatever another beat needs
        ("16 16 16 16 16 16 8 8 8", "6/8", "takadimi", "ta va ki di da ma ta ki da"),
        # the eighths of asymmetric meters are what is numbered, so that all of them take the finest division
        ("8 8 8 8 16 16", "5/8", "e-and-a", "1 (&) 2 (&) 3 (&) 1 (&) 2 &"),
        ("4. 4", "5/8", "takadimi", "ta ta"),
        ("8 8 8 8 8 8 8 8", "3+3+2/8", "e-and-a", "1 2 3 1 2 3 1 2"),
        ("4 4 4 4 4", "3+2/4", "e-and-a", "1 2 3 1 2"),
        ("4 4 4 4 4", "5/4", "e-and-a", "1 2 3 4 5"),
        # two against three in one beat: thirds keep their words, halves have none among sixths
        ("12 24 24 12", "1/4", "trip-let", "1 (–) trip – let (–)"),
        ("12 24 24 12", "1/4", "takadimi", "ta (va) ki di da (ma)"),
        # a pickup within a triplet, and the end that makes it whole
        ("12 | 4 4 4 12 12", "4/4", "trip-let", "let 1 2 3 4 trip"),
        ("4 | 4 4 4 | 4 4", "3/4", "gordon", "di du da di du da"),
    ],
)  # fmt: skip
def test_grids_of_other_meters(text: str, meter: str, system: str, expected: str) -> None:
    assert said(text, meter, system) == expected


def test_a_beat_too_fine_to_count_out_has_a_place_for_each_note() -> None:
    counts = counted("256 " * 64 + "4", "2/4")
    assert len(counts) == 65
    assert [one.says for one in counts[:2]] == ["1", None]
    assert sum(one.length for one in counts) == Fraction(1, 2)


def test_tuplets_of_all_kinds_in_one_beat_do_not_make_the_grid_grow() -> None:
    counts = counted(" ".join(["56"] * 7 + ["88"] * 11), "1/4")
    assert len(counts) == 18


def test_the_beat_of_small_notes_is_their_groups() -> None:
    counts = counted("8 8 8 8 8", "5/8")
    assert [(one.beat, str(one.in_beat), one.says) for one in counts] == [
        (1, "0", "1"), (1, "1/8", "2"), (1, "1/4", "3"), (2, "0", "1"), (2, "1/8", "2"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("8 4 8 2", ["syn", "co", "pa", None]),  # a figure may be longer than a beat
        ("4. 8 4 8 8", [None, "x", None, "run", "ning"]),  # if it begins on one
        ("8 8 8r 8 2", ["run", "ning", None, "x", None]),
        ("4. 8 8 8 4", [None, "x", "run", "ning", None]),  # not over the beat from its half
        ("[8 8] 8 8 2", [None, None, "run", "ning", None]),
        ("8 8r 8 8 2", ["hop", "rest", "run", "ning", None]),
    ],
)
def test_figures_of_a_system_by_value(text: str, expected: list[str | None]) -> None:
    words = {"8 4 8": "syn co pa", "8 8": "run ning", "8": "x", "8 8r": "hop rest"}
    system = ValueSystem({tuple(values.split()): tuple(said.split()) for values, said in words.items()})
    assert [one.says for one in count(rhythm(text), system).counts] == expected


def test_rests_and_ties_are_silent_in_a_system_by_value() -> None:
    counts = count(rhythm("4r [4 4] 4"), KODALY).counts
    assert [(one.says, one.sounds, one.note) for one in counts] == [
        (None, False, "rest"), ("ta-a", True, ""), (None, False, "held"), ("ta", True, ""),
    ]  # fmt: skip


def test_a_division_without_a_list_keeps_the_words_of_coarser_ones() -> None:
    gordon = SYSTEMS["gordon"]
    assert gordon.words_at(8) == ("du", None, "ta", None, "de", None, "ta", None)
    assert gordon.words_at(12) == ("du", None, "ta", None, "da", None, "ta", None, "di", None, "ta", None)
    assert gordon.words_at(5) == ("du", None, None, None, None)
    assert SYSTEMS["e-and-a"].words_at(6) == ("n", None, "&", None, "a", None)
    assert SYSTEMS["e-and-a"].words_at(1) == ("n",)
