"""Excerpts of a lesson's score as values: which measures, with which symbols under the bass staff and which count."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path


@dataclass(frozen=True)
class Mark:
    """A text under a staff: the measure's position in the score from 1, the place in it in whole notes, the text.

    ``parts`` are what stands on the line, what is raised, and what follows on the line.
    """

    position: int
    place: Fraction
    parts: tuple[str, str, str]


@dataclass(frozen=True)
class Excerpt:
    """Some measures of a score, ``first`` to ``last`` by position from 1, pixels per unit of the viewBox.

    ``digest`` is a hash of the score's file, so that another version is another picture.
    """

    score: Path
    digest: str
    first: int
    last: int
    symbols: tuple[Mark, ...]
    counts: tuple[Mark, ...]
    scale: float = 0.5

    @property
    def key(self) -> str:
        """A hash of all that the drawing depends on beside the programs' versions."""
        values = (self.digest, self.first, self.last, self.symbols, self.counts, self.scale)
        return hashlib.sha256(repr(values).encode()).hexdigest()[:32]
