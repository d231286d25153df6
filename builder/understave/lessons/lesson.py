"""A lesson: its file and its score joined, each symbol with its chord, its measure and the second it is heard."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from types import MappingProxyType

from understave.entries.faults import Fault, Faulty, nearest, shown
from understave.entries.folders import id_faults, shown_path
from understave.entries.glossary import Glossary
from understave.entries.shaping import build
from understave.entries.values import ChordSymbol
from understave.entries.yaml_files import Document, Place, Scalar, read_yaml
from understave.lessons.levels import LEVELS_FILE, LevelRules, broken_rules, read_levels
from understave.lessons.schema import LessonFile
from understave.lessons.score_files import ScoreError
from understave.lessons.scores import Score, ScoreSymbol, load_score
from understave.lessons.video import heard_at
from understave.theory.chords import Chord, in_order
from understave.theory.symbols import SymbolError, read_symbol
from understave.theory.tones import DEGREES, Degree, parse_degree

NO_RULES: Mapping[str, LevelRules] = MappingProxyType({})


@dataclass(frozen=True)
class Met:
    """A symbol as a lesson meets it. ``at`` is in whole notes, ``seconds`` in the video (None: not heard)."""

    chord: Chord | None
    measure: int
    beat: int
    in_beat: Fraction
    at: Fraction
    seconds: int | None


@dataclass(frozen=True)
class Lesson:
    """A lesson, ready to be explained."""

    id: str
    file: LessonFile
    score: Score
    symbols: tuple[Met, ...]

    def link(self, seconds: int) -> str:
        """Return the video's address at a second."""
        return self.file.video.replace("{seconds}", str(seconds))


def load_lessons(
    folder: Path | None, glossary: Glossary | None, cache: Path | None, entries: Collection[str] | None = None
) -> tuple[dict[str, Lesson], list[Fault]]:
    """Read every lesson of a folder, by id in the order of their dates. Returns the lessons and all faults.

    Without a glossary the files are checked by themselves and against the ids of ``entries``, if any are given, and no
    lessons come back.
    """
    if folder is None:
        return {}, []
    if not folder.is_dir():
        return {}, [Fault(shown_path(folder), 1, 1, "no such folder", "the folder of lessons that mkdocs.yml names")]
    lessons: list[Lesson] = []
    levels, faults = read_levels(folder.parent / LEVELS_FILE)
    for path in sorted(folder.iterdir()):
        if path.name.startswith("."):
            continue
        try:
            lesson = load_lesson(path, glossary, cache, levels, entries, folder.parent)
        except Faulty as faulty:
            faults += faulty.faults
        else:
            lessons += [lesson] if lesson else []
    lessons.sort(key=lambda lesson: (lesson.file.date, lesson.id))
    return {lesson.id: lesson for lesson in lessons}, faults


def load_lesson(
    path: Path,
    glossary: Glossary | None,
    cache: Path | None,
    levels: Mapping[str, LevelRules] = NO_RULES,
    entries: Collection[str] | None = None,
    tree: Path | None = None,
) -> Lesson | None:
    """Read one lesson and its score, held against the rules of its level; None without a glossary.

    A lesson of the site's own may name no score outside of its ``tree``. Raises Faulty.
    """
    if path.suffix != ".yaml":
        raise Faulty([Fault(shown_path(path), 1, 1, f"the file {path.name!r}", "a lesson that ends in .yaml")])
    if faults := [*id_faults(path), *_taken(path, glossary)]:
        raise Faulty(faults)
    document = read_yaml(path, shown_path(path))
    file = build(LessonFile, document)
    known = glossary.entries if glossary else entries
    faults = [*document.faults, *(() if known is None else _teaching_faults(document, known))]
    score, score_faults = _read_score(path, document, cache, tree)
    if file is None or score is None:
        raise Faulty([*faults, *score_faults])
    faults += [*_range_faults(file, score, document), *_level_faults(file, score, levels, document)]
    if faults:
        raise Faulty(faults)
    if glossary is None:
        return None
    met = []
    for symbol in score.symbols:
        try:
            met.append(_met(symbol, file, score, glossary))
        except LookupError as error:
            found = f"the symbol in measure {symbol.measure}: {error.args[0]}"
            faults.append(document.fault(("score",), found, "a chord that the glossary has"))
    if faults:
        raise Faulty(faults)
    return Lesson(path.stem, file, score, tuple(met))


def _is_within(path: Path, tree: Path) -> bool:
    """Return whether a path leads below a folder once its links are followed."""
    try:
        return path.resolve().is_relative_to(tree.resolve())
    except (OSError, ValueError, RuntimeError):  # a NUL, or links in a circle
        return False


def _taken(path: Path, glossary: Glossary | None) -> list[Fault]:
    if glossary is None or path.stem not in glossary.entries:
        return []
    folder = glossary.entries[path.stem].folder
    return [
        Fault(shown_path(path), 1, 1, f"the id {path.stem!r}", f"an id that {folder}/{path.stem}.yaml hasn't taken")
    ]


def _range_faults(file: LessonFile, score: Score, document: Document) -> list[Fault]:
    """Return a fault for each measure that is spoken of and isn't in the score."""
    numbers = {measure.number for measure in score.measures}
    spoken_of: list[tuple[Place, int]] = []
    for index, section in enumerate(file.sections):
        place: Place = ("sections", index, "measures" if section.measures else "name")
        spoken_of += [(place, number) for number in section.explains or ()]
    for index, stretch in enumerate(file.heard):
        spoken_of += [(("heard", index, "measures"), number) for number in stretch.measures]
    spoken_of += [(("errata", index, "measure"), erratum.measure) for index, erratum in enumerate(file.errata)]
    return [
        document.fault(place, f"measure {number}", f"a measure from {min(numbers)} to {max(numbers)}")
        for place, number in dict.fromkeys(spoken_of)
        if number not in numbers
    ]


def _level_faults(
    file: LessonFile, score: Score, levels: Mapping[str, LevelRules], document: Document
) -> Iterator[Fault]:
    if file.level not in levels or not score.notes:
        return
    for broken in broken_rules(score, levels[file.level]):
        where = "" if broken.where is None else f" in measure {broken.where}"
        yield document.fault(
            ("level",), f"a score with {broken.asked}{where}", f"at most {broken.allowed} at the level {file.level}"
        )


def _read_score(
    path: Path, document: Document, cache: Path | None, tree: Path | None
) -> tuple[Score | None, list[Fault]]:
    """Return the score that a lesson's file names, and what is wrong with it; neither where it names none."""
    name = document.value.get("score") if isinstance(document.value, dict) else None
    if not isinstance(name, Scalar) or name.kind != "text" or not name.strip() or "\0" in name:
        return None, []
    if tree is not None and not _is_within(path.parent / name, tree):
        return None, [document.fault(("score",), f"the score {shown(name)}", f"a score below {shown_path(tree)}")]
    try:
        return load_score(path.parent / name, cache), []
    except ScoreError as error:
        return None, [document.fault(("score",), f"the score {shown(name)}: {error}", "a MusicXML score")]


def _teaching_faults(document: Document, entries: Collection[str]) -> list[Fault]:
    taught = document.value.get("teaches") if isinstance(document.value, dict) else None
    return [
        document.fault(("teaches", index), f"the id {str(name)!r}", "the id of an entry", nearest(name, entries))
        for index, name in enumerate(taught if isinstance(taught, list) else ())
        if isinstance(name, Scalar) and name.kind == "text" and name not in entries
    ]


def _met(symbol: ScoreSymbol, file: LessonFile, score: Score, glossary: Glossary) -> Met:
    beat, in_beat = score.beat_at(symbol.at)
    return Met(
        chord_of(symbol, glossary),
        symbol.measure,
        beat,
        in_beat,
        symbol.at,
        heard_at(symbol.at, symbol.measure, file, score),
    )


def chord_of(symbol: ScoreSymbol, glossary: Glossary) -> Chord | None:
    """Return the chord of a score's symbol, None for N.C. Raises LookupError for a kind that the glossary lacks.

    Degrees follow MusicXML 4.0: added ones count from a major scale with a lowered seventh, altered ones from what
    the kind has. A kind that no entry claims ("other" among them) is read from the text that is printed for it.
    """
    if symbol.root is None:
        return None
    kinds = {entry.musicxml: entry for entry in glossary.of(ChordSymbol).values() if entry.musicxml}
    if symbol.kind not in kinds:
        return _printed_chord(symbol)
    degrees = set(kinds[symbol.kind].degrees)
    for change, number, size in symbol.degrees:
        standing = next((degree for degree in degrees if degree.number == number), None)
        if change == "subtract" or (change == "alter" and standing):
            degrees.discard(standing or parse_degree("1"))
        if change == "alter" and standing:
            degrees.add(Degree(number, standing.alteration + size))
        elif change != "subtract":
            degrees.add(Degree(number, size - (number == 7)))
    if unknown := [str(degree) for degree in in_order(degrees) if str(degree) not in DEGREES]:
        raise LookupError(f"the degree {unknown[0]}, which no chord has")
    return _over_its_bass(Chord(symbol.root, in_order(degrees)), symbol)


def _printed_chord(symbol: ScoreSymbol) -> Chord:
    try:
        printed = read_symbol(f"{symbol.root}{symbol.text}")[0].chord if symbol.text else None
    except SymbolError:
        printed = None
    if printed is None:
        raise LookupError(f"no entry claims the MusicXML kind {symbol.kind!r}")
    return _over_its_bass(printed, symbol)


def _over_its_bass(chord: Chord, symbol: ScoreSymbol) -> Chord:
    """Return a chord with the symbol's bass, or the tone that its inversion (1 the third, 2 the fifth) puts there."""
    bass = symbol.bass
    if bass is None and symbol.inversion:
        number = 2 * symbol.inversion + 1
        bass = next((chord.root.at(degree) for degree in chord.degrees if degree.number == number), None)
    if bass is None:
        return chord
    return Chord(chord.root, chord.degrees, bass if bass != chord.root else None)
