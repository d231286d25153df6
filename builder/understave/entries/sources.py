"""The spelling of sources: one work is named alike in every entry, so that it is one row wherever they are listed."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Hashable, Iterator, Mapping
from difflib import SequenceMatcher
from typing import TypeVar

Key = TypeVar("Key", bound=Hashable)

NEAR = 0.8
"""How alike two words are, of which one is a slip of the other."""

SHORTEST = 6
"""The fewest letters of a word that may be a slip: in shorter ones a letter makes another word."""

MOST_WORDS = 40
"""The most words of a source that is looked at for slips."""

_SIGNS = re.compile(r"[\W_]+")


def spelled_otherwise(sources: Mapping[Key, str]) -> dict[Key, str]:
    """Return the usual spelling of each source that is spelled in another way.

    Two sources are the same work if they differ in capitals, signs and spaces only; the spelling that stands most often
    is the usual one. A source that stands once, and differs from one that stands more often in one long word that is
    nearly the same, is a slip of it.
    """
    spellings: dict[str, Counter[str]] = defaultdict(Counter)
    for text in sources.values():
        spellings[_bare(text)][text] += 1
    usual = {bare: max(found.items(), key=lambda item: (item[1], item[0]))[0] for bare, found in spellings.items()}
    often = {bare for bare, found in spellings.items() if found.total() > 1}
    gaps = {gap: bare for bare in sorted(often, reverse=True) for gap in _gaps(bare)}
    found = {}
    for key, text in sources.items():
        bare = _bare(text)
        better = usual[bare] if bare in often else _slip_of(bare, gaps, usual) or usual[bare]
        if better != text:
            found[key] = better
    return found


def _bare(text: str) -> str:
    return _SIGNS.sub(" ", text.casefold()).strip()


def _gaps(bare: str) -> Iterator[tuple[int, str]]:
    """Yield a text with each of its words left out in turn, and which it is."""
    words = bare.split()
    for index in range(len(words) if len(words) <= MOST_WORDS else 0):
        yield index, " ".join((*words[:index], "", *words[index + 1 :]))


def _slip_of(bare: str, gaps: Mapping[tuple[int, str], str], usual: Mapping[str, str]) -> str | None:
    for gap in _gaps(bare):
        known = gaps.get(gap)
        if known is None:
            continue
        mine, theirs = bare.split()[gap[0]], known.split()[gap[0]]
        long = min(len(mine), len(theirs)) >= SHORTEST and (mine + theirs).isalpha()
        if long and SequenceMatcher(None, mine, theirs, autojunk=False).ratio() >= NEAR:
            return usual[known]
    return None
