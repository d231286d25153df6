"""Tries the index of lessons with a thumb: every link is 44 pixels high (WCAG 2.1, 2.5.5), every kind opens."""

from __future__ import annotations

from .conftest import Watch
from .test_pages_in_chromium import PHONE

LINKS = "() => [...document.querySelectorAll('table.lessons tbody a')].filter(a => a.checkVisibility())"

LOW = f"() => ({LINKS})().filter(a => a.getBoundingClientRect().height < 44).map(a => a.textContent)"


def test_every_link_is_large_enough_for_a_thumb(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        seen.page.goto(base + "/lessons/")
        before = seen.page.evaluate(f"() => ({LINKS})().length")
        for kind in seen.page.query_selector_all("article summary"):
            kind.click()
        assert seen.page.evaluate(f"() => ({LINKS})().length") > before > 0
        assert seen.page.evaluate(LOW) == []
        assert seen.page.evaluate("() => document.documentElement.scrollWidth") <= PHONE[0]
        seen.page.click("#slash-chords table a[href*='greensleeves']")
        seen.page.wait_for_url("**/lessons/greensleeves-in-six-eight/")
        assert seen.said == []
