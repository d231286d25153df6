"""Holds every kind of page against axe-core's rules, and tries it with a keyboard alone, enlarged, and narrow.

Source of the rules: axe-core (Deque) for WCAG 2.0, 2.1 and 2.2, levels A and AA, and its best practice; bundled with
axe-playwright-python from PyPI. Reflow: WCAG 2.2, 1.4.10 (320 CSS pixels, which a desk at 1280 and 400 % is, too).
"""

from __future__ import annotations

from importlib.resources import files

import pytest

from .conftest import Watch
from .test_pages_in_chromium import DESK, KINDS, LOOKS, PHONE

MORE = {
    "roots": "/roots/",
    "lessons": "/lessons/",
    "level": "/levels/advanced/",
    "corrections": "/corrections/",
    "guide": "/guides/two-against-three/",
    "how to write": "/write/chord-symbol/",
    "what to write": "/write/",
}

WHOLE = [(PHONE, "light"), (DESK, "dark")]
"""The looks that all rules are tried in; of the other two, which differ in colors alone, those are."""

RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]

COLORS = {"type": "rule", "values": ["color-contrast"]}
"""What may differ in the other scheme at the same width."""

FOUND = """async (rules) => (await axe.run({runOnly: rules})).violations.map(
  ({id, nodes}) => `${id}: ${nodes.length} x ${nodes[0].html.slice(0, 160)} ${nodes[0].failureSummary}`)"""


@pytest.fixture(scope="session")
def axe() -> str:
    return files("axe_playwright_python").joinpath("axe.min.js").read_text("utf-8")


@pytest.mark.parametrize(("size", "scheme"), LOOKS, ids=["phone light", "phone dark", "desk light", "desk dark"])
@pytest.mark.parametrize("kind", [*KINDS, *MORE])
def test_axe_finds_nothing(look: Watch, base: str, axe: str, kind: str, size: tuple[int, int], scheme: str) -> None:
    with look(size, scheme) as seen:
        seen.page.goto(base + {**KINDS, **MORE}[kind])
        seen.page.evaluate(axe)
        assert seen.page.evaluate(FOUND, RULES if (size, scheme) in WHOLE else COLORS) == []


def test_axe_would_find_something(watch: Watch, base: str, axe: str) -> None:
    with watch(PHONE) as seen:
        seen.page.goto(base + KINDS["term"])
        seen.page.evaluate("() => document.querySelector('article').append(document.createElement('button'))")
        seen.page.evaluate(axe)
        assert [line.split(":")[0] for line in seen.page.evaluate(FOUND, RULES)] == ["button-name"]


@pytest.mark.parametrize("kind", [*KINDS, *MORE])
def test_page_reflows_at_320_pixels(look: Watch, base: str, kind: str) -> None:
    with look((320, 640)) as seen:
        seen.page.goto(base + {**KINDS, **MORE}[kind])
        assert seen.page.evaluate("() => document.documentElement.scrollWidth") <= 320


@pytest.mark.parametrize("kind", ["rooted", "lesson", "home"])
def test_the_keyboard_leads_past_the_header(watch: Watch, base: str, kind: str) -> None:
    with watch(DESK) as seen:
        seen.page.goto(base + KINDS[kind])
        seen.page.keyboard.press("Tab")
        skip = seen.page.evaluate("() => [document.activeElement.className, document.activeElement.hash]")
        assert skip[0].split()[0] == "md-skip"
        assert skip[1] == "#page"
        seen.page.keyboard.press("Enter")
        seen.page.keyboard.press("Tab")
        assert seen.page.evaluate("() => !!document.activeElement.closest('article')")


def test_what_has_the_focus_shows_it(watch: Watch, base: str) -> None:
    with watch(DESK) as seen:
        seen.page.goto(base + KINDS["rooted"])
        for _ in range(12):
            seen.page.keyboard.press("Tab")
            shown = seen.page.evaluate("""() => {
              const at = document.activeElement;
              const style = getComputedStyle(at.matches(".md-option") ? at.nextElementSibling : at);
              return at === document.body || style.outlineStyle !== "none" ||
                style.boxShadow !== "none";
            }""")
            assert shown, seen.page.evaluate("() => document.activeElement.outerHTML.slice(0, 200)")
