"""Drawing many pictures: from the cache where they have been drawn before, else in spawned workers."""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from itertools import groupby
from multiprocessing import get_context
from pathlib import Path

from understave.engraving.drawing import EngravingError, draw, verovio_version
from understave.engraving.excerpts import Excerpt
from understave.engraving.finishing import FINISHING_VERSION, Drawing, finish
from understave.engraving.pictures import Picture
from understave.engraving.score_drawing import draw_excerpt
from understave.engraving.shelf import Shelf

CHUNK = 24
"""How many pictures a worker draws at a time."""

SHELF = "pictures.sqlite"

Progress = Callable[[int, int], None]
"""Told after each chunk: how many pictures are drawn, of how many."""


LONGEST_DRAWING = 120
"""Seconds after which the drawing of one score is given up."""

BROKEN = "Verovio broke down while drawing"

Drawable = Picture | Excerpt


def _draw_chunk(pictures: list[Picture]) -> list[Drawing]:
    return [finish(draw(p.mei, p.options, p.notes), p.labels, p.scale) for p in pictures]


def _draw_score(excerpts: list[Excerpt]) -> list[Drawing]:
    return [finish(draw_excerpt(excerpt), (), excerpt.scale) for excerpt in excerpts]


class Studio:
    """Draws pictures once. ``cache`` is a folder, made when something is drawn; None keeps drawings until the end.

    What is ordered is drawn by workers meanwhile; asking for a picture waits for it. Workers and the cache's file are
    let go of by `close`.
    """

    def __init__(self, cache: Path | None) -> None:
        folder = cache / f"verovio-{verovio_version()}-{FINISHING_VERSION}" if cache else None
        self._shelf = Shelf(folder / SHELF if folder else None)
        self._workers: ProcessPoolExecutor | None = None
        self._coming: dict[str, tuple[list[Picture], Future[list[Drawing]]]] = {}

    def __getitem__(self, picture: Drawable) -> Drawing:
        """Return a picture's drawing. Raises EngravingError where Verovio warns or breaks down."""
        if picture.key in self._coming:
            self._take(*self._coming[picture.key])
        drawing = self._kept(picture.key)
        if drawing is None:
            raise KeyError(picture.key)
        return drawing

    def order(self, pictures: Iterable[Drawable]) -> list[Drawable]:
        """Have drawn what wasn't drawn or ordered before, and return it; excerpts of scores are drawn at once.

        Raises EngravingError for an excerpt that can't be drawn, and where Verovio has broken down.
        """
        wanted = {picture.key: picture for picture in pictures}
        missing = [one for key, one in wanted.items() if key not in self._coming and self._kept(key) is None]
        own = [one for one in missing if isinstance(one, Picture)]
        for start in range(0, len(own), CHUNK):
            chunk = own[start : start + CHUNK]
            future = self._submitted(chunk)
            self._coming |= {picture.key: (chunk, future) for picture in chunk}
        for excerpt, drawing in _drawn_excerpts([one for one in missing if isinstance(one, Excerpt)]):
            self._keep(excerpt, drawing)
        return missing

    def draw(self, pictures: Iterable[Drawable], progress: Progress = lambda done, total: None) -> None:
        """Draw what hasn't been drawn yet.

        Raises EngravingError where Verovio warns or breaks down.
        """
        try:
            missing = self.order(pictures)
            for done, picture in enumerate(missing, 1):
                self[picture]
                if done % CHUNK == 0 or done == len(missing):
                    progress(done, len(missing))
        finally:
            self.close()

    def forget_all_but(self, keys: Iterable[str]) -> None:
        """Forget the drawings that no page shows any more: those of other keys."""
        for key in self._shelf.keys() - set(keys):
            del self._shelf[key]

    def close(self) -> None:
        """Keep what was drawn; let the workers and the cache go. What is drawn later opens them again."""
        if self._workers is not None:
            self._workers.shutdown(cancel_futures=True)
            self._workers = None
        self._coming.clear()
        self._shelf.commit()
        if self._shelf.file is not None:
            self._shelf.close()

    def _submitted(self, chunk: list[Picture]) -> Future[list[Drawing]]:
        if self._workers is None:
            self._workers = ProcessPoolExecutor(os.cpu_count() or 1, mp_context=get_context("spawn"))
        try:
            return self._workers.submit(_draw_chunk, chunk)
        except BrokenProcessPool:
            raise EngravingError(BROKEN) from None

    def _take(self, chunk: list[Picture], future: Future[list[Drawing]]) -> None:
        """Wait for a chunk and keep its drawings."""
        try:
            drawings = future.result()
        except BrokenProcessPool:
            raise EngravingError(BROKEN) from None
        for picture, drawing in zip(chunk, drawings, strict=True):
            del self._coming[picture.key]
            self._keep(picture, drawing)
        self._shelf.commit()

    def _keep(self, picture: Drawable, drawing: Drawing) -> None:
        self._shelf[picture.key] = json.dumps(vars(drawing), ensure_ascii=False)

    def _kept(self, key: str) -> Drawing | None:
        """Return a drawing of the cache; one of another shape is drawn anew."""
        try:
            drawing = Drawing(**json.loads(self._shelf[key]))
        except (KeyError, ValueError, TypeError, RecursionError):
            return None
        return drawing if _is_whole(drawing) else None


def _is_whole(drawing: Drawing) -> bool:
    """Tell whether a drawing from the cache has values of the right kinds."""
    numbers = (drawing.width, drawing.height, drawing.scale)
    glyphs = drawing.glyphs.items() if isinstance(drawing.glyphs, dict) else [(None, None)]
    return (
        isinstance(drawing.inner, str)
        and all(isinstance(number, int | float) for number in numbers)
        and all(isinstance(name, str) and isinstance(path, str) for name, path in glyphs)
    )


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
