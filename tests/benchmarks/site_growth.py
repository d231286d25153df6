"""Build the demo with more and more chord types, or more and more lessons, beside as many stub pages each time.

    PYTHONPATH=builder python tests/benchmarks/site_growth.py [chords|lessons] [FACTOR...]

prints seconds of processor and the main process's peak memory for each size, the same for stubs, and the exponents of
time in pages: 1 is linear. Chord types are added until there are FACTOR times as many pages (1 2 4 if not said), or
lessons are copied. Read exponents and differences only.
"""

from __future__ import annotations

import math
import shutil
import sys
import tempfile
from collections.abc import Iterator
from itertools import combinations
from pathlib import Path

from understave.addresses.slugs import inversions
from understave.entries.kept import load_glossary
from understave.entries.values import Spelled
from understave.theory.symbols import SymbolError, read_symbol

from site_build import BUILDING, ROOT, Cost, demo, pages_of, run, stubs  # isort: skip

BASES = ("", "m", "7", "m7", "maj7", "6", "m6", "7sus4", "m(maj7)", "dim7", "9", "m9", "maj9")
TONES = ("b5", "#5", "b9", "9", "#9", "11", "#11", "b13", "13")

ENTRY = """\
name: chord type number {number}
written: ["{written}"]
degrees: [{degrees}]
summary: A chord type made to see how the build grows.
text: |
  Play {{1}} first, then {{symbol}}.
sources: ["made up"]
"""


def new_types() -> Iterator[tuple[str, str, int]]:
    """Yield chord types that the demo lacks: what is written, the degrees, and how many pages it makes."""
    glossary = load_glossary(ROOT / "content")
    known = set(glossary.by_degrees)
    taken = {form for entry in glossary.chords.values() for form in entry.written}
    for base in BASES:
        for count in (1, 2, 3, 4):
            for tones in combinations(TONES, count):
                written = f"{base}({','.join(tones)})"
                try:
                    reading = read_symbol(f"C{written}")[0]
                except SymbolError:
                    continue
                chord = reading.chord
                if chord is None or chord.degrees in known or written in taken or len(read_symbol(f"C{written}")) > 1:
                    continue
                known.add(chord.degrees)
                entry = Spelled(
                    name="", summary="", text="", sources=(), written=(written,), degrees=chord.degrees
                )  # fmt: skip
                yield written, ", ".join(f'"{degree}"' for degree in chord.degrees), 1 + 21 * inversions(entry)


def with_chords(folder: Path, pages: int) -> None:
    """Add chord types to a demo until they make so many pages more."""
    types = new_types()
    number = 0
    while pages > 0:
        written, degrees, made = next(types)
        number += 1
        path = folder / "content" / "chord-symbols" / f"made-up-{number}.yaml"
        path.write_text(ENTRY.format(number=number, written=written, degrees=degrees), encoding="utf-8")
        pages -= made


def with_lessons(folder: Path, factor: int) -> None:
    """Copy the lessons of a demo until there are ``factor`` times as many."""
    lessons = folder / "site_examples" / "lanternfield" / "lessons"
    for path in sorted(lessons.iterdir()):
        for number in range(1, factor):
            shutil.copy(path, path.with_stem(f"{path.stem}-{number}"))


def grown(kind: str, factor: int, pages: int) -> tuple[int, Cost, Cost]:
    """Return how many pages a demo of a size has, what it costs to build it cold, and stubs beside it."""
    with tempfile.TemporaryDirectory() as temporary:
        own, bare = Path(temporary) / "demo", Path(temporary) / "stubs"
        demo(own)
        if kind == "lessons":
            with_lessons(own, factor)
        elif factor > 1:
            with_chords(own, (factor - 1) * pages)
        cost = run(BUILDING, own)
        stubs(bare, pages_of(own))
        return pages_of(own), cost, run(BUILDING, bare)


def exponent(sizes: list[int], costs: list[float]) -> float:
    """Return the slope of a line through the logarithms, by least squares."""
    xs, ys = [math.log(size) for size in sizes], [math.log(cost) for cost in costs]
    x, y = sum(xs) / len(xs), sum(ys) / len(ys)
    return sum((a - x) * (b - y) for a, b in zip(xs, ys, strict=True)) / sum((a - x) ** 2 for a in xs)


def main() -> None:
    """Run and print."""
    kind = sys.argv[1] if len(sys.argv) > 1 else "chords"
    factors = [int(factor) for factor in sys.argv[2:]] or [1, 2, 4]
    pages = 0
    sizes: list[int] = []
    own: list[Cost] = []
    bare: list[Cost] = []
    print(f"{'pages':>7} {'CPU s':>8} {'peak MB':>8} {'stubs: CPU s':>13} {'peak MB':>8}")
    for factor in factors:
        size, cost, stub = grown(kind, factor, pages)
        pages = pages or size // factor
        sizes.append(size)
        own.append(cost)
        bare.append(stub)
        print(f"{size:7} {cost.processor:8.2f} {cost.peak:8.0f} {stub.processor:13.2f} {stub.peak:8.0f}", flush=True)
    if len(sizes) > 1:
        over = sizes if kind == "chords" else [factor * 10 for factor in factors]
        times = (exponent(over, [cost.processor for cost in costs]) for costs in (own, bare))
        print("exponent of time: {:.2f}, of the stubs {:.2f}".format(*times))


if __name__ == "__main__":
    main()
