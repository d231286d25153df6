"""The shape of a lesson's file, as pydantic models."""

from __future__ import annotations

import datetime
import re
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, model_validator

from understave.entries.schema import Shape, Text, Typed, wrong
from understave.lessons.times import TimeFormatError, parse_time

SHORTEST_SECTION = 10
"""The least distance of two sections, in seconds: what video sites ask of chapters (common practice)."""

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


def _date(value: Any) -> datetime.date:
    try:
        return datetime.date.fromisoformat(str(value))
    except ValueError:
        raise wrong(f"the date {str(value)!r}", "a date such as 2026-03-14") from None


Seconds = Annotated[int, BeforeValidator(_seconds)]
MeasureRange = Annotated[tuple[int, int], BeforeValidator(_measures)]


class Section(Shape):
    """A section of the video."""

    name: Text
    at: Seconds


class Stretch(Shape):
    """A stretch of the video in which measures are played; between its ends the time runs evenly."""

    from_: Seconds = Field(alias="from")
    to: Seconds
    measures: MeasureRange
    hands: Literal["left", "right", "both"]
    tempo: Literal["at tempo", "slow"]

    @model_validator(mode="after")
    def _check_ends(self) -> Stretch:
        if self.to <= self.from_:
            raise wrong("a stretch that ends before it begins", "a later time under to")
        return self


class LessonFile(Shape):
    """A lesson as its file has it."""

    title: Text
    level: Literal["beginner", "intermediate", "advanced"]
    date: Annotated[datetime.date, BeforeValidator(_date)]
    tune: Text
    key: Text
    score: Text
    """The path of the MusicXML score, from the lesson's file."""
    rights: Literal["own", "traditional"] | None = None
    """Whose tune it is; nothing of the score is shown without it."""
    video: Typed
    """The video's address, with {seconds} where the time goes."""
    sections: Annotated[tuple[Section, ...], Field(min_length=1)]
    heard: tuple[Stretch, ...] = ()
    teaches: tuple[Text, ...] = ()
    """Ids of entries."""

    @model_validator(mode="after")
    def _check_times(self) -> LessonFile:
        if not self.video.startswith("https://") or self.video.count("{seconds}") != 1:
            raise wrong(f"the video {self.video!r}", "an https:// address with {seconds} where the time goes")
        if self.sections[0].at != 0:
            raise wrong("a first section that doesn't start at 0:00", "0:00: a list of chapters starts there")
        for earlier, later in zip(self.sections, self.sections[1:], strict=False):
            if later.at - earlier.at < SHORTEST_SECTION:
                raise wrong(
                    f"the section {later.name!r}", f"at least {SHORTEST_SECTION} seconds after {earlier.name!r}"
                )
        for first, second in zip(self.heard, self.heard[1:], strict=False):
            if second.from_ < first.to:
                raise wrong(
                    f"stretches of measures {first.measures[0]} and {second.measures[0]} that overlap", "times in order"
                )
        return self
