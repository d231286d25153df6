"""Scores: scanned, read in a worker, and kept by the hash of their file."""

from __future__ import annotations

import hashlib
import json
import tempfile
import zipfile
import zlib
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from fractions import Fraction
from multiprocessing import get_context
from pathlib import Path

from understave.lessons.score_reader import Plain, prepare, read_score
from understave.theory.rhythms import Meter, RhythmError, parse_meter
from understave.theory.tones import Pitch, Tone, parse_pitch, parse_tone

LARGEST_SCORE = 20_000_000
"""The size in bytes, unpacked, above which a score is refused."""

LONGEST_READING = 120
"""Seconds after which reading a score is given up."""

READER_VERSION = 2
"""Part of the cache's key: raise it when the reader's values change."""


class ScoreError(ValueError):
    """A score can't be read; the message says why, in a few words."""


@dataclass(frozen=True)
class ScoreMeasure:
    """A measure of a score: its number as printed, where it starts and how long it is, in whole notes."""

    number: int
    at: Fraction
    length: Fraction
    meter: Meter


@dataclass(frozen=True)
class ScoreSymbol:
    """A chord symbol of a score: root and bass as tones, the MusicXML kind, and the changes of single degrees.

    ``degrees`` holds (add, alter or subtract; the number; the alteration). ``root`` is None for N.C.
    """

    measure: int
    at: Fraction
    root: Tone | None
    kind: str
    bass: Tone | None
    degrees: tuple[tuple[str, int, int], ...]


@dataclass(frozen=True)
class ScoreNote:
    """A note: where it sounds, how long, in which hand, and whether it is tied to the note before."""

    pitch: Pitch
    at: Fraction
    length: Fraction
    hand: str
    held: bool


@dataclass(frozen=True)
class Score:
    """What a score holds."""

    measures: tuple[ScoreMeasure, ...]
    symbols: tuple[ScoreSymbol, ...]
    notes: tuple[ScoreNote, ...]

    def measure_at(self, at: Fraction) -> ScoreMeasure:
        """Return the measure in which a place lies."""
        return next(measure for measure in reversed(self.measures) if measure.at <= at)

    def beat_at(self, at: Fraction) -> tuple[int, Fraction]:
        """Return the beat of a place, from 1, and the place within the beat, in whole notes."""
        measure = self.measure_at(at)
        is_pickup = measure is self.measures[0] and measure.length < measure.meter.length
        rest = at - measure.at + (measure.meter.length - measure.length if is_pickup else 0)
        for number, length in enumerate(measure.meter.beats(), 1):
            if rest < length:
                return number, rest
            rest -= length
        return len(measure.meter.beats()), rest


def load_score(path: Path, cache: Path | None) -> Score:
    """Return the score of a MusicXML file. Raises ScoreError for what can't or mustn't be read."""
    key = hashlib.sha256(_scan(path) + bytes([READER_VERSION])).hexdigest()[:32]
    kept = cache / "scores" / f"{key}.json" if cache else None
    plain = _kept(kept)
    if plain is None:
        plain = _read_in_worker(path)
        if kept:
            kept.parent.mkdir(parents=True, exist_ok=True)
            aside = kept.with_suffix(".new")
            aside.write_text(json.dumps(plain, sort_keys=True), encoding="utf-8")
            aside.replace(kept)
    return _score(plain)


def _scan(path: Path) -> bytes:
    """Return the bytes of a score that may be read: no entities, no bomb."""
    try:
        raw = path.read_bytes()
    except OSError as error:
        raise ScoreError(f"it can't be opened: {error.strerror}") from None
    if len(raw) > LARGEST_SCORE:
        raise ScoreError(f"it is larger than {LARGEST_SCORE} bytes")
    for text in _unpacked(raw, path):
        plain = text.replace(b"\0", b"")  # UTF-16 is read as well
        if b"<!ENTITY" in plain:
            raise ScoreError("it declares entities")
        if not plain.lstrip(b"\xef\xbb\xbf\xff\xfe \r\n\t").startswith(b"<"):
            raise ScoreError("it is no MusicXML")
    return raw


def _unpacked(raw: bytes, path: Path) -> list[bytes]:
    if path.suffix != ".mxl":
        return [raw]
    try:
        with zipfile.ZipFile(path) as archive:
            contents, size = [], 0
            for item in archive.infolist():
                with archive.open(item) as file:
                    content = file.read(LARGEST_SCORE - size + 1)
                size += len(content)
                if size > LARGEST_SCORE:
                    raise ScoreError(f"it unpacks to more than {LARGEST_SCORE} bytes")
                if not item.is_dir() and item.filename != "mimetype":
                    contents.append(content)
            return contents
    except (zipfile.BadZipFile, zlib.error, RuntimeError, NotImplementedError, EOFError, OSError, ValueError) as error:
        if isinstance(error, ScoreError):
            raise
        raise ScoreError("it is no compressed MusicXML") from None


def _kept(path: Path | None) -> Plain | None:
    if path is None or not path.exists():
        return None
    try:
        plain = json.loads(path.read_text(encoding="utf-8"))
        _score(plain)
    except (OSError, ValueError, KeyError, TypeError, ArithmeticError, RecursionError):
        return None
    return dict(plain)


def _read_in_worker(path: Path) -> Plain:
    with (
        tempfile.TemporaryDirectory(prefix="understave-") as folder,
        ProcessPoolExecutor(1, mp_context=get_context("spawn"), initializer=prepare, initargs=(folder,)) as pool,
    ):
        future = pool.submit(read_score, str(path.resolve()))
        try:
            return future.result(timeout=LONGEST_READING)
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
    def meter(text: str) -> Meter:
        try:
            return parse_meter(text)
        except RhythmError:
            raise ScoreError(f"it has a meter that can't be: {text}") from None

    measures = tuple(
        ScoreMeasure(m["number"], Fraction(m["at"]), Fraction(m["length"]), meter(m["meter"]))
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
        )
        for symbol in plain["symbols"]
    )
    notes = tuple(
        ScoreNote(parse_pitch(n["pitch"]), Fraction(n["at"]), Fraction(n["length"]), n["hand"], n["held"])
        for n in plain["notes"]
    )
    return Score(measures, tuple(sorted(symbols, key=lambda symbol: symbol.at)), notes)
