"""Verovio: MEI → raw SVG. Runs in workers only; one toolkit a process; every message of Verovio's is an error."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from functools import lru_cache
from pathlib import Path
from typing import IO, Any

OPTIONS: dict[str, Any] = {
    "header": "none", "footer": "none", "breaks": "auto", "pageWidth": 680, "pageHeight": 60000,
    "adjustPageHeight": True, "adjustPageWidth": True, "pageMarginLeft": 60, "pageMarginRight": 20,
    "pageMarginTop": 0, "pageMarginBottom": 20, "spacingSystem": 4, "scale": 100, "font": "Leipzig",
    "smuflTextFont": "none", "svgViewBox": True, "svgHtml5": True, "svgRemoveXlink": True, "svgFormatRaw": True,
    "xmlIdChecksum": True, "mnumInterval": 0,
}  # fmt: skip
"""What every picture is drawn with; set anew each time, since a toolkit keeps its options."""

VARIED = {"spacingNonLinear": 0.6, "measureMinWidth": 15}
"""The usual values of what single pictures change."""


class EngravingError(RuntimeError):
    """Verovio refused, warned, or left something out of a drawing."""


def new_toolkit() -> Any:
    """Return a toolkit of Verovio's with its fonts."""
    import verovio

    verovio.setDefaultResourcePath(str(Path(verovio.__file__).parent / "data"))
    return verovio.toolkit()


_toolkit = lru_cache(maxsize=1)(new_toolkit)


@contextmanager
def caught_messages() -> Iterator[IO[bytes]]:
    """Catch what Verovio writes to file descriptor 2."""
    with tempfile.TemporaryFile() as file:
        kept = os.dup(2)
        os.dup2(file.fileno(), 2)
        try:
            yield file
        finally:
            os.dup2(kept, 2)
            os.close(kept)


def draw(mei: str, options: Iterable[tuple[str, float]], notes: Iterable[str]) -> str:
    """Return the raw SVG of an MEI document. Raises EngravingError if Verovio says anything or leaves a note out."""
    with caught_messages() as file:
        toolkit = _toolkit()
        toolkit.setOptions({**OPTIONS, **VARIED, **dict(options)})
        loaded = toolkit.loadData(mei)
        svg = str(toolkit.renderToSVG(1)) if loaded else ""
        file.seek(0)
        said = file.read().decode("utf-8", "replace").strip()
    if said or not loaded:
        raise EngravingError(said or "Verovio can't read the MEI")
    missing = [name for name in notes if f'data-id="{name}"' not in svg]
    if missing:
        raise EngravingError(f"not in the drawing: {', '.join(missing)}")
    return svg


def verovio_version() -> str:
    """Return the installed version without loading the program."""
    from importlib.metadata import version

    return version("verovio")
