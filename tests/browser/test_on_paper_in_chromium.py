"""Prints handouts, practice sheets and large print in Chromium: how many sheets, and what stands on them."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from ..built_site import BuiltSite
from .conftest import Watch

if TYPE_CHECKING:
    from playwright.sync_api import Page

PHONE, DESK = (390, 844), (1280, 900)

SHEETS = ("A4", "Letter")

CHORDS = (
    "/c-major/",
    "/c-flat-minor-seventh/",
    "/d-dominant-seventh/",
    "/g-added-ninth/",
    "/e-sharp-major-thirteenth-sharp-eleventh/",
    "/b-sharp-dominant-seventh-flat-ninth-flat-thirteenth/",
    "/g-flat-major-seventh-first-inversion/",
    "/a-minor-second-inversion/",
    "/chord-symbols/minor-ninth/",
    "/added-tones/added-ninth/",
    "/slash-chords/subdominant-over-dominant/",
)
"""Triads to thirteenths, corrected ones, the longest names and the worst spellings."""

LONGEST = 12
"""Sheets that the large print of a lesson may take."""


def sheets(page: Page, address: str, sheet: str) -> int:
    """Return how many sheets a page prints on."""
    page.goto(address)
    return page.pdf(format=sheet).count(b"/Type /Page\n")


def printed(page: Page, address: str) -> str:
    """Return the text that a page prints, its parts in order, a line each."""
    page.goto(address)
    page.emulate_media(media="print")
    return page.inner_text("article.entry")


def shown(page: Page, selector: str) -> bool:
    return page.locator(selector).first.is_visible()


@pytest.mark.parametrize("sheet", SHEETS)
@pytest.mark.parametrize("address", CHORDS)
def test_a_chord_takes_one_sheet_and_a_practice_sheet_has_its_answers_overleaf(
    watch: Watch, base: str, address: str, sheet: str
) -> None:
    with watch(PHONE) as seen:
        assert sheets(seen.page, f"{base}{address}", sheet) == 1
        assert sheets(seen.page, f"{base}{address}#handout", sheet) == 1
        assert sheets(seen.page, f"{base}{address}#practice", sheet) == 2
        assert sheets(seen.page, f"{base}{address}#large-print", sheet) in (1, 2)
        assert seen.said == []


@pytest.mark.parametrize("sheet", SHEETS)
def test_every_lesson_and_every_list_does_so_too(watch: Watch, base: str, demo: BuiltSite, sheet: str) -> None:
    own = [row["permalink"] for row in demo.data if re.fullmatch(r"/(lessons|handouts)/.+/", row["permalink"])]
    assert len(own) > 10
    with watch(PHONE) as seen:
        counted = {
            address: [sheets(seen.page, f"{base}{address}#{way}", sheet) for way in ("handout", "practice")]
            for address in own
        }
        assert {address: found for address, found in counted.items() if found != [1, 2]} == {}
        large = {address: sheets(seen.page, f"{base}{address}#large-print", sheet) for address in own[::4]}
        assert {address: found for address, found in large.items() if not 1 <= found <= LONGEST} == {}


def test_a_handout_has_what_a_player_needs_and_nothing_of_the_screen(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        text = printed(seen.page, f"{base}/c-major/#handout")
        for part in ("h1 .big", "h1 .say", ".answer", ".staff svg.notation", "svg.keyboard", "table.tones"):
            assert shown(seen.page, part), part
        for words in ("right 1-3-5, left 5-3-1", "right 1-2-5, left 5-3-1", "right 1-3-5, left 5-2-1", "hands differ",
                      "Never force a stretch", "ask a teacher or a clinician"):  # fmt: skip
            assert words.lower() in text.lower(), words
        for part in (".player", ".on-paper", ".crumbs", ".prose", "details", ".practice", "#keys", ".copied"):
            assert not shown(seen.page, part), part


def test_where_no_fingering_is_common_the_handout_says_so(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        text = printed(seen.page, f"{base}/c-minor-ninth/#handout")
        assert "no one fingering of this chord is common" in text
        assert "Never force a stretch" in text
        seen.page.emulate_media(media="screen")
        assert not shown(seen.page, ".caution.fingers"), "on the screen nothing is said of fingers that there aren't"


def test_the_first_side_of_a_practice_sheet_gives_no_answer_away(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        printed(seen.page, f"{base}/e-flat-minor-seventh/#practice")
        first = seen.page.inner_text(".practice")
        assert "overleaf" in first
        heads = seen.page.locator(".practice tbody th").all_inner_texts()
        assert heads[:4] == ["root", "♭3rd", "5th", "♭7th"]
        assert not re.search(r"[A-G][♭♯]", first)
        tops = seen.page.evaluate(
            "() => ['h1', '.practice', '.answer', '.staff', 'table.tones']"
            ".map(part => document.querySelector(part).getBoundingClientRect().top)"
        )
        assert tops == sorted(tops), "symbol and blanks stand before all answers"
        after = "() => getComputedStyle(document.querySelector('.practice')).breakAfter"
        assert seen.page.evaluate(after) == "page"


def test_empty_staff_and_keys_are_one_file_each_and_printed(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        seen.page.goto(f"{base}/c-major/")
        assert not any("blank-" in url for url in seen.asked)
        seen.page.click("#practice")
        seen.page.wait_for_function(
            "() => performance.getEntriesByType('resource').filter(({ name }) => /blank-.*svg/.test(name)).length === 2"
        )
        seen.page.emulate_media(media="print")
        for part in (".empty-staff", ".empty-keys"):
            style = "part => { const s = getComputedStyle(document.querySelector(part));"
            style += " return [s.backgroundImage, s.printColorAdjust, s.height]; }"
            image, adjust, height = seen.page.evaluate(style, part)
            assert "blank-" in image
            assert adjust == "exact"
            assert float(height.removesuffix("px")) > 80
        assert seen.said == []


def test_choosing_prints(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        seen.page.add_init_script("window.print = () => { (window.printed ??= []).push(location.hash); };")
        seen.page.goto(f"{base}/c-major/")
        for way in ("handout", "practice", "large-print"):
            seen.page.wait_for_timeout(50)
            seen.page.click(f"#{way}")
            seen.page.wait_for_function("way => window.printed?.at(-1) === `#${way}`", arg=way)
        assert seen.page.evaluate("() => window.printed.length") == 3


def test_words_on_request_have_the_note_names_that_a_reader_chose(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        seen.page.goto(f"{base}/c-flat-diminished/")
        seen.page.wait_for_selector("html[data-note-names]")
        seen.page.get_by_label("Note names").select_option("de")
        seen.page.wait_for_selector('html[data-note-names="de"]')
        said = seen.page.locator(".said").all_text_contents()
        assert "Left hand: Ces 3, root." in said[0]
        assert any("Geses" in one for one in said)
        assert not any("flat" in one for one in said)


def test_without_scripts_the_choice_stands_and_can_be_printed(watch: Watch, base: str) -> None:
    with watch(PHONE, scripts=False) as seen:
        seen.page.goto(f"{base}/c-major/")
        seen.page.click("#practice")
        assert seen.page.url.endswith("#practice")
        assert seen.page.pdf(format="A4").count(b"/Type /Page\n") == 2


def test_large_print_is_large(watch: Watch, base: str) -> None:
    """16 points and more, which is what large print means in the trade (common practice, from memory)."""
    small = """() => [...document.querySelectorAll('article.entry *')]
      .filter(one => !one.closest('svg, sup') && one.checkVisibility()
        && [...one.childNodes].some(node => node.nodeType === 3 && node.data.trim()))
      .map(one => [parseFloat(getComputedStyle(one).fontSize) * .75, one.className || one.tagName])
      .filter(([points]) => points < 15.9)"""
    with watch(DESK) as seen:
        for address in (
            "/c-major/",
            "/g-added-ninth/",
            "/lessons/kite-over-the-allotments/",
            "/handouts/first-chords/",
        ):
            printed(seen.page, f"{base}{address}#large-print")
            assert seen.page.evaluate(small) == [], address


def test_paper_is_black_and_white_whatever_the_screen_is(watch: Watch, base: str) -> None:
    inks = """() => [...document.querySelectorAll('article.entry *')].filter(one => one.checkVisibility())
    .flatMap(one => {
      const {color, fill, stroke, borderBottomColor} = getComputedStyle(one);
      return one instanceof SVGElement ? [fill, stroke] : [color, borderBottomColor];
    }).filter(ink => !/^(none|url|rgb\\(0, 0, 0\\)|rgb\\(255, 255, 255\\)|rgba\\(.*, 0\\))/.test(ink))"""
    with watch(DESK, "dark") as seen:
        for address in ("/c-major/", "/lessons/kite-over-the-allotments/", "/handouts/one-bass-many-chords/"):
            printed(seen.page, f"{base}{address}#practice")
            assert sorted(set(seen.page.evaluate(inks))) == [], address


def test_corrections_stand_on_paper(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        for address in ("/g-added-ninth/", "/added-tones/added-ninth/"):
            assert "Corrected on" in printed(seen.page, f"{base}{address}#handout"), address
        assert "Measure 12. Corrected on" in printed(seen.page, f"{base}/lessons/kite-over-the-allotments/#handout")


def test_a_handout_says_where_it_is_from(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        printed(seen.page, f"{base}/c-major/#handout")
        tools = "() => getComputedStyle(document.querySelector('.page-tools'), '::before').content"
        assert seen.page.evaluate(tools) == '"https://lanternfield.example/glossary/c-major/"'


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_list_and_index_are_quiet_and_fit(watch: Watch, base: str, size: tuple[int, int]) -> None:
    with watch(size) as seen:
        for address in ("/handouts/", "/handouts/first-chords/", "/handouts/two-notes-and-three/"):
            # a page that is left while its scripts are fetched counts as failed requests
            seen.page.goto(base + address, wait_until="networkidle")
            widths = seen.page.evaluate("() => [document.documentElement.scrollWidth, window.innerWidth]")
            assert widths[0] <= widths[1], address
        assert seen.said == []
        assert seen.failed == []


@pytest.mark.parametrize(
    "address",
    ["/c-major/", "/slash-chords/subdominant-over-dominant/", "/rhythm-figures/eighths-to-triplets/",
     "/counting-systems/takadimi/", "/terms/german-sixth/", "/handouts/first-chords/", "/guides/how-to-count-triplets/",
     "/lessons/paper-lanterns-at-low-tide/"],
)  # fmt: skip
def test_every_picture_can_be_had_in_words(watch: Watch, base: str, address: str) -> None:
    with watch(PHONE) as seen:
        seen.page.goto(base + address)
        figures = seen.page.locator("figure.staff:visible")
        assert figures.count() > 0
        for index in range(figures.count()):
            figure = figures.nth(index)
            figure.locator("summary").click()
            told = figure.locator("details p").first
            assert told.is_visible()
            assert re.search(r"[a-z]{3}", told.inner_text())


def test_empty_pictures_are_a_grand_staff_and_four_octaves_of_keys() -> None:
    """Ten lines and two clefs; of the keys from F2 to C6 twenty-six are white, eighteen black (from memory)."""
    folder = Path(__file__).parents[2] / "builder" / "understave" / "pages" / "styles"
    staff, keys = (folder / f"blank-{name}.svg" for name in ("staff", "keys"))
    lines = re.findall(r'd="([^"]*)" stroke-width="13"', staff.read_text("utf-8"))
    assert sum(len(re.findall(r"M0 (\d+)L\d+ \1(?!\d)", path)) for path in lines) == 10
    assert len(set(re.findall(r'<use href="#(g\w+)"', staff.read_text("utf-8")))) == 2
    whites, blacks = re.findall(r' d="([^"]*)"', keys.read_text("utf-8"))
    assert (whites.count("M"), blacks.count("M")) == (26, 18)
