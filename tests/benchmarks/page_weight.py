"""Measure what a page of each kind weighs and when it stands, beside a bare Material page with the same words.

    PYTHONPATH=builder python -m tests.benchmarks.page_weight SITE [RUNS] [KIND...]

SITE is the demo's built folder. Prints, for one page of each kind opened on a slow phone (`browsing.py`) that has seen
nothing yet: bytes over the wire beyond Material's own styles and scripts; the largest contentful paint, and its ratio
to the bare page's, both the median of RUNS that take turns; how far the layout shifted; how long tasks blocked the
main thread beyond 50 ms each while the page loaded, ours and the bare page's, and what of that our scripts ran. Read
ratios and sizes: times differ between machines.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from html import escape
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser

from ..browser.test_pages_in_chromium import KINDS
from ..built_site import BuiltSite, Node, quiet_environment
from .browsing import chromium, served, slow_phone

RUNS = 9

LEFT_OUT = ("unknown address",)

BLOCKS = {"h1", "h2", "h3", "p", "li", "tr", "summary", "figcaption", "dt", "dd", "label", "button"}
"""The elements that words are taken from, each a block of the bare page."""

MATERIAL = ("/assets/stylesheets/", "/assets/javascripts/")
"""Where Material's own styles and scripts lie."""

QUIET = 700
"""Milliseconds without a request after which a page has loaded."""

WATCH = """
window.seen = { paint: 0, shift: 0, blocked: 0, ours: 0 };
const watch = (type, take) =>
  new PerformanceObserver((list) => list.getEntries().forEach(take)).observe({ type, buffered: true });
const isOurs = ({ sourceURL }) => sourceURL.includes("/assets/understave-");
watch("largest-contentful-paint", ({ startTime }) => { window.seen.paint = startTime; });
watch("layout-shift", ({ value }) => { window.seen.shift += value; });
watch("longtask", ({ duration }) => { window.seen.blocked += duration - 50; });
watch("long-animation-frame", ({ scripts }) => {
  for (const { duration } of scripts.filter(isOurs)) window.seen.ours += duration;
});
"""


@dataclass(frozen=True)
class View:
    """A first view: bytes beyond Material's own, milliseconds to the largest paint, shift, blocked and our own time."""

    size: int
    paint: float
    shift: float
    blocked: float
    ours: float


def first_view(browser: Browser, url: str) -> View:
    """Open a page on a slow phone."""
    with slow_phone(browser) as (page, session):
        asked: dict[str, str] = {}
        sizes: dict[str, int] = {}

        def note(event: dict[str, Any]) -> None:
            asked[event["requestId"]] = event["request"]["url"]

        def finish(event: dict[str, Any]) -> None:
            sizes[event["requestId"]] = int(event["encodedDataLength"])

        session.on("Network.requestWillBeSent", note)
        session.on("Network.loadingFinished", finish)
        page.add_init_script(WATCH)
        page.goto(url, wait_until="networkidle")
        page.wait_for_function("() => window.seen.paint > 0")
        page.wait_for_timeout(QUIET)
        seen = page.evaluate("() => window.seen")
    own = sum(size for name, size in sizes.items() if not any(part in asked[name] for part in MATERIAL))
    return View(own, seen["paint"], seen["shift"], seen["blocked"], seen["ours"])


def same_words(article: Node) -> str:
    """Return the words of a page as plain blocks, without pictures."""
    blocks = []

    def take(node: Node) -> None:
        if node.tag in ("svg", "noscript"):
            return
        if node.tag == "tr":
            cells = "".join(f"<td>{escape(cell.text)}</td>" for cell in node if cell.tag in ("td", "th"))
            blocks.append(f"<table><tr>{cells}</tr></table>")
        elif node.tag in BLOCKS:
            tag = node.tag if node.tag.startswith("h") else "p"
            blocks.append(f"<{tag}>{escape(node.text)}</{tag}>")
        else:
            for part in node.content:
                if isinstance(part, Node):
                    take(part)

    take(article)
    return "\n".join(blocks).replace("</table>\n<table>", "")


def bare_site(folder: Path, site: BuiltSite, kinds: dict[str, str]) -> Path:
    """Build a Material site with nothing of ours: a page of the same words for each kind."""
    (folder / "docs").mkdir()
    for number, address in enumerate(kinds.values()):
        article = next(node for node in site.tree(address) if node.tag == "article")
        name = "index" if number == 0 else f"page-{number}"
        (folder / "docs" / f"{name}.md").write_text(same_words(article), encoding="utf-8")
    (folder / "mkdocs.yml").write_text(
        "site_name: Lanternfield piano glossary\nsite_url: https://bare.example/\n"
        "theme: {name: material, font: false}\n"
        "plugins: [search]\nnav: [index.md]\nnot_in_nav: '*'\n",
        encoding="utf-8",
    )
    subprocess.run([sys.executable, "-m", "mkdocs", "build", "-q"], cwd=folder, env=quiet_environment(), check=True)
    return folder / "site"


def median(views: list[View], part: str) -> float:
    """Return the median of a part of views."""
    return statistics.median(getattr(view, part) for view in views)


def main() -> None:
    """Run and print."""
    folder = Path(sys.argv[1])
    runs = int(sys.argv[2]) if len(sys.argv) > 2 else RUNS
    kinds = {name: address for name, address in KINDS.items() if name in (sys.argv[3:] or set(KINDS) - {*LEFT_OUT})}
    paths = {name: address.partition("?")[0] for name, address in kinds.items()}
    with tempfile.TemporaryDirectory() as temporary, chromium() as browser:
        bare_folder = bare_site(Path(temporary), BuiltSite(folder, subprocess.CompletedProcess([], 0)), paths)
        print(f"{'':16} {'':>8} {'largest paint, ms':>26} {'':>8} {'blocked, ms':>20} {'':>8}")
        print(
            f"{'median of ' + str(runs):16} {'bytes':>8} {'ours':>8} {'bare':>8} {'ratio':>8} {'shift':>8} "
            f"{'ours':>10} {'bare':>9} {'scripts':>8}"
        )
        with served(folder) as own_address, served(bare_folder) as bare_address:
            for number, (name, address) in enumerate(kinds.items()):
                own: list[View] = []
                bare: list[View] = []
                for _ in range(runs):
                    own.append(first_view(browser, own_address + address))
                    bare.append(first_view(browser, f"{bare_address}/{f'page-{number}/' if number else ''}"))
                ratio = statistics.median(one.paint / other.paint for one, other in zip(own, bare, strict=True))
                shift = max(view.shift for view in own)
                print(
                    f"{name:16} {median(own, 'size'):8.0f} {median(own, 'paint'):8.0f} {median(bare, 'paint'):8.0f} "
                    f"{ratio:8.2f} {shift:8.3f} {median(own, 'blocked'):10.0f} {median(bare, 'blocked'):9.0f} "
                    f"{median(own, 'ours'):8.0f}",
                    flush=True,
                )


if __name__ == "__main__":
    main()
