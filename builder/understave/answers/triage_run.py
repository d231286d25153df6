"""One run of triage: files in, files and text out. Comments pass one by one, twice: replies first, then questions."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import click

from understave.answers.configuration import Project, default_content
from understave.answers.measure_pictures import MeasurePictures
from understave.answers.triage_pages import Listing, Report, sheet
from understave.answers.triaging import Tally, Triage, bad_value, chosen, json_lines
from understave.comments.answered import ANSWERED_FILE, Answered, read_answered, replied_to
from understave.comments.reading import BadRow, CommentsError, Progress, read_comments
from understave.entries.faults import Fault, Faulty
from understave.entries.folders import shown_path
from understave.entries.guides import read_guides
from understave.entries.kept import load_glossary
from understave.entries.replies import Replies, read_replies
from understave.entries.values import CountingSystem
from understave.lessons.lesson import load_lessons

Write = Callable[[str], Any]
Tell = Callable[[Fault], Any]


@dataclass(frozen=True)
class Wanted:
    """What a run shall give: JSON or a list as text, a report, a sheet with so many questions."""

    as_json: bool = False
    out: Path | None = None
    sheet: Path | None = None
    questions: int = 6


def run_triage(project: Project, comments: Path, lessons: Path | None, wanted: Wanted, write: Write, tell: Tell) -> int:
    """Sort the comments of a file; ``tell`` gets each fault. Returns how many faults there were.

    A lesson or a row that doesn't read is told and passed over. Raises CommentsError for a file of comments that can't
    be read at all, Faulty for faults of the glossary, the replies or the answers.
    """
    folder = _lessons_folder(lessons) if lessons else project.lessons
    glossary = load_glossary(project.content, project.cache)
    found, faults = load_lessons(folder, glossary, project.cache)
    replies = _replies(project, glossary.entries)
    answered = read_answered(folder.parent / ANSWERED_FILE) if folder else Answered()
    answered.replied |= replied_to(read_comments(comments))
    guides, guide_faults = read_guides(project.content, None)
    faults = [*faults, *guide_faults]
    system = glossary.of(CountingSystem).get(project.counting_system)
    triage = Triage(glossary, guides, found, replies, system, project.site_url, answered)
    for fault in faults:
        tell(fault)
    tally, report, listing = Tally(), Report(project.site_url), Listing()

    def values() -> Iterator[dict[str, Any]]:
        seen: set[int] = set()
        for row in _with_progress(comments):
            if not isinstance(row, BadRow) and hash(row.id) in seen:
                found = f"the id {row.id[:40]!r} a second time"
                row = BadRow(Fault(shown_path(comments), row.line, 1, found, "each comment's own id"), row.id)
            if isinstance(row, BadRow):
                tally.counts["unread"] += 1
                tell(row.fault)
                yield bad_value(row)
                continue
            seen.add(hash(row.id))
            triaged = triage.triaged(row)
            tally.add(triaged)
            if wanted.out:
                report.add(triaged)
            if lists:
                listing.add(triaged)
            yield triaged.value

    lists = not (wanted.as_json or wanted.out or wanted.sheet)
    if wanted.as_json:
        for piece in json_lines(values(), tally):
            write(piece)
    else:
        for _ in values():
            pass
    if lists:
        for piece in listing.lines(tally):
            write(piece)
    with ExitStack() as files:
        if wanted.out:
            report.write(files.enter_context(_opened(wanted.out)), tally)
        if wanted.sheet:
            pictures = MeasurePictures(glossary, folder)
            page = sheet(chosen(tally, wanted.questions), triage, glossary, pictures, system, project.site_url)
            files.enter_context(_opened(wanted.sheet)).write(page)
    return len(faults) + tally.counts["unread"]


def _opened(path: Path) -> Any:
    try:
        return path.open("w", encoding="utf-8", errors="backslashreplace", newline="\n")
    except OSError as error:
        raise CommentsError(
            f"{shown_path(path)}: can't be written: {error.strerror}; a file in a folder that exists"
        ) from None


def _lessons_folder(path: Path) -> Path:
    """Return the folder of lessons: the one named, or ``lessons`` in it."""
    return path / "lessons" if (path / "lessons").is_dir() else path


def _replies(project: Project, entries: Any) -> Replies:
    """Return the project's replies, or those of the package where it has none. Raises Faulty."""
    content = project.content if (project.content / "replies").is_dir() else default_content()
    replies, faults = read_replies(content, entries)
    if faults and content == project.content:
        raise Faulty(faults)
    return replies


def _with_progress(comments: Path) -> Iterator[Any]:
    """Yield the rows of a file, with a bar on stderr where that is a terminal."""
    if not sys.stderr.isatty():
        yield from read_comments(comments)
        return
    with click.progressbar(length=comments.stat().st_size, file=sys.stderr) as bar:
        yield from read_comments(comments, _moving(bar))


def _moving(bar: Any) -> Progress:
    done = 0

    def moved(position: int) -> None:
        nonlocal done
        bar.update(position - done)
        done = position

    return moved
