"""A site's content: where its entries, lessons and ledger lie, and all of it loaded and checked."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from importlib.resources import files
from pathlib import Path
from typing import Any

import yaml

from understave.addresses.ledger import Ledger, address_faults, read_ledger
from understave.entries.faults import Fault, Faulty, nearest
from understave.entries.folders import shown_path
from understave.entries.glossary import Glossary
from understave.entries.guides import read_guides
from understave.entries.reading import read_glossary
from understave.entries.replies import Replies, read_replies
from understave.entries.values import CountingSystem, Guide
from understave.lessons.lesson import Lesson, load_lesson, load_lessons

DEFAULT_SYSTEM = "e-and-a"

NOTATION = ("measures", "passages", "none")
"""What a lesson's page may show of its score: every measure, those that its sections explain, or nothing."""


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
    notation: str = NOTATION[0]
    """How much of a lesson's score its page shows."""
    config: Path = Path("mkdocs.yml")
    """The configuration file, for faults of its own."""
    site: Path = Path("site")
    """Where the built site lies."""


@dataclass(frozen=True)
class Loaded:
    """A project's content, checked."""

    project: Project
    glossary: Glossary
    guides: dict[str, Guide]
    lessons: dict[str, Lesson]
    ledger: Ledger

    @property
    def counting_system(self) -> CountingSystem | None:
        """The system that the site counts with; None for a glossary without any."""
        return self.glossary.of(CountingSystem).get(self.project.counting_system)

    replies: Replies


def project_of(content: Path, options: dict[str, Any], config: Path, site_url: str) -> Project:
    """Return the project of a content folder and the plugin's options; their paths count from ``config``'s folder.

    Raises NoProjectError for an option that is no text.
    """
    folder = config.parent

    def text(name: str) -> str:
        value = options.get(name) or ""
        if not isinstance(value, str):
            raise NoProjectError(f"{name}: {value!r} in the plugin's options; expected text")
        return value

    def path(name: str) -> Path | None:
        return folder / text(name) if text(name) else None

    def notation() -> str:
        if (value := text("notation") or NOTATION[0]) not in NOTATION:
            raise NoProjectError(f"notation: {value!r} in the plugin's options; expected one of {', '.join(NOTATION)}")
        return value

    return Project(
        content,
        path("lessons"),
        path("permalinks"),
        folder / ".cache" / "understave",
        site_url,
        text("counting_system") or DEFAULT_SYSTEM,
        notation(),
        config,
    )


def find_project(config: Path | None) -> Project:
    """Return the project of a configuration file, or else the nearest one, or else the content of the package.

    Raises NoProjectError for a file that doesn't read or doesn't name the plugin.
    """
    path = config or nearest_config()
    if path is None:
        return Project(default_content())
    found = _read_config(path)
    if found is None:
        raise NoProjectError(f"{path}: no plugin understave in it; expected a mkdocs.yml with plugins: [understave]")
    return found


def nearest_config() -> Path | None:
    """Return the nearest mkdocs.yml upwards that names the plugin."""
    candidates = (folder / "mkdocs.yml" for folder in (Path.cwd(), *Path.cwd().parents))
    return next((path for path in candidates if path.is_file() and _read_config(path)), None)


def default_content() -> Path:
    """Return the content that the package carries."""
    packaged = Path(str(files("understave"))) / "content"
    return packaged if packaged.is_dir() else Path(__file__).parents[3] / "content"


class _ConfigLoader(yaml.SafeLoader):
    """Reads MkDocs' files; tags of other plugins (!ENV, !!python/name) are passed over."""


_ConfigLoader.add_multi_constructor("", lambda loader, suffix, node: None)


def _read_config(path: Path) -> Project | None:
    """Return the project of a mkdocs.yml, None if it doesn't name the plugin. Raises NoProjectError if unreadable."""
    try:
        data = yaml.load(path.read_text(encoding="utf-8"), Loader=_ConfigLoader)
    except (OSError, ValueError, yaml.YAMLError) as error:
        reason = getattr(error, "strerror", None) or "it is no YAML"
        raise NoProjectError(f"{path}: {reason}; expected a readable mkdocs.yml") from None
    if not isinstance(data, dict):
        return None
    for name, options in _plugins(data.get("plugins")):
        if name == "understave":
            content = path.parent / str(data.get("docs_dir") or "docs")
            project = project_of(content, options, path, str(data.get("site_url") or ""))
            return replace(project, site=path.parent / str(data.get("site_dir") or "site"))
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
    guides, guide_faults = read_guides(project.content, glossary.of(CountingSystem) if whole else None)
    replies, reply_faults = read_replies(project.content, glossary.entries)
    faults += lesson_faults + ledger_faults + guide_faults + (reply_faults if whole else [])
    if whole and ledger is not None:
        faults += ledger.faults(glossary, lessons)
        faults += _address_faults(project, glossary)
        faults += _system_faults(project, glossary)
    if faults or ledger is None:
        raise Faulty(faults)
    return Loaded(project, glossary, guides, lessons, ledger, replies)


def _address_faults(project: Project, glossary: Glossary) -> list[Fault]:
    return [
        Fault(
            shown_path(project.content / glossary.entries[name].folder / f"{name}.yaml"),
            1,
            1,
            f"an id that gives the address {address}",
            "addresses that no other entry's pages have",
        )
        for name, address in address_faults(glossary)
    ]


def _system_faults(project: Project, glossary: Glossary) -> list[Fault]:
    systems = glossary.of(CountingSystem)
    if project.counting_system in systems or not systems:
        return []
    found = f"the counting system {project.counting_system!r}"
    return [
        Fault(
            shown_path(project.config),
            1,
            1,
            found,
            "the id of a counting system",
            nearest(project.counting_system, systems),
        )
    ]


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
