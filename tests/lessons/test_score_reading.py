"""Checks that scores come out as MusicXML 4.0 means them: hands, transposition, meters, repeats, symbols, pedals."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest

from understave.lessons.lesson import chord_of
from understave.lessons.score_files import ScoreError
from understave.lessons.scores import Score, load_score
from understave.theory.house_style import print_symbol

from .small_scores import HEADER, both, harmony, note, score

ReadScore = Callable[[str], Score]
QUARTER = Fraction(1, 4)


@pytest.fixture
def read(tmp_path: Path, score_cache: Path) -> ReadScore:
    def read_text(text: str) -> Score:
        path = tmp_path / "score.musicxml"
        path.write_text(text, encoding="utf-8")
        return load_score(path, score_cache)

    return read_text


def parts(*written: tuple[str, str, str]) -> str:
    """Return a score of parts: each its name, its attributes beside 4/4 and divisions, and its one measure."""
    names = "".join(
        f'<score-part id="P{n}"><part-name>{name}</part-name></score-part>' for n, (name, _, _) in enumerate(written)
    )
    bodies = "".join(
        f'<part id="P{n}"><measure number="1"><attributes><divisions>4</divisions>{attributes[: attributes.find("!")]}'
        f"<time><beats>4</beats><beat-type>4</beat-type></time>{attributes[attributes.find('!') + 1 :]}</attributes>"
        f"{content}</measure></part>"
        for n, (_, attributes, content) in enumerate(written)
    )
    return f"{HEADER}<score-partwise><part-list>{names}</part-list>{bodies}</score-partwise>"


def held_by(read_score: Score, hand: str) -> list[str]:
    return [str(note.pitch) for note in read_score.notes if note.hand == hand]


WHOLE = both(note("E4", 4), note("C3", 4, 2))

# whose hand


def test_two_staves_of_a_part_are_the_two_hands(read):
    music = read(score(('number="1"', both(note("E4", 4), note("C3", 4, 2)))))
    assert (held_by(music, "right"), held_by(music, "left")) == (["E4"], ["C3"])


def test_two_parts_are_the_two_hands(read):
    music = read(parts(("Piano", "!", note("E5", 4)), ("Piano", "!", note("C3", 4))))
    assert (held_by(music, "right"), held_by(music, "left")) == (["E5"], ["C3"])
    assert [one.part for one in sorted(music.notes, key=lambda one: one.part)] == [0, 1]


def test_one_staff_stands_in_the_right_hand(read):
    music = read(parts(("", "!", note("C3", 4))))
    assert (held_by(music, "right"), held_by(music, "left")) == (["C3"], [])


def test_a_singer_above_a_piano_is_nobodys_hand_but_keeps_the_symbols(read):
    singer = harmony("C", "major", staff=False) + note("G4", 4)
    music = read(parts(("Voice", "!", singer), ("Piano", "!<staves>2</staves>", WHOLE)))
    assert (held_by(music, "right"), held_by(music, "left")) == (["E4"], ["C3"])
    assert [str(symbol.root) for symbol in music.symbols] == ["C"]


def test_one_line_of_an_organ_is_no_keyboard_of_two_hands(read):
    choir = [(name, "!", note(pitch, 4)) for name, pitch in zip("SATB", ("C5", "G4", "E4", "C3"), strict=True)]
    music = read(parts(*choir, ("Organo", "!", note("C2", 4))))
    assert (held_by(music, "right"), held_by(music, "left")) == (["C5", "G4"], ["E4", "C3", "C2"])


def test_four_voices_on_four_staves_are_two_for_each_hand(read):
    voices = [(name, "!", note(pitch, 4)) for name, pitch in zip("SATB", ("C5", "G4", "E4", "C3"), strict=True)]
    music = read(parts(*voices))
    assert (held_by(music, "right"), held_by(music, "left")) == (["C5", "G4"], ["E4", "C3"])


def test_the_middle_one_of_three_staves_is_the_left_hands(read):
    content = both(note("C5", 4), both(note("E4", 4, 2), note("C2", 4, 3)))
    music = read(score(('number="1"', content)).replace("<staves>2", "<staves>3"))
    assert (held_by(music, "right"), held_by(music, "left")) == (["C5"], ["E4", "C2"])


def test_voices_of_a_staff_keep_their_names(read):
    lower = note("C4", 4).replace("<voice>1<", "<voice>2<")
    music = read(score(('number="1"', both(note("E4", 4), both(lower, note("C3", 4, 2))))))
    assert {(str(one.pitch), one.voice) for one in music.notes} == {("E4", "1"), ("C4", "2"), ("C3", "2")}
    assert all(one.at == 0 for one in music.notes)


# what sounds


@pytest.mark.parametrize(
    ("transpose", "written", "sounds"),
    [
        ("<diatonic>-1</diatonic><chromatic>-2</chromatic>", "C5", "Bb4"),  # a clarinet in B flat
        ("<chromatic>-2</chromatic>", "C5", "Bb4"),
        ("<diatonic>-5</diatonic><chromatic>-9</chromatic>", "C5", "Eb4"),  # an alto saxophone
        ("<chromatic>0</chromatic><octave-change>-1</octave-change>", "C5", "C4"),  # a guitar
        ("<diatonic>0</diatonic><chromatic>0</chromatic>", "F#4", "F#4"),
    ],
)
def test_transposed_parts_sound_where_they_sound(transpose, written, sounds, read):
    """Common practice: which instruments sound how much lower."""
    music = read(parts(("", f"!<transpose>{transpose}</transpose>", harmony("C", "major") + note(written, 4))))
    assert held_by(music, "right") == [sounds]
    assert str(music.symbols[0].root) == sounds[:-1].replace("F#", "C")


def test_a_transposed_key_signature_sounds_too(read):
    attributes = "<key><fifths>1</fifths><mode>major</mode></key>!<transpose><chromatic>-2</chromatic></transpose>"
    music = read(parts(("", attributes, note("G4", 4))))
    assert (music.measures[0].fifths, music.measures[0].mode) == (-1, "major")


def test_octave_clefs_change_nothing_as_the_pitch_has_its_octave(read):
    clef = "!<clef><sign>G</sign><line>2</line><clef-octave-change>-1</clef-octave-change></clef>"
    assert held_by(read(parts(("", clef, note("C4", 4)))), "right") == ["C4"]


def test_grace_notes_and_cues_are_left_out_and_cues_take_their_time(read):
    grace = "<note><grace/><pitch><step>D</step><octave>5</octave></pitch><voice>1</voice><staff>1</staff></note>"
    cue = note("A5", 2).replace("<note>", "<note><cue/>")
    small = note("B4", 1, extra='<type size="grace-cue">quarter</type>')
    music = read(score(('number="1"', both(grace + note("C5") + cue + small, note("C3", 4, 2)))))
    right = [(str(one.pitch), one.at) for one in music.notes if one.hand == "right"]
    assert right == [("C5", 0), ("B4", Fraction(3, 4))]


def test_a_tremolo_of_two_notes_takes_the_time_of_both(read):
    first = note("C5", 2, extra='<notations><ornaments><tremolo type="start">3</tremolo></ornaments></notations>')
    second = note("E5", 2, extra='<notations><ornaments><tremolo type="stop">3</tremolo></ornaments></notations>')
    music = read(score(('number="1"', both(first + second, note("C3", 4, 2)))))
    assert [(one.at, one.length) for one in music.notes if one.hand == "right"] == [
        (0, Fraction(1, 2)),
        (Fraction(1, 2), Fraction(1, 2)),
    ]


def test_chords_share_their_place_and_ties_hold_within_and_over_bars(read):
    upper = note("G4", 2, extra='<tie type="start"/>').replace("<note>", "<note><chord/>")
    tied = note("G4", 2, extra='<tie type="stop"/><tie type="start"/>')
    music = read(
        score(
            ('number="1"', both(note("E4", 2) + upper + tied, note("C3", 4, 2))),
            ('number="2"', both(note("G4", 4, extra='<tie type="stop"/>'), note("C3", 4, 2))),
        )
    )
    right = [(str(one.pitch), one.at, one.held) for one in music.notes if one.hand == "right"]
    half = Fraction(1, 2)
    assert right == [("E4", 0, False), ("G4", 0, False), ("G4", half, True), ("G4", Fraction(1), True)]


def test_a_score_by_time_reads_like_one_by_part(read):
    by_part = score(('number="1"', WHOLE), ('number="2"', WHOLE))
    by_time = (
        by_part.replace("score-partwise", "score-timewise")
        .replace('<part id="P1"><measure number="1">', '<measure number="1"><part id="P1">')
        .replace('</measure><measure number="2">', '</part></measure><measure number="2"><part id="P1">')
        .replace("</measure></part>", "</part></measure>")
    )
    assert read(by_time) == read(by_part)


# measures


def numbers(music: Score) -> list[int]:
    return [measure.number for measure in music.measures]


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        (["0", "1", "2"], [0, 1, 2]),
        (["1", "2", "3"], [1, 2, 3]),
        (["7", "8", "8a", "9"], [7, 8, 8, 9]),
        (["7", "8", "X1", "9"], [7, 8, 8, 9]),
        (["", "", ""], [1, 1, 1]),
        (["12", "", "13"], [12, 12, 13]),
    ],
)
def test_measures_have_whole_numbers_whatever_is_printed(written, expected, read):
    assert numbers(read(score(*((f'number="{number}"', WHOLE) for number in written)))) == expected


def test_a_first_measure_that_is_not_counted_is_0_before_a_1(read):
    pickup = both(note("G4"), note("r", 1, 2), 1)
    assert numbers(read(score(('number="1" implicit="yes"', pickup), ('number="1"', WHOLE)))) == [0, 1]
    assert numbers(read(score(('number="1" implicit="yes"', pickup), ('number="2"', WHOLE)))) == [1, 2]


def test_the_second_half_of_a_split_measure_goes_on_counting(read):
    half = both(note("E4", 2), note("C3", 2, 2), 2)
    music = read(score(('number="1"', half), ('number="X1" implicit="yes"', half), ('number="2"', WHOLE)))
    # common practice: a first measure that is short counts as the end of one
    assert [measure.missing for measure in music.measures] == [Fraction(1, 2), 0, 0]
    music = read(
        score(('number="1"', WHOLE), ('number="2"', half), ('number="X1" implicit="yes"', half), ('number="3"', WHOLE))
    )
    assert [measure.missing for measure in music.measures] == [0, 0, Fraction(1, 2), 0]
    assert music.beat_at(Fraction(3, 2)) == (3, 0)


def timed(time: str, *measures: str) -> str:
    written = score(*((f'number="{n}"', content) for n, content in enumerate(measures, 1)))
    return written.replace("<time><beats>4</beats><beat-type>4</beat-type></time>", f"<time>{time}</time>")


def eighths(*groups: int) -> str:
    """Return eighth notes under beams of so many."""
    marks = [mark for size in groups for mark in ("begin", *["continue"] * (size - 2), "end")]
    return "".join(note("E4", Fraction(1, 2), extra=f'<beam number="1">{mark}</beam>') for mark in marks)


@pytest.mark.parametrize(
    ("time", "meter"),
    [
        ("<beats>3+2</beats><beat-type>8</beat-type>", "3+2/8"),
        ("<beats>2 + 3</beats><beat-type>8</beat-type>", "2+3/8"),
        ("<beats>3</beats><beat-type>4</beat-type><beats>2</beats><beat-type>8</beat-type>", "2+2+2+2/8"),
        ("<beats>6</beats><beat-type>8</beat-type>", "6/8"),
    ],
)
def test_meters_are_read_in_every_form(time, meter, read):
    assert str(read(timed(time, eighths(5))).measures[0].meter) == meter


@pytest.mark.parametrize(
    ("count", "bars", "meter"),
    [
        (5, [(2, 3), (2, 3), (3, 2)], "2+3/8"),
        (5, [(5,)], "5/8"),
        (7, [(3, 2, 2)], "3+2+2/8"),
        (8, [(3, 3, 2)], "3+3+2/8"),
        (6, [(2, 2, 2)], "6/8"),
    ],
)
def test_beams_show_the_groups_of_odd_meters(count, bars, meter, read):
    """Common practice: 5/8 and 7/8 are beamed as they are counted; 6/8 is two beats however it is beamed."""
    music = read(timed(f"<beats>{count}</beats><beat-type>8</beat-type>", *(eighths(*groups) for groups in bars)))
    assert {str(measure.meter) for measure in music.measures} == {meter}


def test_a_free_measure_has_the_meter_of_what_it_holds(read):
    music = read(timed("<senza-misura/>", note("E4", 4) + note("E4", 3), note("E4", 2)))
    assert [(str(measure.meter), measure.length) for measure in music.measures] == [
        ("7/4", Fraction(7, 4)),
        ("2/4", Fraction(1, 2)),
    ]


def test_a_meter_that_cannot_be_is_refused(read):
    with pytest.raises(ScoreError, match="it has a meter that can't be: 4/0"):
        read(timed("<beats>4</beats><beat-type>0</beat-type>", note("E4", 4)))


def test_a_rest_for_the_whole_measure_is_no_longer_than_the_measure(read):
    rest = '<note><rest measure="yes"/><duration>16</duration><voice>2</voice><staff>2</staff></note>'
    content = note("E4", 3) + "<backup><duration>12</duration></backup>" + rest
    assert read(timed("<beats>3</beats><beat-type>4</beat-type>", content)).measures[0].length == Fraction(3, 4)


# the order of playing

FORWARD = '<barline location="left"><repeat direction="forward"/></barline>'
BACKWARD = '<barline location="right"><repeat direction="backward"/></barline>'


def ending(number: str, back: bool = True) -> str:
    start = f'<barline location="left"><ending number="{number}" type="start"/></barline>'
    repeat = '<repeat direction="backward"/>' if back else ""
    return f'{start}{{}}<barline location="right"><ending number="{number}" type="stop"/>{repeat}</barline>'


def sound(words: str = "", **attributes: str) -> str:
    values = "".join(f' {name}="{value}"' for name, value in attributes.items())
    told = f"<direction-type><words>{words}</words></direction-type>"
    return f"<direction>{told}{f'<sound{values}/>' if values else ''}</direction>"


@pytest.mark.parametrize(
    ("bars", "order"),
    [
        (["{}", "{}", "{}"], "1 2 3"),
        (["{}", "{}" + BACKWARD, "{}"], "1 2 1 2 3"),
        (["{}", FORWARD + "{}" + BACKWARD, "{}"], "1 2 2 3"),
        (["{}" + BACKWARD, "{}", "{}" + BACKWARD], "1 1 2 3 2 3"),
        (["{}" + BACKWARD.replace("/>", ' times="3"/>', 1), "{}"], "1 1 1 2"),
        (["{}", ending("1"), ending("2", back=False), "{}"], "1 2 1 3 4"),
        (["{}", ending("1, 2"), ending("3", back=False), "{}"], "1 2 1 2 1 3 4"),
        (["{}", ending("1"), "{}", FORWARD + "{}" + BACKWARD, "{}"], "1 2 1 3 4 4 5"),
        (["{}", "{}" + sound(fine="yes"), "{}" + sound(dacapo="yes")], "1 2 3 1 2"),
        (["{}", "{}" + sound("Fine"), "{}" + sound("D.C. al Fine")], "1 2 3 1 2"),
        (["{}" + BACKWARD, "{}" + sound("Fine"), "{}" + sound("Da Capo al Fine")], "1 1 2 3 1 2"),
        (["{}", sound(segno="s") + "{}", "{}" + sound(dalsegno="s"), "{}"], "1 2 3 2 3 4"),
        (
            ["{}", sound(segno="s") + "{}" + sound(tocoda="c"), "{}" + sound(dalsegno="s"), sound(coda="c") + "{}"],
            "1 2 3 2 4",
        ),
        (
            ["{}", ending("1"), ending("2", back=False), "{}" + sound(dacapo="yes")],
            "1 2 1 3 4 1 3 4",
        ),
    ],
)  # fmt: skip
def test_measures_are_played_with_repeats_endings_and_jumps(bars, order, read):
    """Common practice: after D.C. and D.S. repeats aren't taken again, and the last ending is played."""
    music = read(score(*((f'number="{n}"', bar.replace("{}", WHOLE)) for n, bar in enumerate(bars, 1))))
    assert " ".join(str(music.measures[place].number) for place in music.order) == order
    assert numbers(music) == list(range(1, len(bars) + 1))


def test_no_score_asks_for_endless_playing(read):
    endless = BACKWARD.replace("/>", ' times="999999999"/>', 1)
    music = read(score(*((f'number="{n}"', WHOLE + endless + sound(dacapo="yes")) for n in range(1, 4))))
    assert len(music.order) < 100


# symbols and pedals


def test_a_symbol_has_its_kind_text_degrees_bass_and_inversion(read, glossary):
    written = [
        harmony("C", "other").replace("<kind>", '<kind text="9sus4">'),
        harmony("F", "major").replace("</kind>", "</kind><inversion>1</inversion>"),
        harmony("G", "dominant", "F", ((9, -1, "add"),)),
        "<harmony><root><root-step>D</root-step></root></harmony>",
        "<harmony><kind>none</kind></harmony>",
        "<harmony><function>V</function><kind>major</kind></harmony>",
    ]
    content = "".join(symbol + note("E4", Fraction(1, 2)) for symbol in written) + note("r")
    music = read(score(('number="1"', both(content, note("C3", 4, 2)))))
    chords = [chord_of(symbol, glossary) for symbol in music.symbols]
    assert [print_symbol(chord) if chord else None for chord in chords] == ["C9sus4", "F/A", "G7b9/F", "D", None]
    assert music.symbols[0].text == "9sus4"
    assert music.symbols[1].inversion == 1


def test_a_symbol_moved_over_the_bar_belongs_to_the_measure_it_stands_in(read):
    moved = harmony("G", "major").replace("<staff>", "<offset>4</offset><staff>")
    first = both(note("E4", 4) + moved, note("C3", 4, 2))
    music = read(score(('number="1"', first), ('number="2"', WHOLE)))
    assert [(symbol.measure, symbol.at) for symbol in music.symbols] == [(2, Fraction(5, 4))]


def test_pedal_marks_are_kept_with_their_places(read):
    def pedal(kind: str, offset: int = 0) -> str:
        moved = f"<offset>{offset}</offset>" if offset else ""
        return f'<direction><direction-type><pedal type="{kind}"/></direction-type>{moved}</direction>'

    content = pedal("start") + note("E4", 2) + pedal("change") + pedal("sostenuto") + note("E4", 2) + pedal("stop", -4)
    music = read(score(('number="1"', both(content, note("C3", 4, 2)))))
    assert [(mark.at, mark.does) for mark in music.pedals] == [
        (0, "start"),
        (Fraction(1, 2), "change"),
        (Fraction(3, 4), "stop"),
    ]


# what is refused


@pytest.mark.parametrize(
    ("text", "why"),
    [
        (score(('number="1"', both(note("r", 4), note("r", 4, 2)))), "it holds no notes"),
        (HEADER + "<html><body/></html>", "it is no MusicXML score: it holds 'html', expected 'score-partwise'"),
        (score(('number="1"', WHOLE)).replace("<step>E", "<step>H"), "a note is called 'H', expected A to G"),
    ],
)
def test_what_cannot_be_read_says_why(text, why, read):
    with pytest.raises(ScoreError, match=why):
        read(text)


@pytest.mark.parametrize("odd", ["1e9", "0", "-4", "x", "", "9" * 30])
def test_odd_numbers_do_no_harm(odd, read):
    music = score(('number="1"', WHOLE), ('number="2"', WHOLE))
    assert read(music.replace("<divisions>4", f"<divisions>{odd}")).notes
    assert read(music.replace("<octave>4", f"<octave>{odd}")).notes
    assert read(music.replace("<alter>0", f"<alter>{odd}")).notes
    assert read(music.replace("<staff>2", f"<staff>{odd}")).notes
    assert read(music.replace("<duration>16</duration><voice>1", f"<duration>{odd}</duration><voice>1")).notes
