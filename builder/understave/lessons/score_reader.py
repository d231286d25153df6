"""MusicXML → measures, symbols, notes and pedals as plain values. Runs in a spawned worker, on XML that was scanned.

Read as MusicXML 4.0 defines it. Pitches are as they sound: `<transpose>` is carried out, while clefs and octave lines
change nothing, since `<pitch>` already has the octave that they mean.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import accumulate, groupby
from typing import Any
from xml.etree.ElementTree import Element, ParseError, fromstring

from understave.engraving.excerpts import number_notes
from understave.lessons.playing_order import Signs, playing_order
from understave.lessons.score_meters import Beam, grouped_by_beams, meter_of_length, meter_of_time
from understave.theory.rhythms import RhythmError, parse_meter
from understave.theory.tones import Interval, Pitch, Tone

Plain = dict[str, Any]
"""A value that JSON can hold; times are fractions of a whole note as text."""

_NUMBER = re.compile(r"-?[0-9]{1,9}(?:\.[0-9]{1,9})?")
_LEADING_NUMBER = re.compile(r"[0-9]{1,6}")
_KEYBOARD = re.compile(
    r"piano|pfte|klavier|clavier|clavi|teclado|tastiera|keyb|harpsi|cemb|clavec|spinet|virginal|organ|orgel|orgue|órgão"
    r"|harmonium|celest|\b[rl]\.? ?h\b|\b(?:right|left) hand",
    re.IGNORECASE,
)
"""How parts for a keyboard are named in scores (common practice)."""

_LETTERS_UP = {0: 0, 1: 1, 2: 1, 3: 2, 4: 2, 5: 3, 6: 3, 7: 4, 8: 5, 9: 5, 10: 6, 11: 6}
"""How many letters a transposition by so many semitones moves a note where the score doesn't say."""

MOST_SHARPS = 7
"""The most sharps or flats that a tone may carry; one that would carry more, or a quarter tone, is rounded."""

MOST_IN_MEASURE = 1_000
"""The most notes that one part may have in a measure: each is told with all that sound beside it."""

HIGHEST_DEGREE = 99
"""A degree beyond this is taken for this one, which no chord has either."""


class NoScoreError(ValueError):
    """XML that isn't a score with parts and measures; the message says so in a few words."""


@dataclass
class _Measure:
    """A measure as it is gathered from all parts. Places are whole notes from its start."""

    number: str = ""
    implicit: bool = False
    length: Fraction = Fraction(0)
    meter: str | None = None
    is_free: bool = False
    key: tuple[int, str] | None = None
    signs: Signs = field(default_factory=Signs)
    beams: list[Beam] = field(default_factory=list)


@dataclass
class _Note:
    place: int
    onset: Fraction
    length: Fraction
    pitch: Pitch
    part: int
    staff: int
    voice: str
    held: bool
    index: int


@dataclass
class _Placed:
    """A symbol or a pedal mark: its measure's place, its onset there, and its other values."""

    place: int
    onset: Fraction
    values: Plain


def read_score(xml: bytes) -> Plain:
    """Return ``{"measures", "order", "symbols", "notes", "pedals"}`` of MusicXML.

    Raises NoScoreError for other XML and for a score without notes; its message is one line.
    """
    try:
        root = fromstring(xml)
    except (ParseError, ValueError, LookupError) as error:
        raise NoScoreError(f"it can't be read: {error}") from None
    if root.tag not in ("score-partwise", "score-timewise"):
        raise NoScoreError(f"it is no MusicXML score: it holds {root.tag[:40]!r}, expected 'score-partwise'")
    number_notes(root)
    gathered = _Score()
    for index, (name, measures) in enumerate(_parts(root)):
        _Part(index, gathered, _is_keyboard(root, name)).read(measures)
    if not gathered.notes:
        raise NoScoreError("it holds no notes")
    return gathered.plain()


def _parts(root: Element) -> Iterator[tuple[str, list[Element]]]:
    """Yield each part's id and its measures from the top of the page, of scores by part or by time."""
    if root.tag == "score-partwise":
        for part in root.findall("part"):
            yield part.get("id", ""), part.findall("measure")
        return
    by_part: dict[str, list[Element]] = defaultdict(list)
    for measure in root.findall("measure"):
        for part in measure.findall("part"):
            content = Element("measure", measure.attrib)
            content.extend(part)
            by_part[part.get("id", "")].append(content)
    yield from by_part.items()


def _is_keyboard(root: Element, part: str) -> bool:
    """Return whether a part's or an instrument's name or sound is a keyboard's."""
    entry = next((entry for entry in root.iterfind("part-list/score-part") if entry.get("id") == part), None)
    if entry is None:
        return False
    names = [entry.findtext("part-name"), *(name.text for name in entry.iterfind("score-instrument/instrument-name"))]
    sounds = [sound.text or "" for sound in entry.iterfind("score-instrument/instrument-sound")]
    return any(_KEYBOARD.search(name or "") for name in names) or any(s.startswith("keyboard") for s in sounds)


def _number(text: str | None, otherwise: int = 0) -> Fraction:
    match = _NUMBER.fullmatch((text or "").strip())
    return Fraction(match[0]) if match else Fraction(otherwise)


@dataclass
class _Score:
    """What is gathered from all parts of a score, and how it becomes plain values."""

    measures: list[_Measure] = field(default_factory=list)
    notes: list[_Note] = field(default_factory=list)
    symbols: list[_Placed] = field(default_factory=list)
    pedals: list[_Placed] = field(default_factory=list)
    staves: dict[int, int] = field(default_factory=dict)
    """How many staves each part has."""
    keyboards: set[int] = field(default_factory=set)

    def measure(self, place: int, element: Element) -> _Measure:
        """Return the measure at a place, which the first part that has it names."""
        if place == len(self.measures):
            self.measures.append(_Measure(element.get("number", "").strip(), element.get("implicit") == "yes"))
        return self.measures[place]

    def plain(self) -> Plain:
        """Return everything as values for JSON, in order of time."""
        meters = self._meters()
        lengths = [
            measure.length or parse_meter(meter).length for measure, meter in zip(self.measures, meters, strict=True)
        ]
        starts = list(accumulate(lengths, initial=Fraction(0)))
        bars = starts[:-1]
        measures: list[Plain] = []
        fifths, mode = 0, ""
        missing = self._missing(lengths, meters)
        numbers = self._numbers()
        for place, (number, measure) in enumerate(zip(numbers, self.measures, strict=True)):
            fifths, mode = measure.key or (fifths, mode)
            measures.append(
                {
                    "number": number,
                    "at": str(starts[place]),
                    "length": str(lengths[place]),
                    "missing": str(missing[place]),
                    "meter": meters[place],
                    "fifths": fifths,
                    "mode": mode,
                }
            )
        return {
            "measures": measures,
            "order": playing_order([measure.signs for measure in self.measures]),
            "symbols": [
                {"measure": numbers[max(0, bisect_right(bars, at) - 1)], "at": str(at), **values}
                for at, values in _once(self.symbols, starts)
            ],
            "pedals": [{"at": str(at), **values} for at, values in _once(self.pedals, starts)],
            "notes": [self._plain_note(note, hand, starts) for note, hand in self._played()],
        }

    def _plain_note(self, note: _Note, hand: str, starts: Sequence[Fraction]) -> Plain:
        return {
            "pitch": str(note.pitch),
            "at": str(starts[note.place] + note.onset),
            "length": str(note.length),
            "hand": hand,
            "part": note.part,
            "voice": note.voice,
            "held": note.held,
            "index": note.index,
        }

    def _numbers(self) -> list[int]:
        """Return the measures' numbers as integers.

        A number with a suffix keeps its digits (8a is 8); one without digits in front (X1, the second half of a split
        measure) has the number of the measure before. A first measure that isn't counted is 0 if the next one is 1.
        """
        found: list[int] = []
        for measure in self.measures:
            match = _LEADING_NUMBER.match(measure.number)
            before = found[-1] if found else int(not measure.implicit)
            found.append(int(match[0]) if match else before)
        if self.measures[0].implicit and found[1:2] == [1]:
            found[0] = 0
        return found

    def _meters(self) -> list[str]:
        meters, meter, is_free = [], "4/4", False
        for measure in self.measures:
            if measure.meter or measure.is_free:
                meter, is_free = measure.meter or meter, measure.is_free
            fits = is_free and measure.length
            meters.append(_readable(meter_of_length(measure.length), meter) if fits else meter)
        grouped: list[str] = []
        for meter, stretch in groupby(zip(meters, self.measures, strict=True), key=lambda pair: pair[0]):
            beams = [measure.beams for _, measure in stretch]
            grouped += [grouped_by_beams(meter, beams)] * len(beams)
        return grouped

    def _missing(self, lengths: Sequence[Fraction], meters: Sequence[str]) -> list[Fraction]:
        """Return how much of its meter each measure lacks at its front: a pickup, the second half of a split one."""
        found: list[Fraction] = []
        for place, length in enumerate(lengths):
            full = parse_meter(meters[place]).length
            is_second_half = place > 0 and not found[-1] and lengths[place - 1] + length == full and length < full
            found.append(full - length if (place == 0 or is_second_half) and length < full else Fraction(0))
        return found

    def _played(self) -> Iterator[tuple[_Note, str]]:
        """Yield the notes of the keyboard with the hand that each staff stands for, in order of time.

        Without a keyboard, or with one line of it as in a choir's organ part, all parts count. Of its staves from the
        top the upper half is the right hand's and the rest the left's; a staff alone is the right hand's.
        """
        parts = sorted({note.part for note in self.notes})
        keyboards = [part for part in parts if part in self.keyboards or self.staves[part] > 1]
        chosen = keyboards if sum(self.staves[part] for part in keyboards) > 1 else parts
        rows = [(part, staff) for part in chosen for staff in range(1, self.staves[part] + 1)]
        right = set(rows[: max(1, len(rows) // 2)])
        for note in sorted(
            (note for note in self.notes if note.part in chosen),
            key=lambda note: (note.place, note.onset, note.part, note.staff, note.pitch.key, note.voice),
        ):
            yield note, "right" if (note.part, note.staff) in right else "left"


def _once(placed: Sequence[_Placed], starts: Sequence[Fraction]) -> list[tuple[Fraction, Plain]]:
    """Return what stands at each time, in order, without what a second part or staff repeats."""
    kept: dict[tuple[Fraction, str], Plain] = {}
    for one in placed:
        kept.setdefault((max(Fraction(0), starts[one.place] + one.onset), str(one.values)), one.values)
    return [(key[0], kept[key]) for key in sorted(kept, key=lambda key: key[0])]


def _readable(meter: str, otherwise: str) -> str:
    try:
        return str(parse_meter(meter))
    except RhythmError:
        return otherwise


def _checked(meter: str | None) -> str | None:
    try:
        return str(parse_meter(meter)) if meter else None
    except RhythmError:
        raise NoScoreError(f"it has a meter that can't be: {str(meter)[:20]}") from None


class _Part:
    """One part, read measure by measure: the cursor moves with notes, backups and forwards."""

    def __init__(self, index: int, score: _Score, is_keyboard: bool) -> None:
        self.index, self.score = index, score
        self.divisions = Fraction(1)
        self.transpositions: dict[str, Interval] = {}
        self.place = 0
        self.cursor = self.onset = Fraction(0)
        self.open_beams: dict[tuple[str, int], Fraction] = {}
        self.jumps_sound = False
        score.staves[index] = 1
        if is_keyboard:
            score.keyboards.add(index)

    def read(self, measures: Sequence[Element]) -> None:
        """Read all measures into the score."""
        for self.place, element in enumerate(measures):
            self.measure = self.score.measure(self.place, element)
            self.cursor = self.onset = Fraction(0)
            self.open_beams.clear()
            for child in element:
                self._read(child)
                self.measure.length = max(self.measure.length, self.cursor)
            if (count := len(element.findall("note"))) > MOST_IN_MEASURE:
                raise NoScoreError(f"it has {count} notes in one measure, at most {MOST_IN_MEASURE}")

    def _read(self, child: Element) -> None:
        match child.tag:
            case "note":
                self._read_note(child)
            case "backup":
                self.cursor = max(Fraction(0), self.cursor - self._whole(child.findtext("duration")))
            case "forward":
                self.cursor += max(Fraction(0), self._whole(child.findtext("duration")))
            case "attributes":
                self._read_attributes(child)
            case "harmony":
                self._read_harmony(child)
            case "direction":
                self._read_direction(child)
            case "sound":
                self._read_sound(child)
            case "barline":
                self._read_barline(child)

    def _whole(self, divisions: str | None) -> Fraction:
        """Return a duration in divisions of a quarter as a fraction of a whole note."""
        return _number(divisions) / self.divisions / 4

    def _place_of(self, element: Element) -> Fraction:
        """Return where a direction or symbol stands: at the cursor, moved by its offset."""
        return self.cursor + self._whole(element.findtext("offset"))

    # what takes time

    def _read_note(self, note: Element) -> None:
        staff = int(_number(note.findtext("staff"), 1))
        self.score.staves[self.index] = max(self.score.staves[self.index], min(staff, 9))
        if note.find("grace") is not None:
            return
        length = max(Fraction(0), self._whole(note.findtext("duration")))
        rest = note.find("rest")
        if rest is not None and rest.get("measure") == "yes" and self.cursor == 0:
            length = min(length, self._full_measure() or length)
        if note.find("chord") is None:
            self.onset = self.cursor
            self.cursor += length
            self._follow_beams(note, length)
        pitch = note.find("pitch")
        if pitch is None or note.find("cue") is not None or not length:
            return
        self.score.notes.append(
            _Note(
                self.place,
                self.onset,
                length,
                self._sounding(pitch, str(staff)),
                self.index,
                max(1, min(staff, 9)),
                (note.findtext("voice") or "1").strip(),
                any(tie.get("type") == "stop" for tie in note.findall("tie"))
                or (note.find("tie") is None and any(tie.get("type") == "stop" for tie in note.iter("tied"))),
                int(note.get("id", "")[1:]),
            )
        )

    def _full_measure(self) -> Fraction | None:
        for measure in reversed(self.score.measures[: self.place + 1]):
            if measure.is_free:
                return None
            if measure.meter:
                return parse_meter(measure.meter).length
        return None

    def _follow_beams(self, note: Element, length: Fraction) -> None:
        voice = ((note.findtext("voice") or "1").strip(), int(_number(note.findtext("staff"), 1)))
        state = next(((beam.text or "").strip() for beam in note.findall("beam") if beam.get("number", "1") == "1"), "")
        if state == "begin":
            self.open_beams[voice] = self.onset
        elif state == "end" and voice in self.open_beams:
            self.measure.beams.append(Beam(self.open_beams.pop(voice), self.onset + length))

    # pitch

    def _sounding(self, pitch: Element, staff: str) -> Pitch:
        tone = _tone(pitch.findtext("step"), pitch.findtext("alter"))
        octave = int(_number(pitch.findtext("octave"), 4))
        interval = self._transposition(staff)
        moved = tone.up(interval)
        octave += (tone.step + interval.steps) // 7
        return Pitch(_bounded(moved), max(-1, min(9, octave)))

    def _transposition(self, staff: str) -> Interval:
        return self.transpositions.get(staff) or self.transpositions.get("") or Interval(0, 0)

    # attributes

    def _read_attributes(self, attributes: Element) -> None:
        divisions = _number(attributes.findtext("divisions"))
        if divisions > 0:
            self.divisions = divisions
        staves = min(9, int(_number(attributes.findtext("staves"), 1)))
        self.score.staves[self.index] = max(self.score.staves[self.index], staves)
        for transpose in attributes.findall("transpose"):
            self.transpositions[transpose.get("number", "")] = _interval(transpose)
        time, key = attributes.find("time"), attributes.find("key")
        if time is not None and self.measure.meter is None and not self.measure.is_free:
            self.measure.meter = _checked(meter_of_time(time))
            self.measure.is_free = self.measure.meter is None
        if key is not None and self.measure.key is None:
            fifths = int(_number(key.findtext("fifths")))
            fifths += Tone("C").up(self._transposition("1")).fifths
            self.measure.key = (fifths, (key.findtext("mode") or "").strip())

    # what stands beside the notes

    def _read_harmony(self, harmony: Element) -> None:
        kind = harmony.find("kind")
        root = harmony.find("root")
        name = (kind.text or "").strip() if kind is not None else ""
        if name != "none" and root is None:
            return
        interval = self._transposition((harmony.findtext("staff") or "1").strip())
        bass, inversion = harmony.find("bass"), harmony.findtext("inversion")
        values = {
            "root": "" if name == "none" or root is None else _harmony_tone(root, "root", interval),
            "kind": name or "major",
            "text": kind.get("text", "").strip() if kind is not None else "",
            "bass": "" if name == "none" or bass is None else _harmony_tone(bass, "bass", interval),
            "inversion": int(_number(inversion)) if inversion else None,
            "degrees": [
                [
                    (degree.findtext("degree-type") or "add").strip(),
                    _between(0, int(_number(degree.findtext("degree-value"))), HIGHEST_DEGREE),
                    _between(-MOST_SHARPS, round(_number(degree.findtext("degree-alter"))), MOST_SHARPS),
                ]
                for degree in harmony.findall("degree")
            ],
        }
        self.score.symbols.append(_Placed(self.place, self._place_of(harmony), values))

    def _read_direction(self, direction: Element) -> None:
        signs = self.measure.signs
        for pedal in direction.iterfind("direction-type/pedal"):
            self._pedal(pedal.get("type", ""), self._place_of(direction))
        signs.segno |= direction.find("direction-type/segno") is not None
        signs.coda |= direction.find("direction-type/coda") is not None and not self._says(direction, _TO_CODA)
        sounds = direction.findall("sound")
        for sound in sounds:
            self._read_sound(sound)
        if not any(sound.get(name) for sound in sounds for name in _JUMPS):
            signs.fine |= self._says(direction, _FINE)
            signs.to_coda |= self._says(direction, _TO_CODA)
            signs.da_capo |= self._says(direction, _DA_CAPO)
            signs.dal_segno |= self._says(direction, _DAL_SEGNO)

    def _says(self, direction: Element, pattern: re.Pattern[str]) -> bool:
        words = " ".join((words.text or "").strip() for words in direction.iterfind("direction-type/words"))
        return bool(pattern.search(words))

    def _pedal(self, kind: str, onset: Fraction) -> None:
        """Keep a mark of the damper pedal; lines that are only broken off and taken up again leave it down."""
        if kind in ("start", "stop", "change"):
            self.score.pedals.append(_Placed(self.place, onset, {"does": kind}))

    def _read_sound(self, sound: Element) -> None:
        signs = self.measure.signs
        signs.fine |= sound.get("fine") is not None
        signs.to_coda |= sound.get("tocoda") is not None
        signs.coda |= sound.get("coda") is not None
        signs.segno |= sound.get("segno") is not None
        signs.da_capo |= sound.get("dacapo") == "yes"
        signs.dal_segno |= sound.get("dalsegno") is not None

    def _read_barline(self, barline: Element) -> None:
        signs = self.measure.signs
        repeat, ending = barline.find("repeat"), barline.find("ending")
        if repeat is not None and repeat.get("direction") == "forward":
            signs.forward = True
        elif repeat is not None:
            signs.times = max(signs.times, int(_number(repeat.get("times"), 2)), 2)
        if ending is not None and ending.get("type") == "start":
            numbers = {int(text) for text in re.findall(r"[0-9]{1,2}", ending.get("number", ""))}
            signs.ending |= frozenset(numbers or {1})
        elif ending is not None:
            signs.ending_stops = True
        signs.segno |= barline.find("segno") is not None
        signs.coda |= barline.find("coda") is not None


_JUMPS = ("fine", "tocoda", "dacapo", "dalsegno")
_FINE = re.compile(r"^\W*fine\W*$", re.IGNORECASE)
_TO_CODA = re.compile(r"^\W*(?:to|al) coda\b", re.IGNORECASE)
_DA_CAPO = re.compile(r"\bd\. ?c\.|\bda capo\b", re.IGNORECASE)
_DAL_SEGNO = re.compile(r"\bd\. ?s\.|\bdal segno\b", re.IGNORECASE)
"""Words that lead to another measure (common practice), for scores in which nothing says how they sound."""


def _tone(step: str | None, alter: str | None) -> Tone:
    letter = (step or "").strip().upper()
    if letter not in tuple("ABCDEFG"):
        raise NoScoreError(f"it can't be read: a note is called {(step or '')[:20]!r}, expected A to G")
    return Tone(letter, _between(-MOST_SHARPS, round(_number(alter)), MOST_SHARPS))


def _bounded(tone: Tone) -> Tone:
    return Tone(tone.letter, _between(-MOST_SHARPS, tone.alteration, MOST_SHARPS))


def _between(least: int, number: int, most: int) -> int:
    return max(least, min(number, most))


def _harmony_tone(element: Element, name: str, interval: Interval) -> str:
    tone = _tone(element.findtext(f"{name}-step"), element.findtext(f"{name}-alter"))
    return str(_bounded(tone.up(interval)))


def _interval(transpose: Element) -> Interval:
    """Return how far a part sounds from what is written. Without the letters' distance the usual spelling is meant."""
    semitones = int(_number(transpose.findtext("chromatic")))
    octaves = int(_number(transpose.findtext("octave-change")))
    written = transpose.findtext("diatonic")
    if written is None:
        turns, rest = divmod(semitones, 12)
        steps = 7 * turns + _LETTERS_UP[rest]
    else:
        steps = int(_number(written))
    return Interval(steps + 7 * octaves, semitones + 12 * octaves)
