"""Plays examples of every kind in Chromium: what sounds, what is lit, what stops it, and that nothing begins alone."""

from __future__ import annotations

import json
import re
from itertools import groupby, pairwise
from typing import Any

import pytest

from .conftest import LIGHTS, Watch, Watched, lit_in_turn, until_lit

PHONE, DESK = (390, 844), (1280, 900)

CHORD = "/c-dominant-seventh/"
RHYTHM = "/rhythm-figures/triplets-to-eighths/"
HANDS = "/guides/two-against-three/"
PATTERN = "/slash-chords/subdominant-over-dominant/"
LESSON = "/lessons/ferry-clock/"

SPY = """
window.heard = [];
window.contexts = 0;
const begin = OscillatorNode.prototype.start;
OscillatorNode.prototype.start = function (at) {
  window.heard.push([Math.round(this.frequency.value * 100) / 100, at]);
  begin.call(this, at);
};
const Real = AudioContext;
window.AudioContext = class extends Real { constructor() { super(); window.contexts += 1; } };
"""
"""Notes each oscillator that is started."""

CLICK = 1650
"""The click's frequency in hertz, from the script."""


def opened(seen: Watched, url: str) -> None:
    seen.page.add_init_script(SPY + LIGHTS)
    seen.page.goto(url)
    seen.page.locator(".player--ready").first.wait_for()


def press(seen: Watched, name: str, player: int = 0) -> None:
    seen.page.locator(".player").nth(player).get_by_role("button", name=name, exact=True).click()


def buttons(seen: Watched, player: int = 0) -> list[str]:
    return [text.strip() for text in seen.page.locator(".player").nth(player).get_by_role("button").all_inner_texts()]


def until_over(seen: Watched) -> None:
    over = "() => window.lights.some((lit) => lit.length) && !document.querySelector('.lit')"
    seen.page.wait_for_function(over, timeout=15_000)


def hertz(key: int) -> float:
    """Return a key's frequency in equal temperament from A4 = 440 Hz (ISO 16)."""
    return round(440 * 2 ** ((key - 69) / 12), 2)


def heard(seen: Watched) -> set[float]:
    """Return the frequencies that sounded."""
    return {frequency for frequency, _ in seen.page.evaluate("() => window.heard")}


def test_nothing_plays_before_a_press(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        opened(seen, base + CHORD)
        seen.page.wait_for_load_state("networkidle")
        assert not [url for url in seen.asked if url.endswith("/sound.js")]
        assert seen.page.evaluate("() => [window.contexts, window.heard.length]") == [0, 0]
        press(seen, "Play")
        until_lit(seen)
        assert len([url for url in seen.asked if url.endswith("/sound.js")]) == 1
        assert seen.page.evaluate("() => window.contexts") == 1
        assert seen.said == []


@pytest.mark.parametrize(
    ("address", "words"),
    [
        (CHORD, ["Play", "Rolled", "Left hand", "Right hand"]),
        ("/c-dominant-seventh-third-inversion/", ["Play", "Rolled", "Left hand", "Right hand"]),
        (PATTERN, ["Play", "Rolled", "Left hand", "Right hand"]),
        (RHYTHM, ["Play"]),
        ("/counting-systems/takadimi/", ["Play"]),
        ("/guides/pickups/", ["Play"]),
        (HANDS, ["Play", "Left hand", "Right hand"]),
        (LESSON, ["Play", "Left hand", "Right hand"]),
        ("/terms/german-sixth/", ["Play", "Rolled", "Left hand", "Right hand"]),
    ],
)
def test_buttons_say_what_they_do(watch: Watch, base: str, address: str, words: list[str]) -> None:
    with watch(PHONE) as seen:
        opened(seen, base + address)
        assert buttons(seen) == words
        press(seen, "Play")
        until_lit(seen)
        assert buttons(seen) == ["Stop", *words[1:]]
        press(seen, "Stop")
        assert buttons(seen) == words
        assert seen.page.locator(".lit").count() == 0
        assert seen.said == []


def test_inversions_have_their_own_players(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        opened(seen, base + CHORD)
        assert [buttons(seen, player) for player in range(1, 5)] == [["Play", "Rolled"]] * 4
        press(seen, "Play", 1)
        until_lit(seen, ".inversions *")
        on_keyboard = "() => [...window.wasLit].filter((one) => one.closest('svg.keyboard')).length"
        assert seen.page.evaluate(on_keyboard) == 0, "the keyboard shows the chord above"


def test_chord_lights_up_on_staff_and_keyboard(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        opened(seen, base + CHORD)
        left, right = json.loads(seen.page.locator(".player").first.get_attribute("data-chords") or "")[0]
        press(seen, "Play")
        until_over(seen)
        lights = lit_in_turn(seen)
        both = {*(f"l{n}" for n in range(len(left))), *(f"r{n}" for n in range(len(right))), *map(str, left + right)}
        assert set(lights[-1]) == both
        assert heard(seen) == {hertz(key) for key in left + right}
        assert buttons(seen)[0] == "Play"


@pytest.mark.parametrize(("name", "letter"), [("Left hand", "l"), ("Right hand", "r")])
def test_one_hand_plays_alone(watch: Watch, base: str, name: str, letter: str) -> None:
    with watch(PHONE) as seen:
        opened(seen, base + CHORD)
        hands = json.loads(seen.page.locator(".player").first.get_attribute("data-chords") or "")[0]
        press(seen, name)
        until_lit(seen)
        assert heard(seen) == {hertz(key) for key in hands["lr".index(letter)]}
        notes = {name for lights in lit_in_turn(seen) for name in lights if not name.isdigit()}
        assert {name[0] for name in notes} == {letter}


def test_rolled_chord_begins_note_after_note(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        opened(seen, base + CHORD)
        press(seen, "Rolled")
        until_over(seen)
        times: dict[float, float] = {}
        for frequency, at in seen.page.evaluate("() => window.heard"):
            times.setdefault(frequency, at)
        in_turn = sorted(times, key=lambda frequency: times[frequency])
        assert in_turn == sorted(times)
        assert len(set(times.values())) == len(times)


def test_chords_of_a_pattern_follow_each_other(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        opened(seen, base + PATTERN)
        press(seen, "Play")
        until_over(seen)
        turns = [{name[1] for name in lights if re.match(r"[lr]\d-", name)} for lights in lit_in_turn(seen)]
        assert [turn for turn, _ in groupby(turns)] == [{"1"}, {"2"}]


def test_syllables_light_up_in_turn_with_the_click(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        opened(seen, base + RHYTHM)
        # slowly, so that each word falls into a frame on a busy machine, too
        seen.page.locator(".player").first.get_by_label("Tempo").select_option(label="half tempo")
        press(seen, "Play")
        until_over(seen)
        words = [name for lights in lit_in_turn(seen) for name in lights if not re.fullmatch(r"e\d+", name)]
        assert " ".join(word for word, _ in groupby(words)) == "1 & a 2 & a 3 & 4 &"
        started = seen.page.evaluate("() => window.heard")
        clicks = sorted(at for frequency, at in started if frequency == CLICK)
        notes = sorted({at for frequency, at in started if frequency != CLICK})
        gaps = [later - earlier for earlier, later in pairwise(clicks)]
        assert gaps == pytest.approx([60 / 36] * 3, abs=1e-4), "four beats, half as fast as 72 a minute"
        assert [at - clicks[0] for at in notes] == pytest.approx(
            [beat * 60 / 36 for beat in (0, 1 / 3, 2 / 3, 1, 4 / 3, 5 / 3, 2, 2.5, 3, 3.5)], abs=1e-4
        )


def test_click_can_be_left_out_and_the_tempo_halved(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        opened(seen, base + RHYTHM)
        player = seen.page.locator(".player").first
        player.get_by_label("Click on each beat").uncheck()
        player.get_by_label("Tempo").select_option(label="half tempo")
        press(seen, "Play")
        seen.page.wait_for_function("() => window.heard.length >= 6")
        started = seen.page.evaluate("() => window.heard")
        assert CLICK not in {frequency for frequency, _ in started}
        times = sorted({at for _, at in started})
        assert times[1] - times[0] == pytest.approx(2 * 60 / 72 / 3, abs=1e-4)


def test_rhythm_goes_on_again_and_again_until_it_is_stopped(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        opened(seen, base + RHYTHM)
        seen.page.locator(".player").first.get_by_label("Again and again").check()
        press(seen, "Play")
        six_clicks = f"() => window.heard.filter(([hertz]) => hertz === {CLICK}).length >= 6"
        seen.page.wait_for_function(six_clicks, timeout=15_000)
        clicks = sorted(at for frequency, at in seen.page.evaluate("() => window.heard") if frequency == CLICK)
        gaps = [later - earlier for earlier, later in pairwise(clicks)]
        assert gaps == pytest.approx([60 / 72] * len(gaps), abs=1e-4), "the beat is held from one round to the next"
        press(seen, "Stop")
        assert seen.page.locator(".lit").count() == 0


def test_setting_changed_while_it_sounds_begins_anew(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        opened(seen, base + RHYTHM)
        seen.page.locator(".player").first.get_by_label("Again and again").check()
        press(seen, "Play")
        until_lit(seen)
        seen.page.locator(".player").first.get_by_label("Tempo").select_option(label="slower")
        assert buttons(seen) == ["Stop"]
        press(seen, "Stop")
        assert buttons(seen) == ["Play"]


def test_one_example_stops_another(watch: Watch, base: str) -> None:
    with watch(DESK) as seen:
        opened(seen, base + LESSON)
        press(seen, "Play", 0)
        until_lit(seen, "#measure-1 *")
        press(seen, "Left hand", 1)
        until_lit(seen, "#measure-2 *")
        assert seen.page.locator("#measure-1 .lit").count() == 0
        assert seen.page.get_by_role("button", name="Stop", exact=True).count() == 1
        assert buttons(seen, 0)[0] == "Play"
        until_lit(seen, "#measure-2 .note")


@pytest.mark.parametrize("how", ["Escape", "hidden", "left"])
def test_it_stops_on_escape_and_when_the_page_goes(watch: Watch, base: str, how: str) -> None:
    with watch(PHONE) as seen:
        opened(seen, base + CHORD)
        press(seen, "Play")
        until_lit(seen)
        if how == "Escape":
            seen.page.keyboard.press("Escape")
        elif how == "hidden":
            seen.page.evaluate(
                """() => {
                  Object.defineProperty(document, "hidden", { get: () => true });
                  document.dispatchEvent(new Event("visibilitychange"));
                }"""
            )
        else:
            seen.page.evaluate("() => dispatchEvent(new PageTransitionEvent('pagehide'))")
        assert seen.page.locator(".lit").count() == 0
        assert buttons(seen)[0] == "Play"


def test_player_works_by_keys_alone(watch: Watch, base: str) -> None:
    with watch(DESK) as seen:
        opened(seen, base + CHORD)
        play = seen.page.locator(".player").first.get_by_role("button").first
        play.focus()
        seen.page.keyboard.press("Enter")
        until_lit(seen)
        assert seen.page.evaluate("() => document.activeElement.textContent") == "Stop"
        seen.page.keyboard.press("Space")
        assert buttons(seen)[0] == "Play"


def test_what_is_lit_is_told_apart_without_color(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        opened(seen, base + RHYTHM)
        looks = """(query) => {
          const look = getComputedStyle(document.querySelector(query));
          return [look.stroke === "none" ? "" : look.strokeWidth, look.fontWeight, look.textDecorationLine];
        }"""
        plain = [seen.page.evaluate(looks, query) for query in (".notehead use", ".harm")]
        seen.page.locator(".player").first.get_by_label("Again and again").check()
        press(seen, "Play")
        lit = seen.page.wait_for_function(
            f"(queries) => queries.every((one) => document.querySelector(one)) && queries.map({looks})",
            arg=[".lit .notehead use", ".harm.lit"],
        )
        head, word = lit.json_value()
        assert head[0] != plain[0][0]
        assert (word[1], word[2]) == ("700", "underline") != (plain[1][1], plain[1][2])


def test_players_are_left_out_without_scripts_and_in_print(watch: Watch, base: str) -> None:
    with watch(PHONE, scripts=False) as seen:
        seen.page.goto(base + CHORD)
        assert seen.page.locator(".player").count() == 5
        assert seen.page.locator(".player:visible").count() == 0
    with watch(DESK) as seen:
        opened(seen, base + CHORD)
        seen.page.emulate_media(media="print")
        assert seen.page.locator(".player:visible").count() == 0


@pytest.mark.parametrize("address", [CHORD, LESSON])
def test_players_move_nothing_when_they_come_to_life(watch: Watch, base: str, address: str) -> None:
    with watch(PHONE) as seen:
        seen.page.add_init_script(
            """window.shift = 0;
            new PerformanceObserver((list) => {
              for (const entry of list.getEntries()) window.shift += entry.value;
            }).observe({ type: "layout-shift", buffered: true });"""
        )
        opened(seen, base + address)
        press(seen, "Play")
        until_lit(seen)
        assert seen.page.evaluate("() => window.shift") == 0


@pytest.mark.parametrize("address", [CHORD, RHYTHM, HANDS, LESSON])
@pytest.mark.parametrize("width", [320, 390])
def test_players_fit_on_a_phone(watch: Watch, base: str, address: str, width: int) -> None:
    with watch((width, 800)) as seen:
        opened(seen, base + address)
        boxes: list[dict[str, Any]] = seen.page.evaluate(
            """() => [...document.querySelectorAll(".player :is(button, select)")].map((one) => {
              const { left, right, height } = one.getBoundingClientRect();
              return { left, right, height };
            })"""
        )
        assert all(box["left"] >= 0 and box["right"] <= width and box["height"] >= 40 for box in boxes)
        assert seen.page.evaluate("() => document.documentElement.scrollWidth") <= width
