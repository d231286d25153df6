"""Serves a small site while it is edited: what is saved is shown, faults stand in its place, and it recovers."""

from __future__ import annotations

import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from urllib.error import HTTPError, URLError
from urllib.request import urlopen

import pytest

from ..built_site import SMALL, quiet_environment, understave

LONG_ENOUGH = 120
"""Seconds until a test gives up; nothing here asserts a speed."""

COMMAND = [sys.executable, "-c", "from understave.cli import main; main()", "serve", "--address"]


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@pytest.fixture
def project(tmp_path: Path) -> Path:
    folder = tmp_path / "project"
    shutil.copytree(SMALL, folder, ignore=shutil.ignore_patterns("site", ".cache"))
    return folder


@pytest.fixture
def page(project: Path) -> Iterator[Callable[[str], str]]:
    """Serve the project; return what fetches a page."""
    port = free_port()
    process = subprocess.Popen(
        [*COMMAND, f"127.0.0.1:{port}"], cwd=project, env=quiet_environment(), stderr=subprocess.DEVNULL
    )

    def fetched(address: str) -> str:
        try:
            with urlopen(f"http://127.0.0.1:{port}{address}", timeout=LONG_ENOUGH) as answer:
                return str(answer.read().decode())
        except HTTPError as error:
            return error.read().decode()

    yield fetched
    process.terminate()
    process.wait()


def until(found: Callable[[], bool]) -> None:
    """Wait until something is so; a server that doesn't answer yet hasn't shown it."""
    end = time.monotonic() + LONG_ENOUGH
    while time.monotonic() < end:
        with suppress(URLError, ConnectionError):
            if found():
                return
        time.sleep(0.1)
    raise AssertionError("it was never shown")


def test_what_is_saved_is_shown_and_what_is_wrong_stands_in_its_place_until_it_is_mended(project, page):
    entry, address = project / "content" / "terms" / "lowest-note.yaml", "/terms/lowest-note/"
    right = entry.read_text("utf-8")
    until(lambda: "lowest note" in page(address))
    assert "livereload" in page(address)
    assert "Content-Security-Policy" not in page(address), "it would keep the page from being reloaded"

    entry.write_text(right.replace("The note that sounds", "The very note that sounds"), encoding="utf-8")
    until(lambda: "The very note that sounds" in page(address))

    entry.write_text(right + "nonsense: x\n", encoding="utf-8")
    until(lambda: "nonsense" in page(address))
    [line] = understave("check", cwd=project).stdout.splitlines()
    shown = page(address)
    assert line.replace("'", "&#x27;") in shown
    assert '<meta http-equiv="refresh"' in shown
    assert page("/") == page("/chord-symbols/minor/") == shown

    entry.write_text(right, encoding="utf-8")
    until(lambda: "nonsense" not in page(address))
    assert "The note that sounds" in page(address)
    assert "nonsense" not in page("/")


def test_serving_what_has_faults_already_tells_them_and_ends(project):
    entry = project / "content" / "terms" / "lowest-note.yaml"
    entry.write_text(entry.read_text("utf-8") + "nonsense: x\n", encoding="utf-8")
    served = understave("serve", "--address", f"127.0.0.1:{free_port()}", cwd=project)
    assert served.returncode == 2
    assert served.stderr == understave("check", cwd=project).stdout
