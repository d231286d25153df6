"""Checks that keys in the look-up haven't become grossly slower with more content: a few of `keystrokes.py`.

The aim: with eight times the content a key takes at most 1.2 times as long to its painted frame; the test allows twice.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..benchmarks.keystrokes import QUESTIONS, TIMES, grown, to_frame, typed
from ..built_site import BuiltSite

if TYPE_CHECKING:
    from playwright.sync_api import Browser


def test_eight_times_the_content_does_not_slow_keys_down(browser: Browser, base: str, demo: BuiltSite) -> None:
    tables = (demo.assets / "tables.json").read_text("utf-8")
    few = QUESTIONS[:5]
    once, grew = ([typed(browser, f"{base}/terms/tie/", one, few)] for one in (tables, grown(tables, TIMES)))
    assert min(len(once[0].frames), len(grew[0].frames)) >= sum(map(len, few)) // 2, "a frame may answer several keys"
    assert to_frame(grew) <= 2 * 1.2 * to_frame(once)
