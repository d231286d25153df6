"""Compares the levels of a tune: what the easier one simplifies, and what a score demands."""

from __future__ import annotations

from fractions import Fraction

from understave.answers.simplifying import simplification_sentences
from understave.lessons.demands import demands_of, grips_of
from understave.lessons.siblings import simplifications, simplified

PLAIN, FULL = "all-through-the-night-in-plain-triads", "all-through-the-night-in-full-colors"
STEADY, WALKING = "auld-lang-syne-in-steady-quarters", "auld-lang-syne-with-a-walking-left-hand"


def test_each_easier_lesson_is_held_against_the_next_level_of_its_tune(lanternfield):
    found = simplifications(lanternfield.lessons.values())
    assert {name: one.harder.id for name, one in found.items()} == {PLAIN: FULL, STEADY: WALKING}


def test_other_symbols_say_what_is_left_out(lanternfield):
    found = simplified(lanternfield.lessons[PLAIN], lanternfield.lessons[FULL])
    assert found.symbols
    for other in found.symbols:
        assert other.easier != other.harder
        assert not set(other.left_out) & set(other.easier.tones)
        if other.relation == "fewer-tones":
            assert set(other.easier.degrees) < set(other.harder.degrees)
            assert other.left_out
    assert {other.relation for other in found.symbols} >= {"fewer-tones"}


def test_plainer_rhythm_is_found_where_the_harder_level_has_shorter_notes(lanternfield):
    easier, harder = lanternfield.lessons[STEADY], lanternfield.lessons[WALKING]
    found = simplified(easier, harder)
    assert found.plainer
    for number in found.plainer:
        shortest = [
            min(note.length for note in one.score.notes if one.score.measure_at(note.at).number == number)
            for one in (easier, harder)
        ]
        assert shortest[0] >= 2 * shortest[1]


def test_the_sentences_name_both_levels_and_say_that_both_are_right(lanternfield, glossary):
    found = simplifications(lanternfield.lessons.values())
    night = simplification_sentences(found[PLAIN], glossary)
    assert any("Both are right" in sentence for sentence in night)
    auld = simplification_sentences(found[STEADY], glossary)
    assert any("Plainer rhythm in measures" in sentence for sentence in auld)
    assert all("{" not in sentence for sentence in night + auld)


def test_what_a_hand_holds_down_counts_notes_that_are_still_held(lanternfield):
    score = lanternfield.lessons["paper-lanterns-at-low-tide"].score
    for hand in ("left", "right"):
        for grip in grips_of(score, hand):
            held = {
                note.pitch for note in score.notes if note.hand == hand and note.at <= grip.at < note.at + note.length
            }
            assert set(grip.pitches) == held
            assert grip.span == max(p.key for p in held) - min(p.key for p in held)


def test_demands_hold_the_largest_grip_and_the_shortest_note(lanternfield):
    score = lanternfield.lessons["ferry-clock"].score
    found = demands_of(score)
    assert found.triplets
    assert found.together
    assert found.shortest == min(note.length for note in score.notes if not note.held)
    assert found.shortest <= Fraction(1, 12)
    assert found.widest["left"].span == max(grip.span for grip in grips_of(score, "left"))
    assert found.signs == 3
