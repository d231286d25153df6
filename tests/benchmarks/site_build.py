"""Build the demo site cold and warm, beside a bare MkDocs and Material site of as many stub pages, in one run.

    python tests/benchmarks/site_build.py [RUNS]

prints seconds (processor and wall) and peak memory of each, the median of RUNS, as ratios to the stubs, and the sizes
of a chord's page. Machines are noisy and differ: only the ratios say something.
"""

from __future__ import annotations

import gzip
import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
CHORD_PAGE = "a-flat-minor-eleventh/index.html"


@dataclass(frozen=True)
class Cost:
    """What one build took: seconds of processor and wall time, and the peak memory of its main process, in MB."""

    processor: float
    wall: float
    peak: float


def build(folder: Path) -> Cost:
    """Build the site of a folder once."""
    started = time.monotonic()
    process = subprocess.Popen(
        [sys.executable, "-m", "mkdocs", "build", "-q"],
        cwd=folder,
        env={**os.environ, "NO_MKDOCS_2_WARNING": "1"},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    _, status, usage = os.wait4(process.pid, 0)
    assert status == 0, f"the build in {folder} failed"
    return Cost(usage.ru_utime + usage.ru_stime, time.monotonic() - started, usage.ru_maxrss / 1024)


def demo(folder: Path) -> None:
    """Copy the demo's sources."""
    shutil.copytree(ROOT / "content", folder / "content")
    shutil.copytree(ROOT / "site_examples", folder / "site_examples")
    shutil.copy(ROOT / "mkdocs.yml", folder)


def stubs(folder: Path, pages: int) -> None:
    """Write a site of stub pages: a title and front matter, out of the search and the navigation."""
    (folder / "docs").mkdir(parents=True)
    for number in range(pages):
        head = f"---\ntitle: Page {number}\nhide: [toc]\nsearch:\n  exclude: true\n---\n"
        (folder / "docs" / f"{'index' if number == 0 else f'page-{number}'}.md").write_text(head + f"# Page {number}\n")
    (folder / "mkdocs.yml").write_text(
        "site_name: Stubs\nsite_url: https://stubs.example/\ntheme: {name: material, font: false}\n"
        "plugins: [search]\nnav: [index.md]\nnot_in_nav: '*'\n"
    )


def line(name: str, costs: list[Cost], floor: Cost | None) -> str:
    """Return a row of the table: medians, and the ratio of processor time to the floor."""
    processor, wall, peak = (
        statistics.median(getattr(cost, part) for cost in costs) for part in ("processor", "wall", "peak")
    )
    ratio = f"{processor / floor.processor:5.2f}" if floor else " 1.00"
    return f"{name:28} {processor:8.2f} {wall:8.2f} {peak:8.0f} {ratio:>8}"


def main() -> None:
    """Run and print."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 3
    with tempfile.TemporaryDirectory() as temporary:
        own, bare = Path(temporary) / "demo", Path(temporary) / "stubs"
        demo(own)
        build(own)
        pages = sum(1 for _ in (own / "site").rglob("index.html"))
        stubs(bare, pages)
        costs: dict[str, list[Cost]] = {"stubs, MkDocs and Material": [], "demo, warm": [], "demo, cold": []}
        for _ in range(runs):
            costs["stubs, MkDocs and Material"].append(build(bare))
            costs["demo, warm"].append(build(own))
            shutil.rmtree(own / ".cache")
            costs["demo, cold"].append(build(own))
        floor = Cost(
            *(
                statistics.median(getattr(c, part) for c in costs["stubs, MkDocs and Material"])
                for part in ("processor", "wall", "peak")
            )
        )
        print(f"{pages} pages, median of {runs} runs")
        print(f"{'':28} {'CPU s':>8} {'wall s':>8} {'peak MB':>8} {'ratio':>8}")
        for name, taken in costs.items():
            print(line(name, taken, floor))
        page = (own / "site" / CHORD_PAGE).read_bytes()
        picture = re.search(rb'<svg xmlns="[^"]*" class="notation".*?</svg></svg>', page, re.S)
        assert picture is not None
        sprite = re.search(rb'<svg class="glyphs".*?</svg>', page, re.S)
        assert sprite is not None
        for name, part in (("chord page, HTML", page), ("its picture", picture[0]), ("its glyphs", sprite[0])):
            print(f"{name:28} {len(part):8} bytes, {len(gzip.compress(part)):6} gzip")


if __name__ == "__main__":
    main()
