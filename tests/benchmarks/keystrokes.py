"""Measure how long a key typed into the look-up takes until its answers are painted, and with eight times the content.

    PYTHONPATH=builder python -m tests.benchmarks.keystrokes SITE [ROUNDS]

SITE is the demo's built folder. Questions are typed letter by letter into the look-up on a processor four times slower;
the two contents take turns. Prints medians in milliseconds: from the key to the painted frame, the look-up's own work
within it, and what the main thread did a key altogether: scripts, styles, layout and the rest. The aim for the first is
one frame, 16 ms, on an idle machine; the second column's ratio should stay below 1.2. Eight times the content means
eight times the pages beside the chords, each copy with words of its own.
"""

from __future__ import annotations

import json
import re
import statistics
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, CDPSession, Page

from .browsing import PHONE, SLOWER, chromium, served

ROUNDS = 3

CASES = json.loads((Path(__file__).parents[1] / "browser" / "look_up_cases.json").read_text("utf-8"))

QUESTIONS = [case["query"] for case in CASES][::8]
"""What viewers type, every eighth of the cases."""

TIMES = 8

PARTS = ("ScriptDuration", "RecalcStyleDuration", "LayoutDuration", "TaskDuration")

WATCH = """() => {
  window.keys = [];
  const input = document.querySelector("#look-up");
  const channel = new MessageChannel();
  let pressed, began, ended;
  channel.port1.onmessage = () => {
    window.keys.push([performance.now() - pressed, ended - began]);
    pressed = undefined;
  };
  addEventListener("keydown", ({ timeStamp }) => { pressed = timeStamp; }, true);
  addEventListener("input", () => { began = performance.now(); }, true);
  addEventListener("input", () => {
    ended = performance.now();
    if (pressed !== undefined) requestAnimationFrame(() => channel.port2.postMessage(0));
  });
}"""
"""Notes, for each key, the time to the frame in which its answers stand, and that of its handlers."""


PAINTED = "() => new Promise((done) => requestAnimationFrame(() => setTimeout(done, 20)))"
"""Waits until the frame of a key is over."""

_LONG = re.compile(r"[^\W\d_]{4,}")


def grown(tables: str, times: int) -> str:
    """Return the look-up's tables with so many times the pages; longer words of a copy end in letters of its own."""
    table = json.loads(tables)
    pages = table["glossary"]["pages"]
    for key, values in pages.items():
        pages[key] = [_renamed(key, value, copy) for copy in range(times) for value in values]
    return json.dumps(table, ensure_ascii=False, separators=(",", ":"))


def _renamed(key: str, value: Any, copy: int) -> Any:
    if not copy or not isinstance(value, str):
        return value
    if key == "id":
        return f"{value}-{copy}"
    letters = "bdfgjkz"[copy - 1] * 2
    return _LONG.sub(lambda word: word[0] + letters, value) if key in ("name", "line", "words") else value


@dataclass(frozen=True)
class Typed:
    """What keys took: to the painted frame and in their handlers, in milliseconds each; what each part took a key."""

    frames: list[float]
    handlers: list[float]
    parts: dict[str, float]


def typed(browser: Browser, url: str, tables: str, questions: list[str]) -> Typed:
    """Type questions into the look-up of a page, with these tables, after a few that only warm it up."""
    context = browser.new_context(viewport={"width": PHONE[0], "height": PHONE[1]}, service_workers="block")
    page = context.new_page()
    page.route("**/tables.json", lambda route: route.fulfill(body=tables, content_type="application/json"))
    page.goto(url, wait_until="networkidle")
    page.locator("#look-up").focus()
    page.wait_for_selector("#look-up[aria-controls]")
    page.evaluate(WATCH)
    session = context.new_cdp_session(page)
    session.send("Performance.enable", {"timeDomain": "threadTicks"})
    session.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    _type(page, questions[:3])
    page.evaluate("() => { window.keys = []; }")
    before = _metrics(session)
    _type(page, questions)
    after = _metrics(session)
    keys: list[list[float]] = page.evaluate("() => window.keys")
    context.close()
    parts = {part: 1000 * (after[part] - before[part]) / len(keys) for part in PARTS}
    return Typed([frame for frame, _ in keys], [handler for _, handler in keys], parts)


def _metrics(session: CDPSession) -> dict[str, float]:
    return {metric["name"]: metric["value"] for metric in session.send("Performance.getMetrics")["metrics"]}


def _type(page: Page, questions: list[str]) -> None:
    for question in questions:
        page.locator("#look-up").fill("")
        for letter in question:
            page.keyboard.type(letter)
            page.evaluate(PAINTED)


def to_frame(runs: list[Typed]) -> float:
    """Return the median time from a key to its painted frame, in milliseconds."""
    return statistics.median(time for run in runs for time in run.frames)


def main() -> None:
    """Run and print."""
    folder = Path(sys.argv[1])
    rounds = int(sys.argv[2]) if len(sys.argv) > 2 else ROUNDS
    [file] = folder.glob("assets/understave-*/tables.json")
    once = file.read_text("utf-8")
    contents = {"demo": once, f"{TIMES} times": grown(once, TIMES)}
    runs: dict[str, list[Typed]] = {name: [] for name in contents}
    with chromium() as browser, served(folder) as address:
        for _ in range(rounds):
            for name, tables in contents.items():
                runs[name].append(typed(browser, f"{address}/terms/tie/", tables, QUESTIONS))
    print(f"{len(QUESTIONS)} questions, {sum(map(len, QUESTIONS))} keys, {rounds} rounds; milliseconds a key")
    print(f"{'':10} {'to frame':>9} {'handler':>9} {'scripts':>9} {'styles':>9} {'layout':>9} {'all':>9}")
    for name, done in runs.items():
        handler = statistics.median(time for run in done for time in run.handlers)
        parts = " ".join(f"{statistics.median(run.parts[part] for run in done):9.1f}" for part in PARTS)
        print(f"{name:10} {to_frame(done):9.1f} {handler:9.1f} {parts}")


if __name__ == "__main__":
    main()
