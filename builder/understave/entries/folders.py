"""The folders of the content: which file is an entry of which kind, and what is wrong with a file's name or place."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from unicodedata import combining, normalize

from understave.entries.faults import Fault, nearest, shown
from understave.entries.values import KINDS, CountingSystem, Entry

OTHER_FOLDERS = ("guides", "handouts", "phrases", "replies")
"""Folders of the content that hold no entries."""

LONGEST_ID = 80
"""The most characters of an id, so that every address made of it is a file name that all systems take."""

_DEVICES = re.compile(r"con|prn|aux|nul|(?:com|lpt)[0-9]")
"""Names that stand for devices on Windows, whatever ending follows (its documentation on naming files; from memory)."""

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
        if top.is_symlink():
            yield top, None, [_link_fault(top)]
            continue
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
            if path.is_symlink() or not path.name.startswith("."):
                yield path, folders[top.name], list(name_faults(path, folders[top.name]))


def entry_ids(content: Path) -> dict[str, type[Entry]]:
    """Return the ids of all entries, broken ones too, with the kind of each."""
    return {path.stem: kind for path, kind, _ in entry_files(content) if kind is not None}


def own_files(folder: Path) -> list[Path]:
    """Return what lies in a folder that holds no entries, in order; hidden files and links are passed over.

    `link_faults` and `entry_files` tell of links.
    """
    if folder.is_symlink() or not folder.is_dir():
        return []
    return sorted(path for path in folder.iterdir() if not path.name.startswith(".") and not path.is_symlink())


def link_faults(content: Path) -> list[Fault]:
    """Return a fault for each link below the folders that hold no entries: MkDocs would follow it out of the tree."""
    folders = (content / name for name in OTHER_FOLDERS)
    below = (path for folder in folders if not folder.is_symlink() for path in sorted(folder.rglob("*")))
    return [_link_fault(path) for path in below if path.is_symlink()]


def _link_fault(path: Path) -> Fault:
    return Fault(shown_path(path), 1, 1, "a link to another file", "the file itself")


def id_faults(path: Path) -> Iterator[Fault]:
    """Yield what is wrong with the name of a file whose stem is an id."""
    where = (shown_path(path), 1, 1)
    if not _ID.fullmatch(path.stem):
        bare = "".join(sign for sign in normalize("NFKD", path.stem.lower()) if not combining(sign))
        plain = re.sub(r"[^a-z0-9]+", "-", bare).strip("-")
        hint = f"nearest: {plain!r}" if plain else ""
        foreign = next((f", in which one letter is U+{ord(sign):04X}" for sign in path.stem if not sign.isascii()), "")
        yield Fault(*where, f"the id {shown(path.stem)}{foreign}", "small letters a-z, digits and single hyphens", hint)
    elif len(path.stem) > LONGEST_ID:
        yield Fault(*where, f"an id of {len(path.stem)} characters", f"at most {LONGEST_ID}")
    elif _DEVICES.fullmatch(path.stem):
        yield Fault(*where, f"the id {shown(path.stem)}, which is a device's name on Windows", "an id that is none")


def name_faults(path: Path, kind: type[Entry]) -> Iterator[Fault]:
    """Yield what is wrong with the name of an entry's file, or with the file that has it."""
    where = (shown_path(path), 1, 1)
    if path.is_symlink():
        yield _link_fault(path)
    elif path.is_dir():
        yield Fault(*where, f"a folder {shown(path.name)}", "entries only, one file each")
    elif path.suffix != ".yaml":
        yield Fault(
            *where,
            f"the ending {shown(path.suffix)}",
            "the ending .yaml",
            f"nearest: {path.stem}.yaml" if path.suffix == ".yml" else "",
        )
    elif faults := list(id_faults(path)):
        yield from faults
    elif _ROOT_LIKE.match(path.stem) and kind is not CountingSystem:
        yield Fault(*where, f"the id {shown(path.stem)}", "an id that starts with no note name, flat or sharp")
