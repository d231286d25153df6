"""Enlarges every kind of page to 200 %: nothing is cut off, nothing overlaps, nothing scrolls sideways.

WCAG 2.2, 1.4.4 (text can be resized to 200 %). A browser that enlarges a desk of 1280 pixels lays a page out in 640 CSS
pixels and draws each with two of its own, as it is done here.
"""

from __future__ import annotations

import pytest

from .conftest import Watch
from .test_everybody_in_chromium import MORE
from .test_pages_in_chromium import KINDS

ENLARGED = (640, 450)

WRONG = """() => {
  const query = "h1, h2, h3, p, li, td, th, dt, dd, caption, summary, figcaption, button, select, input, label, svg";
  const shown = (one) => one.checkVisibility({ visibilityProperty: true, contentVisibilityAuto: true });
  const named = (one) => `${one.localName}.${one.getAttribute("class") ?? ""}: ${one.textContent.trim().slice(0, 40)}`;
  const isHidden = ({ width, height }) => width < 2 || height < 2;
  const inside = [...document.querySelectorAll("article *, .page-tools *, .md-header *")].filter(shown);
  const cut = inside.filter((one) => {
    const { overflowX, overflowY, textOverflow } = getComputedStyle(one);
    if (isHidden(one.getBoundingClientRect()) || textOverflow === "ellipsis" || one.closest("svg")) return false;
    const hides = (way) => way === "hidden" || way === "clip";
    const isWider = hides(overflowX) && one.scrollWidth > one.clientWidth + 1;
    return isWider || (hides(overflowY) && one.scrollHeight > one.clientHeight + 1);
  });
  const blocks = inside
    .filter((one) => one.matches(query) && !one.matches(".key") && !one.parentElement.closest("svg"))
    .map((one) => ({ one, box: one.getBoundingClientRect() }))
    .filter(({ box }) => !isHidden(box))
    .sort((a, b) => a.box.top - b.box.top);
  const over = [];
  blocks.forEach(({ one, box }, place) => {
    for (const other of blocks.slice(place + 1)) {
      if (other.box.top >= box.bottom - 1) break;
      const beside = other.box.left >= box.right - 1 || other.box.right <= box.left + 1;
      const panels = [one, other.one].map((part) => part.closest(".look-up__panel"));
      if (beside || panels[0] !== panels[1] || one.contains(other.one) || other.one.contains(one)) continue;
      over.push(`${named(one)} / ${named(other.one)}`);
    }
  });
  return { cut: cut.map(named), over, wide: document.documentElement.scrollWidth };
}"""
"""What is cut off, which blocks of text, pictures and buttons lie over each other, and how wide the page is.

The look-up's answers drop down over the page; they are held against each other only. Black keys lie on white ones.
"""


@pytest.mark.parametrize("kind", [*KINDS, *MORE])
def test_nothing_is_cut_off_or_overlaps_at_twice_the_size(look: Watch, base: str, kind: str) -> None:
    with look(ENLARGED, zoom=2) as seen:
        seen.page.goto(base + {**KINDS, **MORE}[kind])
        seen.page.wait_for_selector("html[data-note-names]")
        seen.page.wait_for_function("() => !document.querySelector('article form[hidden]')")
        wrong = seen.page.evaluate(WRONG)
        assert wrong == {"cut": [], "over": [], "wide": ENLARGED[0]}


def test_overlapping_would_be_found(watch: Watch, base: str) -> None:
    with watch(ENLARGED) as seen:
        seen.page.goto(base + KINDS["term"])
        seen.page.evaluate("""() => {
          const one = document.querySelector("article p.answer");
          one.style.marginBottom = "-2em";
          one.style.height = "1em";
          one.style.overflow = "hidden";
        }""")
        wrong = seen.page.evaluate(WRONG)
        assert wrong["over"]
        assert [line.split(":")[0] for line in wrong["cut"]] == ["p.answer"]
