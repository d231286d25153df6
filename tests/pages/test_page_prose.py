"""Checks how the prose of entries is filled, linked and kept harmless on its way into pages."""

from __future__ import annotations

import re

import pytest

from understave.entries.glossary import Glossary
from understave.entries.values import Spelled
from understave.pages.page import depth_of, linked, relative_links, source_of
from understave.pages.prose import Rooted, line_html, prose_html, prose_text, rooted_on_c
from understave.phrases.typesetting import HTML, TEXT
from understave.theory.tones import parse_tone

A_FLAT = Rooted(parse_tone("Ab"), "m9", "minor ninth")

SHOWN_ROOTS = ("C", "Ab", "F#", "Cb", "B#")


def tone(text: str) -> str:
    return f'<span class="tone">{text}</span>'


@pytest.mark.parametrize(
    ("brace", "text"),
    [
        ("{1}", "A♭"),
        ("{b3}", "C♭"),
        ("{5}", "E♭"),
        ("{b7}", "G♭"),
        ("{bb7}", "G𝄫"),
        ("{#9}", "B"),
        ("{b13}", "F♭"),
        ("{symbol}", "A♭m9"),
        ("{symbol/b3}", "A♭m9/C♭"),
        ("{name}", "A flat minor ninth"),
        ("{G}", "G"),
        ("{Bb}", "B♭"),
        ("{F##}", "F𝄪"),
        ("{Gadd9}", "Gadd9"),
        ("{Bb/C}", "B♭/C"),
        ("{C6/9}", "C6/9"),
        ("{C7(b9,#11)}", "C7(♭9,♯11)"),
    ],
)
def test_braces_are_filled_under_a_flat(glossary: Glossary, brace: str, text: str) -> None:
    assert prose_text(f"So {brace} it is.", A_FLAT) == f"So {text} it is."
    html = str(prose_html(f"So {brace} it is.", glossary, A_FLAT))
    assert re.sub("<[^>]*>", "", html) == f"So {text} it is."


def test_tones_are_marked_and_symbols_typeset(glossary: Glossary) -> None:
    html = str(prose_html("{b3}, {G}, {symbol/b3} and {Gadd9}", glossary, A_FLAT))
    assert html == (
        f'<p>{tone("C♭")}, {tone("G")}, <span class="symbol">A♭m<sup>9</sup>/C♭</span>'
        ' and <span class="symbol">G<sup>add9</sup></span></p>'
    )


def test_the_same_text_serves_every_root(glossary: Glossary) -> None:
    text = "{1} {b3} {5}"
    c, f_sharp = (Rooted(parse_tone(name), "m", "minor") for name in ("C", "F#"))
    assert prose_text(text, c) == "C E♭ G"
    assert prose_text(text, f_sharp) == "F♯ A C♯"
    assert str(prose_html(text, glossary, f_sharp)) == f"<p>{tone('F♯')} {tone('A')} {tone('C♯')}</p>"


def test_doubled_braces_stay_text(glossary: Glossary) -> None:
    assert "{{1}}" in str(prose_html("Write {{1}} for the root.", glossary, A_FLAT))
    assert prose_text("Write {{1}} for the root.", A_FLAT) == "Write {{1}} for the root."


def test_braces_are_filled_inside_emphasis_and_links(glossary: Glossary) -> None:
    html = str(prose_html("*{b3}* in [{G9} and more](dominant-ninth)", glossary, A_FLAT))
    assert html == (
        f'<p><em>{tone("C♭")}</em> in <a href="@/chord-symbols/dominant-ninth/">'
        '<span class="symbol">G<sup>9</sup></span> and more</a></p>'
    )
    assert prose_text("*{b3}* in [{G9} and more](dominant-ninth)", A_FLAT) == "C♭ in G9 and more"


def test_links_lead_to_the_entrys_own_folder(glossary: Glossary) -> None:
    for name in ("suspension", "added-second", "minor-ninth", "first-inversion", "takadimi", "charleston"):
        html = str(prose_html(f"See [this]({name}).", glossary))
        assert html == f'<p>See <a href="@/{glossary.entries[name].folder}/{name}/">this</a>.</p>'


def test_links_that_leave_the_site_are_marked(glossary: Glossary) -> None:
    html = str(prose_html("See [this](https://example.org/a).", glossary))
    assert 'href="https://example.org/a"' in html
    assert "noopener" in html


def test_link_over_a_line_break_is_a_link(glossary: Glossary) -> None:
    html = str(prose_html("A [seventh\nchord](seventh-chord) is near.", glossary))
    assert re.search(r'<a href="@/terms/seventh-chord/">seventh\s+chord</a>', html)


@pytest.mark.parametrize(
    "text",
    [
        "<script>alert(1)</script>",
        '<img src=x onerror="alert(1)">',
        "<a href='javascript:alert(1)'>x</a>",
        "<javascript:alert(1)>",
        "<a href='data:text/html,hi'>x</a>",
        '<p style="color:red">x</p>',
        "<b onclick=alert(1)>x</b>",
        "![x](https://example.org/x.png)",
    ],
)
def test_prose_can_not_hurt_even_past_the_check(glossary: Glossary, text: str) -> None:
    # the check refuses all of these before a page is made; this is the second wall
    html = str(prose_html(text, glossary, A_FLAT))
    assert not re.search(r"<(script|img|b\b)|onerror|onclick|style=|(href|src)=\"(javascript|data)", html)


def test_sentence_has_no_paragraph_around_it(glossary: Glossary) -> None:
    assert str(line_html("A chord on {1}.", glossary, A_FLAT)) == f"A chord on {tone('A♭')}."


def test_every_entry_fills_under_every_kind_of_root(glossary: Glossary) -> None:
    for entry in glossary.entries.values():
        if isinstance(entry, Spelled):
            fillings = [
                Rooted(parse_tone(root), entry.written[0], entry.name) for root in ("C", "Ab", "F#", "Cb", "B#")
            ]
        else:
            fillings = [Rooted(parse_tone("C"), "", "") if entry.folder == "slash-chords" else None]
        for rooted in fillings:
            for text in (entry.summary, entry.text):
                html = str(prose_html(text, glossary, rooted))
                assert not re.search(r"[{}\ue000\ue001]", html), entry.name
                assert not re.search(r"[{}\[\]*]", prose_text(text, rooted)), entry.name


def test_lists_show_entries_on_c(glossary: Glossary) -> None:
    ninth, tie = glossary.entries["minor-ninth"], glossary.entries["tie"]
    rooted = rooted_on_c(ninth)
    assert rooted
    assert rooted.spoken(TEXT) == "C minor ninth"
    assert rooted.spoken(HTML) == '<span class="tone">C</span> minor ninth'
    assert rooted_on_c(tie) is None


@pytest.mark.parametrize(
    ("address", "depth", "link"),
    [("/", 0, "./terms/tie/"), ("/a-minor/", 1, "../terms/tie/"), ("/terms/tie/", 2, "../../terms/tie/")],
)
def test_links_climb_by_the_depth_of_their_page(address: str, depth: int, link: str) -> None:
    assert depth_of(address) == depth
    assert relative_links(str(linked("/terms/tie/", "tie")), depth) == f'<a href="{link}">tie</a>'


def test_page_source_lies_where_its_address_says() -> None:
    sources = {address: source_of(address) for address in ("/", "/a-minor/", "/terms/tie/")}
    assert sources == {"/": "index.md", "/a-minor/": "a-minor/index.md", "/terms/tie/": "terms/tie/index.md"}
