"""A folder of entries → the glossary, each entry checked alone and against the others."""

from __future__ import annotations

from pathlib import Path

from understave.entries.checks import faults_alone, faults_of_parts, faults_together
from understave.entries.faults import Fault
from understave.entries.folders import entry_files, shown_path
from understave.entries.glossary import Glossary
from understave.entries.schema import FILES
from understave.entries.shaping import build
from understave.entries.yaml_files import Document, read_yaml

LARGEST_ENTRY = 50_000
"""The size in bytes above which an entry is refused unread."""


def read_glossary(content: Path) -> tuple[Glossary, list[Fault]]:
    """Return the entries that can be read, and the faults of all files."""
    files = list(entry_files(content))
    faults = [fault for _, _, problems in files for fault in problems]
    documents: dict[str, Document] = {}
    glossary = Glossary()
    for path, kind, problems in files:
        if kind is None or problems:
            continue
        document = read_yaml(path, shown_path(path), LARGEST_ENTRY)
        shape = build(FILES[kind], document)
        faults += document.faults
        if path.stem in documents:
            faults.append(
                Fault(
                    document.file,
                    1,
                    1,
                    f"the id {path.stem!r} a second time",
                    f"an id that {documents[path.stem].file} hasn't taken",
                )
            )
        elif shape is not None:
            documents[path.stem] = document
            glossary.entries[path.stem] = shape.value()
        else:
            documents[path.stem] = document
            faults += faults_of_parts(kind, document)
    for name in glossary.entries:
        faults += faults_alone(glossary.entries[name], documents[name])
    ids = {path.stem for path, kind, _ in files if kind is not None}
    faults += faults_together(glossary, documents, ids)
    return glossary, faults
