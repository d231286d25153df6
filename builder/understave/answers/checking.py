"""Checking a project: every fault, or those below some paths; and the ledger brought up to date."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from understave.addresses.ledger import write_ledger
from understave.answers.configuration import NoProjectError, Project
from understave.answers.project import load_but_lost_pages, load_project
from understave.entries.faults import Fault, Faulty
from understave.entries.folders import shown_path
from understave.entries.reading import read_glossary
from understave.entries.values import KINDS
from understave.phrases.catalogue import phrase


def check_paths(project: Project, paths: Sequence[Path]) -> tuple[Fault, ...]:
    """Return the faults of a project, sorted; with ``paths`` those below them only.

    A path outside of the project is checked as content of its own: a folder that holds folders of entries, or one of
    those, or an entry in one. Raises NoProjectError for a path that is none of these.
    """
    if not paths:
        return _project_faults(project)
    inside = [path for path in paths if _belongs(project, path)]
    faults = [
        fault for fault in (_project_faults(project) if inside else ()) if any(_below(fault, path) for path in inside)
    ]
    for path in paths:
        if path not in inside:
            faults += [fault for fault in read_glossary(_content_around(path))[1] if _below(fault, path)]
    return tuple(sorted(set(faults)))


def _project_faults(project: Project) -> tuple[Fault, ...]:
    try:
        load_project(project)
    except Faulty as faulty:
        return faulty.faults
    return ()


def _belongs(project: Project, path: Path) -> bool:
    roots = (project.content, project.lessons, project.permalinks)
    return any(root is not None and _within(path, root) for root in roots) or _within(project.content, path)


def _within(path: Path, root: Path) -> bool:
    return path.resolve() == root.resolve() or root.resolve() in path.resolve().parents


def _below(fault: Fault, path: Path) -> bool:
    return _within(Path(fault.file), path)


def _content_around(path: Path) -> Path:
    folders = {kind.folder for kind in KINDS}
    for candidate in (path, path.parent, path.parent.parent):
        if candidate.is_dir() and any((candidate / folder).is_dir() for folder in folders):
            return candidate
    raise NoProjectError(f"{shown_path(path)}: no entries here; expected a folder of entries or an entry in one")


def fault_value(fault: Fault) -> dict[str, str | int]:
    """Return a fault for JSON."""
    return {
        "file": fault.file,
        "line": fault.line,
        "column": fault.column,
        "found": fault.found,
        "expected": fault.expected,
        "nearest": fault.nearest,
    }


def annotation(fault: Fault) -> str:
    """Return a fault as a workflow command of GitHub Actions, which marks the line in a pull request.

    Percent signs, line ends, and in values colons and commas are escaped, as its documentation asks.
    """
    place = {"file": fault.file, "line": fault.line, "col": fault.column}
    values = ",".join(f"{key}={_escaped(str(value), ':,')}" for key, value in place.items())
    message = "; ".join(filter(None, (fault.found, fault.expected, fault.nearest)))
    return f"::error {values}::{_escaped(message)}"


def _escaped(text: str, more: str = "") -> str:
    for letter in "%\r\n" + more:
        text = text.replace(letter, f"%{ord(letter):02X}")
    return text


def propose_redirects(project: Project) -> list[str]:
    """Write redirects for lost pages into the ledger, if nothing else is wrong. Returns a line for each."""
    try:
        loaded = load_but_lost_pages(project)
    except Faulty:
        return []
    found = loaded.ledger.proposed(loaded.now)
    if project.permalinks is None or not found:
        return []
    write_ledger(project.permalinks, loaded.ledger, {}, found)
    return [phrase("check-ledger-proposed", old=old, new=new) for old, new in sorted(found.items())]


def fix_ledger(project: Project) -> list[str]:
    """Add what is published and not listed yet to the ledger. Returns a line for each, or one that says so."""
    loaded = load_project(project)
    fresh = loaded.ledger.unlisted(loaded.now)
    if project.permalinks is None:
        return [phrase("check-no-ledger")]
    if not fresh:
        return [phrase("check-ledger-complete")]
    write_ledger(project.permalinks, loaded.ledger, fresh)
    return [phrase("check-ledger-added", name=name, extent=extent) for name, extent in sorted(fresh.items())]
