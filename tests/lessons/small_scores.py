"""Scores and a lesson that tests may break, written out in MusicXML."""

from __future__ import annotations

from fractions import Fraction

HEADER = '<?xml version="1.0" encoding="UTF-8"?>\n'
DOCTYPE = (
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">\n'
)

Change = tuple[int, int, str]


def harmony(root: str, kind: str, bass: str = "", degrees: tuple[Change, ...] = (), staff: bool = True) -> str:
    """Return a harmony; roots and basses may carry # or b, a degree is its value, its alteration and what it does."""

    def step(tag: str, tone: str) -> str:
        alter = tone.count("#") - tone[1:].count("b")
        return f"<{tag}><{tag}-step>{tone[0]}</{tag}-step><{tag}-alter>{alter}</{tag}-alter></{tag}>"

    changes = "".join(
        f"<degree><degree-value>{value}</degree-value><degree-alter>{alter}</degree-alter>"
        f"<degree-type>{change}</degree-type></degree>"
        for value, alter, change in degrees
    )
    return (
        f"<harmony>{step('root', root)}<kind>{kind}</kind>{step('bass', bass) if bass else ''}{changes}"
        f"{'<staff>1</staff>' if staff else ''}</harmony>"
    )


def note(pitch: str, quarters: Fraction | int = 1, staff: int = 1, extra: str = "") -> str:
    """Return a note of so many quarters; ``r`` is a rest."""
    alter = pitch.count("#") - pitch[1:].count("b")
    what = "<rest/>"
    if pitch != "r":
        what = f"<pitch><step>{pitch[0]}</step><alter>{alter}</alter><octave>{pitch[-1]}</octave></pitch>"
    where = f"<voice>{staff}</voice><staff>{staff}</staff>"
    return f"<note>{what}<duration>{int(4 * quarters)}</duration>{extra}{where}</note>"


def both(right: str, left: str, quarters: Fraction | int = 4) -> str:
    """Return the content of a measure from what each hand plays."""
    return f"{right}<backup><duration>{int(4 * quarters)}</duration></backup>{left}"


def score(*measures: tuple[str, str], meter: tuple[int, int] = (4, 4), header: str = HEADER + DOCTYPE) -> str:
    """Return a score of one part on two staves; a measure is its attributes and its content."""
    attributes = (
        f"<attributes><divisions>4</divisions><time><beats>{meter[0]}</beats><beat-type>{meter[1]}</beat-type></time>"
        "<staves>2</staves><clef number='1'><sign>G</sign><line>2</line></clef>"
        "<clef number='2'><sign>F</sign><line>4</line></clef></attributes>"
    )
    body = "".join(
        f"<measure {own}>{attributes if index == 0 else ''}{content}</measure>"
        for index, (own, content) in enumerate(measures)
    )
    return (
        f'{header}<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Piano</part-name>'
        f'</score-part></part-list><part id="P1">{body}</part></score-partwise>'
    )


SCORE = score(
    ('number="1"', both(harmony("C", "major") + note("E4", 4), note("C3", 4, 2))),
    ('number="2"', both(harmony("A", "minor") + note("E4", 4), note("A2", 4, 2))),
    (
        'number="3"',
        both(harmony("C", "major", "E") + note("C5", 2) + harmony("G", "major") + note("B4", 2), note("E3", 4, 2)),
    ),
    ('number="4"', both(harmony("C", "major") + note("E4", 4), note("C3", 4, 2))),
)
"""Four measures in 4/4 with a symbol in each, two in the third."""

LESSON = """\
title: "A small lesson"
level: beginner
date: "2026-03-14"
tune: "A small tune, written for this channel"
key: "C major"
score: small.musicxml
rights: own
video: "https://video.example/small?t={seconds}"
sections:
  - {name: "The tune", at: "0:00"}
  - {name: "The left hand", at: "0:40"}
heard:
  - {from: "0:05", to: "0:21", measures: "1-4", hands: both, tempo: "at tempo"}
  - {from: "0:50", to: "1:10", measures: "1-2", hands: left, tempo: slow}
teaches: [major]
"""
"""A lesson without faults, over SCORE."""
