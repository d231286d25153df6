"""Tries the sound of the two pages on which viewers build things: what is lit, when, and that it ends."""

from __future__ import annotations

from itertools import groupby

from .conftest import LIGHTS, Watch, lit_in_turn, until_lit
from .test_pages_in_chromium import PHONE

EVENTS = """async () => {
  const [start] = [...document.scripts].map(({src}) => src).filter((src) => src.endsWith("/start.js"));
  const [{countEvents}, {answer}] = await Promise.all(
    ["count-sound.js", "count-answer.js"].map((name) => import(new URL(name, start))));
  const state = {rhythm: "8 8 12 12 12 [4 4]", meter: "4/4", system: "e-and-a", beat: ""};
  return countEvents(answer(state), {tempo: 60, beat: "", clicks: true});
}"""


def test_a_count_sounds_on_its_beats_and_a_tie_once(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        seen.page.goto(base + "/count-this-measure/?rhythm=4+4+4+4&meter=4/4&system=e-and-a")
        found = seen.page.evaluate(EVENTS)
    assert found["round"] == 4
    clicks = [event["at"] for event in found["events"] if event.get("key", 0) is None]
    notes = [(round(event["at"], 3), round(event["length"], 3)) for event in found["events"] if event.get("key")]
    lights = [event["light"] for event in found["events"] if "light" in event]
    assert clicks == [0, 1, 2, 3]
    assert notes == [(0, 0.5), (0.5, 0.5), (1, 0.333), (1.333, 0.333), (1.667, 0.333), (2, 2)]
    assert lights == list(range(9))


def test_a_count_lights_its_words_and_ends(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        seen.page.add_init_script(LIGHTS)
        seen.page.goto(base + "/count-this-measure/?rhythm=8+8&meter=1/4&system=e-and-a")
        # slowly, so that each word falls into a frame on a busy machine, too
        seen.page.fill("[name=tempo]", "60")
        seen.page.click("[data-act=play]")
        until_lit(seen)
        seen.page.wait_for_function("() => !document.querySelector('.lit')")
        assert [word for word, _ in groupby(lit_in_turn(seen))] == [["1"], ["&"]]
        assert seen.page.inner_text("[data-act=play]") == "Play"
        assert seen.said == []


def test_the_button_of_a_count_stops_it(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        seen.page.add_init_script(LIGHTS)
        seen.page.goto(base + "/count-this-measure/?rhythm=4+4+4+4&meter=4/4&system=e-and-a")
        seen.page.fill("[name=tempo]", "30")
        seen.page.click("[data-act=play]")
        until_lit(seen)
        assert seen.page.inner_text("[data-act=play]") == "Stop"
        seen.page.click("[data-act=play]")
        assert seen.page.inner_text("[data-act=play]") == "Play"
        assert seen.page.locator(".lit").count() == 0
        assert seen.said == []


def test_held_keys_sound_by_hand(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        seen.page.add_init_script(LIGHTS)
        seen.page.goto(base + "/what-are-these-notes/?left=C3&right=E4+G4")
        seen.page.click("[data-act=play-right]")
        until_lit(seen, ".key")
        assert lit_in_turn(seen)[0] == ["64", "67"]
        seen.page.click("[data-act=clear]")
        assert seen.page.is_disabled("[data-act=play]")
        assert seen.said == []
