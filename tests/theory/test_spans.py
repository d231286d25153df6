"""Naming spans: a few made by hand (common practice), and laws that hold for any weights."""

from __future__ import annotations

import random
from collections.abc import Sequence
from fractions import Fraction

import pytest

from understave.theory import span_weights, spans
from understave.theory.hearing import CHANNELS, WHOLE, hear
from understave.theory.spans import Guess, SpanNote, guess_span, guess_spans
from understave.theory.tones import Degree, Interval, Pitch, Tone, parse_pitch

QUARTER = Fraction(1, 4)


def note(pitch: str, onset: Fraction = Fraction(0), duration: Fraction = QUARTER, part: int = 0) -> SpanNote:
    return SpanNote(parse_pitch(pitch), onset, duration, part)


def together(pitches: str, duration: Fraction = QUARTER) -> list[SpanNote]:
    """All at once; the lowest in the lower part."""
    names = pitches.split()
    return [note(name, duration=duration, part=int(place == 0)) for place, name in enumerate(names)]


def broken(pitches: str, length: Fraction = Fraction(1, 8)) -> list[SpanNote]:
    """One after the other, in one part."""
    return [note(name, place * length, length) for place, name in enumerate(pitches.split())]


def said(guess: Guess) -> str:
    return f"{guess.root} {' '.join(map(str, guess.degrees))} / {guess.bass}"


@pytest.mark.parametrize(
    ("pitches", "expected"),
    [  # common practice
        ("C3 E4 G4 C5", "C 1 3 5 / C"),
        ("E3 C4 G4 C5", "C 1 3 5 / E"),
        ("A2 C4 E4 A4", "A 1 b3 5 / A"),
        ("G2 F4 B4 D5", "G 1 3 5 b7 / G"),
        ("B2 D4 F4 G4", "G 1 3 5 b7 / B"),
        ("Eb3 G4 Bb4 Eb5", "Eb 1 3 5 / Eb"),
        ("C#3 E4 G4 Bb4", "C# 1 b3 b5 bb7 / C#"),
        ("F#3 D4 A4 D5", "D 1 3 5 / F#"),
    ],
)
def test_one_chord_alone(pitches: str, expected: str) -> None:
    assert said(guess_span(together(pitches))[0]) == expected


@pytest.mark.parametrize(
    ("notes", "expected"),
    [  # common practice: an Alberti bass, and a melody that passes by step over a held chord
        (broken("C4 G4 E4 G4 C4 G4 E4 G4"), "C 1 3 5 / C"),
        (broken("B3 G4 D4 G4 B3 G4 D4 G4"), "G 1 3 5 / B"),
        (
            [
                *[note(name, duration=Fraction(1, 2), part=1) for name in ("C3", "E3", "G3")],
                *broken("C5 D5 E5 F5"),
            ],
            "C 1 3 5 / C",
        ),
    ],
)
def test_chord_spread_over_time(notes: list[SpanNote], expected: str) -> None:
    assert said(guess_span(notes)[0]) == expected


CADENCE = [together(chord) for chord in ("C3 G4 C5 E5", "F3 F4 C5 A5", "G3 E4 C5 G5", "G3 F4 B4 G5", "C3 E4 C5 G5")]


def test_cadence() -> None:
    """Common practice: I, IV, the cadential six-four (counted from the tonic, as the analyses do), V7, I."""
    assert [said(guesses[0]) for guesses in guess_spans(CADENCE)] == [
        "C 1 3 5 / C",
        "F 1 3 5 / F",
        "C 1 3 5 / G",
        "G 1 3 5 b7 / G",
        "C 1 3 5 / C",
    ]


def test_neighbours_decide_what_two_notes_leave_open() -> None:
    """Common practice: E and G between two chords of C are C's; between E minor's dominant and subdominant, E's."""
    tonic, fifth = together("C3 E4 G4 C5"), together("G3 D4 G4 B4")
    in_c = guess_spans([tonic, fifth, tonic, together("E4 G4"), fifth, tonic])
    minor, dominant = together("E3 E4 G4 B4"), together("B2 D#4 F#4 B4")
    in_e = guess_spans([minor, dominant, minor, together("E4 G4"), dominant, minor])
    assert said(in_c[3][0]) == "C 1 3 5 / E"
    assert said(in_e[3][0]) == "E 1 b3 5 / E"


def test_german_sixth_is_spelled_from_the_raised_fourth() -> None:
    """Common practice, and how music21 counts it: F# under A-flat, told from A-flat's seventh by its spelling."""
    around = [together("C3 Eb4 G4 C5"), together("G3 D4 G4 B4")]
    sixth, seventh = together("Ab2 Eb4 F#4 C5"), together("Ab2 Eb4 Gb4 C5")
    german = guess_spans([*around, sixth, around[1], around[0]])[2][0]
    flat = guess_spans([*around, seventh, together("Db3 F4 Ab4 Db5")])[2][0]
    assert german.root == Tone("F", 1)
    assert german.degrees in spans.AUGMENTED_SIXTHS
    assert said(flat) == "Ab 1 3 5 b7 / Ab"


def random_piece(seed: int, length: int = 12) -> list[list[SpanNote]]:
    """Notes of a key with some from outside: for laws, not for sense."""
    dice = random.Random(seed)
    names = ["C", "D", "E", "F", "G", "A", "B", "F#", "Bb", "G#"]
    return [
        [
            note(
                f"{dice.choice(names)}{dice.randint(2, 5)}",
                Fraction(dice.randint(0, 6), 8),
                Fraction(dice.randint(1, 6), dice.choice((8, 12))),
                dice.randint(0, 2),
            )
            for _ in range(dice.randint(1, 9))
        ]
        for _ in range(length)
    ]


@pytest.mark.parametrize("seed", range(5))
def test_order_of_notes_says_nothing_and_answers_repeat(seed: int) -> None:
    piece = random_piece(seed)
    shuffled = [random.Random(seed).sample(notes, len(notes)) for notes in piece]
    assert guess_spans(piece) == guess_spans(piece) == guess_spans(shuffled)


def moved(pitch: Pitch, interval: Interval) -> Pitch:
    tone = pitch.tone.up(interval)
    return Pitch(tone, (pitch.key + interval.semitones - tone.key) // 12 - 1)


@pytest.mark.parametrize("interval", [Interval(1, 2), Interval(2, 3), Interval(4, 7), Interval(0, 1)], ids=str)
@pytest.mark.parametrize("seed", range(3))
def test_transposing_a_piece_transposes_its_guesses(interval: Interval, seed: int) -> None:
    piece = random_piece(seed)
    higher = [
        [SpanNote(moved(one.pitch, interval), one.onset, one.duration, one.part) for one in notes] for notes in piece
    ]
    expected = [
        tuple(Guess(g.root.up(interval), g.degrees, g.bass.up(interval), g.score) for g in guesses)
        for guesses in guess_spans(piece)
    ]
    assert guess_spans(higher) == expected


def test_a_slower_piece_is_named_alike() -> None:
    piece = random_piece(9)
    slower = [[SpanNote(one.pitch, 2 * one.onset, 2 * one.duration, one.part) for one in notes] for notes in piece]
    assert guess_spans(slower) == guess_spans(piece)


def test_silence() -> None:
    assert guess_spans([]) == []
    assert guess_span([]) == ()
    assert guess_span([note("C4", duration=Fraction(0))]) == ()
    silent = guess_spans([CADENCE[0], [], CADENCE[3], CADENCE[4]])
    assert silent[1] == ()
    assert [silent[0], *silent[2:]] == guess_spans([CADENCE[0], CADENCE[3], CADENCE[4]])


def test_one_note_and_clusters_are_guessed() -> None:
    assert guess_span([note("F4")])[0].bass == Tone("F")
    cluster = guess_span(together("C3 C#3 D3 D#3 E3 F3 F#3 G3 G#3 A3 A#3 B3"))
    assert len(cluster) == spans.BEST


def test_guesses_come_best_first() -> None:
    for guesses in guess_spans(random_piece(3)):
        assert len(guesses) == spans.BEST
        assert [guess.score for guess in guesses] == sorted((guess.score for guess in guesses), reverse=True)
        assert len({(guess.root, guess.degrees) for guess in guesses}) == spans.BEST


def table_sizes(table: Sequence[Sequence[int]]) -> set[int]:
    return {len(row) for row in table}


def test_weights_have_the_shape_that_the_model_reads() -> None:
    assert (len(span_weights.SPANS), table_sizes(span_weights.SPANS)) == (spans.ROWS, {len(spans.TYPES)})
    assert (len(span_weights.KEYS), table_sizes(span_weights.KEYS)) == (spans.KEY_ROWS, {2})
    assert tuple(len(table) for table in span_weights.LINKS) == spans.LINK_SIZES
    assert all(isinstance(value, int) for table in (*span_weights.SPANS, *span_weights.KEYS) for value in table)


def test_no_sum_of_evidence_outgrows_its_column() -> None:
    for table in (span_weights.SPANS, span_weights.KEYS):
        largest = max(abs(weight) for row in table for weight in row)
        assert len(table) * WHOLE * largest < 1 << 31


def test_columns_of_weights_are_added_apart() -> None:
    packed = spans._Packed([(3, -2, 0), (-5, 7, 1)])
    assert packed.weighed([(0, 32), (1, 1), (1, 2)]) == [81, -43, 3]
    assert packed.weighed([]) == [0, 0, 0]


def test_what_is_heard() -> None:
    """Worked out by hand: C held for a half, then D passing and E in the upper part."""
    sound = hear(
        [
            note("C3", duration=Fraction(1, 2), part=1),
            note("C5"),
            note("D5", QUARTER, Fraction(1, 8)),
            note("E5", Fraction(3, 8), Fraction(1, 8)),
        ]
    )
    assert sound is not None
    heard = dict(zip(CHANNELS, sound.channels, strict=True))
    assert heard["coverage"][0] == WHOLE
    assert (heard["duration"][0], heard["duration"][2], heard["duration"][4]) == (24, 4, 4)
    assert heard["comes and goes by step"][2] == 4
    assert heard["comes and goes by step"][4] == 0
    assert (sound.first_bass, sound.lowest) == (0, 0)
    assert Degree(3) in guess_span([note("C3"), note("E3")])[0].degrees
