"""Checks the note names that a reader chooses: on every part of a page, in the look-up, remembered on the device.

The names are common practice; those with double signs are from memory.
"""

from __future__ import annotations

import re
from typing import Any

import pytest

from ..built_site import BuiltSite
from .conftest import Watch

PHONE, DESK = (390, 844), (1280, 900)

PAGE = "/a-flat-minor-eleventh/"


def choose(seen: Any, language: str) -> None:
    seen.page.wait_for_selector("html[data-note-names]")
    seen.page.get_by_label("Note names").select_option(language)
    seen.page.wait_for_selector(f'html[data-note-names="{language}"]')


def texts(seen: Any, selector: str) -> list[str]:
    return [text.strip() for text in seen.page.locator(selector).all_text_contents()]


def described(seen: Any, selector: str) -> str:
    """What a screen reader says of a picture beside its title."""
    return seen.page.locator(selector).first.evaluate(
        "svg => document.getElementById(svg.getAttribute('aria-describedby')).textContent"
    )


TONES = {
    "pt": ["lá♭", "dó♭", "mi♭", "sol♭", "si♭", "ré♭"],
    "es": ["la♭", "do♭", "mi♭", "sol♭", "si♭", "re♭"],
    "fr": ["la♭", "do♭", "mi♭", "sol♭", "si♭", "ré♭"],
    "it": ["la♭", "do♭", "mi♭", "sol♭", "si♭", "re♭"],
    "de": ["As", "Ces", "Es", "Ges", "B", "Des"],
    "en": ["A♭", "C♭", "E♭", "G♭", "B♭", "D♭"],
}

SAID = {
    "pt": "lá bemol",
    "es": "la bemol",
    "fr": "la bémol",
    "it": "la bemolle",
    "de": "As",
    "en": "A flat",
}


@pytest.mark.parametrize("language", TONES)
def test_every_tone_has_the_chosen_name(watch: Watch, base: str, language: str) -> None:
    tones, said = TONES[language], SAID[language]
    with watch(PHONE) as seen:
        seen.page.goto(base + PAGE)
        choose(seen, "fr" if language == "en" else "en")
        choose(seen, language)
        assert texts(seen, "table.tones td:nth-child(2)") == tones
        assert texts(seen, "h1 .say") == [f"{said} minor eleventh"]
        assert [tone for tone in texts(seen, ".answer .tone") if tone not in tones] == []
        assert set(texts(seen, "svg.notation .tones .letter")) == set(tones) - {tones[2]}
        assert set(texts(seen, "svg.keyboard .key-name")) == set(tones) - {tones[2]}
        assert texts(seen, "svg.keyboard title") == [f"{said} minor eleventh on the keyboard"]
        for picture in ("svg.notation", "svg.keyboard"):
            words = described(seen, picture)
            assert f"Left hand: {said} 2, root" in words
            assert ("flat" in words) is (language == "en")
        assert texts(seen, "ul.homes .tone")[:2] == [tones[3], tones[1]]
        assert seen.page.locator("table.tones .tone").first.get_attribute("lang") == language
        assert seen.said == []


def test_symbols_keep_their_letters(watch: Watch, base: str) -> None:
    with watch(DESK) as seen:
        seen.page.goto(base + PAGE)
        before = texts(seen, ".symbol")
        choose(seen, "pt")
        assert texts(seen, ".symbol") == before
        assert "A♭m" in texts(seen, "h1 .big")[0]


def test_b_is_h_in_german_and_stays_b_in_symbols(watch: Watch, base: str) -> None:
    with watch(DESK) as seen:
        seen.page.goto(f"{base}/b-dominant-seventh-first-inversion/")
        choose(seen, "de")
        assert texts(seen, "h1 .say") == ["H dominant seventh over Dis, first inversion"]
        assert texts(seen, "h1 .big") == ["B7/D♯"]
        assert "H" in texts(seen, ".answer .tone")


def test_a_choice_is_remembered_and_shown_before_it_is_fetched(watch: Watch, base: str) -> None:
    with watch(DESK) as seen:
        seen.page.goto(base + PAGE)
        choose(seen, "it")
        seen.asked.clear()
        seen.page.goto(f"{base}/d-minor/")
        seen.page.wait_for_selector('html[data-note-names="it"]')
        assert texts(seen, "table.tones td:nth-child(2)") == ["re", "fa", "la"]
        assert seen.page.get_by_label("Note names").input_value() == "it"
        assert [url for url in seen.asked if "note-names.json" in url] == []
        assert seen.page.context.cookies() == []
        choose(seen, "en")
        seen.page.goto(f"{base}/d-minor/")
        seen.page.wait_for_selector('html[data-note-names="en"]')
        assert texts(seen, "table.tones td:nth-child(2)") == ["D", "F", "A"]
        assert seen.page.evaluate("() => localStorage.getItem('understave-note-names')") is None


def test_what_the_device_kept_may_be_anything(watch: Watch, base: str) -> None:
    with watch(DESK) as seen:
        seen.page.goto(base + PAGE)
        old = '{"language":"de","table":"old","names":{"A♭":"As"}}'
        for kept in ("no JSON", "null", "7", '{"language":"xx"}', old):
            seen.page.evaluate("kept => localStorage.setItem('understave-note-names', kept)", kept)
            seen.page.goto(base + PAGE)
            seen.page.wait_for_selector("html[data-note-names]")
            seen.page.wait_for_function("() => document.querySelector('table.tones .tone').textContent.match(/^A/)")
        seen.page.wait_for_function("() => document.querySelectorAll('table.tones .tone')[3].textContent === 'Ges'")
        assert seen.said == []


def test_the_look_up_answers_in_the_chosen_names(watch: Watch, base: str) -> None:
    with watch(DESK) as seen:
        seen.page.goto(base + PAGE)
        choose(seen, "pt")
        box = seen.page.get_by_role("combobox", name=re.compile("Look up"))
        box.fill("Bbm7/Ab")
        seen.page.wait_for_selector(".hit--best .hit__line")
        assert texts(seen, ".hit--best .hit__line") == ["si♭ ré♭ fá lá♭ over lá♭"]
        assert texts(seen, ".hit--best .hit__name") == ["si bemol minor seventh over lá bemol"]
        assert texts(seen, ".hit--best .symbol") == ["B♭m7/A♭"]
        box.fill("enharmonic")
        line = "document.querySelector('.hit--best .hit__line').textContent"
        seen.page.wait_for_function(f"() => {line}.includes('fá♯ and sol♭')")


def test_a_name_that_starts_a_sentence_is_capital(watch: Watch, base: str) -> None:
    with watch(DESK) as seen:
        seen.page.goto(base + PAGE)
        choose(seen, "pt")
        told = seen.page.locator(".prose").inner_text()
        assert "Mi♭ is usually left out." in told
        assert re.search(r"[.!?] [a-zé]", told) is None


OTHERS = ["/lessons/snow-on-the-boathouse/", "/slash-chords/first-inversion/", "/terms/key/"]


@pytest.mark.parametrize("address", OTHERS)
def test_other_pages_leave_no_english_tone(watch: Watch, base: str, address: str) -> None:
    with watch(DESK) as seen:
        seen.page.goto(base + address)
        choose(seen, "pt")
        bare = seen.page.locator("article.entry").evaluate(
            """article => {
              const copy = article.cloneNode(true);
              for (const one of copy.querySelectorAll(".symbol, .tone, .form, svg, .count, .sources")) one.remove();
              return copy.textContent;
            }"""
        )
        assert re.findall(r"(?<![\\w♭♯])[B-G](?: flat| sharp|♭|♯)?(?= (?:major|minor|is|in)\\b)", bare) == []
        assert re.findall(r"\\b[A-G] (?:flat|sharp)\\b|[A-G][♭♯]", bare) == []


def test_pictures_have_room_for_longer_names(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        seen.page.goto(base + PAGE)
        choose(seen, "pt")
        crossing = seen.page.locator("svg.notation .tones").first.evaluate(
            """group => {
              const boxes = name => [...group.querySelectorAll(name)].map(one => one.getBoundingClientRect());
              const ends = boxes(".letter").map(box => box.right);
              const starts = boxes(".degree").map(box => box.left);
              return Math.max(...ends) - Math.min(...starts);
            }"""
        )
        assert crossing < 0
        assert seen.page.evaluate("() => document.documentElement.scrollWidth") == PHONE[0]


def test_without_scripts_there_is_no_setting_and_letters_stand(watch: Watch, base: str) -> None:
    with watch(PHONE, scripts=False) as seen:
        seen.page.goto(base + PAGE)
        assert texts(seen, "table.tones td:nth-child(2)") == TONES["en"]
        assert not seen.page.get_by_label("Note names").is_visible()


def test_a_page_that_is_not_there_has_the_names_too(watch: Watch, base: str, demo: BuiltSite) -> None:
    assert (demo.folder / "404.html").is_file()
    with watch(DESK) as seen:
        seen.page.goto(base + PAGE)
        choose(seen, "de")
        seen.page.goto(base + "/404.html")
        seen.page.wait_for_selector('html[data-note-names="de"]')
