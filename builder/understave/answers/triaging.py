"""Triage: comments → what each asks, what answers it, and a draft; what is asked often, and what is missing."""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from typing import Any

from understave.addresses.slugs import address_of_entry, address_of_guide
from understave.answers.bars import fits, measure_played
from understave.answers.describing import page_of
from understave.answers.drafting import Draft, Drafts
from understave.answers.summaries import summary_text
from understave.comments.answered import Answered
from understave.comments.asking import Asking, Reader
from understave.comments.mentions import Mention, chord_of
from understave.comments.reading import BadRow, Comment
from understave.comments.text import plain
from understave.comments.topics import THEORY
from understave.comments.vocabulary import IF_ASKED, LANGUAGES, Asked
from understave.entries.glossary import Glossary
from understave.entries.lookup import parts_of, symbol_of
from understave.entries.replies import Replies
from understave.entries.values import (
    AddedTone,
    ChordSymbol,
    CountingSystem,
    Entry,
    Guide,
    RhythmFigure,
    SlashChord,
    Term,
)
from understave.lessons.lesson import Lesson
from understave.theory.chords import Chord

Json = dict[str, Any]

MOST_NAMED = 25
"""The most comments that a group or a missing entry names; the count goes on."""

MOST_MISSING = 500
"""The most missing entries that are told apart."""

SHORTEST_TITLE = 2
"""The fewest words of a title that a comment must hold to speak of its lesson."""


@dataclass(frozen=True)
class Linked:
    """An entry that answers: its id, the page to link, and the symbol as it is printed (None: asked without a root)."""

    entry: str
    page: str
    symbol: str | None = None
    name: str = ""
    """What the entry or guide is called."""

    @property
    def value(self) -> Json:
        """The link for JSON."""
        return {"entry": self.entry, "page": self.page, "symbol": self.symbol}


@dataclass(frozen=True)
class Triaged:
    """A comment with all that triage says of it. ``asking`` is None for the teacher's own."""

    comment: Comment
    asking: Asking | None
    entries: tuple[Linked, ...] = ()
    lesson: Lesson | None = None
    answered: Json | None = None
    """How it was answered, None where it wasn't: ``{"reply"}``, ``{"video", "at"}`` in seconds, ``{"corrected"}``,
    ``{"stands"}``, ``{"reply_id"}`` of the teacher's own comment below it, ``{"by_me": true}`` for the teacher's own.
    """
    draft: Draft | None = None
    pointer: str = ""
    """The reply to a comment that a question round has answered."""

    @property
    def topics(self) -> tuple[str, ...]:
        """The topics of its questions, the first question's first."""
        return self.asking.topics if self.asking else ("other",)

    @property
    def mistake(self) -> bool:
        """Whether it reports a mistake."""
        return bool(self.asking and self.asking.mistake)

    @property
    def measure(self) -> int | None:
        """The measure that it names, or else the one that is played at the time that it names."""
        if self.asking is None:
            return None
        places = self.asking.places
        if places.measure is not None or places.at is None or self.lesson is None:
            return places.measure
        return measure_played(self.lesson, places.at)

    @property
    def text(self) -> str:
        """The draft's text; empty where nothing is to be sent."""
        return self.pointer or (self.draft.text if self.draft else "")

    @property
    def value(self) -> Json:
        """The comment for JSON."""
        asking = self.asking
        return {
            "id": self.comment.id,
            "topics": list(self.topics),
            "entries": [linked.value for linked in self.entries],
            "lesson": self.lesson.id if self.lesson else None,
            "at": asking.places.at if asking else None,
            "measure": self.measure,
            "language": asking.language if asking else "en",
            "mistake": self.mistake,
            "answered": self.answered,
            "draft": self.text,
        }

    @property
    def question(self) -> tuple[str, str] | None:
        """What makes two questions the same: the topic, and the page or standing answer; None for no question."""
        if self.asking is None or self.asking.hostile or self.topics[0] in ("thanks", "off-topic"):
            return None
        if self.topics[0] in THEORY:
            return (self.topics[0], self.entries[0].page) if self.entries else None
        return (self.topics[0], self.draft.answer) if self.draft else None


def bad_value(row: BadRow) -> Json:
    """Return a row that doesn't read for JSON: a comment's keys, and its error."""
    return {
        "id": row.id, "topics": [], "entries": [], "lesson": None, "at": None, "measure": None, "language": None,
        "mistake": False, "answered": None, "draft": "", "error": str(row.fault),
    }  # fmt: skip


class Triage:
    """Reads comments one by one with a glossary, lessons and replies."""

    def __init__(
        self,
        glossary: Glossary,
        guides: dict[str, Guide],
        lessons: dict[str, Lesson],
        replies: Replies,
        system: CountingSystem | None,
        site: str,
        answered: Answered,
    ) -> None:
        self._glossary, self._guides, self._lessons, self._answered = glossary, guides, lessons, answered
        self._replies = replies
        self._drafts = Drafts(replies, glossary, guides, system, site)
        self._reader = reader_of(glossary, guides, replies)
        self._titles = _titles(lessons)
        self._links: dict[Chord, Linked | None] = {}

    def triaged(self, comment: Comment) -> Triaged:
        """Return what a comment asks, what answers it, and a draft where nothing has answered it yet."""
        if comment.by_me:
            return Triaged(comment, None, answered={"by_me": True})
        asking = self._reader.asking(comment.text)
        lesson = self._lesson(comment, asking)
        if lesson is not None and asking.language == "de":
            asking = replace(asking, mentions=tuple(_german_b(mention, lesson) for mention in asking.mentions))
        entries = tuple(self._linked(asking))
        if answered := self._answered.of(comment):
            return Triaged(comment, asking, entries, lesson, answered, pointer=self._pointer(comment, asking))
        draft = self._drafts.draft(asking, comment.author, lesson, tuple(linked.entry for linked in entries))
        triaged = Triaged(comment, asking, entries, lesson, draft=draft)
        if asking.which_chord and not entries and triaged.measure is not None and draft and draft.bar:
            there = self._of_chord(draft.bar.chord)
            return replace(triaged, entries=(replace(there, symbol=None),)) if there else triaged
        return triaged

    def hands(self, triaged: Triaged) -> tuple[str, str] | None:
        """Return what the left and the right hand play in the bar that a draft speaks of."""
        bar = triaged.draft.bar if triaged.draft else None
        return (self._drafts.hand(bar.left, "en"), self._drafts.hand(bar.right, "en")) if bar else None

    def tones(self, chord: Chord) -> str:
        """Return a chord's tones with their degrees, as they are usually played."""
        return self._drafts.tones(chord, "en")

    def summary(self, name: str) -> str:
        """Return the first sentence of an entry or guide."""
        return self._guides[name].description if name in self._guides else summary_text(self._glossary.entries[name])

    def _pointer(self, comment: Comment, asking: Asking) -> str:
        answer = self._answered.answers.get(comment.id)
        if answer is None or answer.reply is not None or answer.video is None or answer.at is None:
            return ""
        return self._drafts.answered_in_video(asking.language, comment.author, answer.video, answer.at)

    def _lesson(self, comment: Comment, asking: Asking) -> Lesson | None:
        """Return the lesson of a comment: by its column (id or title), or by a title in its text."""
        if comment.lesson:
            return self._lessons.get(comment.lesson) or self._titles.get(" ".join(_words(comment.lesson)))
        if asking.hostile:
            return None
        text = f" {' '.join(_words(comment.text))} "
        return next(
            (
                lesson
                for title, lesson in self._titles.items()
                if title.count(" ") + 1 >= SHORTEST_TITLE and f" {title} " in text
            ),
            None,
        )

    def _linked(self, asking: Asking) -> Iterator[Linked]:
        """Yield the entries that answer, each page once: chords with a root, symbols without, entries by name."""
        if asking.topics[0] == "off-topic":
            return
        pages: set[str] = set()
        for linked in (*map(self._of_chord, (mention.chord for mention in asking.mentions)), *self._named(asking)):
            if linked is not None and linked.page not in pages:
                pages.add(linked.page)
                yield linked

    def _of_chord(self, chord: Chord) -> Linked | None:
        if chord not in self._links:
            self._links[chord] = self._link_of(chord)
        return self._links[chord]

    def _link_of(self, chord: Chord) -> Linked | None:
        page = page_of(chord, self._glossary)
        if page is None:
            return None
        parts = parts_of(chord, self._glossary)
        folder, _, name = page.strip("/").rpartition("/")
        entry = name if folder else parts.own or parts.base or name
        return Linked(entry, page, symbol_of(chord, self._glossary), self._glossary.entries[entry].name)

    def _named(self, asking: Asking) -> Iterator[Linked | None]:
        for chord in asking.suffixes:
            parts = parts_of(chord, self._glossary)
            yield self._of_entry(parts.own or parts.base or "")
        for name in asking.entries:
            yield self._of_entry(name)
        for answer in asking.standing:
            reply = self._replies.find(answer, asking.language)
            for name in reply.file.entries if reply else ():
                yield self._of_entry(name)

    def _of_entry(self, name: str) -> Linked | None:
        if name in self._guides:
            return Linked(name, address_of_guide(name), name=self._guides[name].title)
        entry = self._glossary.entries.get(name)
        return Linked(name, address_of_entry(name, entry), name=entry.name) if entry else None


def _german_b(mention: Mention, lesson: Lesson) -> Mention:
    """Return a German comment's B as B♭ where the lesson has only that: B/C is meant under B♭/C."""
    if not re.match(r"B(?![b♭#♯])", mention.text):
        return mention
    flat = chord_of(mention.text, "de")
    symbols = [met.chord for met in lesson.symbols if met.chord is not None]
    if any(fits(mention.chord, there) for there in symbols):
        return mention
    is_flat = flat is not None and any(fits(flat, there) for there in symbols)
    return replace(mention, chord=flat) if flat is not None and is_flat else mention


def _words(text: str) -> list[str]:
    """Return a title's words in plain letters, whatever stands between them."""
    return "".join(letter if letter.isalnum() else " " for letter in plain(text)).split()


def _titles(lessons: dict[str, Lesson]) -> dict[str, Lesson]:
    """Return the lessons by what viewers call them: id, title, the first part of the title or of the tune's name.

    What two lessons are called, as the levels of one tune are, tells neither.
    """
    found: dict[str, set[str]] = {}
    for name, lesson in lessons.items():
        title, tune = lesson.file.title, lesson.file.tune
        for called in (name, title, title.partition(":")[0], tune, tune.partition(",")[0]):
            found.setdefault(" ".join(_words(called)), set()).add(name)
    return {called: lessons[min(names)] for called, names in found.items() if called and len(names) == 1}


NAMED_KINDS = (Term, RhythmFigure, CountingSystem, SlashChord)
"""Entries that a comment may name in words; chord types need their symbol, or the words of comments/words."""


def reader_of(glossary: Glossary, guides: dict[str, Guide], replies: Replies) -> Reader:
    """Return what reads comments with a site's names, guides and standing answers."""
    counted = {entry: name for name, guide in guides.items() for entry in guide.counts}
    return Reader(entry_names(glossary), asked_for(replies), asked_as(glossary, guides), counted)


def entry_names(glossary: Glossary) -> dict[str, list[str]]:
    """Return what entries are called, in small letters and with their plurals.

    A chord type is named by its name with "chord" after it; its bare name is as likely an interval, and counts only
    where a question asks its meaning.
    """
    found = {}
    for kind in NAMED_KINDS:
        for name, entry in glossary.of(kind).items():
            names = [entry.name, *(entry.also_called if isinstance(entry, Term) else ())]
            words = [" ".join(_words(each)) for each in names if len(each) >= SHORTEST_CALLED and _in_words(each)]
            found[name] = [form for each in words for form in (each, each + "s")]
    for name, chord in glossary.chords.items():
        for called in _with_digits(" ".join(_words(chord.name))):
            base = called.removesuffix(" chord")
            forms = [f"{base} {noun}" for noun in ("chord", "chords", "symbol")]
            if " " in called:
                forms.append(called if called.startswith(TELLING) else IF_ASKED + called)
            found.setdefault(name, []).extend(forms)
    return found


def asked_as(glossary: Glossary, guides: dict[str, Guide]) -> dict[str, tuple[str, list[str]]]:
    """Return what viewers type for entries and guides, in any language, with the topic that it tells of.

    Only phrases of several words, and meters: a single word is too likely to be meant otherwise in running text.
    """
    typed: dict[str, tuple[str, ...]] = {name: guide.asked_as for name, guide in guides.items()}
    typed |= {name: entry.asked_as for name, entry in glossary.entries.items() if name not in typed}
    return {
        name: (
            _topic_of(glossary.entries.get(name)),
            [phrase for phrase in listed if _telling(phrase, glossary.entries.get(name))],
        )
        for name, listed in typed.items()
    }


def _topic_of(entry: Entry | None) -> str:
    """Return the topic that an entry's kind is about, a guide's (None) being counting; empty for a term."""
    match entry:
        case Term():
            return ""
        case SlashChord():
            return "slash-chord"
        case AddedTone():
            return "added-tone"
        case ChordSymbol():
            return "chord-symbol"
    return "counting"


def _telling(phrase: str, entry: Entry | None) -> bool:
    words = phrase.replace("-", " ").split()
    if len(words) == 1:
        return not isinstance(entry, Term) and _METER.fullmatch(phrase) is not None
    if isinstance(entry, CountingSystem):
        return True
    return any(len(word) > 2 and word.isalpha() for word in words)


_METER = re.compile(r"\d{1,2}/(?:2|4|8|16)")

SHORTEST_CALLED = 3
"""The fewest letters of a name that comments are searched for."""


def _in_words(called: str) -> bool:
    """Tell whether a name is made of words: Ger+6, 2/2 and 1 e & a would be found where they aren't meant."""
    return all(letter.isalpha() or letter in " -'’" for letter in called)


TELLING = ("dominant", "half diminished", "altered", "power", "added", "suspended")
"""How names of chord types begin that can't be those of intervals."""

_DIGITS = {
    "second": "2nd", "fourth": "4th", "sixth": "6th", "seventh": "7th", "ninth": "9th", "eleventh": "11th",
    "thirteenth": "13th",
}  # fmt: skip


def _with_digits(called: str) -> list[str]:
    """Return a name as it is and with digits: dominant seventh, dominant 7th."""
    digits = " ".join(_DIGITS.get(word, word) for word in called.split())
    return [called] if digits == called else [called, digits]


def asked_for(replies: Replies) -> dict[str, list[Asked]]:
    """Return the standing answers by language, as triage looks for them."""
    return {
        language: [
            Asked(reply.id, reply.file.topic, reply.file.asked_as)
            for reply in replies.standing(language)
            if reply.file.topic
        ]
        for language in LANGUAGES
    }


@dataclass
class Group:
    """Questions that are the same: how many, which comments, and the best one to take up."""

    topic: str
    page: str
    entry: str | None
    symbol: str | None
    name: str = ""
    """What the entry or guide is called."""
    count: int = 0
    open: int = 0
    comments: list[str] = field(default_factory=list)
    best: Triaged | None = None

    def add(self, triaged: Triaged) -> None:
        """Count a question."""
        self.count += 1
        self.open += not triaged.answered
        if len(self.comments) < MOST_NAMED:
            self.comments.append(triaged.comment.id)
        if (
            not triaged.answered
            and not triaged.mistake
            and (self.best is None or _appeal(triaged) > _appeal(self.best))
        ):
            self.best = triaged

    @property
    def value(self) -> Json:
        """The group for JSON."""
        return {
            "topic": self.topic, "entry": self.entry, "page": self.page if self.entry else None, "symbol": self.symbol,
            "answer": None if self.entry else self.page, "count": self.count, "open": self.open,
            "comments": self.comments,
        }  # fmt: skip


def _appeal(triaged: Triaged) -> tuple[bool, bool, int]:
    """Return how well a comment stands for its group: tied to a bar, in a lesson, liked."""
    bar = triaged.draft is not None and triaged.draft.bar is not None
    return (bar, triaged.lesson is not None, triaged.comment.likes)


@dataclass
class Tally:
    """What is counted while comments pass: memory stays flat however many they are."""

    groups: dict[tuple[str, str], Group] = field(default_factory=dict)
    missing: dict[str, tuple[int, list[str]]] = field(default_factory=dict)
    topics: Counter[str] = field(default_factory=Counter)
    languages: Counter[str] = field(default_factory=Counter)
    counts: Counter[str] = field(default_factory=Counter)

    def add(self, triaged: Triaged) -> None:
        """Count a comment."""
        self.counts["comments"] += 1
        self.counts["answered"] += bool(triaged.answered)
        if triaged.asking is None:
            self.counts["by_me"] += 1
            return
        self.counts["mistakes"] += triaged.mistake
        self.counts["drafts"] += bool(triaged.text)
        self.topics[triaged.topics[0]] += 1
        self.languages[triaged.asking.language] += 1
        key = triaged.question
        if key:
            linked = triaged.entries[0] if triaged.topics[0] in THEORY else None
            group = self.groups.get(key)
            if group is None:
                group = self.groups[key] = Group(
                    *key,
                    linked.entry if linked else None,
                    linked.symbol if linked else None,
                    linked.name if linked else "",
                )
            group.add(triaged)
        elif triaged.topics[0] in THEORY and not triaged.answered and not triaged.text:
            self._add_missing(triaged, triaged.asking.unknown)

    def _add_missing(self, triaged: Triaged, what: str) -> None:
        self.counts["unanswered"] += 1
        if what not in self.missing and len(self.missing) >= MOST_MISSING:
            what = ""
        count, comments = self.missing.get(what, (0, []))
        self.missing[what] = (count + 1, [*comments, triaged.comment.id] if len(comments) < MOST_NAMED else comments)

    def often(self) -> list[Group]:
        """Return the groups of two and more, the largest first."""
        return [group for group in self.ranked() if group.count > 1]

    def ranked(self) -> list[Group]:
        """Return all groups, the most asked first."""
        return sorted(self.groups.values(), key=lambda group: (-group.count, group.topic, group.page))

    def unanswered(self) -> list[Json]:
        """Return what is asked and has no entry, the most asked first: an editor's list of entries to write."""
        ranked = sorted(self.missing.items(), key=lambda item: (item[0] == "", -item[1][0], item[0]))
        return [{"missing": what or None, "count": count, "comments": comments} for what, (count, comments) in ranked]

    def value(self) -> Json:
        """Return the counts for JSON."""
        names = ("comments", "answered", "by_me", "mistakes", "drafts", "unanswered", "unread")
        return {
            **{name: self.counts[name] for name in names},
            "topics": dict(sorted(self.topics.items())),
            "languages": dict(sorted(self.languages.items())),
        }


def json_lines(values: Iterable[Json], tally: Tally) -> Iterator[str]:
    """Yield the JSON of `triage` piece by piece: a line a comment, then what the tally holds once they have passed."""
    yield '{"comments": ['
    separator = "\n"
    for value in values:
        yield separator + _dumped(value)
        separator = ",\n"
    yield "\n],\n"
    yield f'"groups": {_dumped([group.value for group in tally.often()])},\n'
    yield f'"unanswered": {_dumped(tally.unanswered())},\n'
    yield f'"counts": {_dumped(tally.value())}}}\n'


def _dumped(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False).encode("utf-8", "backslashreplace").decode()


def chosen(tally: Tally, number: int) -> list[Group]:
    """Return the questions for a round on camera: still open, often asked, of different topics before more of one."""
    waiting = [group for group in tally.ranked() if _for_camera(group)]
    picked: list[Group] = []
    while waiting and len(picked) < number:
        used = Counter(group.topic for group in picked)
        fewest = min(used[group.topic] for group in waiting)
        best = next(group for group in waiting if used[group.topic] == fewest)
        picked.append(best)
        waiting.remove(best)
    return picked


def _for_camera(group: Group) -> bool:
    """Tell whether an entry has something to show for a question; pain and the like are answered in writing."""
    return group.best is not None and bool(group.best.entries) and group.topic in {*THEORY, "other"}
