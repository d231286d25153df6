"""Replies: the teacher's standing answers and the templates of drafts, as editors write them in `replies/`.

English stands in the folder itself, other languages in folders named by their two letters.
"""

from __future__ import annotations

import re
import string
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field
from pydantic_core import PydanticCustomError

from understave.entries.faults import Fault, nearest, shown
from understave.entries.folders import id_faults, own_files, shown_path
from understave.entries.schema import Shape, Text, wrong
from understave.entries.shaping import build
from understave.entries.yaml_files import read_yaml

Topic = Literal[
    "chord-symbol", "slash-chord", "added-tone", "counting", "notes-vs-symbol", "levels", "printing", "request",
    "language", "thanks", "off-topic", "other",
]  # fmt: skip
"""What a comment can be about."""

TEMPLATES: dict[str, frozenset[str]] = {
    "symbol": frozenset({"hello", "symbol", "tones", "link"}),
    "slash-symbol": frozenset({"hello", "symbol", "tones", "bass", "link"}),
    "symbol-at-measure": frozenset({"hello", "place", "symbol", "left", "right", "link"}),
    "place-disagrees": frozenset({"hello", "place", "there", "symbol", "other", "left", "right", "link"}),
    "not-in-lesson": frozenset({"hello", "place", "there", "symbol", "left", "right", "link"}),
    "past-the-end": frozenset({"hello", "measure", "last"}),
    "entry": frozenset({"hello", "name", "summary", "link"}),
    "counting": frozenset({"hello", "name", "summary", "place", "link"}),
    "count-at-measure": frozenset({"hello", "place", "line", "link"}),
    "mistake": frozenset({"hello", "place", "symbol", "left", "right", "link"}),
    "mistake-at-place": frozenset({"hello", "place"}),
    "mistake-somewhere": frozenset({"hello"}),
    "answered-in-video": frozenset({"hello", "time", "link"}),
}
"""The templates of drafts by id, and what may stand in braces in each."""

ANSWER_FIELDS = frozenset({"hello", "link"})
"""What may stand in braces in a standing answer; ``link`` is that of its first entry."""

WORDS = "words"
"""The file that holds a language's small words."""

_LANGUAGE = re.compile(r"[a-z]{2}")


class ReplyFile(Shape):
    """A standing answer, or the template of a draft."""

    topic: Topic | None = None
    """The topic that a standing answer belongs to."""
    asked_as: tuple[Text, ...] = ()
    """Phrases that ask for it, in small letters."""
    entries: tuple[Text, ...] = ()
    """Ids of entries that answer too; {link} leads to the first."""
    text: Text
    """The reply, three or four lines; {hello} greets, {link} leads to the first entry."""

    def wrongs(self) -> Iterator[PydanticCustomError]:
        """Yield what is wrong between fields."""
        if bool(self.topic) != bool(self.asked_as):
            yield wrong("a topic or asked_as alone", "both in a standing answer, none in a template")
        if "{link}" in self.text and self.topic and not self.entries:
            yield wrong("{link} in a reply without entries", "the id of an entry under entries", at=("text",))


class WordsFile(Shape):
    """A language's small words for drafts."""

    hello: Text
    """How a reply begins; {who} is the name."""
    hello_nobody: Text
    """How a reply begins where no name is known."""
    at_measure: Text
    """How a measure is named; {measure} is its number."""
    at_time: Text
    """How a measure is named with its time in the video: {time}, {measure}."""
    conjunction: Text
    """What stands before the last of several."""
    nothing: Text
    """What is said of a hand that plays nothing."""
    left_hand: Text
    """What the left hand is called before its count."""
    right_hand: Text
    """What the right hand is called before its count."""
    degrees: Annotated[tuple[Text, ...], Field(min_length=13, max_length=13)]
    """The names of the degrees 1 to 13."""
    altered: dict[Text, Text] = Field(default_factory=dict)
    """The names of altered degrees where a sign before the plain name won't do: b3."""

    def wrongs(self) -> Iterator[PydanticCustomError]:
        """Yield what is wrong between fields."""
        for name, known in (
            ("hello", {"who"}), ("hello_nobody", set()), ("at_measure", {"measure"}), ("at_time", {"time", "measure"}),
        ):  # fmt: skip
            yield from _unknown_braces(getattr(self, name), known, name)


@dataclass(frozen=True)
class Reply:
    """A reply of one language, ready to be filled."""

    id: str
    language: str
    file: ReplyFile


@dataclass(frozen=True)
class Replies:
    """All replies by language and id, and each language's small words."""

    texts: dict[tuple[str, str], Reply] = field(default_factory=dict)
    words: dict[str, WordsFile] = field(default_factory=dict)

    def find(self, name: str, language: str) -> Reply | None:
        """Return a reply in a language, or else in English; None if there is neither."""
        own = self.texts.get((language, name)) if language in self.words else None
        return own or (self.texts.get(("en", name)) if "en" in self.words else None)

    def standing(self, language: str) -> list[Reply]:
        """Return the standing answers of a language, by id."""
        return [reply for (own, _), reply in sorted(self.texts.items()) if own == language and reply.file.topic]


def read_replies(content: Path, entries: Iterable[str]) -> tuple[Replies, list[Fault]]:
    """Return the replies below ``content`` and the faults of their files; ``entries`` are the ids that there are."""
    folder = content / "replies"
    replies, faults = Replies(), []
    known = set(entries)
    for path in own_files(folder):
        if not path.is_dir():
            faults += _read(path, "en", replies, known)
        elif _LANGUAGE.fullmatch(path.name):
            for inner in own_files(path):
                faults += _read(inner, path.name, replies, known)
        else:
            found = f"the folder {shown(path.name)}"
            faults.append(Fault(shown_path(path), 1, 1, found, "two small letters for a language, such as pt"))
    return replies, faults


def _read(path: Path, language: str, replies: Replies, known: set[str]) -> list[Fault]:
    """Read one file into ``replies``. Returns its faults."""
    if path.is_dir() or path.suffix != ".yaml":
        return [Fault(shown_path(path), 1, 1, f"the file {shown(path.name)}", "a reply that ends in .yaml")]
    if faults := list(id_faults(path)):
        return faults
    document = read_yaml(path, shown_path(path))
    if path.stem == WORDS:
        if words := build(WordsFile, document):
            replies.words[language] = words
        return document.faults
    file = build(ReplyFile, document)
    if file is None:
        return document.faults
    if not file.topic and path.stem not in TEMPLATES:
        hint = nearest(path.stem, TEMPLATES)
        return [
            document.fault((), "no topic", f"topic and asked_as, or the id of a template: {', '.join(TEMPLATES)}", hint)
        ]
    allowed = ANSWER_FIELDS if file.topic else TEMPLATES[path.stem]
    for name in _braces(file.text):
        if name not in allowed:
            expected = "one of " + ", ".join(f"{{{each}}}" for each in sorted(allowed))
            return [document.fault(("text",), f"{{{name}}} in the text", expected, nearest(name, allowed))]
    for index, name in enumerate(file.entries):
        if name not in known:
            return [document.fault(("entries", index), f"the id {name!r}", "the id of an entry", nearest(name, known))]
    replies.texts[language, path.stem] = Reply(path.stem, language, file)
    return []


def _braces(text: str) -> list[str]:
    """Return what stands in braces in a text; a brace that is never closed stands for itself."""
    try:
        return [
            name + (":" + form if form else "") + ("!" + change if change else "")
            for _, name, form, change in string.Formatter().parse(text)
            if name is not None
        ]
    except ValueError:
        return ["…"]


def _unknown_braces(text: str, known: set[str], at: str) -> Iterator[PydanticCustomError]:
    for name in _braces(text):
        if name not in known:
            yield wrong(
                f"{{{name}}}",
                "one of " + ", ".join(f"{{{each}}}" for each in sorted(known)) if known else "no braces",
                at=(at,),
            )
