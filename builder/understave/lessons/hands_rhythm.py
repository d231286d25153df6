"""The rhythms of a score: what is heard of both hands as one rhythm, and each hand's own."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from understave.lessons.score_files import ScoreError
from understave.lessons.scores import Score, ScoreMeasure, ScoreNote
from understave.theory.note_values import Frame
from understave.theory.rhythms import Rhythm
from understave.theory.together import Sounding, Together, heard, together


def rhythm_of(score: Score, hand: str = "both", measures: tuple[int, int] | None = None) -> Rhythm:
    """Return what is heard of one hand (``left`` or ``right``) or of ``both``, in linear time.

    ``measures`` are the numbers of the first and the last one, and what is outside of them costs no time; without them
    the whole score is taken. Raises ScoreError where the score has no such measures.
    """
    frames = _frames_within(score, measures)
    notes = score.sounding(frames[0].at, frames[-1].end)
    return heard(frames, (_sounding(note) for note in notes if hand in ("both", note.hand)))


def hands_of(score: Score, measures: tuple[int, int] | None = None) -> Together:
    """Return both hands' rhythms and what is heard of them together. Raises ScoreError as ``rhythm_of`` does."""
    return together(rhythm_of(score, "left", measures), rhythm_of(score, "right", measures))


def _sounding(note: ScoreNote) -> Sounding:
    return Sounding(note.at, note.at + note.length, note.held)


def _frames_within(score: Score, measures: tuple[int, int] | None) -> list[Frame]:
    if measures is None:
        return list(_frames(score.measures, range(len(score.measures))))
    first, last = measures
    numbers = range(first, last + 1) if last - first < len(score.by_number) else score.by_number
    chosen = sorted(place for number in numbers if first <= number <= last for place in score.by_number.get(number, ()))
    frames = list(_frames(score.measures, chosen))
    if not frames:
        raise ScoreError(f"it has no measures {first} to {last}")
    return frames


def _frames(measures: Sequence[ScoreMeasure], chosen: Iterable[int]) -> Iterator[Frame]:
    """Yield each chosen measure that has time in it, up to where the next one begins."""
    for place in chosen:
        measure = measures[place]
        end = measures[place + 1].at if place + 1 < len(measures) else measure.at + measure.length
        if measure.at < end:
            yield Frame(measure.number, measure.at, end - measure.at, measure.meter, measure.missing)
