"""A comment's text → its words, each with its place and sentence. Everything else in this room walks these."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache

LONGEST_TEXT = 10_000
"""The most characters of a comment that are looked at (video sites take no longer ones, common practice)."""

_CHUNK = re.compile(r"\S+")
_WORD = re.compile(
    r"\d+(?::\d+)+|\d+/\d+|\d+\.\d\d(?![^\W_])|[^\W_]+(?:['’](?:s|t|re|ve|ll|d|m)(?![^\W_]))?|[&#@=→]|[-=]>"
)
_MINUTES = re.compile(r"(\d)['’′](?=\d\d(?!\d))")
_OPENING = "([{<\"'“”‘’«»‹›„‚¿¡*_~`-–—:;,.!?…"
_CLOSING = ")]}>\"'“”‘’«»‹›„‚*_~`:;,.!?…"
_ENDS = frozenset(".!?…;")
_ABBREVIATIONS = frozenset({
    "m", "mm", "no", "nr", "op", "vs", "etc", "t", "comp", "mes", "mis", "batt", "min", "sec", "meas", "sek", "seg",
    "n", "st", "ms",
})  # fmt: skip


@lru_cache(maxsize=1 << 15)
def plain(word: str) -> str:
    """Return a word in small letters, without accents and apostrophes: Don’t → dont, compás → compas."""
    if word.isascii():
        return word.lower().replace("'", "")
    parts = unicodedata.normalize("NFKD", word.casefold())
    return "".join(letter for letter in parts if not unicodedata.combining(letter) and letter not in "'’")


@dataclass(slots=True)
class Chunk:
    """What stands between two spaces: its ``core`` without the punctuation around it, and what that was.

    ``words`` are the core's words in plain letters, ``sentence`` counts from 0. ``word`` is the place of the first of
    them in the comment's words.
    """

    core: str
    before: str
    after: str
    words: tuple[str, ...]
    sentence: int
    word: int

    @property
    def plain(self) -> str:
        """The core in small letters without accents."""
        return plain(self.core)


@dataclass(slots=True)
class Sentence:
    """A sentence: its words in plain letters, its first chunk and the one after its last, and whether it ends in ?."""

    words: list[str]
    first: int
    last: int
    asks: bool


@dataclass(slots=True)
class Text:
    """A comment's chunks and sentences."""

    chunks: list[Chunk]
    sentences: list[Sentence]


def _split(raw: str) -> tuple[str, str, str]:
    """Return a chunk without the punctuation around it, and that before and after; brackets of its own stay."""
    core = raw.lstrip(_OPENING)
    before = raw[: len(raw) - len(core)]
    if before.endswith("-") and core[:1].isdigit():
        before, core = before[:-1], "-" + core
    kept = core.rstrip(_CLOSING)
    after = core[len(kept) :]
    while after[:1] == ")" and kept.count("(") > kept.count(")"):
        kept, after = kept + ")", after[1:]
    while kept and not (kept[-1].isalnum() or kept[-1] in "+-)#♯♭°øØΔ∆△º⁺−♮𝄫𝄪%&→>=º'’"):
        kept, after = kept[:-1], kept[-1] + after
    return kept, before, after


def read_text(text: str) -> Text:
    """Return a comment's chunks and sentences; takes time in proportion to the text."""
    chunks: list[Chunk] = []
    sentences: list[Sentence] = []
    words: list[str] = []
    first = count = 0
    matches = [(match[0], match.end()) for match in _CHUNK.finditer(text[:LONGEST_TEXT])]
    for index, (raw, end) in enumerate(matches):
        core, before, after = _split(raw)
        found = tuple(map(plain, _WORD.findall(_MINUTES.sub(r"\1:", core))))
        chunks.append(Chunk(core, before, after, found, len(sentences), count))
        words += found
        count += len(found)
        next_start = matches[index + 1][0] if index + 1 < len(matches) else ""
        line_ends = "\n" in text[end : end + 3]
        if line_ends or not next_start or _ends_sentence(core, after, next_start):
            asks = "?" in after or (not core and "?" in before)
            sentences.append(Sentence(words, first, index + 1, asks))
            words, first = [], index + 1
    return Text(chunks, sentences)


def _ends_sentence(core: str, after: str, following: str) -> bool:
    if not core and not after:
        return False
    marks = set(after) & _ENDS
    if not marks:
        return False
    if marks == {"."}:
        if core.lower() in _ABBREVIATIONS:
            return False
        if core.isdigit():  # 12. Takt
            return following[:1].isupper() and not following.lower().startswith("takt")
        return not following[:1].islower()
    return True
