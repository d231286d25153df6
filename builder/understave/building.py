"""Building and serving through MkDocs, from the command line."""

from __future__ import annotations

import logging
import os
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import click

from understave.answers.configuration import NoProjectError, find_project, nearest_config
from understave.answers.project import load_project

GOOD, BAD_INPUT = 0, 2


def build_site(config: Path | None) -> int:
    """Build the site strictly. Returns the exit status; raises Faulty before anything is built."""
    from mkdocs.commands.build import build
    from mkdocs.exceptions import Abort

    load_project(find_project(_config_file(config)))
    settings = _settings(config)
    logging.getLogger("mkdocs.commands.build").addFilter(_is_no_echo)
    final = settings.site_dir
    settings.plugins.on_startup(command="build", dirty=False)
    try:
        build(settings)
    except Abort:
        return BAD_INPUT
    finally:
        settings.plugins.on_shutdown()
    click.echo(final, err=True)
    return GOOD


def serve_site(config: Path | None, address: str) -> int:
    """Serve the site until it is stopped; its address is printed first. Raises Faulty for content with faults."""
    from mkdocs.commands.serve import serve

    load_project(find_project(_config_file(config)))
    path = urlsplit(_settings(config).site_url or "/").path or "/"
    click.echo(f"http://{address}{path}", err=True)
    serve(str(_config_file(config)), dev_addr=address)
    return GOOD


def _settings(config: Path | None) -> Any:
    """Return MkDocs' settings. Raises NoProjectError, in one line, for a configuration that MkDocs refuses."""
    from mkdocs.config import load_config
    from mkdocs.exceptions import Abort, ConfigurationError

    said: list[str] = []
    listener = _Listener(said)
    log = logging.getLogger("mkdocs")
    log.addHandler(listener)
    log.propagate = False
    try:
        return load_config(str(_config_file(config)), strict=True)
    except (Abort, ConfigurationError, ValueError, TypeError) as error:
        raise NoProjectError("; ".join([*said, str(error)])) from None
    finally:
        log.removeHandler(listener)
        log.propagate = True
        _show_warnings()


def _is_no_echo(record: logging.LogRecord) -> bool:
    """Tell whether a message is more than the announcement of an error that is told by itself."""
    return not record.getMessage().startswith("Error building page")


class _Listener(logging.Handler):
    """Collects what is said."""

    def __init__(self, said: list[str]) -> None:
        super().__init__(logging.WARNING)
        self.said = said

    def emit(self, record: logging.LogRecord) -> None:
        """Keep a message."""
        self.said.append(record.getMessage())


def _config_file(config: Path | None) -> Path:
    """Return the configuration file: the one given, or the nearest that names the plugin."""
    found = config or nearest_config()
    if found is None:
        raise NoProjectError("no mkdocs.yml here or above that names the plugin; expected one, or its path after -f")
    return found


def _show_warnings() -> None:
    """Let MkDocs' warnings through to stderr, and nothing else."""
    os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")
    logging.basicConfig(level=logging.WARNING, format="%(message)s")
