"""Counts measures as a viewer does, on the page for that: with buttons, from an address, by keys alone."""

from __future__ import annotations

from itertools import pairwise

import pytest

from understave.entries.glossary import Glossary
from understave.entries.values import CountingSystem
from understave.phrases.counting import count_sentences
from understave.theory.counting import count
from understave.theory.rhythms import parse_meter, parse_rhythm

from .conftest import Watch, Watched

PAGE = "/count-this-measure/"
PHONE, DESK = (390, 844), (1280, 900)


def opened(seen: Watched, base: str, query: str = "") -> None:
    """Open the page and wait until it is ready."""
    seen.page.goto(base + PAGE + query)
    seen.page.wait_for_selector(".counter:not([hidden])")


def press(seen: Watched, *names: str) -> None:
    """Press buttons by their words."""
    for name in names:
        seen.page.locator(".counter").get_by_role("button", name=name, exact=True).click()


def text(seen: Watched, part: str) -> str:
    """Return the text of a part of the page."""
    return str(seen.page.locator(f".counter__{part}").inner_text())


def line_of(rhythm: str, meter: str, system: str, glossary: Glossary) -> str:
    """Return the count that the core says."""
    return count(parse_rhythm(rhythm, parse_meter(meter)), glossary.of(CountingSystem)[system].system).line


def test_a_measure_is_built_with_buttons_and_counted(watch: Watch, base: str, glossary: Glossary) -> None:
    with watch(PHONE) as seen:
        opened(seen, base)
        assert text(seen, "news") == "Press note values until the measure is full."
        press(seen, "quarter")
        assert text(seen, "news") == "Measure 1 isn't full yet. Still missing for 4/4: dotted half note."
        press(seen, "triplet", "eighth", "eighth", "eighth", "rest", "eighth", "eighth", "quarter")
        assert seen.page.locator("#count-rhythm").input_value() == "4 12 12 12 8r 8 4"
        assert text(seen, "line") == line_of("4 12 12 12 8r 8 4", "4/4", "e-and-a", glossary)
        assert text(seen, "news") == ""
        system = glossary.of(CountingSystem)["e-and-a"].system
        why = count_sentences(count(parse_rhythm("4 12 12 12 8r 8 4", parse_meter("4/4")), system))
        assert seen.page.locator(".counter__why li").all_inner_texts() == why
        rows = seen.page.locator(".counter__why tbody tr").all_inner_texts()
        assert rows[0].split("\t") == ["measure 1, beat 1", "1", "quarter note starts"]
        assert rows[5].split("\t") == ["measure 1, beat 3", "(3)", "rest"]
        assert len(rows) == 9
        assert seen.said == []
        assert seen.hosts() == {"127.0.0.1"}


def test_ties_dots_and_pickups_have_buttons_and_can_be_undone(watch: Watch, base: str, glossary: Glossary) -> None:
    with watch(DESK) as seen:
        opened(seen, base)
        field = seen.page.locator("#count-rhythm")
        press(seen, "quarter", "bar line", "dotted", "half", "tie to the next", "quarter", "half")
        assert field.input_value() == "4 | [2. 4] | 2"
        press(seen, "dotted", "quarter", "eighth")
        assert field.input_value() == "4 | [2. 4] | 2 4. 8"
        assert text(seen, "line") == line_of("4 | [2. 4] | 2 4. 8", "4/4", "e-and-a", glossary)
        press(seen, "undo")
        assert field.input_value() == "4 | [2. 4] | 2 4."
        press(seen, "clear")
        assert field.input_value() == ""
        press(seen, "undo")
        assert field.input_value() == "4 | [2. 4] | 2 4."
        assert seen.said == []


def test_first_bar_line_brings_those_before_with_it(watch: Watch, base: str) -> None:
    with watch(DESK) as seen:
        opened(seen, base, "?rhythm=4+4+4&meter=2/4")
        press(seen, "bar line")
        assert seen.page.locator("#count-rhythm").input_value() == "4 4 | 4 |"
        press(seen, "undo")
        seen.page.locator("#count-rhythm").press("End")
        seen.page.keyboard.type(" 4")
        assert text(seen, "line") == "1 2 1 2"
        press(seen, "undo")
        assert seen.page.locator("#count-rhythm").input_value() == "4 4 4"


def test_the_look_up_finds_the_page(watch: Watch, base: str) -> None:
    with watch(DESK) as seen:
        seen.page.goto(base + "/terms/tie/")
        seen.page.locator("#look-up").click()
        seen.page.keyboard.type("count this bar")
        best = seen.page.locator(".hits--best [role=option]").first
        assert best.evaluate("link => link.href") == base + PAGE


def test_what_stands_there_is_in_the_address_and_opens_from_it(watch: Watch, base: str, glossary: Glossary) -> None:
    with watch(PHONE) as seen:
        opened(seen, base, "?rhythm=8+8+12+12+12+4+4&meter=4/4&system=trip-let")
        assert text(seen, "line") == line_of("8 8 12 12 12 4 4", "4/4", "trip-let", glossary)
        seen.page.get_by_label("Count with").select_option("takadimi")
        seen.page.get_by_label("Meter", exact=True).select_option("")
        seen.page.get_by_label("Your meter").fill("2+2/4")
        seen.page.get_by_label("Your meter").blur()
        seen.page.wait_for_url("**/?rhythm=8+8+12+12+12+4+4&meter=2%2B2/4&system=takadimi")
        address = seen.page.url
    with watch(PHONE) as seen:
        seen.page.goto(address)
        seen.page.wait_for_selector(".counter:not([hidden])")
        assert text(seen, "line") == line_of("8 8 12 12 12 4 4", "2+2/4", "takadimi", glossary)
        assert seen.page.get_by_label("Your meter").input_value() == "2+2/4"


def test_another_beat_can_be_chosen(watch: Watch, base: str, glossary: Glossary) -> None:
    with watch(DESK) as seen:
        opened(seen, base, "?rhythm=4+8+8+8+8&meter=6/8&system=e-and-a")
        names = seen.page.get_by_label("Beat", exact=True).locator("option").all_inner_texts()
        assert names[0] == "the usual one"
        assert "half note" not in names, "six eighths are no number of halves"
        seen.page.get_by_label("Beat", exact=True).select_option("eighth")
        assert text(seen, "line") == "1 (2) 3 4 5 6"
        seen.page.get_by_label("Meter", exact=True).select_option("3/4")
        seen.page.wait_for_url("**&meter=3/4&system=e-and-a&beat=eighth")


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("?rhythm=4+4+4", "Measure 1 isn't full yet. Still missing for 4/4: quarter note."),
        ("?rhythm=4+4+4+4.", "Measure 1 is too long. Too much for 4/4: eighth note."),
        ("?rhythm=4+x", "x (number 2) can't be read."),
        ("?rhythm=%5B4", "The tie at [4 (number 1) needs a note right after it that ends it."),
        ("?rhythm=12+12+4", "Measure 1: a tuplet of 3 isn't complete at 4 (number 3)."),
        ("?rhythm=4&meter=4/5", "4/5 is no meter."),
        ("?rhythm=4+4&meter=2/4&system=nobody", "There is no counting system called nobody here."),
        ("?rhythm=2.&meter=3/4&beat=half", "A beat of 1/2 of a whole note doesn't divide a measure of 3/4."),
        ("?rhythm=4+4+*M3/8+8+8+8&meter=2/4&beat=quarter", "A beat of 1/4 of a whole note doesn't divide"),
        ("?rhythm=4&meter=1/4&beat=toString", "There is no beat called toString."),
        ("?rhythm=" + "+".join(["16"] * 129), "A rhythm of 129 signs; at most 128 can be shown here."),
        ("?rhythm=%3Cimg%20src=x%3E", "<img (number 1) can't be read."),
    ],
)
def test_what_does_not_add_up_is_said_in_one_line(watch: Watch, base: str, query: str, said: str) -> None:
    with watch(PHONE) as seen:
        opened(seen, base, query)
        assert text(seen, "news").startswith(said)
        assert text(seen, "line") == ""
        assert not seen.page.locator(".counter__why").is_visible()
        assert seen.said == []


def test_blocks_are_as_wide_as_they_last_and_told_apart(watch: Watch, base: str) -> None:
    with watch(DESK) as seen:
        opened(seen, base, "?rhythm=2+%5B4+8%5D+8r&meter=4/4&system=e-and-a")
        widths = seen.page.evaluate(
            """() => {
              const sum = (kind) => [...document.querySelectorAll(`.blocks rect.${kind}`)]
                .map((rect) => Number(rect.getAttribute("width"))).reduce((all, one) => all + one, 0);
              return ["sounds", "held", "rest"].map(sum);
            }"""
        )
        sounds, held, rest = widths
        assert sounds == pytest.approx(6 * rest, rel=0.1)
        assert held == pytest.approx(rest, rel=0.1)
        assert seen.page.locator(".blocks .onset").count() == 2
        assert seen.page.locator(".blocks .inside").all_text_contents() == ["held", "rest"]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", [PHONE, DESK, (320, 640)], ids=["phone", "desk", "narrow"])
def test_a_measure_of_sixteenths_is_legible(watch: Watch, base: str, size: tuple[int, int], scheme: str) -> None:
    query = "?rhythm=" + "+".join(["16", "16r"] * 8) + "&meter=4/4&system=takadimi"
    with watch(size, scheme) as seen:
        opened(seen, base, query)
        widths = seen.page.evaluate("() => [document.documentElement.scrollWidth, window.innerWidth]")
        boxes = seen.page.evaluate(
            """() => [...document.querySelectorAll(".blocks [data-place] text")].map((text) => {
              const { left, right, top, height } = text.getBoundingClientRect();
              return { left, right, top, height };
            })"""
        )
        assert seen.said == []
    assert widths[0] <= widths[1]
    assert len(boxes) == 16
    for one, other in pairwise(boxes):
        assert other["top"] > one["top"] or other["left"] > one["right"], "words don't run into each other"
    assert all(box["height"] >= 12 and box["left"] >= 0 and box["right"] <= size[0] for box in boxes)


def test_it_is_counted_by_keys_alone(watch: Watch, base: str) -> None:
    with watch(DESK) as seen:
        opened(seen, base)
        seen.page.get_by_label("Meter", exact=True).focus()
        for _ in range(7):
            seen.page.keyboard.press("Tab")
        assert seen.page.evaluate("() => document.activeElement.textContent.trim()") == "whole"
        seen.page.keyboard.press("Enter")
        assert text(seen, "line") == "1 (2) (3) (4)"
        assert seen.page.evaluate("() => document.activeElement.textContent.trim()") == "whole"


def test_link_is_copied(watch: Watch, base: str) -> None:
    with watch(DESK) as seen:
        seen.page.context.grant_permissions(["clipboard-read", "clipboard-write"])
        opened(seen, base, "?rhythm=4+4&meter=2/4")
        press(seen, "Copy link")
        seen.page.wait_for_function("() => document.querySelector('.counter .copied').textContent")
        assert text(seen, "copied") == "The link is copied."
        copied = seen.page.evaluate("() => navigator.clipboard.readText()")
        assert copied == f"{base}{PAGE}?rhythm=4+4&meter=2/4&system=e-and-a"


def test_without_scripts_the_page_leads_to_the_guides(watch: Watch, base: str) -> None:
    with watch(PHONE, scripts=False) as seen:
        seen.page.goto(base + PAGE)
        assert seen.page.get_by_role("link", name="How to count triplets", exact=True).last.is_visible()
        assert not seen.page.locator(".counter").is_visible()
        assert "scripts" in seen.page.locator("article.entry").inner_text()


def test_its_modules_are_fetched_on_this_page_only(watch: Watch, base: str) -> None:
    with watch(DESK) as seen:
        seen.page.goto(base + "/rhythm-figures/eighth-pairs/", wait_until="networkidle")
        assert not [url for url in seen.asked if "count" in url.rsplit("/", 1)[1]]
        seen.asked.clear()
        opened(seen, base, "?rhythm=4+4&meter=2/4")
        fetched = {url.rsplit("/", 1)[1] for url in seen.asked}
        assert {"count-page.js", "counting.js", "counting.json", "rhythms.js", "fractions.js"} <= fetched
        assert "tables.json" not in fetched, "the look-up's tables come with the look-up"
