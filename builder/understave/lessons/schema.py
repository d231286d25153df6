"""The shape of a lesson's file, as pydantic models."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise
from typing import Annotated, Any, Literal, get_args

from pydantic import AfterValidator, BeforeValidator, Field, WithJsonSchema
from pydantic_core import PydanticCustomError

from understave.entries.schema import CorrectionFile, Date, Shape, Text, Typed, early, wrong
from understave.entries.values import Correction
from understave.lessons.times import TimeFormatError, parse_time
from understave.theory.keys import parse_key
from understave.theory.tones import SpellingError

FEW = 4
"""How many measures a section may name and still be their explanation."""

_NAMED = re.compile(r"\bmeasures? (\d{1,4})(?:(?: to | and | ?[-–] ?)(\d{1,4}))?\b", re.IGNORECASE)
_RANGE = re.compile(r"(\d{1,4})(?:-(\d{1,4}))?")


def _seconds(value: Any) -> int:
    try:
        return parse_time(str(value))
    except TimeFormatError:
        raise wrong(f"the time {str(value)!r}", "minutes and seconds such as 1:05, seconds from 00 to 59") from None


def _measures(value: Any) -> tuple[int, int]:
    match = _RANGE.fullmatch(str(value))
    if not match or int(match[2] or match[1]) < int(match[1]):
        raise wrong(f"the measures {str(value)!r}", "a range such as 1-16, or one measure")
    return int(match[1]), int(match[2] or match[1])


def _key(value: str) -> str:
    try:
        parse_key(value)
    except SpellingError:
        raise wrong(f"the key {value!r}", "a key such as F major or E minor") from None
    return value


LONGEST_LINE = 200
"""The most characters of a title, a tune's or a section's name."""


def _line(value: Any) -> Any:
    if isinstance(value, str) and len(value) > LONGEST_LINE:
        raise wrong(f"{len(value)} characters", f"at most {LONGEST_LINE}")
    return value


Line = Annotated[Text, BeforeValidator(_line)]
"""A title or a name: text that stays short."""


def _measure(value: Any) -> int:
    if not re.fullmatch(r"\d{1,4}", str(value), re.ASCII):
        raise wrong(f"the measure {str(value)!r}", "a measure's number, such as 12")
    return int(str(value))


MeasureNumber = Annotated[
    int,
    BeforeValidator(_measure),
    WithJsonSchema({"anyOf": [{"type": "integer", "minimum": 0}, {"type": "string", "pattern": r"^\d{1,4}$"}]}),
]
Seconds = Annotated[
    int, BeforeValidator(_seconds), WithJsonSchema({"type": "string", "pattern": r"^(\d{1,2}:)?\d{1,2}:[0-5]\d$"})
]
MeasureRange = Annotated[
    tuple[int, int],
    BeforeValidator(_measures),
    WithJsonSchema({"anyOf": [{"type": "string", "pattern": f"^{_RANGE.pattern}$"}, {"type": "integer"}]}),
]


class Section(Shape):
    """A section of the video."""

    name: Line
    """What the section is about; "Measures 6 to 8: …" names the measures that it explains."""
    at: Seconds
    """Where in the video it starts."""
    measures: MeasureRange | None = None
    """The measures that it explains; links to them lead to its start."""

    @property
    def explains(self) -> tuple[int, int] | None:
        """The measures that it explains: those given, or the few that its name has ("Measures 6 to 8: …")."""
        if self.measures:
            return self.measures
        named = _NAMED.search(self.name)
        if named is None:
            return None
        first, last = int(named[1]), int(named[2] or named[1])
        return (first, last) if first <= last < first + FEW else None


class Stretch(Shape):
    """A stretch of the video in which measures are played; between its ends the time runs evenly."""

    from_: Seconds = Field(alias="from")
    """The time at which the first measure begins."""
    to: Seconds
    """The time at which the last measure ends."""
    measures: MeasureRange
    """The measures that are played, such as 1-16."""
    hands: Literal["left", "right", "both"]
    """The hands that play."""
    tempo: Literal["at tempo", "slow"]
    """How fast."""

    def wrongs(self) -> Iterator[PydanticCustomError]:
        """Yield what is wrong between fields."""
        if self.to <= self.from_:
            yield wrong("a stretch that ends before it begins", "a later time under to", at=("to",))


class ErratumFile(CorrectionFile):
    """A mistake in the score that was mended, and the measure that it stood in."""

    measure: MeasureNumber
    """The number of the measure that it stood in."""

    @property
    def correction(self) -> Correction:
        """The correction itself."""
        return Correction(self.date, self.was, self.now, self.why)


Level = Literal["beginner", "intermediate", "advanced"]

LEVELS: tuple[Level, ...] = get_args(Level)
"""From the easiest to the hardest."""


class LessonFile(Shape):
    """A lesson: its video, and the score that it plays."""

    title: Line
    """What the lesson is called."""
    level: Level
    """Whom it is for; levels.yaml says what a score of this level may ask of a hand."""
    date: Date
    """The day on which the video came out."""
    tune: Line
    """The tune, and who wrote it. Lessons with the same tune are its levels."""
    key: Annotated[Text, AfterValidator(_key)]
    """The musical key, such as F major."""
    score: Text
    """The path of the MusicXML score, from the lesson's file."""
    rights: Literal["own", "traditional"] | None = None
    """Whose tune it is; nothing of the score is shown without it."""
    video: Typed
    """The video's address, with {seconds} where the time goes."""
    sections: Annotated[tuple[Section, ...], Field(min_length=1)]
    """The sections of the video, in order; the first starts at 0:00."""
    heard: tuple[Stretch, ...] = ()
    """The stretches of the video in which measures are played, in order."""
    teaches: tuple[Text, ...] = ()
    """Ids of the entries that it teaches."""
    corrected: CorrectionFile | None = None
    """The last mistake in it that was mended."""
    errata: tuple[ErratumFile, ...] = ()
    """Mistakes in the score, measure by measure."""

    def wrongs(self) -> Iterator[PydanticCustomError]:
        """Yield what is wrong between fields."""
        if not self.video.startswith("https://") or self.video.count("{seconds}") != 1:
            yield wrong(
                f"the video {self.video!r}", "an https:// address with {seconds} where the time goes", at=("video",)
            )
        if self.sections[0].at != 0:
            found = "a first section that doesn't start at 0:00"
            yield wrong(found, "0:00: a list of chapters starts there", at=("sections", 0, "at"))
        else:
            yield from self._out_of_order()
        for index, (first, second) in enumerate(pairwise(self.heard), 1):
            if second.from_ < first.to:
                found = f"stretches of measures {first.measures[0]} and {second.measures[0]} that overlap"
                yield wrong(found, "times in order", at=("heard", index, "from"))
        if self.corrected:
            yield from early(self.corrected, self.date, ("corrected", "date"))
        for index, erratum in enumerate(self.errata):
            yield from early(erratum, self.date, ("errata", index, "date"))

    def _out_of_order(self) -> Iterator[PydanticCustomError]:
        for index, (earlier, later) in enumerate(pairwise(self.sections), 1):
            if later.at <= earlier.at:
                found = f"the section {later.name!r} at a time that isn't after {earlier.name!r}"
                yield wrong(found, "times in order", at=("sections", index, "at"))
