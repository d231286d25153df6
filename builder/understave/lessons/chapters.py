"""The chapters of a lesson's video, as its description lists them."""

from __future__ import annotations

from dataclasses import dataclass

from understave.lessons.schema import LessonFile, Stretch

SHORTEST_CHAPTER = 10
"""The least distance of two chapters, in seconds: what video sites ask for (common practice)."""

FEWEST_CHAPTERS = 3
"""How many chapters video sites ask for (common practice)."""


@dataclass(frozen=True)
class Chapter:
    """A chapter: the second it starts at, the ``names`` of the sections in it, or what is played from there."""

    at: int
    names: tuple[str, ...] = ()
    stretch: Stretch | None = None


def chapters(file: LessonFile) -> list[Chapter]:
    """Return the chapters of a lesson in order; the first starts at 0:00.

    Sections are chapters; one that starts less than SHORTEST_CHAPTER seconds after a chapter shares its line. Where
    that makes fewer than FEWEST_CHAPTERS, the stretches of playing are chapters too, but for those as near to another.
    """
    found: list[Chapter] = []
    for section in file.sections:
        if found and section.at - found[-1].at < SHORTEST_CHAPTER:
            found[-1] = Chapter(found[-1].at, (*found[-1].names, section.name))
        else:
            found.append(Chapter(section.at, (section.name,)))
    if len(found) < FEWEST_CHAPTERS:
        for stretch in file.heard:
            if all(abs(stretch.from_ - chapter.at) >= SHORTEST_CHAPTER for chapter in found):
                found.append(Chapter(stretch.from_, stretch=stretch))
    return sorted(found, key=lambda chapter: chapter.at)
