"""Count every keyboard score of music21's corpus, and hold each onset's beat against music21's.

    PYTHONPATH=builder python tests/benchmarks/corpus_counts.py [PART_OF_A_PATH]

What a keyboard score is, corpus_scores.py says. Each hand and both hands together are counted in every system by
position and by value; every start of a note is then looked up at its place. A beat may differ where
- music21 counts the meter otherwise (3/8 and the like in one, five and seven small notes one by one), or
- music21 gives a measure that isn't full no padding at its front, and ours is counted as the end of its meter,
- a measure is longer than its meter: ours counts on, music21 begins anew, or
- music21 puts the measure elsewhere, as it does after one that is too full in another instrument.
Such places are told apart from disagreements, of which there should be none; nothing may fail.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

from corpus_scores import keyboard_scores
from music21 import converter

from understave.entries.kept import load_glossary
from understave.entries.values import CountingSystem
from understave.lessons.hands_rhythm import hands_of, rhythm_of
from understave.lessons.scores import Score, ScoreMeasure, load_score
from understave.theory.counting import count

SYSTEMS = {
    name: entry.system
    for name, entry in load_glossary(Path(__file__).parents[2] / "content").of(CountingSystem).items()
}


def quarters(length: Any) -> Fraction:
    """Return music21's length in quarters as an exact fraction of a whole note."""
    return Fraction(length).limit_denominator(10080) / 4


def onsets(path: Path) -> Iterator[tuple[Fraction, Any, Any]]:
    """Yield where each note starts, music21's measure, and the note; ties, graces and chord symbols left out."""
    for measure in converter.parse(path, format="musicxml", forceSource=True).recurse().getElementsByClass("Measure"):
        for note in measure.recurse().notes:
            if note.duration.isGrace or "Harmony" in note.classes or "NoChord" in note.classes:
                continue
            if note.tie is None or note.tie.type == "start":
                yield quarters(measure.offset) + quarters(note.getOffsetInHierarchy(measure)), measure, note


def verdict(ours: tuple[int, Fraction], measure: ScoreMeasure, theirs: Any, note: Any) -> str:
    """Return ``agrees``, ``disagrees``, or why the two can't be held against each other."""
    beats = measure.meter.beats()
    if quarters(theirs.offset) != measure.at:
        return "measure elsewhere"
    if measure.length > measure.meter.length:
        return "longer than its meter"
    if tuple(quarters(beat.duration.quarterLength) for beat in theirs.getTimeSignatures()[0].beatSequence) != beats:
        return "other meter"
    if quarters(theirs.paddingLeft) != measure.missing:
        return "other padding"
    beat = Fraction(note.beat).limit_denominator(10080)
    return "agrees" if ours == (int(beat), beat % 1 * beats[int(beat) - 1]) else "disagrees"


def counted_places(score: Score) -> dict[Fraction, tuple[int, Fraction]]:
    """Count a score's hands in every system; return the beats of what is heard of both."""
    hands_of(score)
    for hand in ("left", "right", "both"):
        rhythm = rhythm_of(score, hand)
        for system in SYSTEMS.values():
            count(rhythm, system)
    counts = count(rhythm_of(score), SYSTEMS["e-and-a"]).counts
    return {one.at: (one.beat, one.in_beat) for one in counts}


def main() -> None:
    """Print a line for each score that has anything but agreement, and the sums."""
    wanted = sys.argv[1] if len(sys.argv) > 1 else ""
    sums: Counter[str] = Counter()
    failed, took, scores = 0, 0.0, 0
    for path in keyboard_scores():
        if wanted not in path.as_posix():
            continue
        scores += 1
        name = "/".join(path.parts[-3:])
        try:
            score = load_score(path, None)
            started = time.process_time()
            places = counted_places(score)
            took += time.process_time() - started
            own: Counter[str] = Counter()
            starts = {note.at for note in score.notes if not note.held}
            for at, measure, note in onsets(path):
                if at not in starts:
                    continue  # another instrument's: only a keyboard's notes are read where there is one
                own[verdict(places.get(at, (0, Fraction(0))), score.measure_at(at), measure, note)] += 1
        except Exception as error:
            failed += 1
            print(f"{name}: failed: {type(error).__name__}: {error}")
            continue
        sums += own
        if set(own) - {"agrees"}:
            print(f"{name}: {dict(own)}", flush=True)
    print(f"{scores} scores, {failed} failed, counted in {took:.1f} s of processor time: {dict(sums)}")


if __name__ == "__main__":
    main()
