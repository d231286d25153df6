"""What examples play: the keys of chords, and each note once at its exact place, however it is written.

MIDI numbers count half steps, 60 being middle C (MIDI 1.0; from memory).
"""

from __future__ import annotations

import json
import xml.etree.ElementTree as ET
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest

from understave.answers.explaining import counts_of
from understave.answers.project import Loaded
from understave.entries.glossary import Glossary
from understave.entries.values import CountingSystem
from understave.lessons.lesson import Lesson
from understave.lessons.score_files import musicxml_of
from understave.pages.chords import ChordPages
from understave.pages.guides import GuidePages
from understave.pages.others import OtherPages
from understave.pages.page import Figure
from understave.pages.playing import LEFT, RIGHT, Chords, Passage, played_hands, played_measure, played_rhythm
from understave.theory.counting import System, count
from understave.theory.rhythms import parse_meter, parse_rhythm
from understave.theory.together import together


@pytest.fixture
def system(glossary: Glossary) -> System:
    return glossary.of(CountingSystem)["e-and-a"].system


def passage(rhythm: str, meter: str, system: System, beat: str | None = None) -> Passage:
    parsed = parse_rhythm(rhythm, parse_meter(meter))
    return played_rhythm(parsed, count(parsed, system, beat))


def spans(played: Passage) -> list[tuple[str, str, tuple[int, ...]]]:
    """Return the place, the length and what shows it of each note."""
    return [(str(note.at), str(note.length), note.shown) for note in played.notes]


def figures_at(address: str, pages: ChordPages | OtherPages) -> tuple[Figure, ...]:
    return next(page.figures for page in pages if page.address == address)


def test_chord_is_played_by_both_hands(glossary: Glossary) -> None:
    main = figures_at("/c-major/", ChordPages(glossary, {}))[0].plays
    assert isinstance(main, Chords)
    assert main.turns == (((48,), (60, 64, 67)),)
    assert main.hands
    assert not main.in_time
    assert json.loads(main.data) == [[[48], [60, 64, 67]]]


def test_inversions_are_played_by_the_right_hand_alone(glossary: Glossary) -> None:
    row = [figure.plays for figure in figures_at("/c-major/", ChordPages(glossary, {}))[1:]]
    assert [plays.turns for plays in row if isinstance(plays, Chords)] == [
        (((), (60, 64, 67)),),
        (((), (64, 67, 72)),),
        (((), (67, 72, 76)),),
    ]
    assert not any(plays and plays.hands for plays in row)


def test_slash_pattern_is_played_chord_after_chord(glossary: Glossary) -> None:
    plays = figures_at("/slash-chords/subdominant-over-dominant/", OtherPages(glossary, {}, "e-and-a"))[0].plays
    assert isinstance(plays, Chords)
    assert plays.in_time
    basses = [left[0] % 12 for left, _ in plays.turns]
    assert basses == [7, 0], "F/G and C: G, then C"
    assert {key % 12 for key in plays.turns[0][1]} == {5, 9, 0}, "F, A and C"


def test_tied_notes_sound_once_and_rests_do_not(system: System) -> None:
    played = passage("8 [8 4] 12 12 12 4r", "4/4", system)
    assert spans(played) == [
        ("0", "1/8", (0,)),
        ("1/8", "3/8", (1, 2)),
        ("1/2", "1/12", (3,)),
        ("7/12", "1/12", (4,)),
        ("2/3", "1/12", (5,)),
    ]


def test_a_tie_may_cross_measures(system: System) -> None:
    played = passage("2 [2 | _1 | 2] 2", "4/4", system)
    assert spans(played) == [("0", "1/2", (0,)), ("1/2", "2", (1, 2, 3)), ("5/2", "1/2", (4,))]


def test_tuplets_are_whole_numbers_of_parts_for_the_player(system: System) -> None:
    whole, parts, length, notes, beats, words = json.loads(passage("8 8 12 12 12 20 20 20 20 20", "3/4", system).data)
    assert (parts, length) == (120, 90)
    assert [note[:2] for note in notes] == [
        [0, 15], [15, 15], [30, 10], [40, 10], [50, 10], [60, 6], [66, 6], [72, 6], [78, 6], [84, 6],
    ]  # fmt: skip
    assert beats == [0, 30, 60]
    assert [at for at, _ in words][:5] == [0, 15, 30, 40, 50]
    assert whole == pytest.approx(4 * 60 / 72, abs=1e-6), "72 quarters a minute"


@pytest.mark.parametrize(
    ("rhythm", "meter", "beat", "beats"),
    [
        ("8 8 8 4 8", "6/8", None, ["0", "3/8"]),
        ("8 8 8 4 8", "6/8", "eighth", ["0", "1/8", "1/4", "3/8", "1/2", "5/8"]),
        ("2 2", "2/2", None, ["0", "1/2"]),
        ("4 8 4", "5/8", None, ["0", "1/8", "1/4", "3/8", "1/2"]),
        ("8 8 | 4 4 4", "3/4", None, ["0", "1/4", "1/2", "3/4"]),
        ("8 | 4 4 4", "3/4", None, ["1/8", "3/8", "5/8"]),
    ],
)
def test_the_beats_that_are_counted_click(
    system: System, rhythm: str, meter: str, beat: str | None, beats: list[str]
) -> None:
    played = passage(rhythm, meter, system, beat)
    assert [str(at) for at in played.beats] == beats
    assert played.clicks
    gaps = {later - earlier for earlier, later in pairwise(played.beats)}
    assert min(gaps) * played.whole >= Fraction(60, 132), "nobody counts faster than that"


def test_the_words_are_those_of_the_count(glossary: Glossary, system: System) -> None:
    parsed = parse_rhythm("8 8 12 12 12", parse_meter("2/4"))
    counted = count(parsed, system)
    assert played_rhythm(parsed, counted).words == tuple((one.at, one.length) for one in counted.counts)


def test_each_hand_keeps_its_own_notes(system: System) -> None:
    both = together(
        parse_rhythm("4 4 | [4 4]", parse_meter("2/4")), parse_rhythm("6 6 6 | 2", parse_meter("2/4"))
    )  # fmt: skip
    played = played_hands(both, count(both.rhythm, system))
    left = [(str(note.at), str(note.length), note.shown) for note in played.notes if note.hand == LEFT]
    right = [(str(note.at), str(note.length), note.shown) for note in played.notes if note.hand == RIGHT]
    assert right == [("0", "1/6", (0,)), ("1/6", "1/6", (1,)), ("1/3", "1/6", (2,)), ("1/2", "1/2", (5,))]
    assert left == [("0", "1/4", (3,)), ("1/4", "1/4", (4,)), ("1/2", "1/2", (6, 7))]
    assert played.hands


def test_every_counted_example_of_the_demo_plays(lanternfield: Loaded) -> None:
    glossary, system = lanternfield.glossary, lanternfield.project.counting_system
    pages = [page for page in OtherPages(glossary, {}, system) if not page.address.startswith("/terms/")]
    guides = GuidePages(lanternfield.guides, glossary, system)
    figures = [figure for page in pages for figure in page.figures]
    figures += [figure for name in guides.guides for figure in guides.figures(name)]
    assert len(figures) > 100
    for figure in figures:
        assert figure.plays, figure.title
        assert json.loads(figure.plays.data), figure.title


def measure(lesson: Lesson, number: int, lanternfield: Loaded) -> Passage:
    counts = counts_of(lesson, number, lanternfield.counting_system)
    return played_measure(lesson, number, counts.get("both") or counts.get("right"))


def test_measure_of_a_lesson_is_played_by_both_hands(lanternfield: Loaded) -> None:
    played = measure(lanternfield.lessons["ferry-clock"], 1, lanternfield)
    left = [(str(note.at), note.key) for note in played.notes if note.hand == LEFT]
    right = [(str(note.at), str(note.length), note.key) for note in played.notes if note.hand == RIGHT]
    # read off the page: A2 E3 C#4 E3 twice under C#5 D5 E5 in a triplet, A5 E5, and a half note C#5
    assert left == list(zip(["0", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8"], [45, 52, 61, 52] * 2, strict=True))
    assert right == [
        ("0", "1/12", 73), ("1/12", "1/12", 74), ("1/6", "1/12", 76), ("1/4", "1/8", 81), ("3/8", "1/8", 76),
        ("1/2", "1/2", 73),
    ]  # fmt: skip
    assert played.beats == (0, Fraction(1, 4), Fraction(1, 2), Fraction(3, 4))
    assert not played.clicks


def test_measure_goes_as_fast_as_in_the_video(lanternfield: Loaded) -> None:
    # its file says: measures 1-17, each a whole note long, from 0:06 to 1:00 at tempo
    assert measure(lanternfield.lessons["ferry-clock"], 1, lanternfield).whole == Fraction(54, 17)


def test_every_measure_is_played_whole(lanternfield: Loaded) -> None:
    seen = 0
    for lesson in lanternfield.lessons.values():
        file = musicxml_of(Path("site_examples/lanternfield/lessons") / lesson.file.score)
        notes = list(ET.fromstring(file).iter("note"))
        for one in lesson.score.measures:
            played = measure(lesson, one.number, lanternfield)
            in_measure = [note for note in lesson.score.notes if one.at <= note.at < one.at + one.length]
            shown = sorted(index for note in played.notes for index in note.shown)
            assert shown == sorted(note.index for note in in_measure)
            assert all(0 <= note.at < note.end <= one.length for note in played.notes)
            for note in in_measure:
                assert notes[note.index].findtext("pitch/step") == note.pitch.tone.letter
                assert notes[note.index].findtext("pitch/octave") == str(note.pitch.octave)
            for note in played.notes:
                together_long = sum(other.length for other in in_measure if other.index in note.shown)
                assert together_long == note.length
            seen += len(in_measure)
    assert seen > 1000


def test_what_is_tied_over_from_the_measure_before_is_struck(lanternfield: Loaded) -> None:
    struck = 0
    for lesson in lanternfield.lessons.values():
        for one in lesson.score.measures:
            keys = {note.pitch.key for note in lesson.score.notes if note.at == one.at and note.held}
            played = measure(lesson, one.number, lanternfield)
            assert keys <= {note.key for note in played.notes if note.at == 0}
            struck += len(keys)
    assert struck
