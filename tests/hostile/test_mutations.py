"""Entries and scores changed at random get lines or are taken: no traceback, no hang, nothing written outside.

A schedule tries 100,000 of them: ``pytest --hypothesis-profile=thorough tests/hostile/test_mutations.py``.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from understave.entries.guides import read_guides
from understave.entries.reading import read_glossary
from understave.entries.values import CountingSystem
from understave.lessons.score_files import ScoreError, musicxml_of
from understave.lessons.score_reader import NoScoreError, read_score
from understave.lessons.scores import _score
from understave.pages.others import OtherPages

from ..conftest import SMALL_CONTENT
from ..lessons.small_scores import SCORE
from .content_cases import HARMLESS
from .score_cases import GOOD, ODD

THOROUGH = settings.get_profile("thorough").max_examples

EXAMPLES = 50_000 if settings().max_examples >= THOROUGH else 60
"""How many of each kind are tried: 100,000 together each week, few at each change."""

LONGEST = 5.0
"""Seconds of computing after which a mutation is taken for a hang."""

GUIDE = (
    "---\ntitle: Odd\ndescription: Words.\nasked_as: [odd]\n---\n\n"
    "# Odd\n\nWords, [more](../terms/measure/index.md).\n\n"
    "```count\nrhythm: 4 8 8 4\nmeter: 3/4\nsystem: e-and-a\n```\n"
)

FILES = {**SMALL_CONTENT, "guides/odd.md": GUIDE}

PIECES = [
    "&a ", "*a", "!!x ", "<<: ", "{", "}", "{{", "[", "]", "- ", "? ", ": ", "#", "|", ">", "%", "---\n", "...\n", "\t",
    "\n", "\r", "\0", "\x1b", "\u202e", "\ufeff", "\ud7ff", "𝄫", '"', "'", "\\", "`", "```", "<script>", "</", "&#106;",
    "![", "](", "javascript:", "data:", "//", "..", "{1}", "{b3}", "{symbol/3}", "{chord C}", "{C/E}", "n", "0", "-1",
    "9" * 40, "1e9", "null", "true", ".inf", "2026-03-14", "<!ENTITY a 'b'>", "&a;", "<note>", "</note>", "<chord/>",
    "<backup>", "<grace/>", "<duration>", "</measure>", "<measure>", "<repeat direction='backward' times='9'/>",
    "<![CDATA[", "]]>", "<!--", "-->", *(text for text in HARMLESS.values() if len(text) < 60),
]  # fmt: skip
"""What means something in one of the formats, put where it wasn't meant."""

Change = tuple[str, int, int, str]

changes = st.lists(
    st.tuples(
        st.sampled_from(["put", "cut", "twice", "swap", "repeat"]),
        st.integers(0, 10_000),
        st.integers(1, 40),
        st.one_of(st.sampled_from(PIECES), st.text(max_size=6)),
    ),
    min_size=1,
    max_size=5,
)


def changed(text: str, wanted: list[Change]) -> str:
    """Return a text with changes made in it, one after the other."""
    for kind, place, size, piece in wanted:
        at = place % (len(text) + 1)
        end = min(len(text), at + size)
        match kind:
            case "put":
                text = text[:at] + piece + text[at:]
            case "cut":
                text = text[:at] + text[end:]
            case "twice":
                text = text[:end] + text[at:end] + text[end:]
            case "swap":
                text = text[:at] + piece + text[end:]
            case "repeat":
                text = text[:at] + piece * (size * 20) + text[at:]
    return text


def soon(work: Callable[[], None]) -> None:
    started = time.process_time()
    work()
    assert time.process_time() - started < LONGEST


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """Return the content as the current folder's, which is checked to hold nothing else at the end."""
    place, before = tmp_path_factory.mktemp("mutations"), Path.cwd()
    for name, text in FILES.items():
        path = place / "content" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    files = sorted(place.rglob("*"))
    os.chdir(place)
    yield place
    os.chdir(before)
    assert sorted(place.rglob("*")) == files


quick = settings(max_examples=EXAMPLES, deadline=None, suppress_health_check=list(HealthCheck))


@quick
@given(name=st.sampled_from(sorted(FILES)), wanted=changes)
def test_a_changed_entry_gets_lines_or_is_taken(name: str, wanted: list[Change], folder: Path) -> None:
    path = folder / "content" / name
    path.write_bytes(changed(FILES[name], wanted).encode("utf-8", "surrogatepass"))

    def work() -> None:
        glossary, faults = read_glossary(Path("content"))
        guides, more = read_guides(Path("content"), glossary.of(CountingSystem), glossary.entries)
        assert all(str(fault).startswith("content/") and str(fault).isprintable() for fault in [*faults, *more])
        if not faults and not more:
            assert guides
            for page in OtherPages(glossary, {}, "e-and-a"):
                assert page.title

    try:
        soon(work)
    finally:
        path.write_text(FILES[name], encoding="utf-8")


SCORES = [SCORE, *(text for text in [*GOOD.values(), *ODD.values()] if isinstance(text, str) and len(text) < 8_000)]


@quick
@given(text=st.sampled_from(SCORES), wanted=changes)
def test_a_changed_score_is_read_or_refused(
    text: str, wanted: list[Change], tmp_path_factory: pytest.TempPathFactory
) -> None:
    path = tmp_path_factory.getbasetemp() / "mutated.musicxml"
    path.write_bytes(changed(text, wanted).encode("utf-8", "surrogatepass"))

    def work() -> None:
        try:
            score = _score(read_score(musicxml_of(path)))
        except (ScoreError, NoScoreError):
            return
        assert score.order
        for symbol in score.symbols:
            assert score.measure_at(symbol.at)
            assert score.beat_at(symbol.at)

    soon(work)
