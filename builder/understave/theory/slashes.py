"""What a bass does to the chord above it: an inversion, an added tone, or a chord of its own (common practice)."""

from __future__ import annotations

from understave.theory.chords import Chord, has_number, in_order
from understave.theory.naming import whole_names
from understave.theory.tones import Degree, parse_degree

TRIAD_FIGURES = (("5", "3"), ("6",), ("6", "4"))
SEVENTH_FIGURES = (("7",), ("6", "5"), ("4", "3"), ("4", "2"))


def figures(chord: Chord) -> tuple[str, ...]:
    """Return the figures that figured bass writes for a triad or seventh chord, () for any other chord or bass."""
    numbers = {degree.number for degree in chord.degrees}
    if chord.inversion is None or numbers not in ({1, 3, 5}, {1, 3, 5, 7}):
        return ()
    return SEVENTH_FIGURES[chord.inversion] if has_number(chord.degrees, 7) else TRIAD_FIGURES[chord.inversion]


def foreign_degree(chord: Chord) -> Degree | None:
    """Return the degree of a bass that is no chord tone, 1 to 7 above the root; None for a chord tone."""
    return None if chord.bass in chord.tones else chord.root.degree_of(chord.bass)


def added_by_bass(chord: Chord) -> Degree | None:
    """Return the degree that a bass adds to the chord above it: a seventh it lacks, 2, 4 or 6; None for any other."""
    foreign = foreign_degree(chord)
    if foreign is None or foreign.number not in (2, 4, 6, 7):
        return None
    if foreign.number == 7:
        sizes = (-2, -1, 0) if parse_degree("b5") in chord.degrees else (-1, 0)
        return foreign if foreign.alteration in sizes and not has_number(chord.degrees, 7) else None
    return None if foreign.alteration else foreign


def completed(chord: Chord) -> Chord | None:
    """Return the seventh chord that a bass makes of the chord above it (Am/G: Am7/G), or None."""
    added = added_by_bass(chord)
    if added is None or added.number != 7:
        return None
    return Chord(chord.root, in_order((*chord.degrees, added)), chord.bass)


def heard_as(chord: Chord) -> Chord | None:
    """Return the chord on the bass that a slash chord sounds like: F/G as G9sus4, C6/A as Am7; None if there is none.

    An inversion, also one spelled otherwise, and a seventh chord that its bass completes stay what they are.
    """
    if chord.inversion is not None or chord.bass_respelled or completed(chord):
        return None
    keys = {tone.pitch_class: tone for tone in (*chord.tones, chord.bass)}
    return next((name for name in whole_names(keys, chord.bass) if name.root == chord.bass), None)
