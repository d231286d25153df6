"""What the browser's tests share: Chromium, the built site behind a server, and pages that are watched.

Where Chromium or Playwright isn't there, these tests are skipped and say so; in CI that is a failure.
"""

from __future__ import annotations

import json
import os
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit

import pytest

from understave.answers.project import Loaded
from understave.pages.assets import browser_assets, tables

from ..built_site import BuiltSite, demo

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

__all__ = ["demo"]

CHROMIUM = Path("/usr/bin/chromium")

FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"]


def _missing(what: str) -> None:
    message = f"{what} isn't there, so that nothing was tried in a browser"
    if os.environ.get("CI"):
        pytest.fail(message)
    pytest.skip(message)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Return Chromium."""
    if not CHROMIUM.exists():
        _missing(str(CHROMIUM))
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        _missing("Playwright")
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=str(CHROMIUM), args=FLAGS)
        yield chromium
        chromium.close()


class _QuietHandler(SimpleHTTPRequestHandler):
    def log_message(self, format: str, *args: Any) -> None:
        pass


Serve = Callable[[Path], str]


@pytest.fixture(scope="session")
def serve() -> Iterator[Serve]:
    """Serve folders on this machine; returns the address of a folder's server, without a slash at its end."""
    servers: list[ThreadingHTTPServer] = []

    def served(folder: Path) -> str:
        server = ThreadingHTTPServer(("127.0.0.1", 0), partial(_QuietHandler, directory=str(folder)))
        threading.Thread(target=server.serve_forever, daemon=True).start()
        servers.append(server)
        return f"http://127.0.0.1:{server.server_address[1]}"

    yield served
    for server in servers:
        server.shutdown()
        server.server_close()


@pytest.fixture(scope="session")
def base(demo: BuiltSite, serve: Serve) -> str:
    """Return the address of the demo site, which lies in a folder below the host, as the real one does."""
    return f"{serve(demo.folder.parent)}/{demo.folder.name}"


@dataclass
class Watched:
    """A page in the browser, and what it said and asked for while it was open."""

    page: Page
    said: list[str] = field(default_factory=list)
    failed: list[str] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)

    def hosts(self) -> set[str]:
        """Return the hosts that were asked for anything."""
        return {urlsplit(url).hostname or "" for url in self.asked if not url.startswith(("data:", "blob:"))}


LIGHTS = """
window.lights = [];
window.wasLit = new Set();
addEventListener("DOMContentLoaded", () => new MutationObserver(() => {
  const lit = [...document.querySelectorAll(".lit, .key--lit")];
  for (const one of lit) window.wasLit.add(one);
  window.lights.push(lit.map((one) => one.dataset.note ?? one.dataset.key ?? one.textContent.trim()));
}).observe(document.body, { subtree: true, attributeFilter: ["class"] }));
"""
"""Notes all that is lit whenever that changes, so that no light is over before a test on a slow machine looks."""


def until_lit(seen: Watched, query: str = "*") -> None:
    """Wait until something that a query finds was lit, on a page that was opened with `LIGHTS`."""
    seen.page.wait_for_function("(query) => [...window.wasLit].some((one) => one.matches(query))", arg=query)


def lit_in_turn(seen: Watched) -> list[list[str]]:
    """Return what was lit together, each time that something was: notes and keys by name, words as they stand."""
    return [lights for lights in seen.page.evaluate("() => window.lights") if lights]


Watch = Callable[..., Any]


Size = tuple[int, int]


def _watched(browser: Browser, size: Size, scheme: str = "light", scripts: bool = True, zoom: int = 1) -> Watched:
    """Return a new empty page of its own, watched; its context is the caller's to close."""
    context = browser.new_context(
        viewport={"width": size[0], "height": size[1]}, color_scheme=scheme, java_script_enabled=scripts,
        device_scale_factor=zoom,
    )  # fmt: skip
    one = Watched(context.new_page())
    one.page.on("console", lambda message: one.said.append(f"{message.type}: {message.text}"))
    one.page.on("pageerror", lambda error: one.said.append(f"error: {error}"))
    one.page.on("requestfailed", lambda request: one.failed.append(request.url))
    one.page.on("request", lambda request: one.asked.append(request.url))
    one.page.on("response", lambda response: one.failed.append(response.url) if response.status >= 400 else None)
    return one


@pytest.fixture
def watch(browser: Browser) -> Watch:
    """Open pages that are watched: a context manager of a window size, a color scheme, and whether scripts run."""

    @contextmanager
    def watched(size: Size, scheme: str = "light", scripts: bool = True) -> Iterator[Watched]:
        one = _watched(browser, size, scheme, scripts)
        try:
            yield one
        finally:
            one.page.context.close()

    return watched


@pytest.fixture(scope="session")
def _looked_at(browser: Browser) -> Iterator[dict[tuple[Size, str, int], Watched]]:
    pages: dict[tuple[Size, str, int], Watched] = {}
    yield pages
    for one in pages.values():
        one.page.context.close()


@pytest.fixture
def look(browser: Browser, _looked_at: dict[tuple[Size, str, int], Watched]) -> Watch:
    """Like `watch`, for tests that look and change nothing: they share a page for each size, scheme and zoom.

    A new page takes the browser three times as long as going to another address.
    """

    @contextmanager
    def looked(size: Size, scheme: str = "light", zoom: int = 1) -> Iterator[Watched]:
        look = (size, scheme, zoom)
        if look not in _looked_at:
            _looked_at[look] = _watched(browser, size, scheme, zoom=zoom)
        one = _looked_at[look]
        one.page.goto("about:blank")
        for noted in (one.said, one.failed, one.asked):
            noted.clear()
        yield one

    return looked


@pytest.fixture
def beside_scripts(
    watch: Watch, serve: Serve, lanternfield: Loaded, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Watched]:
    """Open an empty page beside the scripts, which then has nothing to say."""
    folder = tmp_path_factory.mktemp("scripts")
    for name, content in browser_assets(tables(lanternfield)).items():
        (folder / Path(name).name).write_bytes(content.encode() if isinstance(content, str) else content)
    (folder / "index.html").write_text('<!doctype html><html lang="en"><title>Scripts</title></html>', encoding="utf-8")
    with watch((390, 844)) as seen:
        seen.page.goto(serve(folder) + "/index.html")
        yield seen
        assert [line for line in seen.said if "favicon" not in line and "404" not in line] == []


@pytest.fixture
def scripts(beside_scripts: Watched) -> Any:
    """Return what calls a function of a module for each of many arguments."""

    def called(module: str, function: str, calls: list[list[Any]]) -> list[Any]:
        script = """async ([module, name, calls]) => {
          const found = (await import(module))[name];
          return JSON.stringify(JSON.parse(calls).map((values) => found(...values)));
        }"""
        values = [f"./{module}", function, json.dumps(calls)]
        answers: list[Any] = json.loads(beside_scripts.page.evaluate(script, values))
        return answers

    return called
