"""Measure how often spans are named as analysts name them, beside other ways of naming, in one run.

    PYTHONPATH=builder python tests/benchmarks/naming_accuracy.py [SPANS.jsonl.gz]

Source of the truth: music21's own corpus, Riemenschneider chorales 1 to 20 with their Roman-numeral analyses
(bach/choraleAnalyses) and scores; the weights were not fitted on them. With a file of analysed spans (JSON lines, the
input of `name --spans` with `analyst` beside it) that file is measured instead; the committed weights are fitted on the
one that builder/making/fit_naming.py names, so that its figures there say nothing: its own folds do.

A root is right if it is the analyst's key on the keyboard; the third is right if it is major, minor or absent as the
analyst's chord has it.
"""

from __future__ import annotations

import gzip
import json
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

import music21
from music21.corpus.chorales import ChoraleListRKBWV
from pychord import find_chords_from_notes

from understave.theory.spans import SpanNote, guess_span, guess_spans
from understave.theory.tones import parse_pitch, parse_tone

TRANSPOSED = {14: 7, 17: 2}
"""Chorales whose score in music21's corpus is so many semitones above the analysis: BWV 184.5 in D beside an analysis
in G, BWV 145.5 in F# minor beside one in E minor. Measured apart, the analysis moved to the score's key."""

LEFT_OUT = {11: "BWV 41.6, with interludes of trumpets and drums that the analysis doesn't count"}
"""Chorales whose analysis drifts from the only score that the corpus has."""

Named = tuple[int, int] | None
"""A root's pitch class and the third above it in semitones (0 for none)."""


@dataclass(frozen=True)
class Analysed:
    """A span with the analyst's root and third."""

    notes: list[SpanNote]
    root: int
    third: int


def third_in(above: set[int]) -> int:
    """Return 4 or 3 where semitones above a root hold a third, or 0."""
    return 4 if 4 in above else 3 if 3 in above else 0


def chorales() -> Iterator[tuple[int, list[Analysed]]]:
    """Read each chorale's number and spans: the notes that sound under each numeral."""
    numbers: dict[int, Any] = ChoraleListRKBWV().byRiemenschneider  # type: ignore[no-untyped-call]
    folder = Path(music21.__file__).parent / "corpus" / "bach" / "choraleAnalyses"
    for number in range(1, 21):
        analysis = music21.converter.parse(folder / f"riemenschneider{number:03d}.rntxt", format="romantext")
        score = music21.corpus.parse(f"bach/bwv{numbers[number]['bwv']}").stripTies()
        numerals = sorted(
            ((Fraction(roman.getOffsetInHierarchy(analysis)), roman) for roman in analysis[music21.roman.RomanNumeral]),
            key=lambda pair: pair[0],
        )
        ends = [start for start, _ in numerals[1:]] + [numerals[-1][0] + Fraction(numerals[-1][1].quarterLength)]
        notes = score_notes(score)
        spans = [
            analysed(roman, clipped(notes, start, end), TRANSPOSED.get(number, 0))
            for (start, roman), end in zip(numerals, ends, strict=True)
            if end > start
        ]
        yield number, [span for span in spans if span.notes]


def score_notes(score: Any) -> list[SpanNote]:
    """Return a score's notes, in quarter notes from its start."""
    return [
        SpanNote(
            parse_pitch(pitch.nameWithOctave.replace("-", "b")),
            Fraction(note.getOffsetInHierarchy(score)),
            Fraction(note.quarterLength),
            place,
        )
        for place, part in enumerate(score.parts)
        for note in part.flatten().notes
        for pitch in note.pitches
    ]


def clipped(notes: Sequence[SpanNote], start: Fraction, end: Fraction) -> list[SpanNote]:
    """Return what sounds between two times, in whole notes from the first."""
    found = []
    for note in notes:
        low, high = max(note.onset, start), min(note.onset + note.duration, end)
        if low < high:
            found.append(SpanNote(note.pitch, (low - start) / 4, (high - low) / 4, note.part))
    return found


def analysed(roman: Any, notes: list[SpanNote], higher: int) -> Analysed:
    """Join a span's notes with music21's numeral, moved ``higher`` by semitones."""
    root = roman.root().pitchClass
    above = {(pitch.pitchClass - root) % 12 for pitch in roman.pitches}
    return Analysed(notes, (root + higher) % 12, third_in(above))


def spans_in(path: Path) -> Iterator[tuple[str, list[Analysed]]]:
    """Read a file of analysed spans, piece by piece."""
    pieces: dict[str, list[Analysed]] = {}
    with gzip.open(path, "rt") if path.suffix == ".gz" else path.open() as lines:
        for line in lines:
            span = json.loads(line)
            notes = [
                SpanNote(parse_pitch(n["pitch"]), Fraction(n["onset"]), Fraction(n["duration"]), n["part"])
                for n in span["notes"]
            ]
            root = span["analyst"]["root"]
            above = {(pitch_class - root) % 12 for pitch_class in span["analyst"]["pitch_classes"]}
            pieces.setdefault(span["id"].rpartition("#")[0], []).append(Analysed(notes, root, third_in(above)))
    yield from pieces.items()


def ours(piece: Sequence[Analysed]) -> list[Named]:
    """Name the spans of a piece together."""
    return [of_guess(guesses[0]) for guesses in guess_spans([span.notes for span in piece])]


def ours_alone(piece: Sequence[Analysed]) -> list[Named]:
    """Name each span as if it were all there is."""
    return [of_guess(guess_span(span.notes)[0]) for span in piece]


def of_guess(guess: Any) -> Named:
    """Return what is compared of a guess."""
    return guess.root.pitch_class, third_in({degree.semitones for degree in guess.degrees})


def music21_chord(span: Analysed) -> music21.chord.Chord:
    """Return all of a span's notes, as they are spelled, as one of music21's chords."""
    pitches = sorted({note.pitch for note in span.notes}, key=lambda pitch: (pitch.key, pitch.line))
    return music21.chord.Chord([str(pitch).replace("b", "-") for pitch in pitches])


def by_music21_root(span: Analysed) -> Named:
    """Ask music21's Chord.root()."""
    chord = music21_chord(span)
    root = chord.root().pitchClass
    return root, third_in({(pitch.pitchClass - root) % 12 for pitch in chord.pitches})


def by_music21_figure(span: Analysed) -> Named:
    """Ask music21's chordSymbolFigureFromChord, and read what it says."""
    figure = music21.harmony.chordSymbolFigureFromChord(music21_chord(span))
    try:
        symbol = music21.harmony.ChordSymbol(figure)
        root = symbol.root().pitchClass
    except Exception:  # "Chord Symbol Cannot Be Identified", or one that music21 can't read back
        return None
    return root, third_in({(pitch.pitchClass - root) % 12 for pitch in symbol.pitches})


def by_pychord(span: Analysed) -> Named:
    """Ask pychord's find_chords_from_notes, lowest note first; its first answer counts."""
    names: list[str] = []
    for note in sorted(span.notes, key=lambda note: note.pitch.key):
        if str(note.pitch.tone) not in names:
            names.append(str(note.pitch.tone))
    try:
        found = find_chords_from_notes(names)
    except Exception:
        return None
    if not found:
        return None
    root = parse_tone(found[0].root).pitch_class
    tones = {parse_tone(tone).pitch_class for tone in found[0].components(visible=True)}
    return root, third_in({(tone - root) % 12 for tone in tones})


TEMPLATES = ((0, 4, 7), (0, 3, 7), (0, 3, 6), (0, 4, 8), (0, 4, 7, 10), (0, 4, 7, 11), (0, 3, 7, 10), (0, 3, 6, 10),
             (0, 3, 6, 9))  # fmt: skip


def by_templates(span: Analysed) -> Named:
    """Take the template that holds most of the sounding time and misses least; its root in the bass counts extra."""
    weights = [0.0] * 12
    for note in span.notes:
        weights[note.pitch.key % 12] += float(note.duration)
    total = sum(weights)
    bass = min(note.pitch.key for note in span.notes) % 12

    def fit(root: int, template: tuple[int, ...]) -> float:
        held = sum(weights[(root + step) % 12] for step in template) / total
        missing = sum(not weights[(root + step) % 12] for step in template)
        return held - 0.12 * missing - 0.03 * len(template) + (0.1 if bass == root else 0)

    root, template = max(((r, t) for r in range(12) for t in TEMPLATES), key=lambda pair: fit(*pair))
    return root, third_in(set(template))


def each(name: Callable[[Analysed], Named]) -> Callable[[Sequence[Analysed]], list[Named]]:
    """Name a piece span by span."""
    return lambda piece: [name(span) for span in piece]


METHODS: dict[str, Callable[[Sequence[Analysed]], list[Named]]] = {
    "Understave, the piece together": ours,
    "Understave, each span alone": ours_alone,
    "music21 Chord.root()": each(by_music21_root),
    "music21 chordSymbolFigureFromChord": each(by_music21_figure),
    "pychord find_chords_from_notes": each(by_pychord),
    "duration-weighted templates, bass bonus": each(by_templates),
}


def row(name: str, pieces: Sequence[Sequence[Analysed]]) -> str:
    """Measure one method: shares of root, of root and third, milliseconds a span."""
    started = time.process_time()
    answers = [answer for piece in pieces for answer in METHODS[name](piece)]
    spent = time.process_time() - started
    truths = [span for piece in pieces for span in piece]
    root = sum(answer is not None and answer[0] == truth.root for answer, truth in zip(answers, truths, strict=True))
    third = sum(answer == (truth.root, truth.third) for answer, truth in zip(answers, truths, strict=True))
    count = len(truths)
    return f"{name:40} {root / count:.4f}  {third / count:.4f}  {1000 * spent / count:8.2f}"


def table(says: str, pieces: Sequence[Sequence[Analysed]]) -> None:
    """Print all methods' shares on some pieces."""
    print(f"\n{says}: {len(pieces)} pieces, {sum(map(len, pieces))} spans")
    print(f"{'':40} {'root':7} {'+third':6}  {'ms a span':>8}")
    for name in METHODS:
        print(row(name, pieces), flush=True)


def main() -> None:
    """Print the tables."""
    if len(sys.argv) > 1:
        table(sys.argv[1], [spans for _, spans in spans_in(Path(sys.argv[1]))])
        return
    found = dict(chorales())
    for number, why in LEFT_OUT.items():
        print(f"left out: chorale {number}, {why}")
    straight = [spans for number, spans in found.items() if number not in LEFT_OUT | TRANSPOSED]
    table("music21's analysed Riemenschneider chorales, in the analysis's key", straight)
    table("those in another key than their analysis", [found[number] for number in TRANSPOSED])


if __name__ == "__main__":
    main()
