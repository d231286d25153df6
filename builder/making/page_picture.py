"""Take a picture of a page on a phone and on a desk, side by side.

Needs the built site in site/ and /usr/bin/chromium. Run from the repository's root; the second page is there once the
chord of DEVELOPERS.md is:

    python builder/making/page_picture.py f-minor-ninth .readme/page.png
    python builder/making/page_picture.py e-flat-major-seventh-added-thirteenth .readme/new-chord.png
"""

from __future__ import annotations

import base64
import sys
import threading
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer

from playwright.sync_api import Browser, sync_playwright

FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"]


class Quiet(SimpleHTTPRequestHandler):
    """Serves the site without a word."""

    def log_message(self, format: str, *args: object) -> None:
        """Say nothing."""


def shot(browser: Browser, address: str, width: int, height: int) -> str:
    """Return a screenshot as a data address."""
    page = browser.new_page(viewport={"width": width, "height": height}, device_scale_factor=1.5)
    page.goto(address)
    page.wait_for_timeout(400)
    image = page.screenshot()
    page.close()
    return "data:image/png;base64," + base64.b64encode(image).decode()


def main() -> None:
    """Write the picture of the page given to the path given."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory="site"))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    address = f"http://127.0.0.1:{server.server_port}/{sys.argv[1]}/"
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=FLAGS)
        phone, desk = shot(browser, address, 390, 760), shot(browser, address, 1000, 760)
        page = browser.new_page(viewport={"width": 1160, "height": 600})
        frame = "height:560px;border:1px solid #cfc8b8"
        page.set_content(
            f'<body style="margin:20px;background:#fff;display:flex;gap:24px">'
            f'<img style="{frame}" src="{phone}"><img style="{frame}" src="{desk}"></body>'
        )
        page.wait_for_timeout(200)
        page.screenshot(path=sys.argv[2])
        browser.close()


if __name__ == "__main__":
    main()
