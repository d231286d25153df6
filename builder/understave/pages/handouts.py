"""Handouts that are picked by hand: a page each, to be read and to be printed, and their index."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from typing import Any

from understave.addresses.slugs import address_of_entry, address_of_handout
from understave.answers.describing import page_of
from understave.answers.handouts import Handout
from understave.answers.project import Loaded
from understave.engraving.keyboard import keyboard
from understave.engraving.pictures import chord_picture
from understave.engraving.rhythm_pictures import rhythm_picture
from understave.entries.glossary import Glossary
from understave.entries.lookup import parts_of, symbol_of
from understave.entries.values import RhythmFigure
from understave.pages.page import LINK, Figure, Page
from understave.pages.playing import played_chords, played_rhythm
from understave.pages.prose import list_html
from understave.phrases.catalogue import phrase
from understave.phrases.fingerings import fingers_html
from understave.phrases.measures import counted_words, hands_words
from understave.phrases.names import chord_name
from understave.phrases.typesetting import HTML, degree_label, joined
from understave.theory.chords import Chord
from understave.theory.counting import count
from understave.theory.voicings import voice

ADDRESS = "/handouts/"


@dataclass(frozen=True)
class HandoutPages:
    """Makes the pages of handouts and their index; without any there is none."""

    loaded: Loaded

    @property
    def glossary(self) -> Glossary:
        """The glossary that is picked from."""
        return self.loaded.glossary

    def __iter__(self) -> Iterator[Page]:
        handouts = self.loaded.handouts
        if handouts:
            title, intro = phrase("kind-handouts"), phrase("intro-handouts")
            yield Page(ADDRESS, title, intro, "index.html", partial(self._index, title, intro), searchable=True)
        for name, handout in handouts.items():
            yield Page(
                address_of_handout(name),
                handout.title,
                handout.intro or handout.title,
                "handout.html",
                partial(self._values, handout),
                tuple(self._figures(handout)),
                searchable=True,
                answer=partial(_reply, handout),
            )

    def _index(self, title: str, intro: str) -> dict[str, Any]:
        rows = [
            {"address": address_of_handout(name), "name": handout.title, "summary": handout.intro}
            for name, handout in self.loaded.handouts.items()
        ]
        return {"title": title, "intro": intro, "groups": [{"name": "", "by_word": True, "rows": rows}]}

    def _figures(self, handout: Handout) -> Iterator[Figure]:
        """Yield the picture of each item, then each rhythm without its count."""
        rhythms = []
        for item in handout.items:
            if isinstance(item, Chord):
                yield self._chord_figure(item)
            else:
                rhythms.append(self.glossary.of(RhythmFigure)[item])
                yield self._rhythm_figure(rhythms[-1])
        for entry in rhythms:
            yield Figure(
                rhythm_picture(entry.parsed, ()), entry.name, counted_words(entry.parsed, None), in_words=False
            )

    def _chord_figure(self, chord: Chord) -> Figure:
        voicing = voice(chord)
        title = phrase("both-hands", name=chord_name(chord, self.glossary))
        picture = chord_picture(voicing, symbol_of(chord, self.glossary))
        return Figure(picture, title, hands_words(voicing), played_chords([voicing]))

    def _rhythm_figure(self, entry: RhythmFigure) -> Figure:
        system = self.loaded.counting_system
        if system is None:
            return Figure(rhythm_picture(entry.parsed, ()), entry.name, counted_words(entry.parsed, None))
        counted = count(entry.parsed, system.system)
        picture = rhythm_picture(entry.parsed, counted.counts)
        return Figure(picture, entry.name, counted_words(entry.parsed, counted), played_rhythm(entry.parsed, counted))

    def _values(self, handout: Handout) -> dict[str, Any]:
        chords = [item for item in handout.items if isinstance(item, Chord)]
        uncounted = iter(range(len(handout.items), 2 * len(handout.items)))
        return {
            "title": handout.title,
            "intro": handout.intro,
            "cards": [
                {"picture": place, **self._chord_card(item, place)}
                if isinstance(item, Chord)
                else {"picture": place, "uncounted": next(uncounted), **self._rhythm_card(item)}
                for place, item in enumerate(handout.items)
            ],
            "chords": bool(chords),
            "fingers": any(map(fingers_html, chords)),
        }

    def _chord_card(self, chord: Chord, place: int) -> dict[str, Any]:
        entries = [self.glossary.entries[name] for name in parts_of(chord, self.glossary).ids]
        name = chord_name(chord, self.glossary)
        voicing = voice(chord)
        left, right = ([pitch for pitch, _ in hand] for hand in (voicing.left, voicing.right))
        on_keys = phrase("on-keyboard", name=name)
        return {
            **chord_row(chord, self.glossary),
            "degrees": degrees_of(chord),
            "keyboard": keyboard(left, right, f"k{place}", on_keys, hands_words(voicing)),
            "corrections": [entry.corrected for entry in entries if entry.corrected],
        }

    def _rhythm_card(self, name: str) -> dict[str, Any]:
        entry = self.glossary.entries[name]
        return {
            "symbol": "",
            "name": entry.name,
            "page": address_of_entry(name, entry),
            "summary": list_html(entry),
            "corrections": [entry.corrected] if entry.corrected else [],
        }


def chord_row(chord: Chord, glossary: Glossary) -> dict[str, Any]:
    """Return what a handout tells of a chord in a line, as HTML: symbol, name, tones by degree, common fingers."""
    return {
        "symbol": symbol_of(chord, glossary),
        "name": chord_name(chord, glossary, HTML),
        "page": page_of(chord, glossary) or "",
        "tones": tones_by_degree(chord),
        "fingers": fingers_html(chord),
    }


def degrees_of(chord: Chord) -> list[str]:
    """Return the labels of a chord's degrees, with that of a bass that is none of them last."""
    foreign = [] if chord.bass in chord.tones else [phrase("label-bass")]
    return [*map(degree_label, chord.degrees), *foreign]


def tones_by_degree(chord: Chord) -> str:
    """Return ``C (root), E (3rd), G (5th)`` as HTML, with a bass that is no chord tone last."""
    foreign = () if chord.bass in chord.tones else (chord.bass,)
    tones = (*chord.tones, *foreign)
    return joined(
        ", ",
        [
            phrase("tone-degree", tone=HTML.tone(tone), degree=degree)
            for tone, degree in zip(tones, degrees_of(chord), strict=True)
        ],
    )


def _reply(handout: Handout) -> str:
    """Return what leads a viewer to a handout."""
    return phrase("reply-page", answer=handout.intro or handout.title, link=LINK)
