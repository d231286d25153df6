"""Two rhythms at once: what is heard as one rhythm, and which hand each of its notes falls to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from understave.theory.note_values import Frame, Stretch, written
from understave.theory.rhythms import Rhythm, RhythmError


@dataclass(frozen=True)
class Sounding:
    """A note that sounds from ``at`` up to ``end``, in whole notes; ``held`` if it is tied to the note before."""

    at: Fraction
    end: Fraction
    held: bool = False


@dataclass(frozen=True)
class Together:
    """Two hands heard as one ``rhythm``; ``hands`` has ``both``, ``left`` or ``right`` for each note that starts."""

    left: Rhythm
    right: Rhythm
    rhythm: Rhythm
    hands: tuple[str, ...]


def together(left: Rhythm, right: Rhythm) -> Together:
    """Return two rhythms over the same measures as one.

    Raises RhythmError ``hands-differ`` with the number of the first measure in which they don't share place, meter or
    length.
    """
    frames, others = _frames(left), _frames(right)
    if frames != others:
        pairs = zip([*frames, None], [*others, None], strict=False)
        differing = next(one or other for one, other in pairs if one != other)
        raise RhythmError("hands-differ", differing.number if differing else 0)
    one = heard(frames, [*_soundings(left), *_soundings(right)])
    lefts, rights = ({event.at for event in hand.events if event.starts} for hand in (left, right))
    starts = [event.at for event in one.events if event.starts]
    hands = ("both" if at in lefts and at in rights else "left" if at in lefts else "right" for at in starts)
    return Together(left, right, one, tuple(hands))


def heard(frames: Sequence[Frame], notes: Iterable[Sounding]) -> Rhythm:
    """Return the one rhythm that is heard of any notes within the frames: each start cuts off what sounds before it."""
    start, end = frames[0].at, frames[-1].end
    starting: dict[Fraction, bool] = {}
    ends: dict[Fraction, Fraction] = {}
    for note in notes:
        at, until = max(note.at, start), min(note.end, end)
        if at < until:
            starting[at] = starting.get(at, False) or not (note.held or note.at < start)
            ends[at] = max(ends.get(at, until), until)
    stretches: list[Stretch] = []
    current = Stretch(start, start)
    for at in sorted(starting):
        if starting[at] or not current.at <= at <= current.end or at == start:
            stretches += _up_to(current, at)
            current = Stretch(at, max(ends[at], current.end), held=at == start and not starting[at])
        else:
            current = replace(current, end=max(ends[at], current.end))
    return written(frames, [*stretches, *_up_to(current, end)])


def _up_to(note: Stretch, end: Fraction) -> Iterator[Stretch]:
    """Yield a note up to where it or the stretch ends, and the rest after it."""
    silent = min(note.end, end)
    if note.at < silent:
        yield replace(note, end=silent)
    if silent < end:
        yield Stretch(silent, end, rests=True)


def _frames(rhythm: Rhythm) -> list[Frame]:
    return [
        Frame(measure.number, measure.at, measure.end - measure.at, measure.meter, measure.missing)
        for measure in rhythm.measures
    ]


def _soundings(rhythm: Rhythm) -> list[Sounding]:
    """Return the notes of a rhythm, each with all that its ties add."""
    notes: list[Sounding] = []
    for event in rhythm.events:
        end = event.at + event.length
        if event.held and notes:
            notes[-1] = Sounding(notes[-1].at, end, notes[-1].held)
        elif not event.rests:
            notes.append(Sounding(event.at, end, event.held))
    return notes
