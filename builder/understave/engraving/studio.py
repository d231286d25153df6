"""Drawing many pictures: from the cache where they have been drawn before, else in spawned workers."""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from itertools import groupby
from multiprocessing import get_context
from pathlib import Path

from understave.engraving.drawing import EngravingError, draw, verovio_version
from understave.engraving.excerpts import Excerpt
from understave.engraving.finishing import FINISHING_VERSION, Drawing, finish
from understave.engraving.pictures import Picture
from understave.engraving.score_drawing import draw_excerpt
from understave.entries.shelves import keep_text, tell_damaged

CHUNK = 24
"""How many pictures a worker draws at a time."""

SHELF = "pictures.json"

Progress = Callable[[int, int], None]
"""Told after each chunk: how many pictures are drawn, of how many."""


LONGEST_DRAWING = 120
"""Seconds after which the drawing of one score is given up."""

Drawable = Picture | Excerpt


def _draw_chunk(pictures: list[Picture]) -> list[Drawing]:
    return [finish(draw(p.mei, p.options, p.notes), p.labels, p.scale) for p in pictures]


def _draw_score(excerpts: list[Excerpt]) -> list[Drawing]:
    return [finish(draw_excerpt(excerpt), (), excerpt.scale) for excerpt in excerpts]


class Studio:
    """Draws pictures once. ``cache`` is a folder, made when something is drawn; None keeps drawings in memory only."""

    def __init__(self, cache: Path | None) -> None:
        self._folder = cache / f"verovio-{verovio_version()}-{FINISHING_VERSION}" if cache else None
        self._drawings: dict[str, Drawing] = dict(self._read())

    def __getitem__(self, picture: Drawable) -> Drawing:
        return self._drawings[picture.key]

    def draw(self, pictures: Iterable[Drawable], progress: Progress = lambda done, total: None) -> None:
        """Draw what hasn't been drawn yet, and forget what is no longer asked for.

        Raises EngravingError where Verovio warns or breaks down.
        """
        wanted = {picture.key: picture for picture in pictures}
        missing = [picture for key, picture in wanted.items() if key not in self._drawings]
        for done, (picture, drawing) in enumerate(_drawn(missing), 1):
            self._drawings[picture.key] = drawing
            if done % CHUNK == 0 or done == len(missing):
                progress(done, len(missing))
        stale = self._drawings.keys() - wanted.keys()
        for key in stale:
            del self._drawings[key]
        if missing or stale:
            self._write()

    def _read(self) -> Iterator[tuple[str, Drawing]]:
        """Yield the drawings of the cache; a file that is broken or of another shape is drawn anew."""
        if self._folder is None or not (self._folder / SHELF).exists():
            return
        try:
            for key, values in json.loads((self._folder / SHELF).read_text(encoding="utf-8")).items():
                drawing = Drawing(**values)
                if _is_whole(drawing):
                    yield key, drawing
        except (ValueError, TypeError, AttributeError, OSError, RecursionError):
            tell_damaged(self._folder / SHELF)

    def _write(self) -> None:
        if self._folder is None:
            return
        shelf = {key: vars(drawing) for key, drawing in sorted(self._drawings.items())}
        keep_text(self._folder / SHELF, json.dumps(shelf, ensure_ascii=False))


def _is_whole(drawing: Drawing) -> bool:
    """Tell whether a drawing from the cache has values of the right kinds."""
    numbers = (drawing.width, drawing.height, drawing.scale)
    glyphs = drawing.glyphs.items() if isinstance(drawing.glyphs, dict) else [(None, None)]
    return (
        isinstance(drawing.inner, str)
        and all(isinstance(number, int | float) for number in numbers)
        and all(isinstance(name, str) and isinstance(path, str) for name, path in glyphs)
    )


def _drawn(pictures: list[Drawable]) -> Iterator[tuple[Drawable, Drawing]]:
    """Yield each picture with its drawing: our own first, then the excerpts, score by score."""
    yield from _drawn_pictures([picture for picture in pictures if isinstance(picture, Picture)])
    yield from _drawn_excerpts([picture for picture in pictures if isinstance(picture, Excerpt)])


def _drawn_pictures(pictures: list[Picture]) -> Iterator[tuple[Picture, Drawing]]:
    chunks = [pictures[start : start + CHUNK] for start in range(0, len(pictures), CHUNK)]
    if not chunks:
        return
    workers = min(os.cpu_count() or 1, len(chunks))
    with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
        try:
            for chunk, drawings in zip(chunks, pool.map(_draw_chunk, chunks), strict=True):
                yield from zip(chunk, drawings, strict=True)
        except BrokenProcessPool:
            raise EngravingError("Verovio broke down while drawing") from None


def _drawn_excerpts(excerpts: list[Excerpt]) -> Iterator[tuple[Excerpt, Drawing]]:
    """One worker draws one score after the other, so that a score that breaks it down can be named."""
    if not excerpts:
        return
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as pool:
        for score, group in groupby(sorted(excerpts, key=lambda one: str(one.score)), key=lambda one: one.score):
            chosen = list(group)
            try:
                yield from zip(chosen, pool.submit(_draw_score, chosen).result(LONGEST_DRAWING), strict=True)
            except BrokenProcessPool:
                raise EngravingError(f"{score.name}: Verovio breaks down while drawing it") from None
            except TimeoutError:
                for process in list((pool._processes or {}).values()):
                    process.kill()
                raise EngravingError(f"{score.name}: drawing it takes too long") from None
            except EngravingError as error:
                raise EngravingError(f"{score.name}: {error}") from None
