"""Entries as values: what the glossary holds once files have been read and checked."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field
from typing import ClassVar

from understave.theory.counting import POSITION_LISTS, PositionSystem, ValueSystem
from understave.theory.figures import Telling, telling
from understave.theory.rhythms import Rhythm, parse_meter, parse_rhythm
from understave.theory.together import Together, together
from understave.theory.tones import Degree, Pitch, parse_pitch


@dataclass(frozen=True)
class Correction:
    """A mistake that was mended: what stood there, what stands now, and why."""

    date: datetime.date
    was: str
    now: str
    why: str


@dataclass(frozen=True, kw_only=True)
class Entry:
    """What every kind of entry has; schema.py says what may stand in each field."""

    folder: ClassVar[str]

    name: str
    summary: str
    text: str
    sources: tuple[str, ...]
    asked_as: tuple[str, ...] = ()
    easily_confused_with: tuple[str, ...] = ()
    since: datetime.date | None = None
    corrected: Correction | None = None


@dataclass(frozen=True)
class AlsoRead:
    """A second sense of a form that another entry owns, and whose habit it is."""

    as_: str
    by: str


@dataclass(frozen=True, kw_only=True)
class Spelled(Entry):
    """An entry that is written after a root and has degrees; the first written form is the one we print."""

    written: tuple[str, ...]
    degrees: tuple[Degree, ...]
    also_read: tuple[AlsoRead, ...] = ()


@dataclass(frozen=True, kw_only=True)
class ChordSymbol(Spelled):
    """A chord type, and its MusicXML 4.0 kind where there is one."""

    folder: ClassVar[str] = "chord-symbols"

    musicxml: str | None = None


@dataclass(frozen=True, kw_only=True)
class AddedTone(Spelled):
    """A triad with a tone added."""

    folder: ClassVar[str] = "added-tones"

    adds: Degree


@dataclass(frozen=True, kw_only=True)
class SlashChord(Entry):
    """A pattern of a chord type (its id) over a bass (a degree above the root), and symbols that show it."""

    folder: ClassVar[str] = "slash-chords"

    chord: str
    bass: Degree
    example: str


@dataclass(frozen=True, kw_only=True)
class CountingSystem(Entry):
    """A way to say a rhythm: by position (two, three, four, six, beats) or by value (values)."""

    folder: ClassVar[str] = "counting-systems"

    by: str
    two: tuple[str, ...] | None = None
    three: tuple[str, ...] | None = None
    four: tuple[str, ...] | None = None
    six: tuple[str, ...] | None = None
    beats: dict[str, str] = field(default_factory=dict)
    values: dict[str, str] | None = None

    @property
    def system(self) -> PositionSystem | ValueSystem:
        """The system as the theory counts with it."""
        if self.values is not None:
            return ValueSystem({tuple(tokens.split()): tuple(words.split()) for tokens, words in self.values.items()})
        lists = zip(POSITION_LISTS, (self.two, self.three, self.four, self.six), strict=True)
        return PositionSystem({number: words for number, words in lists if words is not None}, self.beats)


@dataclass(frozen=True, kw_only=True)
class RhythmFigure(Entry):
    """A rhythm with a name, in Humdrum recip tokens."""

    folder: ClassVar[str] = "rhythm-figures"

    meter: str
    rhythm: str
    known_by: str | None = None
    """The tokens of its rhythm by which it is known in other music; without them it isn't sought there."""

    @property
    def parsed(self) -> Rhythm:
        """The rhythm in exact fractions."""
        return parse_rhythm(self.rhythm, parse_meter(self.meter))

    @property
    def telling(self) -> Telling | None:
        """What it is known by in other music."""
        return telling(self.parsed, self.known_by) if self.known_by else None


@dataclass(frozen=True)
class NotesExample:
    """Notes to show with a term in a musical key: left hand | right hand, low to high."""

    key: str
    notes: str

    @property
    def left(self) -> tuple[Pitch, ...]:
        """The left hand, low to high."""
        return tuple(map(parse_pitch, self.notes.partition("|")[0].split()))

    @property
    def right(self) -> tuple[Pitch, ...]:
        """The right hand, low to high."""
        return tuple(map(parse_pitch, self.notes.partition("|")[2].split()))


@dataclass(frozen=True, kw_only=True)
class Term(Entry):
    """A word that viewers meet in answers."""

    folder: ClassVar[str] = "terms"

    also_called: tuple[str, ...] = ()
    musicxml: str | None = None
    example: NotesExample | None = None


KINDS: tuple[type[Entry], ...] = (ChordSymbol, AddedTone, SlashChord, CountingSystem, RhythmFigure, Term)
"""The kinds of entry, in the order in which the site shows them."""


@dataclass(frozen=True)
class CountedExample:
    """A rhythm that a guide shows with its count; ``system`` is None for the site's own, ``beat`` for the usual one.

    With ``left`` it is the right hand's, and both hands share one count.
    """

    rhythm: str
    meter: str
    caption: str = ""
    system: str | None = None
    beat: str | None = None
    each_beat: bool = False
    left: str | None = None

    @property
    def parsed(self) -> Rhythm:
        """The rhythm in exact fractions."""
        return parse_rhythm(self.rhythm, parse_meter(self.meter))

    @property
    def hands(self) -> Together | None:
        """Both hands' rhythms, if there are two."""
        return together(parse_rhythm(self.left, parse_meter(self.meter)), self.parsed) if self.left else None


@dataclass(frozen=True)
class Guide:
    """A page that editors write in Markdown, with counted rhythms in it."""

    title: str
    description: str
    asked_as: tuple[str, ...] = ()
    examples: tuple[CountedExample, ...] = ()
    counts: tuple[str, ...] = ()
    """Ids of entries: how they are counted is what this guide explains."""
