"""The folders of the content: which file is an entry of which kind, and what is wrong with a file's name or place."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from understave.entries.faults import Fault, nearest, shown
from understave.entries.values import KINDS, CountingSystem, Entry

OTHER_FOLDERS = ("guides", "handouts", "phrases", "replies")
"""Folders of the content that hold no entries."""

_ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
_ROOT_LIKE = re.compile(r"(?:flat|sharp|[a-h])(?:-|$)")


def shown_path(path: Path) -> str:
    """Return a path as faults show it: from the current folder where it lies below, with / between folders."""
    try:
        return path.absolute().relative_to(Path.cwd()).as_posix()
    except ValueError:
        return path.as_posix()


def entry_files(content: Path) -> Iterator[tuple[Path, type[Entry] | None, list[Fault]]]:
    """Yield every file below ``content`` in order, its kind, and what is wrong with its place or name."""
    folders = {kind.folder: kind for kind in KINDS}
    if not content.is_dir():
        yield content, None, [Fault(shown_path(content), 1, 1, "no such folder", "a folder of entries")]
        return
    for top in sorted(content.iterdir()):
        if top.name.startswith("."):
            continue
        if top.is_dir() and top.name in OTHER_FOLDERS:
            continue
        if not top.is_dir() or top.name not in folders:
            hint = nearest(top.name, folders)
            wanted = f"a folder of entries: {', '.join(folders)}"
            yield (
                top,
                None,
                [
                    Fault(
                        shown_path(top),
                        1,
                        1,
                        f"an unknown {'folder' if top.is_dir() else 'file'} {shown(top.name)}",
                        wanted,
                        hint,
                    )
                ],
            )
            continue
        for path in sorted(top.iterdir()):
            if not path.name.startswith("."):
                yield path, folders[top.name], list(name_faults(path, folders[top.name]))


def entry_ids(content: Path) -> dict[str, type[Entry]]:
    """Return the ids of all entries, broken ones too, with the kind of each."""
    return {path.stem: kind for path, kind, _ in entry_files(content) if kind is not None}


def id_faults(path: Path) -> Iterator[Fault]:
    """Yield what is wrong with the name of a file whose stem is an id."""
    where = (shown_path(path), 1, 1)
    if not _ID.fullmatch(path.stem):
        plain = re.sub(r"[^a-z0-9]+", "-", path.stem.lower()).strip("-")
        hint = f"nearest: {plain!r}" if plain else ""
        yield Fault(*where, f"the id {shown(path.stem)}", "small letters a-z, digits and single hyphens", hint)


def name_faults(path: Path, kind: type[Entry]) -> Iterator[Fault]:
    """Yield what is wrong with the name of an entry's file, or with the file that has it."""
    where = (shown_path(path), 1, 1)
    if path.is_symlink():
        yield Fault(*where, "a link to another file", "the file itself")
    elif path.is_dir():
        yield Fault(*where, f"a folder {shown(path.name)}", "entries only, one file each")
    elif path.suffix != ".yaml":
        yield Fault(
            *where,
            f"the ending {shown(path.suffix)}",
            "the ending .yaml",
            f"nearest: {path.stem}.yaml" if path.suffix == ".yml" else "",
        )
    elif not _ID.fullmatch(path.stem):
        yield from id_faults(path)
    elif _ROOT_LIKE.match(path.stem) and kind is not CountingSystem:
        yield Fault(*where, f"the id {shown(path.stem)}", "an id that starts with no note name, flat or sharp")
