"""Mistakes that were mended, and where what was published still has them: descriptions, pinned comments, replies."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from understave.addresses.slugs import address_of_entry, address_of_lesson
from understave.answers.project import Loaded
from understave.answers.published import published_text
from understave.comments.answered import ANSWERED_FILE, read_answered
from understave.entries.folders import shown_path
from understave.entries.values import Correction
from understave.phrases.catalogue import phrase

Json = dict[str, Any]

PUBLISHED = "published"
"""The folder beside the lessons' that holds descriptions and pinned comments as they were published."""


@dataclass(frozen=True)
class Corrected:
    """A correction of an entry or a lesson, by its id and address; of one ``measure`` of a score if that is given."""

    id: str
    name: str
    page: str
    correction: Correction
    measure: int | None = None


@dataclass(frozen=True)
class Left:
    """A published text that still says what was corrected: its file, the line, and the comment's id for a reply."""

    corrected: Corrected
    file: str
    line: int
    comment: str | None
    draft: str


def corrections(loaded: Loaded) -> list[Corrected]:
    """Return all corrections of entries, lessons and scores, the newest first."""
    found = [
        Corrected(name, entry.name, address_of_entry(name, entry), entry.corrected)
        for name, entry in loaded.glossary.entries.items()
        if entry.corrected is not None
    ]
    for lesson in loaded.lessons.values():
        page, title = address_of_lesson(lesson.id), lesson.file.title
        if lesson.file.corrected:
            found.append(Corrected(lesson.id, title, page, lesson.file.corrected.value()))
        for erratum in lesson.file.errata:
            found.append(Corrected(lesson.id, title, page, erratum.correction, erratum.measure))
    return sorted(found, key=lambda one: (one.correction.date, one.id, one.measure or 0), reverse=True)


def still_said(loaded: Loaded, folder: Path | None = None) -> Iterator[Left]:
    """Yield every published text that still says what was corrected.

    ``folder`` holds texts, one a file; without it that called PUBLISHED beside the lessons' is looked through. Raises
    Faulty for a text that can't be read.
    """
    texts = list(published_texts(loaded, folder))
    for corrected in corrections(loaded):
        was = plain(corrected.correction.was)
        for one in texts:
            if was in plain(one.text):
                line = one.line if one.comment else one.line + _line_of(was, one.text)
                yield Left(corrected, one.file, line, one.comment, draft(corrected, loaded))


@dataclass(frozen=True)
class Published:
    """A text that viewers can read: its file, the line it starts at, and the comment's id for a reply."""

    file: str
    line: int
    text: str
    comment: str | None = None


def published_texts(loaded: Loaded, folder: Path | None) -> Iterator[Published]:
    """Yield the texts of a folder, or else of the one beside the lessons', and all recorded replies."""
    lessons = loaded.project.lessons
    if folder is None and lessons is not None:
        folder = lessons.parent / PUBLISHED
    for path in sorted(folder.glob("*.txt")) if folder else []:
        yield Published(shown_path(path), 1, published_text(path))
    if lessons is not None:
        file = lessons.parent / ANSWERED_FILE
        answered = read_answered(file)
        for comment, answer in answered.answers.items():
            if answer.reply is not None:
                yield Published(shown_path(file), answered.lines[comment], answer.reply, comment)


def plain(text: str) -> str:
    """Return a text as it is compared: small letters, ASCII accidentals, single blanks, no full stop at its end."""
    ascii_signs = text.casefold().translate({ord("♭"): "b", ord("♯"): "#", ord("’"): "'"})
    return re.sub(r"\s+", " ", ascii_signs).strip().removesuffix(".")


def _line_of(was: str, text: str) -> int:
    """Return how many lines lie before what was corrected, which may reach over several."""
    lines = text.splitlines()
    last = next(end for end in range(1, len(lines) + 1) if was in plain("\n".join(lines[:end])))
    return max(first for first in range(last) if was in plain("\n".join(lines[first:last])))


def draft(corrected: Corrected, loaded: Loaded) -> str:
    """Return a reply that says what was wrong, what is right, and why."""
    values = {**_words(corrected.correction), "link": loaded.project.site_url.rstrip("/") + corrected.page}
    if corrected.measure is not None:
        return phrase("correction-draft-measure", measure=corrected.measure, **values)
    return phrase("correction-draft", **values)


def _words(correction: Correction) -> dict[str, str]:
    """Return what was, what is and why, without the full stops that the sentences around them bring."""
    return {name: getattr(correction, name).strip().removesuffix(".") for name in ("was", "now", "why")}


def corrections_value(loaded: Loaded, left: list[Left]) -> Json:
    """Return the value of ``understave corrections --json``."""
    return {
        "corrections": [
            {
                "id": one.id,
                "page": one.page,
                "measure": one.measure,
                "date": str(one.correction.date),
                "was": one.correction.was,
                "now": one.correction.now,
                "why": one.correction.why,
            }
            for one in corrections(loaded)
        ],
        "left": [
            {"id": one.corrected.id, "file": one.file, "line": one.line, "comment": one.comment, "draft": one.draft}
            for one in left
        ],
    }


def corrections_text(loaded: Loaded, left: list[Left]) -> str:
    """Return all corrections and what still says the old thing, for reading."""
    lines = []
    for one in corrections(loaded):
        lines.append(correction_sentence(one))
        own = [each for each in left if each.corrected == one]
        lines += [f"  {phrase('correction-left', file=each.file, line=each.line, who=_who(each))}" for each in own]
        lines += [f"  {draft(one, loaded)}"] if own else []
    return "\n".join(lines) or phrase("no-corrections")


def _who(left: Left) -> str:
    return phrase("correction-reply", comment=left.comment) if left.comment else phrase("correction-text")


def correction_sentence(one: Corrected) -> str:
    """Return a correction in a sentence: what of, when, what was, what is, why."""
    where = one.name if one.measure is None else f"{one.name}, {phrase('in-measure', measure=one.measure)}"
    return phrase("correction-sentence", where=where, date=one.correction.date, **_words(one.correction))
