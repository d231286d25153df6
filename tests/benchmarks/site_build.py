"""Build the demo site cold, warm and with one entry edited, beside its floor: MkDocs and Verovio, each alone.

    PYTHONPATH=builder python tests/benchmarks/site_build.py [ROUNDS]

prints seconds (processor and wall) and peak memory of each, the median of ROUNDS (15 if not said), the ratios to the
floor round by round as median and range, and the sizes of a chord's page. Every round runs everything once, one after
the other, so that a busy machine is busy for all. Machines are noisy and differ: only the ratios say something.

The floor of a warm build is MkDocs with Material on as many pages without content, the guides among them as they are;
that of a cold one has Verovio drawing the same pictures added, in one process, nothing finished or kept.
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
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
CHORD_PAGE = "a-flat-minor-eleventh/index.html"
EDITED = "content/chord-symbols/minor-eleventh.yaml"

BUILDING = """
import atexit, resource, sys
atexit.register(lambda: print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss, file=sys.stderr))
sys.argv = ["mkdocs", "build", "-q"]
from mkdocs.__main__ import cli
cli()
"""
"""Builds, and says the peak memory of its own process in kB, without its workers'."""

DRAWING = """
import pickle, sys
from understave.engraving.drawing import draw
from understave.engraving.pictures import Picture
from understave.engraving.score_drawing import draw_excerpt
for one in pickle.load(open(sys.argv[1], "rb")):
    draw(one.mei, one.options, one.notes) if isinstance(one, Picture) else draw_excerpt(one)
print(0, file=sys.stderr)
"""

PICTURES = """
import pickle, sys
from pathlib import Path
from understave.answers.configuration import find_project
from understave.answers.project import load_project
from understave.pages.site import site_pages
loaded = load_project(find_project(Path("mkdocs.yml")))
pictures = {f.picture.key: f.picture for page in site_pages(loaded, "") for f in page.figures}
pickle.dump(list(pictures.values()), open(sys.argv[1], "wb"))
print(0, file=sys.stderr)
"""


@dataclass(frozen=True)
class Cost:
    """What one run took: seconds of processor and wall time, and the peak memory of its main process, in MB."""

    processor: float
    wall: float
    peak: float


def run(code: str, folder: Path, *arguments: str) -> Cost:
    """Run Python code in a folder once; its last line on stderr is its peak memory in kB."""
    started = time.monotonic()
    with tempfile.TemporaryFile("w+") as said:
        process = subprocess.Popen(
            [sys.executable, "-c", code, *arguments],
            cwd=folder,
            env={**os.environ, "NO_MKDOCS_2_WARNING": "1", "PYTHONPATH": str(ROOT / "builder")},
            stdout=subprocess.DEVNULL,
            stderr=said,
        )
        _, status, usage = os.wait4(process.pid, 0)
        said.seek(0)
        lines = said.read().splitlines()
    assert status == 0, "\n".join(lines)
    return Cost(usage.ru_utime + usage.ru_stime, time.monotonic() - started, int(lines[-1]) / 1024)


def demo(folder: Path) -> None:
    """Copy the demo's sources."""
    shutil.copytree(ROOT / "content", folder / "content")
    shutil.copytree(ROOT / "site_examples", folder / "site_examples")
    shutil.copy(ROOT / "mkdocs.yml", folder)


def stubs(folder: Path, pages: int) -> None:
    """Write a site of as many pages: the demo's guides, and a title and front matter out of search and navigation."""
    guides = shutil.copytree(ROOT / "content" / "guides", folder / "docs" / "guides")
    for number in range(pages - len(list(guides.iterdir()))):
        head = f"---\ntitle: Page {number}\nhide: [toc]\nsearch:\n  exclude: true\n---\n"
        (folder / "docs" / f"{'index' if number == 0 else f'page-{number}'}.md").write_text(head + f"# Page {number}\n")
    (folder / "mkdocs.yml").write_text(
        "site_name: Stubs\nsite_url: https://stubs.example/\ntheme: {name: material, font: false}\n"
        "plugins: [search]\nnav: [index.md]\nnot_in_nav: '*'\n"
    )


def pages_of(folder: Path) -> int:
    """Return how many pages a built site has."""
    return sum(1 for _ in (folder / "site").rglob("index.html"))


class Bench:
    """The demo and its floor in a folder of their own; each of its runs can be repeated."""

    def __init__(self, folder: Path) -> None:
        self.own, self.bare, self.pictures = folder / "demo", folder / "stubs", folder / "pictures"
        demo(self.own)
        run(BUILDING, self.own)
        self.pages = pages_of(self.own)
        stubs(self.bare, self.pages)
        run(PICTURES, self.own, str(self.pictures))
        self._edits = 0

    def runs(self) -> dict[str, Callable[[], Cost]]:
        """Return what a round runs, by name."""
        return {
            "MkDocs and Material": lambda: run(BUILDING, self.bare),
            "demo, warm": lambda: run(BUILDING, self.own),
            "demo, one entry edited": self._edited,
            "Verovio": lambda: run(DRAWING, self.own, str(self.pictures)),
            "demo, cold": self._cold,
        }

    def _edited(self) -> Cost:
        self._edits += 1
        text = (ROOT / EDITED).read_text("utf-8")
        again = f"text: |\n  Edited {self._edits} times.\n\n"
        (self.own / EDITED).write_text(text.replace("text: |\n", again, 1), "utf-8")
        return run(BUILDING, self.own)

    def _cold(self) -> Cost:
        shutil.rmtree(self.own / ".cache")
        return run(BUILDING, self.own)


def ratios(costs: dict[str, list[Cost]]) -> dict[str, list[float]]:
    """Return each build's processor time in parts of its floor's, round by round."""
    mkdocs = [cost.processor for cost in costs["MkDocs and Material"]]
    both = [one + cost.processor for one, cost in zip(mkdocs, costs["Verovio"], strict=True)]
    floors = {"demo, warm": mkdocs, "demo, one entry edited": mkdocs, "demo, cold": both}
    return {
        name: [cost.processor / under for cost, under in zip(costs[name], floor, strict=True)]
        for name, floor in floors.items()
    }


def measured(bench: Bench, rounds: int) -> dict[str, list[Cost]]:
    """Run everything in turn, round by round."""
    costs: dict[str, list[Cost]] = defaultdict(list)
    for _ in range(rounds):
        for name, once in bench.runs().items():
            costs[name].append(once())
    return costs


def print_table(pages: int, costs: dict[str, list[Cost]]) -> None:
    """Print medians, and the ratios with their range."""
    against = ratios(costs)
    print(f"{pages} pages, {len(costs['demo, cold'])} rounds")
    print(f"{'':24} {'CPU s':>7} {'wall s':>7} {'peak MB':>8}   to its floor")
    for name, taken in costs.items():
        parts = (statistics.median(getattr(cost, part) for cost in taken) for part in ("processor", "wall", "peak"))
        processor, wall, peak = parts
        found = against.get(name)
        ratio = f"{statistics.median(found):5.2f} ({min(found):.2f} to {max(found):.2f})" if found else ""
        print(f"{name:24} {processor:7.2f} {wall:7.2f} {peak or float('nan'):8.0f}   {ratio}")


def print_sizes(site: Path) -> None:
    """Print the sizes of a chord's page."""
    page = (site / CHORD_PAGE).read_bytes()
    picture = re.search(rb'<svg xmlns="[^"]*" class="notation".*?</svg></svg>', page, re.S)
    sprite = re.search(rb'<svg class="glyphs".*?</svg>', page, re.S)
    assert picture is not None
    assert sprite is not None
    for name, part in (("chord page, HTML", page), ("its picture", picture[0]), ("its glyphs", sprite[0])):
        print(f"{name:24} {len(part):7} bytes, {len(gzip.compress(part)):6} gzip")


def main() -> None:
    """Run and print."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 15
    with tempfile.TemporaryDirectory() as temporary:
        bench = Bench(Path(temporary))
        print_table(bench.pages, measured(bench, rounds))
        print_sizes(bench.own / "site")


if __name__ == "__main__":
    main()
