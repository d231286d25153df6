"""Checks that a lesson's file is held against its score and the glossary, every fault in its place."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest

from understave.answers.configuration import Project
from understave.answers.project import load_project
from understave.entries.faults import Faulty
from understave.lessons.lesson import Lesson, load_lesson, load_lessons
from understave.lessons.scores import load_score
from understave.lessons.video import heard_at

from .small_scores import LESSON, SCORE, both, harmony, note, score

TIME = "minutes and seconds such as 1:05, seconds from 00 to 59"
VIDEO = "an https:// address with {seconds} where the time goes"

CASES = {
    "seconds above 59": ('at: "0:40"', 'at: "1:75"', f"11:33: the time '1:75'; {TIME}"),
    "unquoted seconds above 59": ('at: "0:40"', "at: 1:75", f"11:33: the time '1:75'; {TIME}"),
    "no time": ('from: "0:05"', 'from: "soon"', f"13:12: the time 'soon'; {TIME}"),
    "unknown level": (
        "beginner",
        "beginer",
        "2:8: 'beginer'; one of beginner, intermediate, advanced; nearest: 'beginner'",
    ),
    "no musical key": ("C major", "H major", "5:6: the key 'H major'; a key such as F major or E minor"),
    "key without a mode": ('"C major"', '"C"', "5:6: the key 'C'; a key such as F major or E minor"),
    "no date": ("2026-03-14", "2026-02-30", "3:7: the date '2026-02-30'; a date such as 2026-03-14"),
    "number for a tune": (
        'tune: "A small tune, written for this channel"',
        "tune: 7",
        "4:7: a number, '7'; text in quotes; put quotes round \"7\"",
    ),
    "unknown rights": ("rights: own", "rights: mine", "7:9: 'mine'; one of own, traditional"),
    "plain http": ("https://", "http://", "8:8: the video 'http://video.example/small?t={seconds}'; " + VIDEO),
    "no place for seconds": ("{seconds}", "5", "8:8: the video 'https://video.example/small?t=5'; " + VIDEO),
    "late first section": (
        'at: "0:00"',
        'at: "0:01"',
        "10:28: a first section that doesn't start at 0:00; 0:00: a list of chapters starts there",
    ),
    "sections out of order": (
        'at: "0:40"',
        'at: "0:00"',
        "11:33: the section 'The left hand' at a time that isn't after 'The tune'; times in order",
    ),
    "no measures": (
        'measures: "1-4"',
        'measures: "4-1"',
        "13:42: the measures '4-1'; a range such as 1-16, or one measure",
    ),
    "measure that isn't there": ('measures: "1-2"', 'measures: "1-9"', "14:42: measure 9; a measure from 1 to 4"),
    "measure that isn't there in what is heard": (
        'measures: "1-4"',
        'measures: "1-9"',
        "13:42: measure 9; a measure from 1 to 4",
    ),
    "unknown hands": ("hands: left", "hands: lef", "14:56: 'lef'; one of left, right, both; nearest: 'left'"),
    "end before the beginning": (
        'to: "0:21"',
        'to: "0:05"',
        "13:24: a stretch that ends before it begins; a later time under to",
    ),
    "stretches that overlap": (
        'from: "0:50"',
        'from: "0:20"',
        "14:12: stretches of measures 1 and 1 that overlap; times in order",
    ),
    "unknown entry": (
        "teaches: [major]",
        "teaches: [majr]",
        "15:11: the id 'majr'; the id of an entry; nearest: 'major'",
    ),
    "unknown key": (
        "teaches",
        "teeches",
        "15:1: the key 'teeches'; one of title, level, date, tune, key, score, rights, video, sections, "
        "heard, teaches, corrected, errata; nearest: 'teaches'",
    ),
    "unknown key in a stretch": (
        "tempo: slow",
        "tempo: slow, speed: 1",
        "14:75: the key 'speed'; one of from, to, measures, hands, tempo",
    ),
    "missing key in a stretch": (", tempo: slow", "", "14:5: no 'tempo'; the key 'tempo'"),
    "score that isn't there": (
        "score: small.musicxml",
        "score: none.musicxml",
        "6:8: the score 'none.musicxml': it can't be opened: No such file or directory; a MusicXML score",
    ),
}

WriteLesson = Callable[..., Path]


@pytest.fixture
def write_lesson(in_folder: Path) -> WriteLesson:
    """Write a lesson below the current folder's ``lessons``, its score beside that; returns the lesson's path."""

    def written(lesson: str, name: str = "small.yaml", music: str = SCORE) -> Path:
        path = Path("lessons") / name
        path.parent.mkdir(exist_ok=True)
        Path("small.musicxml").write_text(music, encoding="utf-8")
        path.write_text(lesson.replace("score: ", "score: ../"), encoding="utf-8")
        return path

    return written


def faults_of(path: Path, glossary, cache) -> list[str]:
    try:
        load_lesson(path, glossary, cache)
    except Faulty as faulty:
        return list(map(str, faulty.faults))
    return []


def changed(old: str, new: str) -> str:
    assert LESSON.count(old) == 1, f"{old!r} must stand in the lesson once"
    return LESSON.replace(old, new)


def test_the_small_lesson_has_no_faults(write_lesson, glossary, score_cache):
    assert faults_of(write_lesson(LESSON), glossary, score_cache) == []


@pytest.mark.parametrize("name", CASES)
def test_a_fault_of_a_lesson_is_told_once_and_in_its_place(name, write_lesson, glossary, score_cache):
    old, new, fault = CASES[name]
    path = write_lesson(changed(old, new))
    assert faults_of(path, glossary, score_cache) == [f"lessons/small.yaml:{fault.replace('none.', '../none.')}"]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('at: "0:40"', "at: 0:40"),
        ('date: "2026-03-14"', "date: 2026-03-14"),
        ('measures: "1-2"', "measures: 2"),
        ("rights: own\n", ""),
        ('measures: "1-4"', "measures: 1-4"),
        ("teaches: [major]\n", ""),
        ("teaches", "corrected: {date: 2026-04-01, was: a, now: b, why: c}\nteaches"),
    ],
)
def test_what_may_stand_without_quotes_or_not_at_all(old, new, write_lesson, glossary, score_cache):
    assert faults_of(write_lesson(changed(old, new)), glossary, score_cache) == []


def test_a_file_of_another_ending_is_a_fault(in_folder, glossary):
    (in_folder / "small.yml").write_text("x")
    assert faults_of(Path("small.yml"), glossary, None) == [
        "small.yml:1:1: the file 'small.yml'; a lesson that ends in .yaml"
    ]


@pytest.mark.parametrize("name", ["Small.yaml", "small_lesson.yaml", "sm all.yaml", "größe.yaml"])
def test_a_lesson_has_a_plain_id_too(name, write_lesson, glossary, score_cache):
    found = faults_of(write_lesson(LESSON, name), glossary, score_cache)
    assert [fault.partition(": ")[0] for fault in found] == [f"lessons/{name}:1:1"]


def test_a_lesson_may_not_take_the_id_of_an_entry(write_lesson, repository, score_cache):
    write_lesson(LESSON, "major.yaml")
    Path("permalinks.yaml").write_text("entries:\n  major: roots-and-inversions\n")
    with pytest.raises(Faulty) as raised:
        load_project(Project(repository / "content", Path("lessons"), Path("permalinks.yaml"), score_cache))
    assert [fault.file for fault in raised.value.faults] == ["lessons/major.yaml"]


def test_all_faults_of_all_lessons_come_in_one_run(write_lesson, glossary, score_cache):
    write_lesson(changed("[major]", "[majr]").replace('"1-2"', '"3-9"').replace('"1-4"', '"2-4"'))
    write_lesson(changed("beginner", "easy"), "other.yaml")
    write_lesson("x", "notes.txt")
    write_lesson("x", ".hidden")
    lessons, faults = load_lessons(Path("lessons"), glossary, score_cache)
    assert lessons == {}
    assert [str(fault).partition(": ")[0] for fault in sorted(faults)] == [
        "lessons/notes.txt:1:1",
        "lessons/other.yaml:2:8",
        "lessons/small.yaml:14:42",
        "lessons/small.yaml:15:11",
    ]


def test_a_missing_folder_of_lessons_is_a_fault_and_none_at_all_is_not(in_folder, glossary):
    assert load_lessons(None, glossary, None) == ({}, [])
    lessons, faults = load_lessons(Path("lessons"), glossary, None)
    assert lessons == {}
    assert [str(fault) for fault in faults] == [
        "lessons:1:1: no such folder; the folder of lessons that mkdocs.yml names"
    ]


def test_lessons_come_in_the_order_of_their_dates(write_lesson, glossary, score_cache):
    write_lesson(LESSON)
    write_lesson(changed("2026-03-14", "2025-12-01"), "early.yaml")
    write_lesson(LESSON, "also.yaml")
    lessons, faults = load_lessons(Path("lessons"), glossary, score_cache)
    assert faults == []
    assert list(lessons) == ["early", "also", "small"]


def test_a_lesson_that_cannot_be_held_against_entries_is_still_checked_by_itself(write_lesson, score_cache):
    assert load_lesson(write_lesson(LESSON), None, score_cache) is None
    broken = write_lesson(changed('"1-2"', '"1-9"'))
    assert faults_of(broken, None, score_cache) == ["lessons/small.yaml:14:42: measure 9; a measure from 1 to 4"]


@pytest.fixture
def read_lesson(write_lesson, glossary, score_cache) -> Callable[[str], Lesson]:
    def read(text: str) -> Lesson:
        lesson = load_lesson(write_lesson(text), glossary, score_cache)
        assert lesson is not None
        return lesson

    return read


def test_each_symbol_is_met_with_its_measure_beat_and_second(read_lesson):
    lesson = read_lesson(LESSON)
    assert [(met.measure, met.beat, met.in_beat, met.at, met.seconds) for met in lesson.symbols] == [
        (1, 1, 0, 0, 5),
        (2, 1, 0, 1, 9),
        (3, 1, 0, 2, 13),
        (3, 3, 0, Fraction(5, 2), 15),
        (4, 1, 0, 3, 17),
    ]
    assert lesson.link(65) == "https://video.example/small?t=65"


def test_time_runs_evenly_within_a_stretch(read_lesson):
    """Sixteen seconds for four measures: four seconds a measure, one a quarter; a part of a second is dropped."""
    lesson = read_lesson(LESSON)
    assert heard_at(Fraction(1, 4), 1, lesson.file, lesson.score) == 6
    assert heard_at(Fraction(3, 8), 1, lesson.file, lesson.score) == 6
    assert heard_at(Fraction(15, 4), 4, lesson.file, lesson.score) == 20


def test_both_hands_come_before_one_and_slow_before_at_tempo(read_lesson):
    one_first = changed("hands: both", "hands: right")
    assert [met.seconds for met in read_lesson(one_first).symbols] == [50, 60, 13, 15, 17]
    both_later = one_first.replace("hands: left", "hands: both")
    assert [met.seconds for met in read_lesson(both_later).symbols] == [50, 60, 13, 15, 17]


def test_a_section_that_explains_a_measure_comes_first(read_lesson):
    named = changed("The left hand", "Measures 3 and 4: why it is minor")
    assert [met.seconds for met in read_lesson(named).symbols] == [5, 9, 40, 40, 40]
    given = LESSON.replace('at: "0:40"', 'at: "0:40", measures: "2"')
    assert [met.seconds for met in read_lesson(given).symbols] == [5, 40, 13, 15, 17]
    many = changed("The left hand", "The left hand, measures 1 to 8")
    assert [met.seconds for met in read_lesson(many).symbols] == [5, 9, 13, 15, 17]


def test_what_is_never_played_is_never_heard(read_lesson):
    text = changed('measures: "1-4"', 'measures: "2"').replace('measures: "1-2"', 'measures: "2"')
    assert [met.seconds for met in read_lesson(text).symbols] == [None, 5, None, None, None]
    nothing = LESSON[: LESSON.index("heard")] + "teaches: [major]\n"
    assert {met.seconds for met in read_lesson(nothing).symbols} == {None}


def test_a_score_kept_in_the_cache_gives_the_same_lesson(write_lesson, glossary, in_folder):
    path = write_lesson(LESSON)
    fresh = load_lesson(path, glossary, in_folder / "cache")
    assert fresh is not None
    assert len(list((in_folder / "cache" / "scores").iterdir())) == 1
    assert load_lesson(path, glossary, in_folder / "cache") == fresh
    assert load_score(Path("small.musicxml"), None) == fresh.score


LEVELS = """\
beginner: {largest_span: 9, notes_at_once: 2, accidentals: 1, smallest_division: "8", hands_together: on-beats}
"""


def level_faults(levels: str, music: str, write_lesson: WriteLesson, glossary, cache) -> list[str]:
    write_lesson(LESSON, music=music)
    Path("levels.yaml").write_text(levels, encoding="utf-8")
    return [str(fault) for fault in load_lessons(Path("lessons"), glossary, cache)[1]]


def one_measure(right: str, left: str) -> str:
    return score(*((f'number="{number}"', both(harmony("C", "major") + right, left)) for number in range(1, 5)))


def chord(*pitches: str, staff: int = 1) -> str:
    first, *others = (note(pitch, 4, staff) for pitch in pitches)
    return first + "".join(other.replace("<note>", "<note><chord/>") for other in others)


@pytest.mark.parametrize(
    ("right", "left", "fault"),
    [
        (note("E4", 4), note("C3", 4, 2), None),
        (chord("C4", "A4"), note("C3", 4, 2), None),
        (chord("C4", "C5"), note("C3", 4, 2), "12 semitones in the right hand in measure 1; at most 9"),
        (note("E4", 4), chord("C3", "E3", "G3", staff=2), "3 notes at once in the left hand in measure 1; at most 2"),
        (
            note("E4", Fraction(1, 4)) + note("E4", Fraction(15, 4)),
            note("C3", 4, 2),
            "notes of 1/16 of a whole note; at most 1/8",
        ),
        (
            note("E4", 4),
            note("C3", Fraction(1, 2), 2) + note("C3", Fraction(7, 2), 2),
            "hands together: same-division in measure 1; at most on-beats",
        ),
    ],
)
def test_a_score_is_held_against_the_rules_of_its_level(right, left, fault, write_lesson, glossary, score_cache):
    found = level_faults(LEVELS, one_measure(right, left), write_lesson, glossary, score_cache)
    start = "lessons/small.yaml:2:8: a score with "
    assert found == ([] if fault is None else [f"{start}{fault} at the level beginner"])


@pytest.mark.parametrize(
    ("levels", "fault"),
    [
        (
            LEVELS.replace("beginner", "beginer"),
            "levels.yaml:1:1: the key 'beginer'; one of beginner, intermediate, advanced; nearest: 'beginner'",
        ),
        (LEVELS.replace("9", "wide"), "levels.yaml:1:26: 'wide'; a whole number from 0 to 99"),
        (LEVELS.replace('"8"', "often"), "levels.yaml:1:82: the note value 'often'; a recip token such as 8 or 16"),
        (
            LEVELS.replace("on-beats", "sometimes"),
            "levels.yaml:1:103: 'sometimes'; one of on-beats, same-division, freely",
        ),
        (
            LEVELS + LEVELS.replace("beginner", "advanced").replace("9", "5"),
            "levels.yaml:2:11: advanced asking for less than beginner; rules that grow",
        ),
    ],
)
def test_faulty_rules_are_told_in_their_place(levels, fault, write_lesson, glossary, score_cache):
    assert level_faults(levels, SCORE, write_lesson, glossary, score_cache) == [fault]
