"""What a score asks of a player: spans, notes at once, the shortest note, accidentals, hands together."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from understave.lessons.scores import Score, ScoreNote
from understave.theory.tones import Pitch

HANDS = ("left", "right")


@dataclass(frozen=True)
class Grip:
    """What one hand holds down at one moment: where (measure and place in whole notes), low to high."""

    measure: int
    at: Fraction
    pitches: tuple[Pitch, ...]

    @property
    def span(self) -> int:
        """The distance from the lowest to the highest key, in semitones."""
        return self.pitches[-1].key - self.pitches[0].key


@dataclass(frozen=True)
class Demands:
    """What a score asks for. ``widest`` and ``fullest`` hold a hand's largest grips; a hand that rests has none.

    ``shortest`` is the shortest note's length in whole notes, ``triplets`` whether some length is a third of a plain
    one, ``together`` whether both hands ever sound at once, ``notes`` how many are struck, ``signs`` the most sharps
    or flats of a key signature.
    """

    widest: dict[str, Grip]
    fullest: dict[str, Grip]
    shortest: Fraction
    triplets: bool
    together: bool
    notes: int
    signs: int


def demands_of(score: Score) -> Demands:
    """Return what a score asks for. The score must hold a note."""
    grips = {hand: list(grips_of(score, hand)) for hand in HANDS}
    struck = [note for note in score.notes if not note.held]
    lengths = [note.length for note in struck]
    return Demands(
        widest={hand: max(found, key=lambda grip: grip.span) for hand, found in grips.items() if found},
        fullest={hand: max(found, key=lambda grip: len(grip.pitches)) for hand, found in grips.items() if found},
        shortest=min(lengths),
        triplets=any(length.denominator % 3 == 0 for length in lengths),
        together=_overlap(score.notes),
        notes=len(struck),
        signs=max(abs(measure.fifths) for measure in score.measures),
    )


def grips_of(score: Score, hand: str) -> Iterator[Grip]:
    """Yield what a hand holds down each time it strikes, in order."""
    notes = sorted((note for note in score.notes if note.hand == hand), key=lambda note: note.at)
    sounding: list[ScoreNote] = []
    by_start: dict[Fraction, list[ScoreNote]] = defaultdict(list)
    for note in notes:
        by_start[note.at].append(note)
    for at, started in by_start.items():
        sounding = [note for note in sounding if note.at + note.length > at] + started
        pitches = sorted({note.pitch for note in sounding}, key=lambda pitch: (pitch.key, pitch.line))
        yield Grip(score.measure_at(at).number, at, tuple(pitches))


def _overlap(notes: Sequence[ScoreNote]) -> bool:
    """Tell whether both hands ever sound at once."""
    ends: dict[str, Fraction] = {}
    for note in sorted(notes, key=lambda note: note.at):
        if any(end > note.at for hand, end in ends.items() if hand != note.hand):
            return True
        ends[note.hand] = max(ends.get(note.hand, Fraction(0)), note.at + note.length)
    return False
