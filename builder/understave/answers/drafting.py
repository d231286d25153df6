"""Draft replies: an editor's template, filled with what the score and the glossary say. Nothing is sent."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, replace

from understave.addresses.slugs import COUNTING_ADDRESS, address_of_entry, address_of_guide
from understave.answers.bars import (
    Bar,
    Sounding,
    bars_in,
    bars_of,
    fits,
    last_measure,
    measure_played,
    measures_near,
    nearest_bar,
)
from understave.answers.describing import page_of
from understave.answers.measure_counts import counts_of
from understave.answers.summaries import summary_text
from understave.comments.asking import Asking
from understave.comments.topics import THEORY
from understave.entries.glossary import Glossary
from understave.entries.lookup import symbol_of
from understave.entries.replies import Replies
from understave.entries.values import CountingSystem, Guide
from understave.lessons.lesson import Lesson
from understave.lessons.times import time_text
from understave.phrases.typesetting import accidental, symbol_text, tone_text
from understave.theory.chords import Chord, usually_left_out
from understave.theory.tones import Degree

LONGEST_NAME = 40
"""The most characters of an author's name in a greeting."""

DEFAULT_ANSWERS = {
    "printing": "printing", "levels": "levels", "request": "requests", "language": "language", "thanks": "thanks",
}  # fmt: skip
"""The standing answer of a topic where no phrase asks for another one."""

_NAME = re.compile(r"[^\W_][\w .'-]*")


@dataclass(frozen=True)
class Draft:
    """A draft reply; ``answer`` is the id of its template, ``bar`` the symbol it speaks of, in ``measure``."""

    text: str
    answer: str
    bar: Bar | None = None
    measure: int | None = None


class Drafts:
    """Writes drafts in the asker's language where a template exists, else in English."""

    def __init__(
        self,
        replies: Replies,
        glossary: Glossary,
        guides: dict[str, Guide],
        system: CountingSystem | None,
        site: str,
    ) -> None:
        self._replies, self._glossary, self._guides, self._site = replies, glossary, guides, site.rstrip("/")
        self._system = system
        self._bars: dict[str, tuple[Bar, ...]] = {}

    def draft(self, asking: Asking, author: str, lesson: Lesson | None, entries: tuple[str, ...]) -> Draft | None:
        """Return a draft for what a comment asks; ``entries`` are those that answer it. None where nothing answers."""
        if asking.hostile or asking.topics[0] == "off-topic":
            return None
        standing = self._standing(asking)
        theory = None
        if any(topic in THEORY for topic in asking.topics):
            theory = self._theory(asking, author, lesson, entries)
        if theory is None and asking.mistake and not standing:
            return self._mistake(asking, author)
        if theory is None:
            return self._filled(standing, asking.language, author) if standing else None
        if standing and standing != "thanks":
            more = self._filled(standing, asking.language, None)
            if more:
                first, second = theory.text, more.text
                if asking.topics[0] in THEORY:
                    return replace(theory, text=f"{first}\n{second}")
                opened = self._filled(standing, asking.language, author)
                closing = self._theory(asking, None, lesson, entries)
                if opened and closing:
                    return replace(closing, text=f"{opened.text}\n{closing.text}", answer=standing)
        return theory

    def answered_in_video(self, language: str, author: str, video: str, seconds: int) -> str:
        """Return the reply that points to a question round's second."""
        link = video.replace("{seconds}", str(seconds))
        draft = self._filled("answered-in-video", language, author, time=time_text(seconds), link=link)
        return draft.text if draft else ""

    def _standing(self, asking: Asking) -> str | None:
        for name in asking.standing:
            if self._replies.find(name, asking.language):
                return name
        for topic in asking.topics:
            name = DEFAULT_ANSWERS.get(topic, "")
            if self._replies.find(name, asking.language):
                return name
        return None

    def _theory(
        self, asking: Asking, author: str | None, lesson: Lesson | None, entries: tuple[str, ...]
    ) -> Draft | None:
        asked = asking.mentions[0].chord if asking.mentions else None
        if lesson is not None:
            draft = self._of_place(asking, author, lesson, asked, entries)
            if draft:
                return draft
        if asking.mistake:
            return self._mistake(asking, author)
        if asked is not None:
            name = "symbol" if asked.slash is None else "slash-symbol"
            reply = self._replies.find(name, asking.language)
            values = {
                "symbol": self._symbol(asked),
                "tones": self.tones(asked, reply.language if reply else "en"),
                "bass": tone_text(asked.bass),
                "link": self._page(asked),
            }
            return self._filled(name, asking.language, author, **values)
        if not entries:
            return None
        values = self._about(entries[0])
        name = "counting" if asking.topics[0] == "counting" else "entry"
        return self._filled(name, asking.language, author, place="", **values)

    def _about(self, name: str) -> dict[str, str]:
        if guide := self._guides.get(name):
            return {"name": guide.title, "summary": guide.description, "link": self._site + address_of_guide(name)}
        entry = self._glossary.entries[name]
        return {"name": entry.name, "summary": summary_text(entry), "link": self._site + address_of_entry(name, entry)}

    def _mistake(self, asking: Asking, author: str | None) -> Draft | None:
        """Return the thanks for a report that leads to no symbol: with its place where it names one."""
        reply = self._replies.find("mistake-at-place", asking.language)
        if reply is None or asking.places.measure is None:
            return self._filled("mistake-somewhere", asking.language, author)
        place = self._replies.words[reply.language].at_measure.format(measure=asking.places.measure)
        return self._filled("mistake-at-place", asking.language, author, place=place)

    def _of_place(
        self, asking: Asking, author: str | None, lesson: Lesson, asked: Chord | None, entries: tuple[str, ...]
    ) -> Draft | None:
        if asking.topics[0] != "counting":
            return self._at_bar(asking, author, lesson, asked)
        return None if asking.mistake else self._counted(asking, author, lesson, entries)

    def _counted(self, asking: Asking, author: str | None, lesson: Lesson, entries: tuple[str, ...]) -> Draft | None:
        """Return a draft with the count of the measure that is asked about; None where nothing leads to one."""
        places = asking.places
        measure = places.measure
        if measure is None and places.at is not None:
            measure = measure_played(lesson, places.at)
        if measure is None:
            return None
        if measure > last_measure(lesson):
            return self._past_the_end(asking, author, lesson, measure)
        counts = counts_of(lesson, measure, self._system)
        reply = self._replies.find("count-at-measure", asking.language)
        if not counts or reply is None:
            return None
        words = self._replies.words[reply.language]
        place = self._place(reply.language, places.at, measure)
        link = self._about(entries[0])["link"] if entries else self._site + COUNTING_ADDRESS
        whose = {"both": "", "left": f"{words.left_hand} ", "right": f"{words.right_hand} "}
        line = "; ".join(whose[hand] + counted.line for hand, counted in counts.items())
        bar = next(iter(bars_in(self._bars_of(lesson), measure)), None)
        draft = self._filled("count-at-measure", asking.language, author, bar, place=place, line=line, link=link)
        return replace(draft, measure=measure) if draft else None

    def _past_the_end(self, asking: Asking, author: str | None, lesson: Lesson, measure: int) -> Draft | None:
        return self._filled("past-the-end", asking.language, author, measure=measure, last=last_measure(lesson))

    def _place(self, language: str, seconds: int | None, measure: int) -> str:
        words = self._replies.words[language]
        if seconds is None:
            return words.at_measure.format(measure=measure)
        return words.at_time.format(time=time_text(seconds), measure=measure)

    def _at_bar(self, asking: Asking, author: str | None, lesson: Lesson, asked: Chord | None) -> Draft | None:
        """Return a draft that is tied to a bar; None where neither a place nor a symbol leads to one."""
        places = asking.places
        measure = places.measure
        if measure is None and places.at is not None:
            near = measures_near(lesson, places.at)
            measure = next((each for each in near if self._has(lesson, each, asked)), near[0] if near else None)
        if measure is None:
            bar = nearest_bar(self._bars_of(lesson), asked, 0) if asked else None
            name = "mistake" if asking.mistake else "symbol-at-measure"
            return self._of_bar(name, asking, author, bar, bar.met.measure) if bar else None
        if measure > last_measure(lesson):
            return self._past_the_end(asking, author, lesson, measure)
        bars = bars_in(self._bars_of(lesson), measure)
        if not bars:
            return None
        matching = [bar for bar in bars if asked is None or fits(asked, bar.chord)]
        if matching:
            name = "mistake" if asking.mistake else "symbol-at-measure"
            return self._of_bar(name, asking, author, matching[0], measure)
        if asking.mistake:
            return self._of_bar("mistake", asking, author, bars[0], measure)
        assert asked is not None
        elsewhere = nearest_bar(self._bars_of(lesson), asked, measure)
        values = {"there": self._symbol(bars[0].chord), "symbol": self._symbol(asked), "link": self._page(asked)}
        if elsewhere is None:
            return self._of_bar("not-in-lesson", asking, author, bars[0], measure, **values)
        values["symbol"], values["link"] = self._symbol(elsewhere.chord), self._page(elsewhere.chord)
        return self._of_bar(
            "place-disagrees", asking, author, bars[0], measure, other=str(elsewhere.met.measure), **values
        )

    def _bars_of(self, lesson: Lesson) -> tuple[Bar, ...]:
        if lesson.id not in self._bars:
            self._bars[lesson.id] = bars_of(lesson)
        return self._bars[lesson.id]

    def _has(self, lesson: Lesson, measure: int, asked: Chord | None) -> bool:
        return asked is not None and any(fits(asked, bar.chord) for bar in bars_in(self._bars_of(lesson), measure))

    def _of_bar(
        self, name: str, asking: Asking, author: str | None, bar: Bar, measure: int, **more: str
    ) -> Draft | None:
        language = asking.language
        reply = self._replies.find(name, language)
        if reply is None:
            return None
        seconds = asking.places.at if asking.places.at is not None else None
        if seconds is None and asking.places.measure is None:
            seconds = bar.met.seconds
        values = {
            "place": self._place(reply.language, seconds, measure),
            "symbol": self._symbol(bar.chord),
            "left": self.hand(bar.left, reply.language),
            "right": self.hand(bar.right, reply.language),
            "link": self._page(bar.chord),
            **more,
        }
        draft = self._filled(name, language, author, bar, **values)
        return replace(draft, measure=measure) if draft else None

    def hand(self, tones: Sounding, language: str) -> str:
        """Return what a hand plays: D (root) and A (5th)."""
        words = self._replies.words.get(language) or self._replies.words["en"]
        named = [f"{tone_text(tone)} ({self.degree(degree, language)})" for tone, degree in tones]
        return _listed(named, words.conjunction) if named else words.nothing

    def degree(self, degree: Degree, language: str) -> str:
        """Return ♭7th, in the words of a language."""
        words = self._replies.words.get(language) or self._replies.words["en"]
        plain = accidental(degree.alteration) + words.degrees[degree.number - 1]
        return words.altered.get(str(degree), plain)

    def tones(self, chord: Chord, language: str) -> str:
        """Return a chord's tones as they are usually played, the 5th never left out."""
        left_out = {degree for degree in usually_left_out(chord.degrees) if degree.number != 5}
        played = tuple(
            (tone, degree)
            for tone, degree in zip(chord.tones, chord.degrees, strict=True)
            if degree not in left_out
        )  # fmt: skip
        return self.hand(played, language)

    def _symbol(self, chord: Chord) -> str:
        return symbol_text(symbol_of(chord, self._glossary))

    def _page(self, chord: Chord) -> str:
        return self._site + (page_of(chord, self._glossary) or "/")

    def _filled(
        self, name: str, language: str, author: str | None, bar: Bar | None = None, /, **values: object
    ) -> Draft | None:
        """Return a template filled; without an author (None) it greets nobody, as the second part of a reply."""
        reply = self._replies.find(name, language)
        if reply is None:
            return None
        words = self._replies.words[reply.language]
        if reply.file.topic and reply.file.entries:
            first = reply.file.entries[0]
            values = {"link": self._site + address_of_entry(first, self._glossary.entries[first]), **values}
        who = greeted(author or "")
        hello = words.hello.format(who=who) if who else words.hello_nobody
        text = reply.file.text.format(**{"hello": "" if author is None else hello, **values})
        return Draft(" ".join(text.split()), name, bar)


def _listed(items: list[str], conjunction: str) -> str:
    return f" {conjunction} ".join(filter(None, [", ".join(items[:-1]), items[-1]]))


def greeted(author: str) -> str:
    """Return an author's name as it may stand in a reply: letters, digits and a few signs; empty for anything else."""
    name = unicodedata.normalize("NFC", author).strip().removeprefix("@").strip()
    return name if len(name) <= LONGEST_NAME and _NAME.fullmatch(name) else ""
