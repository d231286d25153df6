"""MEI from checked values. Nothing an editor wrote gets here as it stands: broken MEI can end Verovio's process."""

from __future__ import annotations

from collections.abc import Iterable
from xml.sax.saxutils import escape, quoteattr

from understave.theory.tones import Pitch

ACCIDENTALS = {-4: "", -3: "tf", -2: "ff", -1: "f", 0: "", 1: "s", 2: "x", 3: "ts", 4: ""}
"""MEI's names of accidentals, by semitones."""

GRAND_STAFF = (
    '<scoreDef><staffGrp symbol="brace" bar.thru="true">'
    '<staffDef n="1" lines="5" clef.shape="G" clef.line="2"/>'
    '<staffDef n="2" lines="5" clef.shape="F" clef.line="4"/>'
    "</staffGrp></scoreDef>"
)

TREBLE_STAFF = '<scoreDef><staffGrp><staffDef n="1" lines="5" clef.shape="G" clef.line="2"/></staffGrp></scoreDef>'


def rhythm_staff(groups: str, unit: int) -> str:
    """Return the definition of a single line with a meter; ``groups`` is 4 or 2+3."""
    meter = f'meter.count="{groups}" meter.unit="{unit}"'
    return f'<scoreDef {meter}><staffGrp><staffDef n="1" lines="1" clef.shape="perc"/></staffGrp></scoreDef>'


def hands_staves(groups: str, unit: int) -> str:
    """Return the definition of two single lines with a meter, the right hand's (R) over the left hand's (L)."""
    meter = f'meter.count="{groups}" meter.unit="{unit}"'
    lines = "".join(
        f'<staffDef n="{number}" lines="1" clef.shape="perc"><label>{hand}</label></staffDef>'
        for number, hand in ((1, "R"), (2, "L"))
    )
    return f'<scoreDef {meter}><staffGrp symbol="bracket" bar.thru="true">{lines}</staffGrp></scoreDef>'


def document(definition: str, measures: Iterable[str]) -> str:
    """Return a whole MEI file."""
    head = "<meiHead><fileDesc><titleStmt><title/></titleStmt><pubStmt/></fileDesc></meiHead>"
    body = f"<mdiv><score>{definition}<section>{''.join(measures)}</section></score></mdiv>"
    music = f"<music><body>{body}</body></music>"
    return f'<mei xmlns="http://www.music-encoding.org/ns/mei" meiversion="5.0">{head}{music}</mei>'


def measure(staves: Iterable[str], extras: str = "", *, last: bool = True) -> str:
    """Return a measure; each of ``staves`` is the content of one layer."""
    layers = "".join(
        f'<staff n="{index}"><layer n="1">{content}</layer></staff>' for index, content in enumerate(staves, 1)
    )
    right = ' right="end"' if last else ""
    return f"<measure{right}>{layers}{extras}</measure>"


def note(pitch: Pitch, name: str) -> str:
    """Return a note inside a chord."""
    accidental = ACCIDENTALS[pitch.tone.alteration]
    sign = f' accid="{accidental}"' if accidental else ""
    return f'<note xml:id="{name}" pname="{pitch.tone.letter.lower()}" oct="{pitch.octave}"{sign}/>'


def whole_chord(pitches: Iterable[tuple[Pitch, str]], name: str) -> str:
    """Return a chord of whole notes; each pitch comes with the id of its note."""
    notes = "".join(note(pitch, own) for pitch, own in pitches)
    return f'<chord xml:id="{name}" dur="1">{notes}</chord>' if notes else f'<mSpace xml:id="{name}"/>'


def symbol_below(parts: tuple[str, str, str], start: str, staff: int) -> str:
    """Return a chord symbol under a staff: what stands on the line, what is raised, and the bass with its slash."""
    plain, raised, bass = map(escape, parts)
    lifted = f'<rend rend="sup">{raised}</rend>' if raised else ""
    return f'<harm place="below" staff="{staff}" startid={quoteattr("#" + start)}>{plain}{lifted}{bass}</harm>'


def word_below(word: str, tstamp: str, staff: int = 1) -> str:
    """Return a word of the count, centered under its place; ``tstamp`` counts from 1 in the meter's unit."""
    return f'<harm place="below" staff="{staff}" tstamp="{tstamp}"><rend fontsize="85%">{escape(word)}</rend></harm>'
