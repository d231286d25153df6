"""A site's content: where its entries, lessons and ledger lie, and all of it loaded and checked."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path
from typing import Any

import yaml

from understave.addresses.ledger import Ledger, read_ledger
from understave.entries.faults import Fault, Faulty, nearest
from understave.entries.glossary import Glossary, read_glossary
from understave.entries.schema import CountingSystem
from understave.lessons.lesson import Lesson, load_lesson, load_lessons

DEFAULT_SYSTEM = "e-and-a"


class NoProjectError(ValueError):
    """A configuration file isn't there or doesn't read; the message is one line."""


@dataclass(frozen=True)
class Project:
    """Where a site's content lies. ``lessons``, ``permalinks`` and ``cache`` may be missing."""

    content: Path
    lessons: Path | None = None
    permalinks: Path | None = None
    cache: Path | None = None
    site_url: str = ""
    counting_system: str = DEFAULT_SYSTEM


@dataclass(frozen=True)
class Loaded:
    """A project's content, checked."""

    project: Project
    glossary: Glossary
    lessons: dict[str, Lesson]
    ledger: Ledger


def project_of(content: Path, options: dict[str, Any], folder: Path, site_url: str) -> Project:
    """Return the project of a content folder and the plugin's options; their paths count from ``folder``."""

    def path(name: str) -> Path | None:
        return folder / options[name] if options.get(name) else None

    return Project(
        content,
        path("lessons"),
        path("permalinks"),
        folder / ".cache" / "understave",
        site_url,
        options.get("counting_system") or DEFAULT_SYSTEM,
    )


def find_project(config: Path | None) -> Project:
    """Return the project of a configuration file, or else the nearest one.

    That is the nearest mkdocs.yml upwards that names the plugin, or else the content that comes with the package.
    Raises NoProjectError for a file that doesn't read.
    """
    if config is not None:
        found = _read_config(config)
        if found is None:
            raise NoProjectError(
                f"{config}: no plugin understave in it; expected a mkdocs.yml with plugins: [understave]"
            )
        return found
    for folder in (Path.cwd(), *Path.cwd().parents):
        if (folder / "mkdocs.yml").is_file() and (found := _read_config(folder / "mkdocs.yml")):
            return found
    return Project(_packaged_content())


def _packaged_content() -> Path:
    packaged = Path(str(files("understave"))) / "content"
    return packaged if packaged.is_dir() else Path(__file__).parents[3] / "content"


class _ConfigLoader(yaml.SafeLoader):
    """Reads MkDocs' files; tags of other plugins (!ENV, !!python/name) are passed over."""


_ConfigLoader.add_multi_constructor("", lambda loader, suffix, node: None)


def _read_config(path: Path) -> Project | None:
    """Return the project of a mkdocs.yml, None if it doesn't name the plugin. Raises NoProjectError if unreadable."""
    try:
        data = yaml.load(path.read_text(encoding="utf-8"), Loader=_ConfigLoader)
    except (OSError, UnicodeDecodeError, yaml.YAMLError) as error:
        reason = getattr(error, "strerror", None) or "it is no YAML"
        raise NoProjectError(f"{path}: {reason}; expected a readable mkdocs.yml") from None
    if not isinstance(data, dict):
        return None
    for name, options in _plugins(data.get("plugins")):
        if name == "understave":
            folder = path.parent
            content = folder / str(data.get("docs_dir") or "docs")
            return project_of(content, options, folder, str(data.get("site_url") or ""))
    return None


def _plugins(value: object) -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield each plugin's name and options, from a list of names and mappings or from one mapping."""
    for item in [value] if isinstance(value, dict) else value if isinstance(value, list) else []:
        pairs = item.items() if isinstance(item, dict) else [(item, {})]
        for name, options in pairs:
            yield str(name), options if isinstance(options, dict) else {}


def load_project(project: Project) -> Loaded:
    """Read and check all of a project's content. Raises Faulty with every fault of every file."""
    glossary, faults = read_glossary(project.content)
    # what lessons and the ledger say of entries can only be held against entries that read
    whole = not faults
    lessons, lesson_faults = load_lessons(project.lessons, glossary if whole else None, project.cache)
    ledger, ledger_faults = read_ledger(project.permalinks)
    faults += lesson_faults + ledger_faults
    if whole and ledger is not None:
        faults += ledger.faults(glossary, lessons)
        faults += _system_faults(project, glossary)
    if faults or ledger is None:
        raise Faulty(faults)
    return Loaded(project, glossary, lessons, ledger)


def _system_faults(project: Project, glossary: Glossary) -> list[Fault]:
    systems = glossary.of(CountingSystem)
    if project.counting_system in systems or not systems:
        return []
    found = f"the counting system {project.counting_system!r}"
    return [Fault("mkdocs.yml", 1, 1, found, "the id of a counting system", nearest(project.counting_system, systems))]


def find_lesson(loaded: Loaded, name: str) -> Lesson:
    """Return a lesson by its id or the path of its file. Raises NoProjectError for one that isn't there."""
    path = Path(name)
    if name in loaded.lessons:
        return loaded.lessons[name]
    if path.is_file():
        lesson = load_lesson(path, loaded.glossary, loaded.project.cache)
        assert lesson is not None
        return lesson
    hint = nearest(name, loaded.lessons)
    raise NoProjectError(f"{name}: no such lesson; expected a lesson's file or id" + (f"; {hint}" if hint else ""))
