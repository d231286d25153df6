"""Descriptions and pinned comments made, compared with what was published, and written for all lessons."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from understave.answers.configuration import Project
from understave.answers.describing import describe
from understave.answers.pinned import pinned
from understave.answers.project import Loaded, load_but_faulty_lessons
from understave.answers.published import difference, published_text
from understave.entries.faults import Fault, Faulty
from understave.entries.folders import shown_path
from understave.lessons.lesson import Lesson
from understave.phrases.catalogue import phrase


def text_of(lesson: Lesson, loaded: Loaded, is_pinned: bool) -> str:
    """Return a lesson's pinned comment, or its description."""
    if is_pinned:
        return pinned(lesson, loaded)
    return describe(lesson, loaded.glossary, loaded.project.site_url, loaded.counting_system)


def compared(published: Path, text: str) -> str:
    """Return what has to change in a published text, line by line; empty where nothing has. Raises Faulty."""
    changes = difference(published_text(published), text, shown_path(published), phrase("describe-should-be"))
    return f"{changes}\n" if changes else ""


def write_all(
    project: Project, folder: Path, is_pinned: bool, tell: Callable[[Fault], Any], write: Callable[[Path, str], Any]
) -> int:
    """Write the text of every lesson below a folder, ID.txt or ID-pinned.txt; ``tell`` gets each lesson's faults.

    Returns how many faults there were. Raises Faulty for other faults, and for a folder that can't be made.
    """
    loaded, faults = load_but_faulty_lessons(project)
    for fault in faults:
        tell(fault)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        found = f"a folder that can't be made: {error.strerror}"
        raise Faulty([Fault(shown_path(folder), 1, 1, found, "a folder for the texts")]) from None
    for name, lesson in loaded.lessons.items():
        write(folder / f"{name}{'-pinned' if is_pinned else ''}.txt", text_of(lesson, loaded, is_pinned))
    return len(faults)
