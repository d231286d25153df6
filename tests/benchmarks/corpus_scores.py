"""Read and name every keyboard score of music21's corpus, and say how many are read, which fail and which take long.

    PYTHONPATH=builder python tests/benchmarks/corpus_scores.py [--beats]

A keyboard score is a MusicXML file of the corpus of which
- a part has two or more staves, or
- a part or an instrument is called by a keyboard's name in English, German, French or Italian, or
- there are two parts and the lower one begins in the bass clef.
Each is read, cut at its own symbols (with --beats at every beat too) and named. Lead sheets and other scores with
<harmony> are measured as well: the share of printed symbols whose root is the named one, and whose root and third are.
"""

from __future__ import annotations

import re
import sys
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import music21

from understave.answers.score_naming import score_namings
from understave.entries.glossary import Glossary
from understave.entries.kept import load_glossary
from understave.lessons.lesson import chord_of
from understave.lessons.score_files import musicxml_of
from understave.lessons.scores import Score, load_score
from understave.theory.chords import Chord

ENDINGS = (".mxl", ".xml", ".musicxml")
KEYBOARDS = re.compile(
    rb"<(?:part|instrument)-name[^>]*>[^<]*"
    rb"(?:piano|klavier|clavier|keyboard|harpsichord|cembalo|clavecin|organ|orgel|orgue|celesta)",
    re.IGNORECASE,
)
STAVES = re.compile(rb"<staves>\s*[2-9]")
FIRST_CLEF = re.compile(rb"<part .*?<clef.*?<sign>\s*([A-Za-z])", re.DOTALL)
LONG = 2.0
"""Seconds from which a score takes long."""


def is_keyboard(music: bytes) -> bool:
    """Return whether a score is one for a keyboard, by the rule above."""
    if STAVES.search(music) or KEYBOARDS.search(music):
        return True
    clefs = [match[1] for part in music.split(b"</part>") if (match := FIRST_CLEF.search(part))]
    return len(clefs) == 2 and clefs[1] == b"F"


def keyboard_scores() -> Iterator[Path]:
    """Yield the corpus's keyboard scores."""
    for path in scores():
        if is_keyboard(musicxml_of(path)):
            yield path


def scores() -> Iterator[Path]:
    """Yield the corpus's MusicXML files."""
    for path in sorted(map(Path, music21.corpus.getPaths())):
        if path.suffix in ENDINGS:
            yield path


def third(chord: Chord) -> int:
    """Return a chord's third in semitones, 0 where it has none."""
    return next((degree.semitones for degree in chord.degrees if degree.number == 3), 0)


def agreement(score: Score, glossary: Glossary) -> Counter[str]:
    """Count a score's printed chords, those whose root is named, and those whose root and third are."""
    counts: Counter[str] = Counter()
    printed = {symbol.at: symbol for symbol in score.symbols}
    for stretch, namings, _ in score_namings(score, "symbol"):
        try:
            chord = chord_of(printed[stretch.at], glossary)
        except LookupError:
            counts["unknown kinds"] += 1
            continue
        if chord is None or not namings:
            continue
        named = namings[0].chord
        has_root = named.root.pitch_class == chord.root.pitch_class
        counts += Counter(
            {"chords": 1, "root": int(has_root), "root and third": int(has_root and third(named) == third(chord))}
        )
    return counts


def main() -> None:
    """Print the tables."""
    found = list(keyboard_scores())
    failed, slow = [], []
    for path in found:
        started = time.perf_counter()
        try:
            score = load_score(path, None)
            for every in ("symbol", "beat") if "--beats" in sys.argv else ("symbol",):
                score_namings(score, every)  # type: ignore[arg-type]
        except Exception as error:
            failed.append(f"{path.parent.name}/{path.name}: {type(error).__name__}: {error}")
        seconds = time.perf_counter() - started
        if seconds > LONG:
            slow.append(f"{path.parent.name}/{path.name}: {seconds:.1f} s")
    print(f"keyboard scores: {len(found)}; read and named: {len(found) - len(failed)}; failed: {len(failed)}")
    print("\n".join(["", *failed, f"longer than {LONG} s: {len(slow)}", *slow, ""]))
    glossary = load_glossary(Path("content"))
    for path in scores():
        if b"<harmony" in musicxml_of(path):
            counts = agreement(load_score(path, None), glossary)
            if counts["chords"]:
                print(f"{path.parent.name}/{path.name}: {dict(counts)}")


if __name__ == "__main__":
    main()
