"""Excerpts of a lesson's score as values: which measures, with which symbols under the bass staff and which count."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache
from pathlib import Path
from xml.etree.ElementTree import Element


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

    ``score`` is the file, for messages; ``music`` is the MusicXML that it holds.
    """

    score: Path
    music: bytes = field(repr=False)
    first: int
    last: int
    symbols: tuple[Mark, ...]
    counts: tuple[Mark, ...]
    scale: float = 0.5

    @property
    def digest(self) -> str:
        """A hash of the music: another version of a score is another picture."""
        return _digest(self.music)

    @property
    def key(self) -> str:
        """A hash of all that the drawing depends on beside the programs' versions."""
        values = (self.digest, self.first, self.last, self.symbols, self.counts, self.scale)
        return hashlib.sha256(repr(values).encode()).hexdigest()[:32]


@lru_cache(maxsize=4)
def _digest(music: bytes) -> str:
    """Return a hash of a score, made once for all of its excerpts."""
    return hashlib.sha256(music).hexdigest()


def number_notes(score: Element) -> None:
    """Give each note and rest of a MusicXML score its id: ``e`` and its place among all of them in the file, from 0.

    The drawing keeps these ids, and the score's notes as values know their places: so each is found in the picture.
    """
    for index, note in enumerate(score.iter("note")):
        note.set("id", f"e{index}")
