"""What the browser's benchmarks share: a server that packs what it sends, and pages opened on a slow phone.

A slow phone is Chromium with a processor four times slower, 1.6 Mbit/s down and 150 ms there and back, by its own
throttling (Chrome DevTools Protocol: Emulation.setCPUThrottlingRate, Network.emulateNetworkConditions).
"""

from __future__ import annotations

import gzip
import mimetypes
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import lru_cache, partial
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

from playwright.sync_api import Browser, CDPSession, Page, sync_playwright

CHROMIUM = "/usr/bin/chromium"
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"]

SLOWER = 4
BITS_A_SECOND = 1_600_000
LATENCY = 150

PHONE = (390, 844)

PACKED = ("text/", "application/json", "application/xml", "image/svg", "text/javascript", "application/javascript")
"""The beginnings of the types that servers usually pack."""


@lru_cache(maxsize=4096)
def _content(file: Path) -> tuple[bytes, str, bool]:
    kind = mimetypes.guess_type(file.name)[0] or "application/octet-stream"
    packs = kind.startswith(PACKED)
    return (gzip.compress(file.read_bytes(), 6) if packs else file.read_bytes()), kind, packs


class _Packing(BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"

    def __init__(self, folder: Path, *arguments: Any) -> None:
        self.folder = folder
        super().__init__(*arguments)

    def do_GET(self) -> None:
        file = self.folder / unquote(urlsplit(self.path).path).lstrip("/")
        file = file / "index.html" if file.is_dir() else file
        if not file.is_file():
            self.send_response(404)
            self.send_header("Content-Length", "0")
            self.end_headers()
            return
        content, kind, packs = _content(file)
        self.send_response(200)
        self.send_header("Content-Type", f"{kind}; charset=utf-8" if kind.startswith("text/") else kind)
        if packs:
            self.send_header("Content-Encoding", "gzip")
        self.send_header("Content-Length", str(len(content)))
        self.send_header("Cache-Control", "max-age=600")
        self.end_headers()
        with suppress(ConnectionError):  # the page was closed while it was still asking
            self.wfile.write(content)

    def log_message(self, format: str, *args: Any) -> None:
        pass


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """Serve a folder, packed; gives its address without a slash at the end."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(_Packing, folder))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_address[1]}"
    server.shutdown()
    server.server_close()


@contextmanager
def chromium() -> Iterator[Browser]:
    """Start Chromium."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield browser
        browser.close()


@contextmanager
def slow_phone(browser: Browser) -> Iterator[tuple[Page, CDPSession]]:
    """Open an empty page on a slow phone that has seen nothing yet."""
    context = browser.new_context(viewport={"width": PHONE[0], "height": PHONE[1]}, service_workers="block")
    page = context.new_page()
    session = context.new_cdp_session(page)
    session.send("Network.enable")
    bytes_a_second = BITS_A_SECOND / 8
    conditions = {"downloadThroughput": bytes_a_second, "uploadThroughput": bytes_a_second, "latency": LATENCY}
    session.send("Network.emulateNetworkConditions", {"offline": False, **conditions})
    session.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    yield page, session
    context.close()
