"""What a bass does to the chord above it: an inversion, an added tone, or a chord of its own (common practice)."""

from __future__ import annotations

from understave.theory.chords import Chord, has_number
from understave.theory.naming import whole_names
from understave.theory.tones import Degree

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


def heard_as(chord: Chord) -> Chord | None:
    """Return the chord on the bass that a slash chord sounds like: F/G as G9sus4; None if there is none."""
    if chord.bass in chord.tones:
        return None
    keys = {tone.pitch_class: tone for tone in (*chord.tones, chord.bass)}
    return next((name for name in whole_names(keys, chord.bass) if name.root == chord.bass), None)
