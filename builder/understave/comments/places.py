"""Where in a lesson a comment points: the first time in the video and the first measure that it names.

"at the 40 second mark", 0:40, "bar 12", "third measure"; of a range its start. No clock time, no number of measures.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from understave.comments.text import Text
from understave.comments.vocabulary import Vocabulary

LARGEST_MEASURE = 9999
"""The largest number that is taken for a measure's."""

_TIME = re.compile(r"(?:(\d{1,2}):)?(\d{1,3}):([0-5]\d)")
_LETTERED = re.compile(r"(?:(\d{1,2})h)?(?:(\d{1,3})(?:m|min|mn)(?=\d|$))?(?:(\d{1,3})(?:s|sec|secs|sek|seg|segs)?)?")
_GLUED = re.compile(r"(m|mm|b|bar|measure|takt|mes|comp|t)(\d{1,4})")
_ORDINAL = re.compile(r"(\d{1,4})(?:st|nd|rd|th|a|o|e|eme|er|re|ere|º|ª|°)")
_NUMBER = re.compile(r"\d{1,4}")
_DOTTED = re.compile(r"(\d{1,2})\.([0-5]\d)")

CLOCK_REACH = 5
"""How many words around a time are looked at for signs of a clock."""

HALF_A_MINUTE = 30

HABIT_REACH = 4
"""How many words before a time may part it from what is done then: I practice every day at 6:30."""


@dataclass(frozen=True)
class Places:
    """``at`` in seconds of the video and ``measure`` as the score numbers it; None where none is named."""

    at: int | None = None
    measure: int | None = None


NOWHERE = Places()


def places_of(read: Text, words: Vocabulary) -> Places:
    """Return the first time and the first measure that a comment names."""
    at = measure = None
    for sentence in read.sentences:
        names = sentence.words
        for index in range(len(names)):
            if at is None:
                at = _time(names, index, words)
            if measure is None:
                measure = _measure(names, index, words)
        if at is not None and measure is not None:
            break
    return Places(at, measure)


def _time(names: list[str], index: int, words: Vocabulary) -> int | None:
    word = names[index]
    if word[:1].isdigit():
        match = _TIME.fullmatch(word)
        if match:
            hours, minutes, seconds = int(match[1] or 0), int(match[2]), int(match[3])
            if (match[1] and minutes > 59) or _is_clock(names, index, words):
                return None
            return hours * 3600 + minutes * 60 + seconds
        dotted = _DOTTED.fullmatch(word)
        if dotted:
            points = index and names[index - 1] in words.places["at"]
            speed = names[index + 1 : index + 2] and names[index + 1] in words.places["speed"]
            return int(dotted[1]) * 60 + int(dotted[2]) if points and not speed else None
        return _lettered(names, index, words)
    return _in_words(names, index, words)


def _is_clock(names: list[str], index: int, words: Vocabulary) -> bool:
    if names[index].startswith("0:"):
        return False
    around = names[max(0, index - CLOCK_REACH) : index] + names[index + 1 : index + 1 + CLOCK_REACH]
    if any(name in words.places["clock"] for name in around):
        return True
    before = names[max(0, index - HABIT_REACH) : index]
    habit = max((place for place, name in enumerate(before) if name in words.places["habit"]), default=-1)
    return habit >= 0 and all(name in words.places["at"] | words.places["filler"] for name in before[habit + 1 :])


def _lettered(names: list[str], index: int, words: Vocabulary) -> int | None:
    """Return the seconds of 1m05s, 40s, ``40 seconds`` and ``2 minutes 10`` where a word points at them."""
    word = names[index]
    places = words.places
    following = names[index + 1] if index + 1 < len(names) else ""
    match = _LETTERED.fullmatch(word)
    if match and not word.isdigit() and (match[2] or match[1] or word[-1] in "scgk"):
        seconds = int(match[1] or 0) * 3600 + int(match[2] or 0) * 60 + int(match[3] or 0)
        if match[2] and match[3]:
            return seconds
        if match[3] or match[2] is None:
            return seconds if _pointed_at(names, index, index + 1, words) else None
        if following.isdigit() and int(following) < 60:
            seconds += int(following)
        return seconds if _pointed_at(names, index, index + 1, words) else None
    return (
        _counted(names, index, int(word), words)
        if word.isdigit() and len(word) < 5
        else _ordinal_second(word, following, places)
    )


def _ordinal_second(word: str, following: str, places: dict[str, frozenset[str]]) -> int | None:
    match = _ORDINAL.fullmatch(word)
    return int(match[1]) if match and following in places["second"] and int(match[1]) > 4 else None


def _in_words(names: list[str], index: int, words: Vocabulary) -> int | None:
    """Return the seconds of ``second 40``, ``minute 2``, ``forty seconds in``."""
    word = names[index]
    following = names[index + 1] if index + 1 < len(names) else ""
    if word in words.places["second"] | words.places["minute"] and following.isdigit() and len(following) < 4:
        after = names[index + 2] if index + 2 < len(names) else ""
        if after in words.places["bar"] or (
            index and (names[index - 1].isdigit() or names[index - 1] in words.numbers)
        ):
            return None
        unit = 1 if word in words.places["second"] and word not in words.places["minute"] else 60
        return int(following) * unit
    if word == "half":
        last = index + (3 if following == "a" else 2)
        is_minute = names[last - 1 : last] and names[last - 1] in words.places["minute"]
        return HALF_A_MINUTE if is_minute and _pointed_at(names, index, last, words) else None
    number, last = _number_words(names, index, words)
    if number is not None and (index == 0 or names[index - 1] not in words.numbers):
        return _counted(names, last - 1, number, words, index)
    return None


def _counted(names: list[str], index: int, number: int, words: Vocabulary, first: int | None = None) -> int | None:
    """Return the seconds of a number that a unit follows: ``40 seconds in``, ``the 2 minute mark``, ``1 min 20``."""
    start = index if first is None else first
    unit = names[index + 1] if index + 1 < len(names) else ""
    if unit in words.places["minute"]:
        last, seconds = index + 2, number * 60
        rest = last + 1 if last < len(names) and names[last] in ("and", "e", "y", "et", "und") else last
        if rest < len(names) and names[rest].isdigit() and int(names[rest]) < 60:
            seconds += int(names[rest])
            last = rest + 1
            if last < len(names) and names[last] in words.places["second"]:
                last += 1
        return seconds if _pointed_at(names, start, last, words) else None
    if unit in words.places["second"] and unit != "s" and number < 6000:
        return number if _pointed_at(names, start, index + 2, words) else None
    return None


def _pointed_at(names: list[str], first: int, last: int, words: Vocabulary) -> bool:
    """Tell whether words before or after a stretch of time say that it is a place: at, aos, bei; mark, in."""
    before = names[max(0, first - 2) : first]
    after = names[last] if last < len(names) else ""
    if after in words.places["mark"]:
        follows = names[last + 1] if last + 1 < len(names) else ""
        return after != "in" or follows not in ("a", "total", "each")
    if before[-1:] and before[-1] in words.places["at"]:
        return True
    return len(before) == 2 and before[0] in words.places["at"] and before[1] in _ARTICLES and after not in _PER


_ARTICLES = frozenset(
    {"the", "about", "around", "o", "os", "los", "el", "le", "les", "la", "der", "den", "ca", "circa", "i"}
)
_PER = frozenset({"a", "per", "each", "every"})


def _number_words(names: list[str], index: int, words: Vocabulary) -> tuple[int | None, int]:
    """Return a number written in words (twenty, twenty four) and the place after it."""
    value = words.numbers.get(names[index])
    if value is None:
        return None, index
    if value >= 20 and value % 10 == 0 and index + 1 < len(names):
        small = words.numbers.get(names[index + 1], 0)
        if 0 < small < 10:
            return value + small, index + 2
    return value, index + 1


def _ordinal(names: list[str], index: int, words: Vocabulary) -> int | None:
    """Return the number of an ordinal that ends at a place: third, 12th, twenty fourth, 12."""
    word = names[index]
    value = words.ordinals.get(word)
    if value is None:
        match = _ORDINAL.fullmatch(word)
        return int(match[1]) if match else None
    tens = words.numbers.get(names[index - 1], 0) if index else 0
    return tens + value if tens >= 20 and tens % 10 == 0 and value < 10 else value


def _measure(names: list[str], index: int, words: Vocabulary) -> int | None:
    """Return the measure that a word names together with its neighbors."""
    word = names[index]
    if word not in words.places["bar"] or (index + 1 < len(names) and names[index + 1] in words.places["no_bar"]):
        match = _GLUED.fullmatch(word)
        return _glued(match[1], int(match[2]), names, index) if match else None
    following = index + 1
    while following < len(names) and names[following] in words.places["bar_number_words"]:
        following += 1
    if following < len(names):
        name = names[following]
        if _NUMBER.fullmatch(name):
            return _within(int(name)) if len(word) > 1 or index == 0 or not names[index - 1].isdigit() else None
        number, _ = _number_words(names, following, words)
        if number is not None and _ends_number(names, following, words):
            return number
    if len(word) == 1 or index == 0:
        return None
    before = index - 1
    value = _ordinal(names, before, words)
    if value is not None and not (before and names[before - 1] in words.places["last"]):
        return _within(value)
    if names[before].isdigit() and before and names[before - 1] in words.places["before_ordinal"]:
        return _within(int(names[before]))  # im 12. Takt
    return _first_of_several(names, index, words)


def _within(number: int) -> int | None:
    return number if number <= LARGEST_MEASURE else None


def _ends_number(names: list[str], index: int, words: Vocabulary) -> bool:
    """Tell that a number in words after ``bar`` isn't the start of something else: the measure one can hear."""
    return (
        names[index] != "one"
        or index + 1 == len(names)
        or names[index + 1] not in ("can", "of", "could", "would", "has")
    )


def _glued(prefix: str, number: int, names: list[str], index: int) -> int | None:
    """Return the measure of m12, bar12; m7 and m9 are as likely chords, so something must point at them."""
    if prefix in ("b", "t"):
        return None
    if prefix == "m" and number in (6, 7, 9, 11, 13):
        return number if index and names[index - 1] in ("in", "at", "im", "en", "em", "see") else None
    return _within(number)


def _first_of_several(names: list[str], index: int, words: Vocabulary) -> int | None:
    """Return 1 for ``the first four measures``: a range gives its start."""
    count = names[index - 1]
    if index >= 2 and (count.isdigit() or count in words.numbers):
        return 1 if words.ordinals.get(names[index - 2]) == 1 else None
    return None
