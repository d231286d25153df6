"""Building and serving through MkDocs, from the command line."""

from __future__ import annotations

import logging
import os
from pathlib import Path
from typing import Any

import click

from understave.answers.project import NoProjectError

GOOD, BAD_INPUT = 0, 2


def build_site(config: Path | None) -> int:
    """Build the site strictly. Returns the exit status; faults are printed on stderr, one a line."""
    from mkdocs.commands.build import build
    from mkdocs.exceptions import Abort, ConfigurationError

    from understave.plugin import FaultyContent

    _show_warnings()
    try:
        settings = _settings(config)
    except ConfigurationError as error:
        raise NoProjectError(str(error)) from None
    settings.plugins.on_startup(command="build", dirty=False)
    try:
        build(settings)
    except FaultyContent as faulty:
        click.echo("\n".join(map(str, faulty.faults)), err=True)
        return BAD_INPUT
    except Abort:
        return BAD_INPUT
    finally:
        settings.plugins.on_shutdown()
    click.echo(str(settings.site_dir), err=True)
    return GOOD


def serve_site(config: Path | None, address: str) -> int:
    """Serve the site until it is stopped."""
    from mkdocs.commands.serve import serve

    _show_warnings()
    serve(str(_config_file(config)), dev_addr=address)
    return GOOD


def _settings(config: Path | None) -> Any:
    from mkdocs.config import load_config

    return load_config(str(_config_file(config)), strict=True)


def _config_file(config: Path | None) -> Path:
    """Return the configuration file: the one given, or the nearest mkdocs.yml upwards."""
    if config is not None:
        return config
    for folder in (Path.cwd(), *Path.cwd().parents):
        if (folder / "mkdocs.yml").is_file():
            return folder / "mkdocs.yml"
    raise NoProjectError("no mkdocs.yml here or above; expected one, or its path after -f")


def _show_warnings() -> None:
    """Let MkDocs' warnings through to stderr, and nothing else."""
    os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")
    logging.basicConfig(level=logging.WARNING, format="%(message)s")
