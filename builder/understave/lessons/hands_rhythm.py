"""The rhythms of a score: what is heard of both hands as one rhythm, and each hand's own."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from understave.lessons.score_files import ScoreError
from understave.lessons.scores import Score, ScoreMeasure, ScoreNote
from understave.theory.note_values import Frame
from understave.theory.rhythms import Rhythm
from understave.theory.together import Sounding, Together, heard, together


def rhythm_of(score: Score, hand: str = "both", measures: tuple[int, int] | None = None) -> Rhythm:
    """Return what is heard of one hand (``left`` or ``right``) or of ``both``, in linear time.

    ``measures`` are the numbers of the first and the last one; without them the whole score is taken. Raises
    ScoreError where the score has no such measures.
    """
    frames = _frames_within(score, measures)
    return heard(frames, (_sounding(note) for note in score.notes if hand in ("both", note.hand)))


def hands_of(score: Score, measures: tuple[int, int] | None = None) -> Together:
    """Return both hands' rhythms and what is heard of them together. Raises ScoreError as ``rhythm_of`` does."""
    return together(rhythm_of(score, "left", measures), rhythm_of(score, "right", measures))


def _sounding(note: ScoreNote) -> Sounding:
    return Sounding(note.at, note.at + note.length, note.held)


def _frames_within(score: Score, measures: tuple[int, int] | None) -> list[Frame]:
    frames = list(_frames(score.measures))
    if measures is None:
        return frames
    first, last = measures
    chosen = [frame for frame in frames if first <= frame.number <= last]
    if not chosen:
        raise ScoreError(f"it has no measures {first} to {last}")
    return chosen


def _frames(measures: Sequence[ScoreMeasure]) -> Iterator[Frame]:
    """Yield each measure that has time in it, up to where the next one begins."""
    ends = [later.at for _, later in pairwise(measures)] + [measures[-1].at + measures[-1].length]
    for measure, end in zip(measures, ends, strict=True):
        if measure.at < end:
            yield Frame(measure.number, measure.at, end - measure.at, measure.meter, measure.missing)
