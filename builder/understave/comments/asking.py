"""A comment → what it asks: language, places, questions with their topics, chords, entries named, whether a mistake."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from understave.comments.hostile import is_hostile
from understave.comments.languages import language_of
from understave.comments.mentions import Mention, lone_notes, mentions_of
from understave.comments.places import NOWHERE, Places, places_of
from understave.comments.text import Text, read_text
from understave.comments.topics import THEORY, Question, questions_of
from understave.comments.vocabulary import LANGUAGES, Asked, Found, Vocabulary, vocabulary
from understave.comments.weighing import weighed_topic
from understave.theory.chords import Chord

NAMED_TOPICS = ("chord-symbol", "slash-chord", "added-tone")


@dataclass(frozen=True)
class Asking:
    """What a comment asks. ``topics`` has the first question's first; ``standing`` are ids of standing answers.

    ``suffixes`` are chords on C for symbols named without a root; ``entries`` ids of entries that are named in words;
    ``which_chord`` asks for the chord that stands at a place, without naming one; ``unknown`` is what a question asks
    the meaning of, where nothing of this was found.
    """

    language: str
    topics: tuple[str, ...]
    places: Places = NOWHERE
    mentions: tuple[Mention, ...] = ()
    suffixes: tuple[Chord, ...] = ()
    entries: tuple[str, ...] = ()
    standing: tuple[str, ...] = ()
    which_chord: bool = False
    mistake: bool = False
    hostile: bool = False
    asks: bool = False
    unknown: str = ""


class Reader:
    """Reads comments with the words of every language, the names of entries, and the standing answers."""

    def __init__(
        self,
        names: Mapping[str, Iterable[str]],
        answers: Mapping[str, Iterable[Asked]],
        asked_as: Mapping[str, tuple[str, Iterable[str]]] | None = None,
        counted: Mapping[str, str] | None = None,
    ) -> None:
        """Take the ``names`` of entries in English, what they are ``asked_as`` in any language, the standing answers.

        ``counted`` leads from an entry to the guide that tells how it is counted.
        """
        self._counted = counted or {}
        self._words = {
            language: vocabulary(language, names if language == "en" else {}, answers.get(language, ()), asked_as or {})
            for language in LANGUAGES
        }

    def questions(self, text: str) -> tuple[list[Question], int]:
        """Return a comment's questions with what phrases alone say of them, and how many note names stand alone."""
        read = read_text(text)
        language = language_of(text, read)
        words = self._words.get(language, self._words["en"])
        found = [list(words.phrases.find(sentence.words)) for sentence in read.sentences]
        named = mentions_of(read, words, language)
        notes = lone_notes(read, named)
        return (questions_of(read, found, named, notes)[0] if read.sentences else []), notes

    def asking(self, text: str) -> Asking:
        """Return what a comment asks."""
        read = read_text(text)
        language = language_of(text, read)
        words = self._words.get(language, self._words["en"])
        found = [list(words.phrases.find(sentence.words)) for sentence in read.sentences]
        if is_hostile(text) or any(_is_mark(each, "order") for phrases in found for each in phrases):
            return Asking(language, ("off-topic",), places_of(read, words), hostile=True)
        if len(read.sentences) == 1 and any(
            each.sign.kind == "alone" and each.last - each.first == len(read.sentences[0].words) for each in found[0]
        ):
            return Asking(language, ("off-topic",))
        named = mentions_of(read, words, language)
        mentions = [mention for mention in named if not mention.rootless]
        if not any(letter.isalnum() for letter in text) and any(sign in text for sign in _THANKING):
            return Asking(language, ("thanks",))
        notes = lone_notes(read, named)
        questions, whole = questions_of(read, found, named, notes)
        may_report = questions[0].topic not in ("off-topic", "printing", "levels", "language")
        for question in questions:
            question.topic = weighed_topic(question, notes)
        topics = tuple(dict.fromkeys(question.topic for question in questions))
        if whole.marks["pain"] and not whole.marks["no_pain"]:
            return Asking(language, ("other",), places_of(read, words), standing=("pain",), asks=True)
        theory = any(topic in THEORY for topic in topics)
        suffixes = _suffixes(named) if theory else ()
        entries = _entries(read, questions, named, words, self._counted) if theory else ()
        mistake = bool(may_report and whole.marks["mistake"] and not whole.marks["no_mistake"])
        asks = any(sentence.asks for sentence in read.sentences) or topics[0] not in ("thanks", "off-topic", "other")
        return Asking(
            language,
            topics,
            places_of(read, words),
            tuple(mentions) if topics != ("off-topic",) else (),
            suffixes,
            entries,
            _standing(questions),
            (bool(whole.marks["which_chord"]) or topics[0] == "notes-vs-symbol")
            and not (mentions or suffixes or entries),
            mistake,
            asks=asks,
            unknown="" if mentions or suffixes or entries or not theory else _unknown(read, words),
        )


_THANKING = "❤♥💕💖💗💙💚💛💜🧡🥰😍😘👏🙏👍🎉🌹💐🤗💯"
"""Hearts, hands and flowers: alone they are thanks."""


def _is_mark(found: Found, name: str) -> bool:
    return found.sign.kind == "mark" and found.sign.name == name


def _standing(questions: list[Question]) -> tuple[str, ...]:
    """Return the standing answers that questions ask for: each question's own topic's, the longest phrase first."""
    found: dict[str, None] = {}
    for question in questions:
        if question.topic in THEORY:
            continue
        answers = question.evidence.answers
        for name in sorted(answers, key=lambda name: (-answers[name], name)):
            found.setdefault(name)
    return tuple(found)


def _suffixes(named: list[Mention]) -> tuple[Chord, ...]:
    """Return what symbols without a root mean, but for those that a chord of the comment has already."""
    rooted = [mention for mention in named if not mention.rootless]
    found = dict.fromkeys(
        mention.chord for mention in named if mention.rootless and not _is_part(mention.chord, rooted)
    )
    return tuple(found)


def _is_part(chord: Chord, mentions: list[Mention]) -> bool:
    return any(set(chord.degrees) <= set(mention.chord.degrees) for mention in mentions)


def _entries(
    read: Text, questions: list[Question], mentions: list[Mention], words: Vocabulary, counted: Mapping[str, str]
) -> tuple[str, ...]:
    """Return the entries that questions name in words; an everyday word counts only where its meaning is asked.

    Where a chord is named, its page answers, and a word beside it links nothing unless its meaning is asked.
    """
    covered: set[int] = set()
    for mention in mentions:
        start, end = read.chunks[mention.first], read.chunks[mention.last - 1]
        covered |= set(range(start.word, end.word + len(end.words)))
    all_words = [word for sentence in read.sentences for word in sentence.words]
    frames = _frames(all_words, words)
    found: dict[str, None] = {}
    for question in questions:
        counting, compares = question.topic == "counting", question.evidence.marks["compares"] > 0
        if question.topic not in THEORY:
            continue
        for name, first, last, asked in sorted(
            question.evidence.entries, key=lambda item: (item[1] - item[2], item[1])
        ):
            places = set(range(first, last))
            if places & covered:
                continue
            beside_chord = bool(mentions) and not counting
            defined = _framed(first, last, all_words, frames, words) or (compares and not mentions)
            if (asked or name in words.everyday or beside_chord) and not defined:
                continue
            covered |= places
            leads_on = counting and (not defined or question.evidence.marks["how_to_count"])
            found.setdefault(counted.get(name, name) if leads_on else name)
    return tuple(found)


_SMALL_WORDS = frozenset(
    {
        "a",
        "an",
        "the",
        "one",
        "these",
        "this",
        "that",
        "exactly",
        "by",
        "um",
        "uma",
        "un",
        "una",
        "le",
        "la",
        "les",
        "ein",
        "eine",
        "der",
        "die",
        "das",
        "o",
        "l",
        "il",
        "el",
    }
)


def _frames(names: list[str], words: Vocabulary) -> set[int]:
    """Return the places right after "what is", "what does", "meaning of", small words passed over."""
    found = set()
    for each in words.phrases.find(names):
        if _is_mark(each, "term_frame"):
            place = each.last
            found.add(_past_small(names, place))
            joined = next(
                (at for at in range(place, min(place + FARTHEST_SECOND, len(names))) if names[at] in _AND), None
            )
            if joined is not None:
                found.add(_past_small(names, joined + 1))
    return found


def _past_small(names: list[str], place: int) -> int:
    while place < len(names) and names[place] in _SMALL_WORDS:
        place += 1
    return place


FARTHEST_SECOND = 6
"""Within how many words the second of two terms is named: the difference between a tie and a slur."""

_AND = frozenset({"and", "or", "y", "o", "e", "ou", "et", "und", "oder"})


def _framed(first: int, last: int, names: list[str], frames: set[int], words: Vocabulary) -> bool:
    """Tell whether the words from ``first`` up to ``last`` are what a question asks the meaning of."""
    after = names[last] if last < len(names) else ""
    asked = any(_is_mark(each, "term_after") for each in words.phrases.find([after]))
    return asked or (first in frames and (last >= len(names) - 2 or after in _AFTER_TERM))


_AFTER_TERM = frozenset(
    {
        "and",
        "or",
        "in",
        "mean",
        "means",
        "here",
        "exactly",
        "please",
        "anyway",
        "actually",
        "then",
        "y",
        "e",
        "et",
        "und",
    }
)


def _unknown(read: Text, words: Vocabulary) -> str:
    """Return up to three plain words that a question asks the meaning of."""
    for sentence in read.sentences:
        for place in sorted(_frames(sentence.words, words)):
            rest = []
            for word in sentence.words[place : place + 3]:
                if not word.isalpha() or word in _AFTER_TERM or len(word) > 20:
                    break
                rest.append(word)
            if rest and rest[0] not in words.symbols["chord"] | words.symbols["note"]:
                return " ".join(rest)
    return ""
