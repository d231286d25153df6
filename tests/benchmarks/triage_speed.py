"""Measure triage on many invented comments: time and memory against their number, and time against a comment's length.

    PYTHONPATH=builder python tests/benchmarks/triage_speed.py [NUMBER]

Each size runs in a process of its own. Read the ratios only: ten times the comments should take about ten times as long
in the same memory, and a hostile comment of twice the length about twice as long. Exits with 1 where a ratio says that
time or memory grows faster.
"""

from __future__ import annotations

import csv
import random
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

TEXTS = (
    "Why is it Gm9 in bar {n}? My left hand only plays G and D.", "What is F/A?", "Thank you so much! Greetings",
    "Can I print this, is there a PDF?", "how do you count the triplets in measure {n}?", "What does add9 mean?",
    "No compasso {n}, por que é Dm9?", "Warum steht in Takt {n} ein Gm9?", "please make a lesson on waltzes",
    "at 1:{n:02d} you play a wrong chord, it should be Bbmaj7", "I practice at 6:30 every day", "<script>x</script>",
)  # fmt: skip

HOSTILE = (
    "C2 ",
    "C7. ",
    "and why ",
    "why? ",
    "A minor ",
    "C over G or ",
    "1:05 ",
    "(((( ",
    "<a ",
    "what is a ",
    "sol m ",
)

MOST = 1.6
"""How much faster than in proportion time may grow before it counts as more than linear: machines are noisy."""

MOST_MEMORY = 1.5


def write(path: Path, number: int) -> None:
    chance = random.Random(number)
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(["id", "text", "lesson", "likes"])
        for index in range(number):
            text = chance.choice(TEXTS).format(n=chance.randrange(1, 60))
            lesson = chance.choice(("paper-lanterns-at-low-tide", ""))
            writer.writerow([f"c{index}", text, lesson, chance.randrange(10)])


def run(path: Path) -> None:
    """Sort a file in this process, and print the seconds and the peak memory in MB."""
    from understave.answers.configuration import find_project
    from understave.answers.triage_run import Wanted, run_triage

    project = find_project(None)
    report = path.with_suffix(".html")
    start = time.process_time()
    run_triage(project, path, project.lessons, Wanted(as_json=True, out=report), lambda text: None, print)
    print(time.process_time() - start, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)


def measured(path: Path) -> tuple[float, float]:
    ran = subprocess.run([sys.executable, __file__, "--run", str(path)], capture_output=True, text=True, check=True)
    seconds, memory = map(float, ran.stdout.split())
    return seconds, memory


def hostile_ratio(text: str) -> float:
    """Return how many times longer a comment of twice the length takes."""
    from understave.comments.asking import Reader

    reader = Reader({}, {})
    taken = []
    for size in (4_000, 8_000):
        comment = (text * size)[:size]
        start = time.process_time()
        for _ in range(8):
            reader.asking(comment)
        taken.append(time.process_time() - start)
    return taken[1] / taken[0]


def main(number: int) -> int:
    """Print the figures. Returns the exit status."""
    fast = True
    with tempfile.TemporaryDirectory() as folder:
        sizes = (1, max(2, number // 10), number)
        figures = []
        for size in sizes:
            path = Path(folder, f"{size}.csv")
            write(path, size)
            figures.append(measured(path))
            print(f"{size:8} comments: {figures[-1][0]:7.2f} s  {figures[-1][1]:6.1f} MB")
    (start, _), (some, less), (many, more) = figures
    growth = (many - start) / (some - start) / (sizes[2] / sizes[1])
    print(f"time grows {growth:.2f} times as fast as the number; memory {more / less:.2f} times")
    fast = growth < MOST and more / less < MOST_MEMORY
    for text in HOSTILE:
        ratio = hostile_ratio(text)
        fast = fast and ratio < 2 * MOST
        print(f"{text!r:16} twice as long: {ratio:.2f} times the time")
    return 0 if fast else 1


if __name__ == "__main__":
    if sys.argv[1:2] == ["--run"]:
        run(Path(sys.argv[2]))
    else:
        sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 100_000))
