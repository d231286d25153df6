"""Tries the look-up in the browser: what it answers first, how it is steered, what it says, and what it costs."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest

from understave.answers.project import Loaded
from understave.entries.glossary import Glossary

from ..built_site import BuiltSite
from .conftest import Watch, Watched

PHONE, DESK = (390, 844), (1280, 900)

CASES = json.loads(Path(__file__).with_name("look_up_cases.json").read_text("utf-8"))
"""What viewers type, and the address that answers it first: one, one of several, or none at all."""

BEST = ".hits--best [role=option]"


def ask(seen: Watched, base: str, question: str, address: str = "/terms/tie/") -> None:
    """Open a page and type a question into its look-up."""
    seen.page.goto(base + address)
    seen.page.locator("#look-up").click()
    seen.page.keyboard.type(question)
    seen.page.locator(".look-up__panel:visible").wait_for()


def addresses(seen: Watched, base: str, options: str) -> list[str]:
    """Return where the options of the look-up lead, without the site's address."""
    links = seen.page.locator(options).evaluate_all("links => links.map(link => link.href)")
    return [urlsplit(link).path.removeprefix(urlsplit(base).path) for link in links]


def test_cases_are_answered_first_by_the_page_they_name(watch: Watch, base: str, demo: BuiltSite) -> None:
    with watch(DESK) as seen:
        seen.page.goto(base + "/terms/tie/")
        script = """async ([module, questions]) => {
          const { lookUp } = await import(module);
          return questions.map((question) => {
            const { best, others } = lookUp(question);
            return [...best, ...others].map((answer) => answer.address);
          });
        }"""
        module = f"{base}/assets/{demo.assets.name}/answers.js"
        found = seen.page.evaluate(script, [module, [case["query"] for case in CASES]])
        assert seen.said == []
    missed = []
    for case, answers in zip(CASES, found, strict=True):
        wanted = case["first"] if isinstance(case["first"], list) else [case["first"]]
        if (answers[0] if answers else None) not in wanted:
            missed.append((case["query"], wanted, answers[:3]))
    assert len(CASES) >= 60
    assert missed == []


def test_every_phrase_of_an_entry_finds_it_first_or_beside_its_like(
    watch: Watch, base: str, demo: BuiltSite, lanternfield: Loaded
) -> None:
    typed = [
        (phrase, f"/{folder}/{name}/")
        for folder, name, phrases in [
            *((entry.folder, name, entry.asked_as) for name, entry in lanternfield.glossary.entries.items()),
            *(("guides", name, guide.asked_as) for name, guide in lanternfield.guides.items()),
        ]
        for phrase in phrases
    ]
    with watch(DESK) as seen:
        seen.page.goto(base + "/terms/tie/")
        script = """async ([module, phrases]) => {
          const { lookUp } = await import(module);
          return phrases.map((phrase) => {
            const { best, others } = lookUp(phrase);
            return [...best, ...others].map((answer) => answer.address);
          });
        }"""
        module = f"{base}/assets/{demo.assets.name}/answers.js"
        found = seen.page.evaluate(script, [module, [phrase for phrase, _ in typed]])
    assert len(typed) >= 1_000
    assert [(*row, answers[:3]) for row, answers in zip(typed, found, strict=True) if row[1] not in answers[:2]] == []
    assert sum(row[1] == answers[0] for row, answers in zip(typed, found, strict=True)) >= 0.99 * len(typed)


def test_every_address_of_the_cases_is_a_page(demo: BuiltSite) -> None:
    for case in CASES:
        for address in case["first"] if isinstance(case["first"], list) else [case["first"]]:
            assert address is None or demo.resolves(address), case


def test_every_chord_leads_to_a_page(watch: Watch, base: str, demo: BuiltSite, glossary: Glossary) -> None:
    symbols = [f"{root}{entry.written[0]}" for entry in glossary.chords.values() for root in ("C", "Ab", "F#", "E#")]
    symbols += [f"{symbol}/{bass}" for symbol in symbols[::7] for bass in "CDEFGAB"]
    with watch(DESK) as seen:
        seen.page.goto(base + "/terms/tie/")
        script = """async ([module, symbols]) => {
          const { lookUp } = await import(module);
          return symbols.map((symbol) => lookUp(symbol).best.map(({ address }) => address));
        }"""
        module = f"{base}/assets/{demo.assets.name}/answers.js"
        found = seen.page.evaluate(script, [module, symbols])
    lost = [
        (symbol, address)
        for symbol, answers in zip(symbols, found, strict=True)
        for address in answers or [""]
        if not demo.resolves(address or "/nowhere/")
    ]
    assert lost == []


PAGES_HAVE = {"note-names.js", "note-names.json"}
"""What the look-up uses and pages fetch by themselves, the table only where other note names are chosen."""


def test_nothing_is_fetched_before_the_look_up_is_used(watch: Watch, base: str, demo: BuiltSite) -> None:
    with watch(PHONE) as seen:
        with seen.page.expect_response(lambda answer: answer.url.endswith("/start.js")):
            seen.page.goto(base + "/c-major/", wait_until="networkidle")
        own = [url.rsplit("/", 1)[-1] for url in seen.asked if "/assets/understave-" in url]
        assert "start.js" in own
        assert demo.fetched_from("box.js") & set(own) <= PAGES_HAVE
        assert not [url for url in seen.asked if "search_index" in url]


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_best_answer_says_symbol_tones_and_keys(watch: Watch, base: str, size: tuple[int, int]) -> None:
    with watch(size) as seen:
        ask(seen, base, "A C F")
        best = seen.page.locator(BEST).first
        assert re.sub(r"\s+", " ", best.inner_text()).startswith("F/A F major over A F A C over A")
        assert best.locator("svg.keyboard circle").count() == 3
        panel = seen.page.locator(".look-up__panel").bounding_box()
        assert panel
        assert panel["x"] >= 0
        assert panel["x"] + panel["width"] <= size[0]
        assert seen.page.evaluate("document.documentElement.scrollWidth") <= size[0]
        assert seen.said == []
        assert seen.hosts() == {"127.0.0.1"}


def test_two_notes_are_answered_without_a_third(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        ask(seen, base, "G C")
        best = seen.page.locator(BEST)
        assert "neither major nor minor" in best.inner_text()
        assert best.locator("svg.keyboard circle").count() == 2
        assert "/terms/interval/" in addresses(seen, base, ".hits [role=option]")


def test_slips_are_mended_and_the_answer_says_the_right_name(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        ask(seen, base, "Cmja7")
        assert addresses(seen, base, BEST) == ["/c-major-seventh/"]
        assert "C major seventh" in seen.page.locator(BEST).inner_text()
        assert seen.said == []


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_several_readings_stand_side_by_side(watch: Watch, base: str, size: tuple[int, int]) -> None:
    with watch(size) as seen:
        ask(seen, base, "C2")
        assert addresses(seen, base, BEST) == ["/c-added-second/", "/c-suspended-second/"]
        first, second = (seen.page.locator(BEST).nth(number).bounding_box() for number in (0, 1))
        assert first
        assert second
        assert first["y"] == second["y"]
        assert first["x"] + first["width"] <= second["x"]
        assert "suspended" in seen.page.locator(BEST).nth(1).inner_text()


def test_composed_chord_is_answered_on_the_spot_with_its_parts(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        ask(seen, base, "Ebm9(add13)")
        best = seen.page.locator(BEST).first.inner_text()
        assert "E♭ G♭ B♭ D♭ F C" in best
        assert "minor ninth and added thirteenth" in best
        assert addresses(seen, base, ".hits [role=option]")[:2] == ["/e-flat-minor-ninth/", "/e-flat-added-thirteenth/"]


def test_box_is_an_editable_combobox(watch: Watch, base: str) -> None:
    with watch(DESK) as seen:
        seen.page.goto(base + "/c-major/")
        box = seen.page.get_by_role("combobox", name="Look up a chord symbol, notes, a count or a word")
        assert box.get_attribute("aria-expanded") == "false"
        assert box.get_attribute("aria-autocomplete") == "list"
        box.press_sequentially("minor")
        seen.page.locator("[role=option]").first.wait_for()
        assert box.get_attribute("aria-expanded") == "true"
        listbox = seen.page.get_by_role("listbox", name="Answers")
        assert box.get_attribute("aria-controls") == listbox.get_attribute("id")
        assert box.get_attribute("aria-activedescendant") is None
        ids = listbox.get_by_role("option").evaluate_all("options => options.map(option => option.id)")
        assert len(ids) == len(set(ids)) > 3


def chosen(seen: Watched) -> list[str]:
    """Return the ids of the options that are chosen; the box must point to the same one."""
    ids = seen.page.locator("[role=option][aria-selected=true]").evaluate_all("all => all.map(one => one.id)")
    pointed = seen.page.locator("#look-up").get_attribute("aria-activedescendant")
    assert ids == ([pointed] if pointed else [])
    return [str(one) for one in ids]


def test_arrows_choose_enter_follows_escape_closes_and_clears(watch: Watch, base: str) -> None:
    with watch(DESK) as seen:
        ask(seen, base, "C2")
        press = seen.page.keyboard.press
        assert chosen(seen) == []
        press("ArrowDown")
        assert chosen(seen) == ["look-up-0"]
        press("ArrowDown")
        assert chosen(seen) == ["look-up-1"]
        press("ArrowUp")
        press("ArrowUp")
        assert chosen(seen) == []
        press("ArrowUp")
        assert chosen(seen) == [f"look-up-{seen.page.locator('[role=option]').count() - 1}"]
        press("Escape")
        assert not seen.page.locator(".look-up__panel").is_visible()
        assert seen.page.locator("#look-up").input_value() == "C2"
        press("Escape")
        assert seen.page.locator("#look-up").input_value() == ""
        seen.page.keyboard.type("C2")
        seen.page.locator(BEST).first.wait_for()
        press("ArrowDown")
        press("ArrowDown")
        press("Enter")
        seen.page.wait_for_url("**/c-suspended-second/")
        seen.page.go_back()
        seen.page.locator(BEST).first.wait_for()
        assert seen.page.locator("#look-up").input_value() == "C2", "the question is there again on the way back"


def test_enter_without_a_choice_follows_the_best_answer(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        ask(seen, base, "what does the little circle mean?")
        seen.page.keyboard.press("Enter")
        seen.page.wait_for_url("**/chord-symbols/diminished/")


def test_enter_before_the_tables_are_there_waits_for_them(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        seen.page.route("**/tables.json", lambda route: (seen.page.wait_for_timeout(500), route.continue_()))
        seen.page.goto(base + "/terms/tie/")
        seen.page.locator("#look-up").fill("Am")
        seen.page.keyboard.press("Enter")
        seen.page.wait_for_url("**/a-minor/")


def test_tapping_an_answer_follows_it(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        ask(seen, base, "suspened fourth")
        seen.page.locator(BEST).first.click()
        seen.page.wait_for_url("**/chord-symbols/suspended-fourth/")


def test_number_of_answers_and_the_first_are_told(watch: Watch, base: str) -> None:
    with watch(DESK) as seen:
        ask(seen, base, "C2")
        news = seen.page.locator("form.look-up").get_by_role("status")
        seen.page.wait_for_function("() => document.querySelector('form.look-up [role=status]').textContent !== ''")
        assert re.fullmatch(r"\d+ answers\. C added second: C D E G", news.inner_text())


@pytest.mark.parametrize("question", ["best piano for beginners", "<script>alert(1)</script>", "qwertyuiop"])
def test_what_nothing_answers_is_said_and_the_index_offered(watch: Watch, base: str, question: str) -> None:
    with watch(PHONE) as seen:
        ask(seen, base, question)
        assert f"Nothing here answers “{question}”." in seen.page.locator(".look-up__none").inner_text()
        assert seen.page.locator(BEST).count() == 0
        assert "/chord-symbols/" in addresses(seen, base, "[role=option]")
        assert seen.said == []


def test_nearest_symbol_is_offered_where_one_does_not_read(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        ask(seen, base, "Cmaj7#")
        assert seen.page.locator(".look-up__none").is_visible()
        assert addresses(seen, base, "[role=option]")[0] == "/c-major-seventh/"


@pytest.mark.parametrize("address", ["/", "/terms/tie/", "/chord-symbols/"])
def test_address_can_ask(watch: Watch, base: str, address: str) -> None:
    with watch(PHONE) as seen:
        seen.page.goto(f"{base}{address}?q=F%23m7b5")
        seen.page.locator(BEST).first.wait_for()
        assert seen.page.locator("#look-up").input_value() == "F#m7b5"
        assert addresses(seen, base, BEST) == ["/f-sharp-half-diminished/"]


def test_without_scripts_the_form_leads_to_the_index_of_symbols(watch: Watch, base: str) -> None:
    with watch(PHONE, scripts=False) as seen:
        seen.page.goto(base + "/a-flat-minor-ninth/")
        seen.page.locator("#look-up").fill("Cm7")
        seen.page.keyboard.press("Enter")
        seen.page.wait_for_url(base + "/chord-symbols/?q=Cm7")
        assert seen.page.locator("h1").inner_text() == "Chord symbols"


def test_text_of_every_page_is_searched_when_asked(watch: Watch, base: str, glossary: Glossary) -> None:
    with watch(DESK) as seen:
        ask(seen, base, "ornament whole step bass pedal")
        assert not [url for url in seen.asked if "search_index" in url]
        ask(seen, base, "rolling motion")
        seen.page.locator(".hit--more").click()
        seen.page.locator(".hits--text [role=option]").first.wait_for()
        found = addresses(seen, base, ".hits--text [role=option]")
        assert "/rhythm-figures/eighth-triplets/" in found
        assert len([url for url in seen.asked if "search_index" in url]) == 1
        assert seen.said == []


def test_panel_holds_no_style_attribute_and_no_handler(watch: Watch, base: str) -> None:
    with watch(DESK) as seen:
        ask(seen, base, "Cdim")
        attributes: list[Any] = seen.page.locator("form.look-up *").evaluate_all(
            "all => all.flatMap(one => one.getAttributeNames())"
        )
        assert {name for name in attributes if name == "style" or name.startswith("on")} == set()
