"""What stands in a committed score's MusicXML and is no note or symbol: key, tempo, voices, repeats, pedal marks.

Read with the standard library, so that the tests don't ask the reader that they check.
"""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections import defaultdict
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

ALTERATIONS = {"sharp": 1, "flat": -1, "natural": 0, "double-sharp": 2, "flat-flat": -2}


@dataclass(frozen=True)
class PrintedMeasure:
    """A measure: each voice's length in whole notes, what its meter asks for, its repeat signs and its endings."""

    number: int
    voices: dict[str, Fraction]
    wanted: Fraction
    repeats: tuple[str, ...]
    ending: str | None
    pedals: tuple[str, ...]


@dataclass(frozen=True)
class PrintedScore:
    """A score as it is printed: the key by ``fifths`` and ``mode``, quarter notes a minute, the measures."""

    fifths: int
    mode: str
    tempo: Fraction
    measures: tuple[PrintedMeasure, ...]
    unmarked: tuple[str, ...]
    """Notes whose accidental the reader of the page can't know: neither in the key nor marked in the measure."""

    def played(self, first: int, last: int) -> list[int]:
        """Return the numbers of the measures that sound from one to another, repeats inside played out."""
        numbers: list[int] = []
        back: int | None = None
        measures = [measure for measure in self.measures if first <= measure.number <= last]
        for index, measure in enumerate(measures):
            if "forward" in measure.repeats:
                back = index
            numbers.append(measure.number)
            if "backward" in measure.repeats and back is not None:
                numbers += [again.number for again in measures[back : index + 1] if again.ending is None]
        return numbers


def printed_score(path: Path) -> PrintedScore:
    """Return a committed score as it is printed."""
    root = ET.parse(path).getroot()
    part = root.find("part")
    sound = root.find(".//sound[@tempo]")
    assert part is not None
    assert sound is not None
    divisions, wanted = 1, Fraction(1)
    measures, unmarked = [], []
    for measure in part.iter("measure"):
        divisions = int(measure.findtext(".//divisions") or divisions)
        if time := measure.find(".//time"):
            wanted = Fraction(int(time.findtext("beats", "")), int(time.findtext("beat-type", "")))
        voices: dict[str, Fraction] = defaultdict(Fraction)
        for note in measure.iter("note"):
            if note.find("chord") is None:
                length = Fraction(int(note.findtext("duration", "")), 4 * divisions)
                voices[f"staff {note.findtext('staff')}, voice {note.findtext('voice')}"] += length
        ending = next(measure.iter("ending"), None)
        measures.append(
            PrintedMeasure(
                int(measure.get("number", "")),
                dict(voices),
                wanted,
                tuple(sign.get("direction", "") for sign in measure.iter("repeat")),
                None if ending is None else ending.get("number"),
                tuple(pedal.get("type", "") for pedal in measure.iter("pedal")),
            )
        )
        unmarked += _unmarked(measure, int(root.findtext(".//fifths", "")))
    return PrintedScore(
        int(root.findtext(".//fifths", "")),
        root.findtext(".//mode", ""),
        Fraction(sound.get("tempo", "")),
        tuple(measures),
        tuple(unmarked),
    )


def _unmarked(measure: ET.Element, fifths: int) -> list[str]:
    """An accidental holds for its line in its staff to the end of the measure (common practice)."""
    in_key = "FCGDAEB"[:fifths] if fifths >= 0 else "BEADGCF"[:-fifths]
    shown: dict[tuple[str, str, str], int] = {}
    unmarked = []
    for note in sorted(_timed(measure), key=lambda one: one[0]):
        place = tuple(note[1].findtext(name, "") for name in ("staff", "pitch/step", "pitch/octave"))
        key = (place[0], place[1], place[2])
        usual = (1 if fifths > 0 else -1) if key[1] in in_key else 0
        mark = note[1].findtext("accidental")
        if mark is not None:
            shown[key] = ALTERATIONS[mark]
        tied = any(tie.get("type") == "stop" for tie in note[1].iter("tie"))
        if int(note[1].findtext("pitch/alter", "0")) != shown.get(key, usual) and not tied:
            unmarked.append(f"measure {measure.get('number')}: {key[1]}{key[2]}")
    return unmarked


def _timed(measure: ET.Element) -> list[tuple[int, ET.Element]]:
    at = start = 0
    notes = []
    for element in measure:
        length = int(element.findtext("duration", "0"))
        if element.tag == "backup":
            at -= length
        elif element.tag == "note":
            start = start if element.find("chord") is not None else at
            if element.find("pitch") is not None:
                notes.append((start, element))
            at = start + length
    return notes
