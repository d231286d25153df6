"""What an easier level of a tune simplifies, in sentences."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from understave.entries.glossary import Glossary
from understave.entries.lookup import symbol_of
from understave.lessons.demands import HANDS
from understave.lessons.siblings import OtherSymbol, Simplification
from understave.phrases.catalogue import phrase
from understave.phrases.counting import value_words
from understave.phrases.typesetting import TEXT, Setting, key_words, listed

MOST_SYMBOLS = 12
"""How many other symbols are told of one by one."""


def simplification_sentences(found: Simplification, glossary: Glossary, setting: Setting = TEXT) -> list[str]:
    """Return what the easier lesson simplifies, a sentence for each thing that differs."""
    return [
        *_whole_sentences(found, setting),
        *(symbol_sentence(other, glossary, setting) for other in found.symbols[:MOST_SYMBOLS]),
        *(
            [phrase("simpler-more", count=len(found.symbols) - MOST_SYMBOLS)]
            if len(found.symbols) > MOST_SYMBOLS
            else []
        ),
    ]


def _whole_sentences(found: Simplification, setting: Setting) -> Iterator[str]:
    easier, harder = found.demands
    if found.easier.file.key != found.harder.file.key:
        lessons = {"key": found.easier, "other": found.harder}
        keys = {name: key_words(lesson.file.key, setting) for name, lesson in lessons.items()}
        yield phrase("simpler-key", **keys)
    if easier.notes < harder.notes:
        yield phrase("simpler-notes", count=easier.notes, other=harder.notes, measures=_ranges(found.thinner))
    for hand in HANDS:
        if hand in easier.widest and hand in harder.widest and easier.widest[hand].span < harder.widest[hand].span:
            spans = {"span": easier.widest[hand].span, "other": harder.widest[hand].span}
            yield phrase("simpler-span", hand=phrase(hand), **spans)
    if easier.shortest > harder.shortest:
        lengths = {"value": value_words(easier.shortest), "other": value_words(harder.shortest)}
        yield phrase("simpler-rhythm", **lengths, measures=_ranges(found.plainer))
    if harder.triplets and not easier.triplets:
        yield phrase("simpler-triplets")
    if harder.together and not easier.together:
        yield phrase("simpler-apart")


def symbol_sentence(other: OtherSymbol, glossary: Glossary, setting: Setting = TEXT) -> str:
    """Return what both levels print at a place, and why both are right."""
    values = {
        "measure": other.measure,
        "symbol": setting.symbol(symbol_of(other.easier, glossary)),
        "other": setting.symbol(symbol_of(other.harder, glossary)),
        "tones": listed([setting.tone(tone) for tone in other.left_out]),
    }
    return phrase(f"simpler-symbol-{other.relation}", **values)


def _ranges(numbers: Sequence[int]) -> str:
    """Return measures as a list of ranges: 1 to 4, 7 and 9 to 12."""
    ranges: list[list[int]] = []
    for number in numbers:
        if ranges and number == ranges[-1][1] + 1:
            ranges[-1][1] = number
        else:
            ranges.append([number, number])
    return listed([str(a) if a == b else phrase("range", first=a, last=b) for a, b in ranges])
