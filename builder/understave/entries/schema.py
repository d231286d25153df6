"""The shapes of entries in their files, as pydantic models; `value` turns one into what the glossary holds."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator
from typing import Annotated, Any, ClassVar, Literal, Self

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, WithJsonSchema, model_validator
from pydantic_core import PydanticCustomError

from understave.entries.faults import nearest, shown
from understave.entries.prose import RAW_HTML
from understave.entries.rhythm_faults import rhythm_problem
from understave.entries.values import (
    AddedTone,
    AlsoRead,
    ChordSymbol,
    Correction,
    CountedExample,
    CountingSystem,
    Entry,
    NotesExample,
    RhythmFigure,
    SlashChord,
    Term,
)
from understave.entries.yaml_files import Place, Scalar
from understave.theory.chords import in_order
from understave.theory.counting import POSITION_LISTS, beat_length
from understave.theory.figures import telling
from understave.theory.rhythms import BEATS, RhythmError, parse_meter, parse_rhythm, recip_length
from understave.theory.together import together
from understave.theory.tones import DEGREES, Degree, SpellingError, parse_degree

MUSICXML_KINDS = (
    "major", "minor", "augmented", "diminished", "dominant", "major-seventh", "minor-seventh", "diminished-seventh",
    "augmented-seventh", "half-diminished", "major-minor", "major-sixth", "minor-sixth", "dominant-ninth",
    "major-ninth", "minor-ninth", "dominant-11th", "major-11th", "minor-11th", "dominant-13th", "major-13th",
    "minor-13th", "suspended-second", "suspended-fourth", "Neapolitan", "Italian", "French", "German", "pedal",
    "power", "Tristan", "other", "none",
)  # fmt: skip
"""The 33 kinds of MusicXML 4.0, kind-value."""


def wrong(found: str, expected: str, hint: str = "", at: Place = ()) -> PydanticCustomError:
    """Return the error that becomes a fault with these words, ``at`` a place within what is checked."""
    return PydanticCustomError("entry", "{found}", {"found": found, "expected": expected, "hint": hint, "at": at})


def _text(value: Any) -> Any:
    """Refuse a number, date or boolean where text is wanted."""
    if isinstance(value, Scalar) and value.kind != "text":
        kind = "nothing" if value.kind == "nothing" else f"{value.kind}, {shown(value)}"
        raise wrong(
            kind,
            "text in quotes" if value.kind != "nothing" else "text",
            f'put quotes round "{value}"' if 0 < len(value) < 60 else "",
        )
    if not isinstance(value, str):
        raise wrong("a list" if isinstance(value, list) else "a mapping", "text")
    return str(value)


def _as_typed(value: Any) -> Any:
    """Take a scalar by its letters, whatever YAML would make of it."""
    if not isinstance(value, str):
        raise wrong("a list" if isinstance(value, list) else "a mapping", "text")
    return str(value)


def _degree(value: Any) -> Degree:
    text = _as_typed(value)
    try:
        return parse_degree(text)
    except SpellingError:
        raise wrong(f"the degree {text!r}", f"one of {' '.join(DEGREES)}", nearest(text, DEGREES)) from None


def _yes_or_no(value: Any) -> bool:
    if isinstance(value, bool):
        return value
    if str(value) not in ("true", "false"):
        raise wrong(f"{str(value)!r}", "true or false")
    return str(value) == "true"


def _not_blank(value: str) -> str:
    if not value.strip():
        raise wrong("an empty text", "some words")
    return value


LONGEST_TEXT = 3000
"""The most characters that a text may have: a few short paragraphs, and nothing that is slow to render."""

_UNSEEN = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
"""Signs that steer a screen or turn the direction of writing."""


def _short(value: str) -> str:
    if len(value) > LONGEST_TEXT:
        raise wrong(f"{len(value)} characters", f"at most {LONGEST_TEXT}")
    return value


def _seen(value: str) -> str:
    if unseen := _UNSEEN.search(value):
        raise wrong(f"the sign U+{ord(unseen[0]):04X}", "text without control characters")
    return value


def _plain(value: str) -> str:
    if RAW_HTML.search(value):
        raise wrong("raw HTML", "plain text")
    return value


Prose = Annotated[
    str,
    BeforeValidator(_text),
    AfterValidator(_not_blank),
    AfterValidator(_short),
    Field(json_schema_extra={"maxLength": LONGEST_TEXT}),
]
"""Markdown of bounded length, which is looked through by itself; it must be text in YAML's eyes."""

Text = Annotated[Prose, AfterValidator(_seen)]
"""Text that must be text in YAML's eyes too, and is no Markdown: what looks like HTML is shown as it stands."""

Typed = Annotated[
    str,
    BeforeValidator(_as_typed),
    AfterValidator(_short),
    AfterValidator(_seen),
    WithJsonSchema({"type": ["string", "number"]}),
]
"""Text taken by its letters, so that 7 and 6/9 need no quotes."""

DegreeText = Annotated[
    Degree,
    BeforeValidator(_degree),
    WithJsonSchema({"anyOf": [{"enum": list(DEGREES)}, {"enum": [int(text) for text in DEGREES if text.isdecimal()]}]}),
]
"""A degree, which needs no quotes where it is a number alone."""


MusicxmlKind = Annotated[Text, WithJsonSchema({"enum": list(MUSICXML_KINDS)})]


class Shape(BaseModel):
    """A mapping in a YAML file: no unknown keys, values frozen.

    What stands under a field is what editors read of it: in the JSON Schema, in new files and on the pages for editors.
    """

    model_config = ConfigDict(
        extra="forbid", frozen=True, arbitrary_types_allowed=True, use_attribute_docstrings=True,
        field_title_generator=lambda name, _: name.strip("_").replace("_", " ").capitalize(),
    )  # fmt: skip

    def wrongs(self) -> Iterator[PydanticCustomError]:
        """Yield what is wrong between fields that are right by themselves."""
        yield from ()

    @model_validator(mode="after")
    def _check(self) -> Self:
        found = [error.context or {} for error in self.wrongs()]
        if found:
            raise PydanticCustomError("entry", "{found}", {**found[0], "more": found[1:]})
        return self


class Made(Shape):
    """A mapping that becomes a value of the same fields."""

    makes: ClassVar[type[Any]]
    """The value that it becomes."""

    def value(self) -> Any:
        """Return the value, field by field."""
        return self.makes(**{name: _value(getattr(self, name)) for name in type(self).model_fields})


def _value(field: Any) -> Any:
    return field.value() if isinstance(field, Made) else tuple(map(_value, field)) if type(field) is tuple else field


def _date(value: Any) -> datetime.date:
    try:
        return datetime.date.fromisoformat(str(value))
    except ValueError:
        raise wrong(f"the date {str(value)!r}", "a date such as 2026-03-14") from None


Date = Annotated[datetime.date, BeforeValidator(_date)]


class CorrectionFile(Made):
    """A mistake that was mended."""

    makes = Correction

    date: Date
    """The day on which it was mended."""
    was: Text
    """What stood there, in the words that may still be found elsewhere."""
    now: Text
    """What stands there now."""
    why: Text
    """How you know."""


def early(corrected: CorrectionFile, since: datetime.date, at: Place) -> Iterator[PydanticCustomError]:
    """Yield what is wrong with a correction older than what it corrects; ``at`` is where its date stands."""
    if corrected.date < since:
        yield wrong(f"a correction of {corrected.date}", f"a date from {since} on, when it came out", at=at)


class EntryFile(Made):
    """What every kind of entry has."""

    makes: ClassVar[type[Entry]]

    name: Text
    """What it is called, in small letters."""
    summary: Prose
    """One sentence that answers what it is."""
    text: Prose
    """Two to four short paragraphs of Markdown. Tones and symbols stand in braces: {1}, {b3}, {symbol} and {name} where
    the entry stands under every root, {G} and {Gadd9} for a fixed note or symbol. [words](its-id) links an entry."""
    asked_as: tuple[Text, ...] = ()
    """What viewers type when they look for it, in any language; the name and the written forms need not stand here."""
    easily_confused_with: tuple[Text, ...] = ()
    """Ids of entries that look or sound alike."""
    sources: Annotated[tuple[Text, ...], Field(min_length=1)]
    """Where the facts come from; what you know from memory says "(from memory)"."""
    since: Date | None = None
    """The day on which it came out."""
    corrected: CorrectionFile | None = None
    """The last mistake in it that was mended."""

    def wrongs(self) -> Iterator[PydanticCustomError]:
        """Yield what is wrong between fields."""
        if self.corrected and self.since:
            yield from early(self.corrected, self.since, ("corrected", "date"))


class AlsoReadFile(Made):
    """A second sense of a form that another entry owns."""

    makes = AlsoRead

    as_: Typed = Field(alias="as")
    """The form, as it is written after the root."""
    by: Text
    """Who means this entry by it."""


class SpelledFile(EntryFile):
    """An entry that is written after a root and has degrees."""

    written: Annotated[tuple[Typed, ...], Field(min_length=1)]
    """How it is written after the root; the first form is the one we print."""
    degrees: Annotated[tuple[DegreeText, ...], Field(min_length=2)]
    """The degrees from the root upwards, in quotes: "1", "b3", "#11"."""
    also_read: tuple[AlsoReadFile, ...] = ()
    """Forms that another entry owns and that some writers mean this one by."""

    def wrongs(self) -> Iterator[PydanticCustomError]:
        """Yield what is wrong between fields."""
        yield from super().wrongs()
        if self.degrees[0] != parse_degree("1") or self.degrees != in_order(self.degrees):
            yield wrong("degrees out of order", "the root first, then upwards", at=("degrees",))
        if len(set(self.degrees)) != len(self.degrees):
            yield wrong("a degree twice", "each degree once", at=("degrees",))


class ChordSymbolFile(SpelledFile):
    """A chord type."""

    makes = ChordSymbol

    musicxml: MusicxmlKind | None = None
    """The MusicXML 4.0 kind, where there is one."""


class AddedToneFile(SpelledFile):
    """A triad with a tone added."""

    makes = AddedTone

    adds: DegreeText
    """The degree that is added."""

    def wrongs(self) -> Iterator[PydanticCustomError]:
        """Yield what is wrong between fields."""
        yield from super().wrongs()
        if self.adds not in self.degrees:
            yield wrong(f"adds {self.adds}", "a degree that stands in degrees", at=("adds",))


class SlashChordFile(EntryFile):
    """A pattern of a chord over a bass."""

    makes = SlashChord

    chord: Text
    """The id of the chord type that stands before the slash."""
    bass: DegreeText
    """The bass, as a degree above the chord's root."""
    example: Text
    """Symbols parted by spaces, one of them this pattern."""


POSITION_KEYS = ("two", "three", "four", "six")
"""The keys of the word lists, for the divisions of POSITION_LISTS."""

_EITHER_WAY: Any = {
    "if": {"properties": {"by": {"const": "value"}}},
    "then": {"required": ["values"], "properties": dict.fromkeys((*POSITION_KEYS, "beats"), False)},
    "else": {"anyOf": [{"required": [key]} for key in POSITION_KEYS], "properties": {"values": False}},
}
"""Which keys go together, in JSON Schema's words; `CountingSystemFile.wrongs` says the same."""


def _words(number: int) -> Any:
    """Return an optional list of words, as many as a beat has parts."""
    return Field(None, json_schema_extra={"minItems": number, "maxItems": number})


class CountingSystemFile(EntryFile):
    """A way to say a rhythm."""

    makes = CountingSystem

    model_config = ConfigDict(json_schema_extra=_EITHER_WAY)

    by: Literal["position", "value"]
    """What decides the word: where in the beat a note starts (position), or how long it is (value)."""
    two: tuple[Typed, ...] | None = _words(2)
    """The words of a beat in two parts; n is the beat's number."""
    three: tuple[Typed, ...] | None = _words(3)
    """The words of a beat in three parts: of a triplet, and of a beat in 6/8."""
    four: tuple[Typed, ...] | None = _words(4)
    """The words of a beat in four parts."""
    six: tuple[Typed, ...] | None = _words(6)
    """The words of a beat in six parts."""
    beats: dict[str, Text] = Field(default_factory=dict)
    """Another beat than the usual one, by meter: quarter, dotted-quarter, half, measure …"""
    values: dict[str, Typed] | None = None
    """The words by note value, in recip tokens: 4 is a quarter note, 8. a dotted eighth, 4r a quarter rest."""

    def wrongs(self) -> Iterator[PydanticCustomError]:
        """Yield what is wrong between fields."""
        yield from super().wrongs()
        lists = dict(zip(POSITION_LISTS, (self.two, self.three, self.four, self.six), strict=True))
        if self.by == "value" and (self.values is None or any(lists.values()) or self.beats):
            yield wrong("by: value", "values, and none of two, three, four, six and beats", at=("by",))
        if self.by == "position" and (self.values is not None or not any(lists.values())):
            yield wrong("by: position", "at least one of two, three, four, six, and no values", at=("by",))
        for key, (number, said) in zip(POSITION_KEYS, lists.items(), strict=True):
            if said is not None and len(said) != number:
                yield wrong(f"{len(said)} words", f"{number} words for a beat in {number}", at=(key,))
        yield from _said_otherwise("two", self.two, "four", self.four)
        yield from _said_otherwise("three", self.three, "six", self.six)
        yield from _bad_values(self.values or {})
        for meter, beat in self.beats.items():
            yield from _bad_meter(meter, ("beats", meter))
            if beat not in BEATS and beat != "measure":
                yield wrong(f"the beat {beat!r}", f"one of {', '.join((*BEATS, 'measure'))}", at=("beats", meter))


def _said_otherwise(
    few: str, coarse: tuple[str, ...] | None, many: str, fine: tuple[str, ...] | None
) -> Iterator[PydanticCustomError]:
    """Yield the places that a beat in few parts shares with one in twice as many, and that have two words."""
    if coarse is None or fine is None or len(fine) != 2 * len(coarse):
        return
    for index, (word, other) in enumerate(zip(coarse, fine[::2], strict=True)):
        if word != other:
            found = f"{other!r} in {many} where {few} says {word!r} at the same place of the beat"
            yield wrong(found, "one word for one place", f"nearest: {word!r}", at=(many, 2 * index))


def _bad_values(values: dict[str, str]) -> Iterator[PydanticCustomError]:
    """Yield what is wrong with the words of note values."""
    seen: dict[tuple[str, ...], str] = {}
    for tokens, words in values.items():
        place = ("values", tokens)
        for token in tokens.split():
            try:
                recip_length(token.removesuffix("r"))
            except (ValueError, ZeroDivisionError):
                yield wrong(f"the value {token!r}", "a recip token such as 4, 8. or 12, with r for a rest", at=place)
        if len(tokens.split()) != len(words.split()):
            yield wrong(f"{len(words.split())} words for {tokens!r}", "a word for each note", at=place)
        first = seen.setdefault(tuple(tokens.split()), tokens)
        if first != tokens:
            yield wrong(f"words for {tokens!r}, which {first!r} has words for", "one word for one value", at=place)


def _bad_meter(text: str, at: Place) -> Iterator[PydanticCustomError]:
    try:
        parse_meter(text)
    except RhythmError:
        yield wrong(f"the meter {text!r}", "a meter such as 4/4 or 2+3/8", at=at)


class RhythmFigureFile(EntryFile):
    """A rhythm with a name."""

    makes = RhythmFigure

    meter: Typed
    """The meter, such as 4/4, or 2+3/8 with its groups."""
    rhythm: Typed
    """Its note values as recip tokens parted by spaces: 4 a quarter note, 8. a dotted eighth, 12 a triplet eighth, 4r a
    rest, [ and ] a tie, | a bar line."""
    known_by: Typed | None = None
    """Those of its tokens by which it is known in a score; without them it isn't looked for in lessons."""

    def wrongs(self) -> Iterator[PydanticCustomError]:
        """Yield what is wrong between fields."""
        yield from super().wrongs()
        if bad := list(_bad_meter(self.meter, ("meter",))):
            yield from bad
            return
        try:
            rhythm = parse_rhythm(self.rhythm, parse_meter(self.meter))
        except RhythmError as error:
            yield wrong(*rhythm_problem(error), at=("rhythm",))
            return
        if self.known_by is not None:
            known = telling(rhythm, self.known_by)
            if known is None or not known.sounds:
                expected = f"tokens with a note in them that follow each other in {self.rhythm!r}"
                yield wrong(f"known_by {self.known_by!r}", expected, at=("known_by",))


class NotesExampleFile(Made):
    """Notes to show with a term: left hand | right hand, low to high."""

    makes = NotesExample

    key: Text
    """The musical key that the notes stand in."""
    notes: Text
    """The left hand, a bar | and the right hand, each from low to high, with octaves: C4 is middle C."""

    def wrongs(self) -> Iterator[PydanticCustomError]:
        """Yield what is wrong between fields."""
        expected = "notes such as 'Ab2 | C4 F#4'"
        try:
            example = self.value()
            if not example.left + example.right:
                yield wrong("no notes", expected, at=("notes",))
        except SpellingError as error:
            yield wrong(str(error), expected, at=("notes",))


class CountedExampleFile(Made):
    """A counted rhythm in a guide."""

    makes = CountedExample

    rhythm: Typed
    """Its note values as recip tokens parted by spaces."""
    meter: Typed
    """The meter, such as 4/4, or 2+3/8 with its groups."""
    caption: Text = ""
    """What stands over the picture."""
    system: Text | None = None
    """The id of a counting system; the site's own where none stands."""
    beat: Text | None = None
    """Another beat: eighth, half, measure …"""
    each_beat: Annotated[bool, BeforeValidator(_yes_or_no)] = False
    """Whether each beat is divided by its own notes."""
    left: Typed | None = None
    """The left hand's rhythm, where two hands are shown."""

    def wrongs(self) -> Iterator[PydanticCustomError]:
        """Yield what is wrong between fields."""
        if bad := list(_bad_meter(self.meter, ("meter",))):
            yield from bad
            return
        meter = parse_meter(self.meter)
        try:
            rhythm = parse_rhythm(self.rhythm, meter)
        except RhythmError as error:
            yield wrong(*rhythm_problem(error), at=("rhythm",))
            return
        if self.beat is not None:
            try:
                for measure in rhythm.measures:
                    measure.meter.beats(beat_length(self.beat, measure.meter))
            except RhythmError:
                expected = f"one of {', '.join((*BEATS, 'measure'))} that fills the measure"
                yield wrong(f"the beat {self.beat!r}", expected, at=("beat",))
        if self.left is not None:
            try:
                together(parse_rhythm(self.left, meter), rhythm)
            except RhythmError as error:
                yield wrong(*rhythm_problem(error), at=("left",))


class GuideFile(Shape):
    """A guide: a page in Markdown, with these fields between two lines of --- at its head."""

    title: Annotated[Text, AfterValidator(_plain)]
    """What the guide is called."""
    description: Text
    """One sentence that says what a reader learns."""
    asked_as: tuple[Text, ...] = ()
    """What viewers type when they look for it, in any language."""
    counts: tuple[Text, ...] = ()
    """Ids of entries: who asks how to count them is led here."""
    hide: tuple[Text, ...] = ()
    """Parts of the theme that this page does without."""


class TermFile(EntryFile):
    """A word that viewers meet in answers."""

    makes = Term

    also_called: tuple[Text, ...] = ()
    """Other words for the same thing."""
    musicxml: MusicxmlKind | None = None
    """The MusicXML 4.0 kind of the chord that the word means, where there is one."""
    example: NotesExampleFile | None = None
    """Notes that show it."""


FILES: dict[type[Entry], type[EntryFile]] = {
    file.makes: file
    for file in (ChordSymbolFile, AddedToneFile, SlashChordFile, CountingSystemFile, RhythmFigureFile, TermFile)
}
"""The shape of the files of each kind of entry."""
