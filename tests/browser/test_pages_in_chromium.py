"""Opens every kind of page on a phone and on a desk, in light and in dark: quiet, whole, and nothing off the edge."""

from __future__ import annotations

import re

import pytest

from .conftest import Watch

PHONE, DESK = (390, 844), (1280, 900)

KINDS = {
    "home": "/",
    "index": "/chord-symbols/",
    "type": "/chord-symbols/minor-ninth/",
    "rooted": "/a-flat-minor-ninth/",
    "inversion": "/c-dominant-seventh-third-inversion/",
    "added tone": "/g-added-second/",
    "slash pattern": "/slash-chords/subdominant-over-dominant/",
    "system": "/counting-systems/takadimi/",
    "figure": "/rhythm-figures/eighths-to-triplets/",
    "term": "/terms/german-sixth/",
    "root index": "/roots/a-flat/",
    "lesson": "/lessons/paper-lanterns-at-low-tide/",
    "count": "/count-this-measure/?rhythm=8+8+12+12+12+4+4&meter=4/4&system=trip-let",
    "handout": "/handouts/first-chords/",
    "keys": "/what-are-these-notes/?left=D3+A3&right=C4+E4+F4",
    "unknown address": "/404.html",
}

WITH_NOTATION = (
    "type",
    "rooted",
    "inversion",
    "added tone",
    "slash pattern",
    "system",
    "figure",
    "term",
    "lesson",
    "handout",
)

LOOKS = [(PHONE, "light"), (PHONE, "dark"), (DESK, "light"), (DESK, "dark")]

INKS = """() => [...document.querySelectorAll('svg.notation')].map(svg => {
  const style = element => element ? getComputedStyle(element) : null;
  const clear = element => /rgba\\(.*, 0\\)|transparent/.test(style(element).backgroundColor);
  const box = svg.getBoundingClientRect();
  const head = style(svg.querySelector('.notehead use')), line = style(svg.querySelector('.staff > path'));
  let paper = svg;
  while (paper.parentElement && clear(paper)) paper = paper.parentElement;
  return {width: box.width, height: box.height, right: box.right, color: style(svg).color,
          head: head && head.fill, line: line && line.stroke, paper: style(paper).backgroundColor};
})"""
"""How large each picture of notation is, the color of its ink, and that of the paper behind it."""


def luminance(color: str) -> float:
    """Return the relative luminance of a CSS color (WCAG 2.2)."""
    red, green, blue = (float(part) / 255 for part in re.findall(r"[\d.]+", color)[:3])
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in (red, green, blue)]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Return the contrast of two CSS colors (WCAG 2.2): 4.5 is enough for text."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize(("size", "scheme"), LOOKS, ids=["phone light", "phone dark", "desk light", "desk dark"])
@pytest.mark.parametrize("kind", KINDS)
def test_page_is_quiet_and_fits(look: Watch, base: str, kind: str, size: tuple[int, int], scheme: str) -> None:
    with look(size, scheme) as seen:
        # one look waits until nothing is asked for any more: the search is fetched after the page stands
        seen.page.goto(base + KINDS[kind], wait_until="networkidle" if (size, scheme) == LOOKS[0] else "load")
        widths = seen.page.evaluate("() => [document.documentElement.scrollWidth, window.innerWidth]")
        dark = seen.page.evaluate("() => document.body.getAttribute('data-md-color-scheme')")
        inks = seen.page.evaluate(INKS)
        assert seen.said == []
        assert seen.failed == []
        assert seen.hosts() == {"127.0.0.1"}
    assert widths[0] <= widths[1]
    assert dark == ("slate" if scheme == "dark" else "default")
    assert bool(inks) == (kind in WITH_NOTATION)
    for ink in inks:
        assert ink["width"] > 40
        assert ink["height"] > 40
        assert ink["right"] <= size[0]
        assert ink["head"] == ink["line"] == ink["color"]
        assert contrast(ink["color"], ink["paper"]) >= 4.5
        assert (luminance(ink["color"]) > luminance(ink["paper"])) == (scheme == "dark")


@pytest.mark.parametrize("kind", KINDS)
def test_font_of_accidentals_is_fetched_first_where_it_is_used(watch: Watch, base: str, kind: str) -> None:
    with watch(PHONE) as seen:
        seen.page.goto(base + KINDS[kind], wait_until="networkidle")
        fetched = "() => performance.getEntriesByType('resource').filter(({ name }) => name.endsWith('.woff2')).length"
        used = "() => [...document.fonts].some(({ status }) => status === 'loaded')"
        preloaded = seen.page.locator("link[rel=preload][as=font]").count()
        assert preloaded <= seen.page.evaluate(used)
        assert seen.page.evaluate(fetched) <= 1, "once, by the link or by the styles"
        assert preloaded or kind not in ("rooted", "type", "inversion", "lesson", "root index")


@pytest.mark.parametrize(
    "address",
    [
        "/c-dominant-seventh/",
        "/a-flat-minor-ninth/",
        "/g-added-second/",
        "/c-altered-dominant/",
        "/f-sharp-dominant-thirteenth/",
        "/c-flat-diminished-seventh/",
        "/e-sharp-major-thirteenth-sharp-eleventh/",
        "/b-sharp-dominant-seventh-flat-ninth-flat-thirteenth/",
        "/g-flat-major-seventh-first-inversion/",
        "/chord-symbols/minor-ninth/",
        "/added-tones/added-second/",
        "/slash-chords/subdominant-over-dominant/",
    ],
)
def test_symbol_sentence_and_staff_stand_in_the_first_screen_of_a_phone(look: Watch, base: str, address: str) -> None:
    with look(PHONE) as seen:
        seen.page.goto(base + address)
        for part in ("h1 .big", "p.answer", "figure.staff svg.notation"):
            box = seen.page.locator(part).first.bounding_box()
            assert box, part
            assert box["y"] >= 0, part
            assert box["y"] + box["height"] <= PHONE[1], part


def test_page_can_be_read_without_scripts(watch: Watch, base: str) -> None:
    with watch(PHONE, scripts=False) as seen:
        seen.page.goto(base + "/a-flat-minor-ninth/")
        for part in ("h1 .big", "p.answer", "svg.notation", "svg.keyboard", "table.tones", "#confused + ul"):
            assert seen.page.locator(part).first.is_visible(), part


def test_light_and_dark_paper_can_be_chosen(watch: Watch, base: str) -> None:
    with watch(DESK) as seen:
        seen.page.goto(base + "/a-flat-minor-ninth/")
        seen.page.locator("label[for^=__palette]:visible").click()
        scheme = "() => document.body.getAttribute('data-md-color-scheme')"
        seen.page.wait_for_function("() => document.body.getAttribute('data-md-color-scheme') === 'slate'")
        seen.page.goto(base + "/c-dominant-seventh/")
        assert seen.page.evaluate(scheme) == "slate", "the choice is kept on the next page"
        assert seen.said == []


def test_lesson_leads_to_a_symbol_and_back(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        seen.page.goto(base + KINDS["lesson"])
        seen.page.locator("table.met a", has_text="Gm9").first.click()
        seen.page.wait_for_url("**/g-minor-ninth/")
        seen.page.locator("#lessons + ul a", has_text="Paper Lanterns").first.click()
        seen.page.wait_for_url("**/lessons/paper-lanterns-at-low-tide/")
        assert seen.hosts() == {"127.0.0.1"}
