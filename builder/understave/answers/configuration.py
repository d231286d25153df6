"""Where a site's content lies: its mkdocs.yml found and read, without loading anything."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from importlib.resources import files
from pathlib import Path
from typing import Any

import yaml

from understave.phrases.catalogue import ENGLISH

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
    language: str = ENGLISH
    """The language of the site's sentences, which is the theme's."""
    config: Path = Path("mkdocs.yml")
    """The configuration file, for faults of its own."""
    site: Path = Path("site")
    """Where the built site lies."""


def project_of(content: Path, options: dict[str, Any], config: Path, site_url: str, language: str = ENGLISH) -> Project:
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
        language,
        config,
    )


def find_project(config: Path | None) -> Project:
    """Return the project of a configuration file, or else the nearest one, or else the content of the package.

    Raises NoProjectError for a file that doesn't read or doesn't name the plugin.
    """
    if config is None:
        return _nearest() or Project(default_content())
    found = _read_config(config)
    if found is None:
        raise NoProjectError(f"{config}: no plugin understave in it; expected a mkdocs.yml with plugins: [understave]")
    return found


def nearest_config() -> Path | None:
    """Return the nearest mkdocs.yml upwards that names the plugin."""
    nearest = _nearest()
    return nearest.config if nearest else None


def _nearest() -> Project | None:
    candidates = (folder / "mkdocs.yml" for folder in (Path.cwd(), *Path.cwd().parents))
    return next((found for path in candidates if path.is_file() and (found := _read_config(path))), None)


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
            project = project_of(content, options, path, str(data.get("site_url") or ""), _language(data.get("theme")))
            return replace(project, site=path.parent / str(data.get("site_dir") or "site"))
    return None


def _language(theme: object) -> str:
    """Return the language of a theme that is given by its name or with its options."""
    return str(theme.get("language") or ENGLISH) if isinstance(theme, dict) else ENGLISH


def _plugins(value: object) -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield each plugin's name and options, from a list of names and mappings or from one mapping."""
    for item in [value] if isinstance(value, dict) else value if isinstance(value, list) else []:
        pairs = item.items() if isinstance(item, dict) else [(item, {})]
        for name, options in pairs:
            yield str(name), options if isinstance(options, dict) else {}
