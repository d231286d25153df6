"""Checks that tones on pages are marked, in sentences, names of keys and prose, and that symbols are none."""

from __future__ import annotations

import re

import pytest

from understave.answers.project import Loaded
from understave.pages.page import LINK, Page
from understave.pages.prose import guide_html, list_html
from understave.pages.site import site_pages
from understave.phrases.typesetting import COPIED, HTML, TEXT, joined, key_words, listed, pitch_words
from understave.theory.tones import parse_pitch, parse_tone

BARE = re.compile(r"\b[A-G] (?:flat|sharp)\b|[A-G][♭♯𝄫𝄪]")
"""A tone with an accidental, as it stands where nothing marks it."""


@pytest.fixture(scope="module")
def pages(lanternfield: Loaded) -> dict[str, Page]:
    return {page.address: page for page in site_pages(lanternfield, "Lanternfield")}


def unmarked(value: object) -> str:
    """What is left of a text without its tones and symbols."""
    marked = r'<span class="(?:tone|symbol)">(?:[^<]|</?sup>)*</span>'
    return re.sub(r"<[^>]*>", "", re.sub(marked, "", str(value)))


def test_a_setting_says_how_tones_are_set() -> None:
    tone = parse_tone("Bb")
    assert (TEXT.tone(tone), TEXT.said(tone), TEXT.symbol("Bbm7")) == ("B♭", "B flat", "B♭m7")
    assert HTML.tone(tone) == '<span class="tone">B♭</span>'
    assert HTML.said(tone) == '<span class="tone">B flat</span>'
    assert HTML.pitch(parse_pitch("Bb3")) == '<span class="tone">B♭</span>3'
    assert (COPIED.tone(tone), COPIED.symbol("Bbm7")) == ("{B♭}", "B♭m7")
    assert pitch_words(parse_pitch("Bb3")) == "B flat 3"
    assert key_words("Bb minor", HTML) == '<span class="tone">B♭</span> minor'


def test_lists_with_html_are_html_and_the_rest_is_escaped() -> None:
    tone = HTML.tone(parse_tone("C"))
    assert listed([tone, "<b>"]) == '<span class="tone">C</span> and &lt;b&gt;'
    assert joined(", ", ["<", ">"]) == "<, >"
    assert joined(" ", []) == ""


@pytest.mark.parametrize(
    "address",
    [
        "/a-flat-minor-eleventh/",
        "/chord-symbols/altered-dominant/",
        "/e-flat-major-second-inversion/",
        "/c-flat-diminished-seventh/",
        "/slash-chords/lowered-seventh-in-the-bass/",
        "/terms/german-sixth/",
        "/terms/enharmonic/",
        "/lessons/snow-on-the-boathouse/",
        "/levels/advanced/",
        "/lessons/",
    ],
)
def test_no_tone_of_a_page_is_bare(pages: dict[str, Page], address: str) -> None:
    def texts(value: object) -> list[str]:
        if isinstance(value, dict):
            return [text for name, one in value.items() if name not in plain for text in texts(one)]
        if isinstance(value, list | tuple):
            return [text for one in value for text in texts(one)]
        return [str(value)] if isinstance(value, str) else []

    # drawings, their words and what is typeset by a filter in the template
    plain = {"keyboard", "said", "symbol", "form", "written", "sources", "tone", "tones", "corrected"}
    found = [text for text in texts(pages[address].values()) if BARE.search(unmarked(text))]
    assert found == []


def test_a_reply_has_its_tones_in_braces_and_a_place_for_the_link(pages: dict[str, Page]) -> None:
    for address, page in list(pages.items())[::37]:
        reply = page.reply
        assert reply.count(LINK) == 1, address
        assert "<" not in reply
        assert all(re.fullmatch(r"[A-G][♭♯𝄫𝄪]*|link", inside) for inside in re.findall(r"\{([^}]*)\}", reply)), reply


def test_lists_show_a_summary_with_its_tones_marked(lanternfield: Loaded) -> None:
    line = list_html(lanternfield.glossary.entries["enharmonic"])
    assert line == (
        "Two names for the same key on the piano, such as "
        '<span class="tone">F♯</span> and <span class="tone">G♭</span>.'
    )


def test_guides_have_notes_and_symbols_in_braces() -> None:
    assert guide_html("<p>{Ab} in {Abm9}, {chord C}</p>") == (
        '<p><span class="tone">A♭</span> in <span class="symbol">A♭m<sup>9</sup></span>, '
        '<span class="symbol">C</span></p>'
    )
    for kept in ("<code>{C}</code>", "{3}", "{symbol}", "{: .note }", "{}", "<pre><code>{C}\n</code></pre>"):
        assert guide_html(kept) == kept
