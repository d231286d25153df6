"""The words that viewers write, by language: tables of data, and the answers that editors add to them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from typing import Any

import yaml

from understave.comments.text import plain

LANGUAGES = ("en", "pt", "es", "it", "fr", "de")
"""Languages with words of their own; other ones are known by their letters or not at all."""

LONGEST_PHRASE = 6
"""The most words of a phrase."""

SHORTEST_BEGINNING = 4
"""The fewest letters of a beginning that ends in * in the tables."""


@dataclass(frozen=True, slots=True)
class Sign:
    """What a phrase tells: a topic, a mark or a standing answer (its ``name``), and how much."""

    kind: str
    name: str
    weight: float = 1.0


@dataclass(frozen=True, slots=True)
class Found:
    """A phrase found among words: from ``first`` up to ``last`` (left out), and what it tells."""

    first: int
    last: int
    sign: Sign


@dataclass
class Phrases:
    """A table from phrases to what they tell, and its beginnings of words."""

    whole: dict[str, list[Sign]] = field(default_factory=dict)
    beginnings: dict[str, list[Sign]] = field(default_factory=dict)
    starts: set[str] = field(default_factory=set)
    """The first words of phrases with several."""

    def add(self, phrase: str, sign: Sign) -> None:
        """Add one phrase; one that ends in * is the beginning of a word."""
        words = [plain(word) for word in phrase.replace("-", " ").split()]
        if phrase.endswith("*") and len(words) == 1:
            self.beginnings.setdefault(words[0].rstrip("*"), []).append(sign)
            return
        self.whole.setdefault(" ".join(words), []).append(sign)
        if len(words) > 1:
            self.starts.add(words[0])

    def find(self, words: list[str]) -> Iterator[Found]:
        """Yield every phrase among the words; a longer one hides no shorter one."""
        for first, word in enumerate(words):
            for sign in self.whole.get(word, ()):
                yield Found(first, first + 1, sign)
            if word in self.starts:
                joined = word
                for last in range(first + 1, min(first + LONGEST_PHRASE, len(words))):
                    joined += " " + words[last]
                    for sign in self.whole.get(joined, ()):
                        yield Found(first, last + 1, sign)
            for size in range(SHORTEST_BEGINNING, min(len(word), 12) + 1):
                for sign in self.beginnings.get(word[:size], ()):
                    yield Found(first, first + 1, sign)


@dataclass
class Vocabulary:
    """One language's words: phrases with what they tell, and sets and numbers that the walkers ask for."""

    phrases: Phrases
    numbers: dict[str, int]
    ordinals: dict[str, int]
    places: dict[str, frozenset[str]]
    symbols: dict[str, frozenset[str]]
    no_symbol: frozenset[str]
    """Symbols that are everyday words of the language, as written."""
    everyday: frozenset[str]
    """Ids of entries whose names are everyday words."""


@dataclass(frozen=True)
class Asked:
    """A standing answer as triage looks for it: its ``id``, its topic, and the phrases that ask for it."""

    id: str
    topic: str
    phrases: tuple[str, ...]


IF_ASKED = "?"
"""What stands before a name of an entry that counts only where a question asks its meaning."""

ASKED_WEIGHT = 3.0
"""How much what viewers type for an entry tells for the topic of its kind."""

STANDING_WEIGHT = 4.0
"""How much a phrase of a standing answer tells for its topic."""


@cache
def words_of(language: str) -> dict[str, Any]:
    """Return a language's table as its file has it, every scalar as text."""
    text = files("understave.comments").joinpath("words", f"{language}.yaml").read_text(encoding="utf-8")
    table: dict[str, Any] = yaml.load(text, Loader=yaml.CBaseLoader)
    return table


TELLING_PLACES = ("bar", "second", "minute", "clock")
"""Words for places that tell a language as well as its common words do."""


@cache
def common_words() -> dict[str, tuple[tuple[str, float], ...]]:
    """Return for each common word the languages it belongs to; one of many languages tells less."""
    owners: dict[str, list[str]] = {}
    for language in LANGUAGES:
        table = words_of(language)
        telling = [word for name in TELLING_PLACES for word in table["places"][name]]
        telling += [*table["symbols"]["chord"], *table["ordinals"]]
        for word in dict.fromkeys(map(plain, (*table["common"].split(), *telling))):
            owners.setdefault(word, []).append(language)
    return {word: tuple((owner, 1 / len(found)) for owner in found) for word, found in owners.items()}


def _set(values: Iterable[str]) -> frozenset[str]:
    return frozenset(map(plain, values))


def vocabulary(
    language: str,
    names: Mapping[str, Iterable[str]],
    answers: Iterable[Asked],
    asked_as: Mapping[str, tuple[str, Iterable[str]]],
) -> Vocabulary:
    """Return a language's words with the standing ``answers`` of that language.

    ``names`` are those of entries by id; ``asked_as`` is what viewers type for them, in any language, with
    the topic that it tells of (empty where it tells none).
    """
    table = words_of(language)
    phrases = Phrases()
    for mark, listed in table["marks"].items():
        for phrase in listed:
            phrases.add(phrase, Sign("mark", mark))
    for topic, weights in table["topics"].items():
        for weight, listed in weights.items():
            for phrase in dict.fromkeys(listed):
                phrases.add(phrase, Sign("topic", topic, float(weight)))
    for phrase in table["alone"]:
        phrases.add(phrase, Sign("alone", "off-topic"))
    for phrase in (phrase for each in LANGUAGES for phrase in words_of(each)["orders"]):
        phrases.add(phrase, Sign("mark", "order"))
    for entry, listed in table["entries"].items():
        for phrase in listed:
            phrases.add(phrase, Sign("entry", entry))
    for entry, listed in names.items():
        for phrase in listed:
            kind = "asked" if phrase.startswith(IF_ASKED) else "entry"
            phrases.add(phrase.removeprefix(IF_ASKED), Sign(kind, entry))
    no_names = {" ".join(map(plain, phrase.split())) for phrase in words_of("en")["no_names"]}
    for entry, (topic, listed) in asked_as.items():
        for phrase in listed:
            if " ".join(map(plain, phrase.replace("-", " ").split())) in no_names:
                continue
            phrases.add(phrase, Sign("entry", entry))
            if topic:
                phrases.add(phrase, Sign("topic", topic, ASKED_WEIGHT))
    for answer in answers:
        for phrase in answer.phrases:
            phrases.add(phrase, Sign("answer", answer.id))
            phrases.add(phrase, Sign("topic", answer.topic, STANDING_WEIGHT))
    return Vocabulary(
        phrases,
        {plain(word): int(number) for word, number in table["numbers"].items()},
        {plain(word): int(number) for word, number in table["ordinals"].items()},
        {name: _set(listed) for name, listed in table["places"].items()},
        {name: _set(listed) for name, listed in table["symbols"].items() if name not in ("no_symbol", "bass")},
        frozenset(table["symbols"]["no_symbol"]),
        frozenset(table["everyday"]),
    )
