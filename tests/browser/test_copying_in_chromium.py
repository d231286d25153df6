"""Checks what is copied: the page's own link and a short reply, with news that is seen and heard."""

from __future__ import annotations

from typing import Any

import pytest

from .conftest import Watch

PHONE, DESK = (390, 844), (1280, 900)

SITE = "https://lanternfield.example/glossary"


def news(seen: Any) -> str:
    seen.page.wait_for_function("() => document.querySelector('.page-tools .copied').textContent")
    return seen.page.locator(".page-tools .copied").inner_text()


def copied(seen: Any) -> str:
    return seen.page.evaluate("() => navigator.clipboard.readText()")


def press(seen: Any, name: str) -> None:
    seen.page.locator(".page-tools").get_by_role("button", name=name, exact=True).click()


@pytest.mark.parametrize("address", ["/", "/a-flat-minor-eleventh/", "/guides/pickups/", "/terms/", "/lessons/"])
def test_the_link_is_the_pages_own(look: Watch, base: str, address: str) -> None:
    with look(PHONE) as seen:
        seen.page.context.grant_permissions(["clipboard-read"])
        seen.page.goto(f"{base}{address}?q=something#keys")
        press(seen, "Copy link")
        assert news(seen) == "The link is copied."
        assert copied(seen) == SITE + address
        assert seen.page.locator(".page-tools .copied").get_attribute("role") == "status"


REPLIES = {
    "/d-minor-seventh/": "Dm7 is D (the root), F (the ♭3rd), A (the 5th) and C (the ♭7th). ",
    "/a-flat-minor-eleventh/": "A♭m11 is usually played A♭ (the root), C♭ (the ♭3rd), G♭ (the ♭7th), B♭ (the 9th) and ",
    "/c-major-first-inversion/": "C/E is C with E (3rd) as the lowest note: the first inversion. ",
    "/c-altered-dominant/": "C7alt is usually played C, E, B♭ and A♭, with one 9th at a time: D♭ or D♯. ",
    "/slash-chords/lowered-seventh-in-the-bass/": "C/B♭ is C over B♭. ",
    "/rhythm-figures/eighth-triplets/": "Count it 1 & a 2 & a 3 4. Three equal notes ",
    "/terms/tie/": "A curved line that joins two notes of the same pitch into one longer note. ",
    "/guides/pickups/": "Notes before the first full measure are counted as the end of a measure ",
}  # fmt: skip


@pytest.mark.parametrize("address", REPLIES)
def test_a_reply_answers_and_leads_to_the_page(look: Watch, base: str, address: str) -> None:
    with look(DESK) as seen:
        seen.page.context.grant_permissions(["clipboard-read"])
        seen.page.goto(base + address)
        press(seen, "Copy a reply")
        assert news(seen) == "The reply is copied."
        reply = copied(seen)
        assert reply.startswith(REPLIES[address])
        assert reply.endswith(SITE + address)
        assert not set("{}<>") & set(reply)


def test_a_reply_has_the_note_names_that_are_shown(watch: Watch, base: str) -> None:
    with watch(DESK) as seen:
        seen.page.context.grant_permissions(["clipboard-read"])
        seen.page.goto(base + "/d-minor-seventh/")
        seen.page.wait_for_selector("html[data-note-names]")
        seen.page.get_by_label("Note names").select_option("fr")
        seen.page.wait_for_selector('html[data-note-names="fr"]')
        press(seen, "Copy a reply")
        news(seen)
        assert copied(seen).startswith("Dm7 is ré (the root), fa (the ♭3rd), la (the 5th) and do (the ♭7th). ")


def test_where_the_clipboard_is_refused_the_old_way_is_taken(watch: Watch, base: str) -> None:
    with watch(DESK) as seen:
        seen.page.context.grant_permissions(["clipboard-read"])
        seen.page.add_init_script("navigator.clipboard.writeText = () => Promise.reject(new Error('refused'))")
        seen.page.goto(base + "/d-minor/")
        press(seen, "Copy link")
        assert news(seen) == "The link is copied."
        assert copied(seen) == f"{SITE}/d-minor/"
        assert seen.page.evaluate("() => document.activeElement.textContent") == "Copy link"


def test_where_nothing_may_be_copied_the_text_is_offered(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        seen.page.add_init_script(
            "navigator.clipboard.writeText = () => Promise.reject(new Error('refused'));"
            "document.execCommand = () => false"
        )
        seen.page.goto(base + "/d-minor/")
        press(seen, "Copy link")
        assert news(seen).startswith("Copy it from here:")
        field = seen.page.get_by_label("Copy it from here:")
        assert field.input_value() == f"{SITE}/d-minor/"
        assert field.evaluate("field => field.selectionEnd - field.selectionStart") == len(f"{SITE}/d-minor/")


def test_nothing_moves_when_something_is_copied(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        seen.page.goto(base + "/d-minor/")
        place = """() => {
          const parts = document.querySelectorAll(".page-tools :is(button, select), footer");
          return JSON.stringify([...parts].map((part) => part.getBoundingClientRect()));
        }"""
        seen.page.locator(".page-tools button").first.scroll_into_view_if_needed()
        before = seen.page.evaluate(place)
        press(seen, "Copy a reply")
        news(seen)
        assert seen.page.evaluate(place) == before


def test_buttons_work_by_keys_and_are_gone_without_scripts(watch: Watch, base: str) -> None:
    with watch(DESK) as seen:
        seen.page.context.grant_permissions(["clipboard-read"])
        seen.page.goto(base + "/d-minor/")
        seen.page.get_by_role("button", name="Copy link").focus()
        seen.page.keyboard.press("Enter")
        assert news(seen) == "The link is copied."
    with watch(DESK, scripts=False) as seen:
        seen.page.goto(base + "/d-minor/")
        assert not seen.page.get_by_role("button", name="Copy link").is_visible()
