"""Tries the page that names what both hands hold: tapping, its address, a keyboard alone, MIDI, and parity."""

from __future__ import annotations

import random

import pytest

from understave.answers.naming import naming_value, naming_why
from understave.entries.glossary import Glossary
from understave.phrases.typesetting import degree_label, pitch_text, symbol_text
from understave.theory.naming import Naming, name_keys

from .conftest import Watch
from .test_pages_in_chromium import PHONE

ADDRESS = "/what-are-these-notes/"

PRESSED = "keys => keys.map(key => [key.dataset.key, key.dataset.hand])"


def test_tapped_keys_are_named_with_what_each_hand_suggests(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        seen.page.goto(base + ADDRESS)
        for key in (50, 57):
            seen.page.click(f'[data-key="{key}"]')
        seen.page.check('input[value="right"]')
        for key in (60, 64, 65):
            seen.page.click(f'[data-key="{key}"]')
        said = seen.page.inner_text(".held__said")
        assert seen.page.text_content(".held__symbol") == "Dm9"
        assert "Left hand: D3 (root), A3 (5th)" in said
        assert "Right hand: C4 (♭7th), E4 (9th), F4 (♭3rd)" in said
        assert "The left hand alone suggests D5" in said
        assert seen.page.get_attribute(".held__symbol a", "href").endswith("/d-minor-ninth/")
        assert seen.page.evaluate("() => location.href") == f"{base}{ADDRESS}?left=D3+A3&right=C4+E4+F4"
        seen.page.click('[data-key="65"]')
        assert seen.page.get_attribute('[data-key="65"]', "aria-pressed") == "false"
        seen.page.click("[data-act=clear]")
        assert seen.page.inner_text(".held__said") == "No key is held yet."
        assert seen.said == []


def test_a_link_opens_with_the_same_keys(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        seen.page.goto(f"{base}{ADDRESS}?left=F%232+x9&right=Bb3+D4")
        seen.page.wait_for_selector(".held")
        pressed = seen.page.eval_on_selector_all('[aria-pressed="true"]', PRESSED)
        assert pressed == [["42", "L"], ["58", "R"], ["62", "R"]]
        assert seen.page.text_content(".held__symbol") == "G♭aug"


def test_a_key_that_the_other_hand_takes_changes_hands(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        seen.page.goto(f"{base}{ADDRESS}?left=C4")
        seen.page.check('input[value="right"]')
        seen.page.click('[data-key="60"]')
        assert seen.page.get_attribute('[data-key="60"]', "data-hand") == "R"
        assert seen.page.evaluate("() => location.search") == "?right=C4"


def test_the_keyboard_alone_is_enough(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        seen.page.goto(base + ADDRESS)
        seen.page.focus('[data-key="60"]')
        for pressed in ("Enter", "ArrowRight", "ArrowRight", "ArrowRight", "ArrowRight", "Space", "ArrowDown", "Enter"):
            seen.page.keyboard.press(pressed)
        assert seen.page.evaluate("() => location.search") == "?left=E3+C4+E4"
        assert seen.page.get_attribute('[data-key="52"]', "tabindex") == "0"
        assert seen.page.get_attribute('[data-key="61"]', "aria-label") == "C sharp 4"


def test_a_midi_keyboard_plays(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        seen.page.add_init_script("""
          window.input = {};
          navigator.requestMIDIAccess = async () => ({inputs: new Map([["one", window.input]])});
        """)
        seen.page.goto(base + ADDRESS)
        seen.page.click("[data-act=midi]")
        seen.page.wait_for_function("() => window.input.onmidimessage")
        for message in ([0x90, 48, 80], [0x91, 64, 80], [0x90, 67, 80], [0x80, 67, 0], [0x90, 67, 0], [0xB0, 64, 127]):
            seen.page.evaluate("(data) => window.input.onmidimessage({data})", message)
        assert seen.page.evaluate("() => location.search") == "?left=C3&right=E4"


def test_a_link_and_a_reply_are_copied(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        seen.page.context.grant_permissions(["clipboard-read", "clipboard-write"])
        seen.page.goto(f"{base}{ADDRESS}?left=C3&right=E4+G4")
        seen.page.click(".held [data-copy-link]:not([data-copy])")
        seen.page.wait_for_function("() => document.querySelector('.held__news').textContent === 'The link is copied.'")
        assert seen.page.evaluate("() => navigator.clipboard.readText()") == seen.page.url
        seen.page.click(".held [data-copy]")
        seen.page.wait_for_function("async () => (await navigator.clipboard.readText()).startsWith('C')")
        reply = seen.page.evaluate("() => navigator.clipboard.readText()")
        assert reply.splitlines()[1] == "These are the notes of C major: C, E and G."
        assert reply.splitlines()[-1] == seen.page.url


def test_it_speaks_in_the_chosen_note_names(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        seen.page.goto(f"{base}{ADDRESS}?left=B2&right=D4+F%234")
        seen.page.wait_for_selector("html[data-note-names]")
        seen.page.get_by_label("Note names").select_option("de")
        seen.page.wait_for_function(
            "() => document.querySelector('.held__said').textContent.includes('H minor: H, D and Fis')"
        )
        assert seen.page.locator(".held__symbol").inner_text() == "Bm"
        assert seen.page.get_attribute('[data-key="54"]', "aria-label") == "Fis 3"
        assert seen.page.get_attribute('[data-key="59"]', "aria-label") == "H 3"


def test_without_scripts_the_page_leads_to_the_chords(watch: Watch, base: str) -> None:
    with watch(PHONE, scripts=False) as seen:
        seen.page.goto(base + ADDRESS)
        assert not seen.page.is_visible(".held")
        assert seen.page.is_visible("noscript a, article a[href$='chord-symbols/']")


NAMES = """async (sets) => {
  const [start] = [...document.scripts].map(({src}) => src).filter((src) => src.endsWith("/start.js"));
  const {sentencesOf} = await import(new URL("keys-sentences.js", start));
  const phrases = JSON.parse(document.querySelector(".held__phrases").textContent);
  return sets.map(([left, right]) => sentencesOf(left, right, phrases, "").map((one) => one.textContent));
}"""


@pytest.mark.parametrize("seed", range(3))
def test_what_is_said_agrees_with_the_core(watch: Watch, base: str, glossary: Glossary, seed: int) -> None:
    """The symbol, its reason, each hand's notes by degree and the other names, over 200 pairs of hands a seed."""
    chance = random.Random(seed)
    sets = []
    for _ in range(200):
        keys = sorted(chance.sample(range(36, 85), chance.randint(1, 7)))
        cut = chance.randint(0, len(keys))
        sets.append((keys[:cut], keys[cut:]))
    with watch(PHONE) as seen:
        seen.page.goto(base + ADDRESS)
        told = seen.page.evaluate(NAMES, sets)
    for (left, right), sentences in zip(sets, told, strict=True):
        best, *others = name_keys([*left, *right])
        why = naming_why(best, glossary)
        assert sentences[:2] == [printed(best, glossary), why[:1].upper() + why[1:]]
        held = {pitch.key: f"{pitch_text(pitch)} ({degree_label(degree)})" for pitch, degree in best.right}
        hands = [(hand, keys) for hand, keys in (("Left", left), ("Right", right)) if keys]
        said = [f"{hand} hand: {', '.join(held[key] for key in keys)}" for hand, keys in hands]
        assert sentences[2 : 2 + len(said)] == said
        names = ", ".join(printed(one, glossary) for one in others)
        assert (f"The same notes can also be called {names}" in sentences) == bool(others)


def printed(naming: Naming, glossary: Glossary) -> str:
    return symbol_text(naming_value(naming, glossary)["symbol"])
