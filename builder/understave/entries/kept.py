"""Entries that were read and checked before, kept as JSON: whoever asks again needs neither YAML nor the schema.

What is kept holds for the very bytes of all files below the content's folders of entries and for the code that checked
them; anything else, and a file that is damaged, is read anew.
"""

from __future__ import annotations

import hashlib
import json
import os
from dataclasses import asdict, fields
from datetime import date
from pathlib import Path
from typing import Any

from understave.entries.faults import Fault, Faulty
from understave.entries.glossary import Glossary
from understave.entries.shelves import keep_text, tell_damaged
from understave.entries.values import KINDS, AlsoRead, Correction, Entry, NotesExample
from understave.theory.tones import Degree, parse_degree

SHELF = "entries.json"

CODE = Path(__file__).parents[1]
"""The package, whose rooms decide what an entry may hold."""

ROOMS = ("theory", "entries")

FOLDERS = frozenset(kind.folder for kind in KINDS)


def load_glossary(content: Path, cache: Path | None = None) -> Glossary:
    """Return every entry below ``content``. Raises Faulty with all faults of all files."""
    glossary, faults = read_kept(content, cache)
    if faults:
        raise Faulty(faults)
    return glossary


def read_kept(content: Path, cache: Path | None) -> tuple[Glossary, list[Fault]]:
    """Return the entries that can be read and the faults of all files, from ``cache`` if all is as it was.

    Only entries without faults are kept.
    """
    key = _key(content)
    kept = _kept(cache, key)
    if kept is not None:
        return kept, []
    from understave.entries.reading import read_glossary

    glossary, faults = read_glossary(content)
    if not faults:
        _keep(glossary, cache, key)
    return glossary, faults


def _key(content: Path) -> str:
    """Return what tells one state of the content and of the code from another."""
    digest = hashlib.sha256()
    for room in ROOMS:
        for module in sorted(os.scandir(CODE / room), key=lambda entry: entry.name):
            if module.name.endswith(".py"):
                digest.update(f"{module.name} {module.stat().st_size} {module.stat().st_mtime_ns}\n".encode())
    for top in sorted(content.iterdir()) if content.is_dir() else []:
        files = sorted(top.iterdir()) if top.name in FOLDERS and top.is_dir() else [top]
        for path in files:
            name = path.relative_to(content).as_posix()
            digest.update(f"{name} {path.is_symlink()} ".encode(errors="surrogateescape"))
            digest.update(hashlib.sha256(_bytes(path)).digest())
    return digest.hexdigest()


def _bytes(path: Path) -> bytes:
    """Return what a file holds; nothing for a folder, and for a file that can't be read, which is a fault anyway."""
    try:
        return path.read_bytes() if path.is_file() else b""
    except OSError:
        return b""


def _kept(cache: Path | None, key: str) -> Glossary | None:
    if cache is None:
        return None
    try:
        shelf = json.loads((cache / SHELF).read_text(encoding="utf-8"))
        if shelf["key"] != key:
            return None
        return Glossary({name: _entry(plain) for name, plain in shelf["entries"].items()})
    except FileNotFoundError:
        return None
    except (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
        tell_damaged(cache / SHELF)
        return None


def _keep(glossary: Glossary, cache: Path | None, key: str) -> None:
    if cache is None:
        return
    shelf = {"key": key, "entries": {name: _plain(entry) for name, entry in glossary.entries.items()}}
    keep_text(cache / SHELF, json.dumps(shelf, ensure_ascii=False, default=_told))


def _plain(entry: Entry) -> dict[str, Any]:
    values = {field.name: getattr(entry, field.name) for field in fields(entry)}
    return {"folder": entry.folder, **{name: value for name, value in values.items() if value not in (None, (), {})}}


def _told(value: Any) -> Any:
    return str(value) if isinstance(value, Degree | date) else asdict(value)


def _entry(plain: dict[str, Any]) -> Entry:
    kind = next(kind for kind in KINDS if kind.folder == plain["folder"])
    return kind(**{name: _value(name, value) for name, value in plain.items() if name != "folder"})


def _value(name: str, value: Any) -> Any:
    """Return a field as it was; a list is a tuple."""
    match name, value:
        case "degrees", list():
            return tuple(map(parse_degree, value))
        case (("bass" | "adds"), str()):
            return parse_degree(value)
        case "also_read", list():
            return tuple(AlsoRead(**one) for one in value)
        case "example", dict():
            return NotesExample(**value)
        case "since", str():
            return date.fromisoformat(value)
        case "corrected", dict():
            return Correction(**{**value, "date": date.fromisoformat(value["date"])})
        case _, list():
            return tuple(value)
        case _:
            return value
