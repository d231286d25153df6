"""Checks how scores are cut into stretches, and which bass is held through them."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from understave.lessons.score_stretches import basses, joined, stretches
from understave.lessons.scores import Score, load_score

from .small_scores import both, harmony, note, score


@pytest.fixture
def read(tmp_path: Path, score_cache: Path):
    def read_measures(*contents: str, meter: tuple[int, int] = (4, 4), first: int = 1) -> Score:
        path = tmp_path / "score.musicxml"
        measures = ((f'number="{number}"', content) for number, content in enumerate(contents, first))
        path.write_text(score(*measures, meter=meter), encoding="utf-8")
        return load_score(path, score_cache)

    return read_measures


def notes(*pitches: str, staff: int = 1, each: Fraction | int = 1) -> str:
    return "".join(note(pitch, each, staff) for pitch in pitches)


def cut(music: Score, every: str) -> list[tuple[int, int, Fraction, Fraction]]:
    return [(s.measure.number, s.beat, s.in_beat, s.length) for s in stretches(music, every)]  # type: ignore[arg-type]


def bass_of(music: Score, every: str, roots: list[int] | None = None) -> list[str]:
    found = stretches(music, every)  # type: ignore[arg-type]
    return [str(bass) for bass in basses(music, found, roots or [0] * len(found))]


QUARTER = Fraction(1, 4)
WHOLE = both(note("E4", 4), note("C3", 4, 2))


def test_measures_and_beats_are_cut_where_the_meter_has_them(read):
    music = read(WHOLE, WHOLE)
    assert cut(music, "measure") == [(1, 1, 0, 1), (2, 1, 0, 1)]
    assert cut(music, "beat") == [(number, beat, 0, QUARTER) for number in (1, 2) for beat in (1, 2, 3, 4)]


def test_compound_and_odd_meters_are_cut_at_their_beats(read):
    six = read(both(note("E4", 3), note("C3", 3, 2), 3), meter=(6, 8))
    assert cut(six, "beat") == [(1, 1, 0, Fraction(3, 8)), (1, 2, 0, Fraction(3, 8))]
    five = Fraction(5, 2)
    odd = read(both(note("E4", five), note("C3", five, 2), five), meter=(5, 8))
    assert cut(odd, "beat") == [(1, 1, 0, Fraction(3, 8)), (1, 2, 0, Fraction(1, 4))]


def test_a_pickup_has_the_last_beats(read):
    music = read(both(note("G4", 2), note("r", 2, 2), 2), WHOLE, first=0)
    assert cut(music, "beat")[:3] == [(0, 3, 0, QUARTER), (0, 4, 0, QUARTER), (1, 1, 0, QUARTER)]


def test_a_symbol_lasts_until_the_next_one(read):
    right = note("r") + harmony("C", "major") + note("E4", Fraction(5, 2)) + harmony("G", "major")
    music = read(both(right + note("D4", Fraction(1, 2)), note("C3", 4, 2)), WHOLE)
    assert cut(music, "symbol") == [(1, 2, 0, Fraction(5, 8)), (1, 4, Fraction(1, 8), Fraction(9, 8))]


def test_no_symbols_make_no_stretches(read):
    assert stretches(read(WHOLE), "symbol") == []


def test_tied_notes_are_one_note(read):
    start, stop = '<tie type="start"/>', '<tie type="stop"/>'
    music = read(both(note("E4", 4, extra=start), note("C3", 4, 2)), both(note("E4", 4, extra=stop), note("C3", 4, 2)))
    assert [(str(one.pitch), one.at, one.length) for one in joined(music.notes)] == [
        ("E4", 0, 2),
        ("C3", 0, 1),
        ("C3", 1, 1),
    ]
    second = stretches(music, "measure")[1]
    assert {(str(one.pitch), one.onset) for one in second.sounding} == {("E4", -1), ("C3", 0)}


def test_the_notes_around_a_stretch_show_how_it_is_reached_and_left(read):
    music = read(both(notes("C4", "D4", "E4", "F4"), note("C3", 4, 2)))
    second = stretches(music, "beat")[1]
    assert {str(one.pitch) for one in second.notes} == {"C3", "C4", "D4", "E4", "F4"}
    assert {str(one.pitch) for one in second.sounding} == {"C3", "D4"}


# the bass (design: a bass once struck and then held, pedaled or outlined by a broken chord stays)

ALBERTI = notes("C3", "G3", "E3", "G3", staff=2)


def pedal(kind: str) -> str:
    return f'<direction><direction-type><pedal type="{kind}"/></direction-type></direction>'


def test_a_held_bass_stays(read):
    assert bass_of(read(WHOLE), "beat") == ["C3"] * 4


def test_a_broken_chord_keeps_its_bass_within_the_measure(read):
    music = read(both(note("E5", 4), ALBERTI), both(note("E5", 4), notes("G3", "E3", "G3", "E3", staff=2)))
    assert bass_of(music, "beat") == ["C3"] * 4 + ["G3", "E3", "E3", "E3"]


def test_a_step_a_long_note_and_another_root_are_a_new_bass(read):
    walking = both(note("E5", 4), notes("C3", "D3", "E3", "F3", staff=2))
    assert bass_of(read(walking), "beat") == ["C3", "D3", "E3", "F3"]
    long = both(note("E5", 4), notes("C3", "F3", staff=2, each=2))
    assert bass_of(read(long), "beat") == ["C3", "C3", "F3", "F3"]
    assert bass_of(read(both(note("E5", 4), ALBERTI)), "beat", [0, 0, 4, 4]) == ["C3", "C3", "E3", "E3"]


def test_a_new_symbol_asks_for_the_bass_again(read):
    left = notes("C3", "G3", "E3", "G3", staff=2)
    right = harmony("C", "major") + note("G5", 2) + harmony("E", "minor") + note("G5", 2)
    assert bass_of(read(both(right, left)), "beat") == ["C3", "C3", "E3", "E3"]
    assert bass_of(read(both(right, left)), "symbol") == ["C3", "E3"]


def test_the_pedal_holds_a_bass_over_the_bar_until_it_changes(read):
    high = both(note("E5", 4), notes("G3", "B3", "G3", "B3", staff=2))
    music = read(pedal("start") + WHOLE, high, pedal("change") + high, high + pedal("stop"))
    assert bass_of(music, "measure") == ["C3", "C3", "G3", "G3"]
    assert bass_of(read(WHOLE, high), "measure") == ["C3", "G3"]


def test_a_lower_note_is_always_the_bass(read):
    music = read(pedal("start") + both(note("E5", 4), notes("C3", "G3", "G2", "G3", staff=2)))
    assert bass_of(music, "beat") == ["C3", "C3", "G2", "G2"]


def test_silence_has_no_bass(read):
    music = read(both(note("E5", 2) + note("r", 2), note("C3", 2, 2) + note("r", 2, 2)))
    assert bass_of(music, "beat") == ["C3", "C3", "None", "None"]
