"""Puts the counted rhythms of guides into their pages."""

from __future__ import annotations

from pathlib import Path

from understave.engraving.studio import Studio
from understave.entries.guides import read_guides
from understave.entries.values import CountedExample, CountingSystem, Guide
from understave.pages.guides import GuidePages

CONTENT = Path("content")


def test_the_count_of_a_picture_is_computed_by_the_system_asked_for(glossary):
    examples = (CountedExample("12 12 12 4", "2/4", "", "trip-let"), CountedExample("8 8 4", "2/4", "Two"))
    pages = GuidePages({"x": Guide("X", "", examples=examples)}, glossary, "e-and-a")
    first, second = pages.figures("x")
    assert first.words.startswith("The count: 1 trip let 2. ")
    assert second.title == "Two"
    assert second.words == "The count: 1 & 2 (&). In notes: eighth note, eighth note, quarter note."


def test_each_block_becomes_its_own_picture(glossary):
    block = "```count\nrhythm: {}\nmeter: 2/4\n```"
    examples = (CountedExample("8 8 4", "2/4", "A < B"), CountedExample("4 4", "2/4"))
    pages = GuidePages({"x": Guide("X", "", examples=examples)}, glossary, "e-and-a")
    markdown = pages.markdown(f"One\n\n{block}\n\nTwo\n\n{block}\n")
    assert markdown == 'One\n\n<figure data-example="0"></figure>\n\nTwo\n\n<figure data-example="1"></figure>\n'
    studio = Studio(None)
    studio.draw(figure.picture for figure in pages.figures("x"))
    html = pages.html("x", markdown, studio)
    assert html.count("<svg") == 1 + 2 * 2
    assert 'id="p1"' in html
    assert 'id="p2"' in html
    assert html.count('class="player"') == 2
    assert "A &lt; B" in html
    assert "data-example" not in html


def test_every_guide_of_the_demo_reads_and_says_only_words_that_its_system_has(glossary):
    guides, faults = read_guides(CONTENT, glossary.of(CountingSystem))
    assert not faults
    assert {"how-to-count-triplets", "pickups", "cut-time", "dotted-notes"} <= guides.keys()
    pages = GuidePages(guides, glossary, "e-and-a")
    words = [figure.words for name in guides for figure in pages.figures(name)]
    assert len(words) >= 25
    assert not [line for line in words if "–" in line]


def test_two_hands_stand_over_the_count_that_both_share(glossary):
    examples = (CountedExample("6 6 6", "2/4", "Three, two", "trip-let", left="4 4"),)
    pages = GuidePages({"x": Guide("X", "", examples=examples)}, glossary, "e-and-a")
    [figure] = pages.figures("x")
    assert figure.words == "The count: 1 (trip) let 2 trip (let). both, right, left, right"
    studio = Studio(None)
    studio.draw([figure.picture])
    assert studio[figure.picture].inner.count('class="note"') == 5
