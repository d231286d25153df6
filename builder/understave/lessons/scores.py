"""Scores: scanned, read in a worker, and kept by the hash of their music."""

from __future__ import annotations

import hashlib
import json
from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from multiprocessing import get_context
from pathlib import Path

from understave.entries.shelves import keep_text, tell_damaged
from understave.lessons.score_files import ScoreError, musicxml_of
from understave.lessons.score_reader import NoScoreError, Plain, read_score
from understave.theory.rhythms import Meter, parse_meter
from understave.theory.tones import Pitch, Tone, parse_pitch, parse_tone

LONGEST_READING = 120
"""Seconds after which reading a score is given up."""

READER_VERSION = 4
"""Part of the cache's key: raise it when the reader's values change."""


@dataclass(frozen=True)
class ScoreMeasure:
    """A measure of a score: its number as printed, where it starts and how long it is, in whole notes.

    ``missing`` is the part of the meter that it leaves out at its front (a pickup, the second half of a split
    measure). ``fifths`` counts the key signature's sharps (above 0) or flats (below 0) as it sounds; ``mode`` is
    major, minor and so on, empty where the score doesn't say.
    """

    number: int
    at: Fraction
    length: Fraction
    meter: Meter
    missing: Fraction = Fraction(0)
    fifths: int = 0
    mode: str = ""


@dataclass(frozen=True)
class ScoreSymbol:
    """A chord symbol of a score: root and bass as tones, the MusicXML kind, and the changes of single degrees.

    ``degrees`` holds (add, alter or subtract; the number; the alteration). ``root`` is None for N.C. ``text`` is what
    is printed after the root, empty where the score doesn't say; ``inversion`` stands where it is written as such.
    """

    measure: int
    at: Fraction
    root: Tone | None
    kind: str
    bass: Tone | None
    degrees: tuple[tuple[str, int, int], ...]
    text: str = ""
    inversion: int | None = None


@dataclass(frozen=True)
class ScoreNote:
    """A note: where it sounds, how long, in which hand, and whether it is tied to the note before.

    ``part`` counts the score's parts from the top, from 0; ``voice`` is its name there. ``index`` is its place among
    all notes and rests in the file, from 0. Grace notes and cues aren't among a score's notes.
    """

    pitch: Pitch
    at: Fraction
    length: Fraction
    hand: str
    held: bool
    part: int = 0
    voice: str = "1"
    index: int = 0


@dataclass(frozen=True)
class PedalMark:
    """A mark of the damper pedal; it ``does`` start, stop or change."""

    at: Fraction
    does: str


@dataclass(frozen=True)
class Score:
    """What a score holds. ``order`` has the places in ``measures`` as they are played, with repeats and jumps."""

    measures: tuple[ScoreMeasure, ...]
    symbols: tuple[ScoreSymbol, ...]
    notes: tuple[ScoreNote, ...]
    pedals: tuple[PedalMark, ...] = ()
    order: tuple[int, ...] = ()

    @cached_property
    def by_number(self) -> dict[int, list[int]]:
        """The places in ``measures`` of each number."""
        places: dict[int, list[int]] = {}
        for place, measure in enumerate(self.measures):
            places.setdefault(measure.number, []).append(place)
        return places

    @cached_property
    def _longest(self) -> Fraction:
        return max((note.length for note in self.notes), default=Fraction(0))

    def sounding(self, start: Fraction, end: Fraction) -> Iterator[ScoreNote]:
        """Yield the notes that sound between two places, in order; the score's other notes cost no time."""
        first = bisect_left(self.notes, start - self._longest, key=lambda note: note.at)
        for index in range(first, len(self.notes)):
            note = self.notes[index]
            if note.at >= end:
                return
            if note.at + note.length > start:
                yield note

    def measure_at(self, at: Fraction) -> ScoreMeasure:
        """Return the measure in which a place lies."""
        return self.measures[max(0, bisect_right(self.measures, at, key=lambda measure: measure.at) - 1)]

    def beat_at(self, at: Fraction) -> tuple[int, Fraction]:
        """Return the beat of a place, from 1, and the place within the beat, in whole notes."""
        measure = self.measure_at(at)
        rest = at - measure.at + measure.missing
        for number, length in enumerate(measure.meter.beats(), 1):
            if rest < length:
                return number, rest
            rest -= length
        return len(measure.meter.beats()), rest


def load_score(path: Path, cache: Path | None) -> Score:
    """Return the score of a MusicXML file. Raises ScoreError for what can't or mustn't be read."""
    music = musicxml_of(path)
    key = hashlib.sha256(music + bytes([READER_VERSION])).hexdigest()[:32]
    kept = cache / "scores" / f"{key}.json" if cache else None
    plain = _kept(kept)
    if plain is None:
        plain = _read_in_worker(music)
        if kept:
            keep_text(kept, json.dumps(plain, sort_keys=True))
    return _score(plain)


def _kept(path: Path | None) -> Plain | None:
    if path is None or not path.exists():
        return None
    try:
        plain = json.loads(path.read_text(encoding="utf-8"))
        _score(plain)
    except (OSError, ValueError, KeyError, TypeError, ArithmeticError, RecursionError, AttributeError):
        tell_damaged(path)
        return None
    return dict(plain)


def _read_in_worker(music: bytes) -> Plain:
    """Read MusicXML in a process of its own, which may take too long or too much without harm to this one."""
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as pool:
        future = pool.submit(read_score, music)
        try:
            return future.result(timeout=LONGEST_READING)
        except NoScoreError as error:
            raise ScoreError(str(error)) from None
        except TimeoutError:
            for process in list((pool._processes or {}).values()):
                process.kill()
            raise ScoreError("reading it takes too long") from None
        except BrokenProcessPool:
            raise ScoreError("reading it breaks the reader down") from None
        except Exception as error:
            first = str(error).strip().splitlines()
            raise ScoreError(f"it can't be read: {first[0][:120] if first else type(error).__name__}") from None


def _score(plain: Plain) -> Score:
    measures = tuple(
        ScoreMeasure(
            m["number"],
            Fraction(m["at"]),
            Fraction(m["length"]),
            parse_meter(m["meter"]),
            Fraction(m["missing"]),
            m["fifths"],
            m["mode"],
        )
        for m in plain["measures"]
    )
    if not measures:
        raise ScoreError("it holds no measures")
    symbols = tuple(
        ScoreSymbol(
            symbol["measure"],
            Fraction(symbol["at"]),
            parse_tone(symbol["root"]) if symbol["root"] else None,
            symbol["kind"],
            parse_tone(symbol["bass"]) if symbol["bass"] else None,
            tuple((change, number, size) for change, number, size in symbol["degrees"]),
            symbol["text"],
            symbol["inversion"],
        )
        for symbol in plain["symbols"]
    )
    notes = tuple(
        ScoreNote(
            parse_pitch(n["pitch"]),
            Fraction(n["at"]),
            Fraction(n["length"]),
            n["hand"],
            n["held"],
            n["part"],
            n["voice"],
            n["index"],
        )
        for n in plain["notes"]
    )
    pedals = tuple(PedalMark(Fraction(mark["at"]), mark["does"]) for mark in plain["pedals"])
    return Score(measures, symbols, notes, pedals, tuple(plain["order"]))
