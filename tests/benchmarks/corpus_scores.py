"""Read, name and explain every keyboard score of music21's corpus, and say how many go through and which take long.

    PYTHONPATH=builder python tests/benchmarks/corpus_scores.py [--symbols]

A keyboard score is a MusicXML file of the corpus of which
- a part has two or more staves, or
- a part or an instrument is called by a keyboard's name in English, German, French or Italian, or
- there are two parts and the lower one begins in the bass clef.
Each is read, cut at its own symbols and at every beat, named, and explained as a lesson made up around it: without a
video, so that nothing is heard. With --symbols this is left out. Lead sheets and other scores with <harmony> are
measured as well: the share of printed symbols that read as the keys that music21 sounds them with, and of those whose
root, and root and third, are what is named from the notes. At the end a score of 32 measures is explained beside
music21's parse.
"""

from __future__ import annotations

import datetime
import re
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import music21

from understave.answers.configuration import find_project
from understave.answers.explaining import Wanted, explained_text, explained_value
from understave.answers.project import Loaded, load_project
from understave.answers.score_naming import score_namings
from understave.entries.glossary import Glossary
from understave.lessons.lesson import Lesson, Met, chord_of
from understave.lessons.schema import LessonFile, Section
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


def made_up_lesson(score: Score, glossary: Glossary) -> Lesson:
    """Return a lesson around a score, with one section and nothing heard; symbols of unknown kinds are left out."""
    file = LessonFile.model_construct(
        title="A score",
        level="advanced",
        date=datetime.date(2026, 1, 1),
        tune="A score",
        key="C major",
        score="score.musicxml",
        rights="traditional",
        video="https://video.example/score?t={seconds}",
        sections=(Section.model_construct(name="All", at=0),),
    )
    symbols = []
    for symbol in score.symbols:
        try:
            chord = chord_of(symbol, glossary)
        except LookupError:
            continue
        symbols.append(Met(chord, symbol.measure, *score.beat_at(symbol.at), symbol.at, None))
    return Lesson("score", file, score, tuple(symbols))


def go_through(path: Path, loaded: Loaded, cache: Path | None = None) -> Score:
    """Read, name and explain a score; returns it. Raises whatever goes wrong."""
    score = load_score(path, cache)
    for every in ("symbol", "beat"):
        score_namings(score, every)  # type: ignore[arg-type]
    lesson = made_up_lesson(score, loaded.glossary)
    value = explained_value(lesson, Wanted(), loaded)
    assert len(value["symbols"]) == len(lesson.symbols)
    assert explained_text(lesson, Wanted(), loaded)
    return score


def readings(path: Path, score: Score, glossary: Glossary) -> Counter[str]:
    """Count a score's printed symbols, and those that read as the keys that music21's ChordSymbol.pitches has."""
    whole = music21.converter.parse(path)
    placed = {
        (one.getOffsetInHierarchy(whole), one.figure): one  # what several parts repeat is one symbol
        for one in whole.recurse().getElementsByClass(music21.harmony.ChordSymbol)
        if not isinstance(one, music21.harmony.NoChord)
    }
    theirs = [placed[key] for key in sorted(placed, key=lambda key: key[0])]
    ours = [symbol for symbol in score.symbols if symbol.root is not None]
    counts: Counter[str] = Counter(symbols=len(theirs), read=0)
    for symbol, other in zip(ours, theirs, strict=True):
        try:
            chord = chord_of(symbol, glossary)
        except LookupError:
            continue
        keys = {pitch.pitchClass for pitch in other.pitches}
        counts["read"] += chord is not None and {tone.pitch_class for tone in (*chord.tones, chord.bass)} == keys
    return counts


def twice_over(music: str) -> str:
    """Return a score of one part with its measures a second time, numbered on."""
    measures = re.findall(r"<measure .*?</measure>", music, re.DOTALL)
    again = [
        re.sub(r'number="(\d+)"', lambda match: f'number="{int(match[1]) + len(measures)}"', one, count=1)
        for one in measures
    ]
    return music.replace("</part>", "".join(again) + "</part>")


def explain_beside_parsing(loaded: Loaded) -> str:
    """Return how long it takes to read and explain 32 measures for two hands, and to parse them with music21."""
    source = Path("site_examples/lanternfield/scores/paper-lanterns-at-low-tide.musicxml")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "score.musicxml"
        path.write_text(twice_over(source.read_text("utf-8")), encoding="utf-8")
        times = []
        for _ in range(5):
            started = time.perf_counter()
            score = load_score(path, None)
            read = time.perf_counter()
            explained_text(made_up_lesson(score, loaded.glossary), Wanted(), loaded)
            explained = time.perf_counter()
            music21.converter.parse(path, forceSource=True)
            times.append((read - started, explained - read, time.perf_counter() - explained))
    assert len(score.measures) == 32
    reading, explaining, parsing = map(min, zip(*times, strict=True))
    return (
        f"32 measures: read in a worker {reading:.2f} s, explained {explaining:.2f} s; music21's parse {parsing:.2f} s"
    )


def main() -> None:
    """Print the tables."""
    loaded = load_project(find_project(Path("mkdocs.yml")))
    found = [] if "--symbols" in sys.argv else list(keyboard_scores())
    failed, slow, symbols = [], [], 0
    for path in found:
        started = time.perf_counter()
        try:
            symbols += len(go_through(path, loaded).symbols)
        except Exception as error:
            failed.append(f"{path.parent.name}/{path.name}: {type(error).__name__}: {error}")
        seconds = time.perf_counter() - started
        if seconds > LONG:
            slow.append(f"{path.parent.name}/{path.name}: {seconds:.1f} s")
    if found:
        print(
            f"keyboard scores: {len(found)}; read, named and explained: {len(found) - len(failed)}; {symbols} symbols"
        )
        print("\n".join(["", f"failed: {len(failed)}", *failed, f"longer than {LONG} s: {len(slow)}", *slow, ""]))
    whole: Counter[str] = Counter()
    for path in scores():
        if b"<harmony" in musicxml_of(path):
            score = load_score(path, None)
            counts = readings(path, score, loaded.glossary) + agreement(score, loaded.glossary)
            whole += counts
            print(f"{path.parent.name}/{path.name}: {dict(counts)}")
    print(f"all: {dict(whole)}; read as music21 sounds them: {whole['read'] / whole['symbols']:.3f}")
    print(explain_beside_parsing(loaded))


if __name__ == "__main__":
    main()
