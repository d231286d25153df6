"""Serving a site while it is edited: what is watched, and the faults that stand in the place of every page."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from mkdocs.livereload import LiveReloadServer

from understave.answers.project import Loaded
from understave.lessons.levels import LEVELS_FILE
from understave.pages.faults_page import faults_html


def watched_paths(loaded: Loaded) -> list[Path]:
    """Return what is watched beside the content: lessons, the folders of their scores, the levels, the ledger."""
    folder, ledger = loaded.project.lessons, loaded.project.permalinks
    found = [ledger] if ledger else []
    if folder is not None:
        scores = {(folder / lesson.file.score).resolve().parent for lesson in loaded.lessons.values()}
        found += [folder, folder.parent / LEVELS_FILE, *sorted(scores)]
    return [path for path in found if path.exists()]


class FaultsInPlace:
    """Lets a server show the faults in the place of every page while a site has any, and the site when it has none.

    ``why`` returns the lines of the build that failed last.
    """

    def __init__(self, server: LiveReloadServer, why: Callable[[], Sequence[str]]) -> None:
        self.server, self.why, self.page = server, why, b""
        self.build, self.site, self.missing = server.builder, server.root, server.error_handler
        server.builder, server.error_handler = self.rebuild, self.error_page

    def rebuild(self) -> None:
        """Build the site anew; a failure is shown and doesn't end the server."""
        try:
            self.build()
        except Exception as error:
            self.page = faults_html(self.why() or [str(error)]).encode()
            # nothing is found there, and so each page is the one of the faults
            self.server.root = str(Path(self.site) / "faults")
        else:
            self.page, self.server.root = b"", self.site

    def error_page(self, code: int) -> bytes | None:
        """Return what is shown for an address that isn't found."""
        return self.page or self.missing(code)
