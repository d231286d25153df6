"""Counting in sentences: why each beat is counted as it is, where the feel changes, and which hand plays when."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from understave.phrases.catalogue import phrase
from understave.phrases.typesetting import listed
from understave.theory.counting import NO_WORD, Counted, CountedBeat, FeelChange
from understave.theory.rhythms import recip_token
from understave.theory.together import Together

NAMED_VALUES = frozenset((1, 2, 4, 8, 16, 32, 64, 3, 6, 12, 24, 48))
"""The note values that have names: plain ones and those of triplets."""

NAMED_NUMBERS = frozenset((2, 3, 4, 6))

MOST_PLACES_NAMED = 4
"""How many beats a sentence names before it counts the rest."""


def value_words(length: Fraction) -> str:
    """Return the name of notes of a length in whole notes: eighths, dotted quarter notes, triplet eighths."""
    token = recip_token(length)
    number = int(token.rstrip(".") or 0)
    if number not in NAMED_VALUES:
        return phrase("value-other", length=length)
    name = phrase(f"value-{number}")
    return phrase("value-dotted", value=name) if "." in token else name


def number_words(number: int) -> str:
    """Return two, three, four, six in words, others as digits."""
    return phrase(f"parts-{number}") if number in NAMED_NUMBERS else str(number)


def measure_words(number: int) -> str:
    """Return ``measure 3``, or that it is the pickup."""
    return phrase("in-measure", measure=number) if number else phrase("in-pickup")


def whose_measure(number: int) -> str:
    """Return ``measure 3`` or ``the pickup``, as a sentence has it: count measure 3, count the pickup."""
    return phrase("in-measure", measure=number) if number else phrase("of-pickup")


def place_words(measure: int, beat: int) -> str:
    """Return ``measure 3, beat 2``, or the beat of the pickup."""
    return phrase("measure-beat", measure=measure, beat=beat) if measure else phrase("pickup-beat", beat=beat)


def division_sentences(counted: Counted) -> list[str]:
    """Return a sentence for each reason, in the order in which they come up, with the beats that it holds for."""
    reasons: dict[tuple[str, int, int, Fraction], list[CountedBeat]] = {}
    for beat in counted.beats:
        needs = beat.needs if beat.why == "passage" else beat.parts
        reasons.setdefault((beat.why, beat.parts, needs, beat.length), []).append(beat)
    many = len({beat.measure for beat in counted.beats}) > 1
    sentences = []
    for (why, parts, needs, length), beats in reasons.items():
        unit = length / parts
        sentences.append(
            phrase(
                f"count-why-{why}",
                where=phrase("count-every-beat")
                if len(reasons) == 1
                else _places(list(dict.fromkeys((beat.measure, beat.beat) for beat in beats)), many),
                parts=number_words(parts),
                needs=phrase("count-one") if needs == 1 else number_words(needs),
                beat=value_words(length),
                values=value_words(unit),
                finer=value_words(unit / 2),
            )
        )
    return sentences


def change_sentences(counted: Counted) -> list[str]:
    """Return a sentence for each kind of change of feel, where it comes, and how to keep even over it.

    Of a swung passage the one sentence says that it is swung.
    """
    if counted.swung:
        return [phrase("count-swung")]
    kinds: dict[tuple[str, int, int], list[FeelChange]] = {}
    for change in counted.changes:
        kinds.setdefault((change.even, change.before, change.after), []).append(change)
    return [
        phrase(
            f"count-change-{even}",
            where=_places([(change.measure, change.beat) for change in changes], True),
            before=number_words(before),
            after=number_words(after),
        )
        for (even, before, after), changes in kinds.items()
    ]


def mark_sentences(line: str) -> list[str]:
    """Return what the signs of a line mean: brackets and dashes, where it has any."""
    marks = {"(": "brackets-mean", NO_WORD: "dash-means"}
    return [phrase(key) for mark, key in marks.items() if mark in line]


def hands_line(both: Together) -> str:
    """Return which hand plays when, as it can be said: both, right, left, right."""
    return ", ".join(phrase("hand-both") if hand == "both" else phrase(hand).lower() for hand in both.hands)


def _places(beats: Sequence[tuple[int, int]], with_measures: bool) -> str:
    """Return the beats that a sentence is about: Beats 1 and 2; with measures, each with its own."""
    names = [place_words(*place) if with_measures else str(place[1]) for place in beats[:MOST_PLACES_NAMED]]
    more = len(beats) - len(names)
    names += [phrase("count-more-beats", count=more)] * bool(more)
    if with_measures:
        text = "; ".join(names)
        return text[0].upper() + text[1:]
    return phrase("count-beat" if len(beats) == 1 else "count-beats", beats=listed(names))


def count_sentences(counted: Counted) -> list[str]:
    """Return everything that there is to say about a count: its signs, its reasons, its changes of feel."""
    return [*mark_sentences(counted.line), *division_sentences(counted), *change_sentences(counted)]
