"""Guides: the counted rhythms in them as pictures, put into the Markdown page that MkDocs makes."""

from __future__ import annotations

import re
from dataclasses import dataclass
from html import escape
from itertools import count as count_up

from understave.engraving.rhythm_pictures import hands_picture, rhythm_picture
from understave.entries.glossary import Glossary
from understave.entries.guides import COUNTED
from understave.entries.values import CountedExample, CountingSystem, Guide
from understave.pages.indexes import OWN_INDEX
from understave.pages.page import LINK, Drawings, Figure, glyphs_of, placed_pictures
from understave.pages.playing import played_hands, played_rhythm
from understave.pages.prose import guide_html
from understave.phrases.catalogue import phrase
from understave.phrases.counting import hands_line
from understave.phrases.measures import counted_words
from understave.theory.counting import count

CRUMB = '<p class="crumbs"><a href="../">{}</a></p>'
"""What leads from a guide to their index, one folder up."""

_PLACE = re.compile(r"<figure data-example=\"(\d+)\"></figure>")


@dataclass(frozen=True)
class GuidePages:
    """Puts pictures into guides. ``system`` is the id of the site's own counting system."""

    guides: dict[str, Guide]
    glossary: Glossary
    system: str

    def figures(self, name: str) -> tuple[Figure, ...]:
        """Return the pictures of a guide, in order."""
        return tuple(map(self._figure, self.guides[name].examples))

    def _figure(self, example: CountedExample) -> Figure:
        system = self.glossary.of(CountingSystem)[example.system or self.system]
        title = example.caption or phrase("counted-in", system=system.name)
        both = example.hands
        counted = count(both.rhythm if both else example.parsed, system.system, example.beat, example.each_beat)
        if both is None:
            plays = played_rhythm(example.parsed, counted)
            words = counted_words(example.parsed, counted)
            return Figure(rhythm_picture(example.parsed, counted.counts), title, words, plays)
        in_hands = f"{phrase('count-words', line=counted.line)}. {hands_line(both)}"
        return Figure(hands_picture(both, counted.counts), title, in_hands, played_hands(both, counted))

    def reply(self, name: str) -> str:
        """Return what leads a viewer to a guide, set in `COPIED`."""
        guide = self.guides[name]
        return phrase("reply-page", answer=guide.description or guide.title, link=LINK)

    def markdown(self, text: str) -> str:
        """Return a guide's Markdown with a place for each picture."""
        numbers = count_up()
        return COUNTED.sub(lambda block: f'<figure data-example="{next(numbers)}"></figure>', text)

    def html(self, name: str, html: str, drawings: Drawings) -> str:
        """Return a guide's HTML with its pictures in their places."""
        figures = self.figures(name)
        pictures = placed_pictures(figures, drawings)

        def picture(match: re.Match[str]) -> str:
            number = int(match[1])
            caption = f"<figcaption>{escape(figures[number].title)}</figcaption>"
            return f'<figure class="staff">{caption}{pictures[number]}</figure>'

        crumb = "" if OWN_INDEX in self.guides else CRUMB.format(escape(phrase("kind-guides")))
        return crumb + glyphs_of(figures, drawings) + _PLACE.sub(picture, guide_html(html))
