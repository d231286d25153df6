"""The notation of single measures of lessons, for pages and for sheets that stand outside of the site."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path

from understave.engraving.drawing import EngravingError
from understave.engraving.excerpts import Excerpt, Mark
from understave.engraving.finishing import Drawing, place, sprite
from understave.engraving.studio import Studio
from understave.entries.glossary import Glossary
from understave.entries.lookup import symbol_of
from understave.lessons.lesson import Lesson
from understave.lessons.score_files import musicxml_of
from understave.phrases.catalogue import phrase
from understave.phrases.typesetting import symbol_parts
from understave.theory.counting import Count


@dataclass
class MeasurePictures:
    """Measures drawn once, as inline SVG; a measure of a score without rights is never drawn."""

    glossary: Glossary
    folder: Path | None
    """Where the lessons' files lie; their scores' paths count from there."""
    _drawings: dict[tuple[str, int], Drawing] = field(default_factory=dict)

    def draw(self, measures: Iterable[tuple[Lesson, int]]) -> None:
        """Draw measures. One that can't be drawn has no picture."""
        wanted = {
            (lesson.id, number): excerpt
            for lesson, number in measures
            if lesson.file.rights and (excerpt := measure_excerpt(lesson, number, self.folder, self.glossary))
        }
        for key, excerpt in wanted.items():
            studio = Studio(None)
            try:
                studio.draw([excerpt])
            except EngravingError:
                continue
            self._drawings[key] = studio[excerpt]

    def svg(self, lesson: Lesson, measure: int) -> str:
        """Return a measure's notation as SVG; an empty text where there is none."""
        drawing = self._drawings.get((lesson.id, measure))
        title = phrase("sheet-notation", measure=measure)
        return place(drawing, f"m-{lesson.id}-{measure}", title, lesson.file.title) if drawing else ""

    @property
    def glyphs(self) -> str:
        """The glyphs that all pictures share, to stand before them."""
        return sprite(list(self._drawings.values()))


def measure_excerpt(
    lesson: Lesson, number: int, folder: Path | None, glossary: Glossary, counts: Iterable[Count] = ()
) -> Excerpt | None:
    """Return a measure of a lesson's score with its symbols and ``counts``; None where the score doesn't have it.

    ``folder`` is where the lessons' files lie; their scores' paths count from there.
    """
    path = (folder or Path()) / lesson.file.score
    position = next((n for n, each in enumerate(lesson.score.measures, 1) if each.number == number), None)
    if position is None or not path.is_file():
        return None
    start = lesson.score.measures[position - 1].at
    symbols = tuple(
        Mark(position, met.at - start, symbol_parts(symbol_of(met.chord, glossary)))
        for met in lesson.symbols
        if met.chord is not None and met.measure == number
    )
    words = tuple(Mark(position, one.at - start, (one.word, "", "")) for one in counts)
    return Excerpt(path, _music(path, path.stat().st_mtime_ns), position, position, symbols, words)


@lru_cache(maxsize=1)
def _music(path: Path, changed: int) -> bytes:
    """Return a score's MusicXML, read once for all of its measures; ``changed`` tells one version from the next."""
    return musicxml_of(path)
