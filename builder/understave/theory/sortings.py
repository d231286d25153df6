"""Degrees sorted by rows: which of them a printed symbol sums up, and which a player usually leaves out.

Stages of rows are walked in order over a bag that begins with a chord's degrees. In each stage the first row that fits
is done: all of ``has`` is in the bag and nothing of ``lacks``. It takes ``takes`` out, puts ``marks`` in and gives its
text. Common practice.
"""

from __future__ import annotations

from typing import NamedTuple


class Row(NamedTuple):
    """One row of a stage; the lists are parted by spaces."""

    has: str = ""
    lacks: str = ""
    takes: str = ""
    gives: str = ""
    marks: str = ""


Stages = tuple[tuple[Row, ...], ...]

FAMILIES: Stages = (
    (
        Row("7", marks="major-seventh seventh"),
        Row("b7", marks="minor-seventh seventh"),
        Row("bb7", marks="diminished-seventh seventh"),
    ),
    (Row("9", marks="any-ninth"), Row("b9", marks="any-ninth"), Row("#9", marks="any-ninth")),
    (Row("11", marks="any-eleventh"), Row("#11", marks="any-eleventh")),
)
"""Marks for degrees of any size."""

EXTENDED: Stages = (
    *FAMILIES,
    (
        Row("seventh 9", marks="extended"),
        Row("seventh 13 any-eleventh any-ninth", marks="extended"),
        Row("seventh 11 any-ninth", marks="extended"),
    ),
)
"""Whether a chord is a ninth, eleventh or thirteenth: stacked over its seventh, whatever is altered below."""

LEFT_OUT: Stages = (
    *EXTENDED,
    (Row("extended 3 11 13", gives="11"), Row("extended 3 11", gives="3")),
    (Row("extended 5", gives="5"),),
)
"""What players usually leave out: the natural 11 of a thirteenth with a major third, the major 3 of an eleventh, the
natural 5 of every ninth, eleventh and thirteenth."""

PRINTED: Stages = (
    *FAMILIES,
    (Row("7", takes="7"), Row("b7", takes="b7"), Row("bb7", takes="bb7")),
    (
        Row("3", takes="3", marks="major-third third"),
        Row("b3", takes="b3", marks="minor-third third"),
        Row("2 4", takes="2 4", marks="sus2 sus4 suspended any-eleventh"),
        Row("2", takes="2", marks="sus2 suspended any-eleventh"),
        Row("4", takes="4", marks="sus4 suspended any-eleventh"),
        Row(marks="no3"),
    ),
    (
        Row("diminished-seventh b5", takes="b5", gives="dim", marks="quality fifth-said"),
        Row("diminished-seventh", gives="dim", marks="quality"),
        Row("minor-third b5", lacks="#5 minor-seventh", takes="b5", gives="dim", marks="quality fifth-said"),
        Row("minor-third", gives="m", marks="quality"),
        Row("major-third #5", lacks="b5 seventh 6 9", takes="#5", gives="aug", marks="quality fifth-said"),
    ),
    (Row("5", takes="5", marks="plain-fifth"), Row("b5"), Row("#5"), Row("fifth-said"), Row(marks="no5")),
    (Row("major-seventh quality", gives="(maj"), Row("major-seventh", gives="maj")),
    (
        Row("6 9", lacks="seventh", takes="6 9", gives="6/9", marks="number"),
        Row("6", lacks="seventh", takes="6", gives="6", marks="number"),
        Row(lacks="seventh"),
        Row("13 any-ninth any-eleventh", takes="13 11 9", gives="13", marks="number"),
        Row("11 any-ninth", lacks="suspended", takes="11 9", gives="11", marks="number"),
        Row("9", takes="9", gives="9", marks="number"),
        Row(gives="7", marks="number"),
    ),
    (Row("major-seventh quality", gives=")"),),
    (Row("no3 plain-fifth", lacks="number quality", takes="no3", gives="5"),),
    (Row("sus2", gives="sus2"),),
    (Row("sus4", gives="sus4"),),
)
"""What stands in a symbol before its alterations, additions and omissions."""

PRINTED_WHOLE = {"1 3 b7 b9 #9 b13": "7alt"}
"""Chords whose suffix isn't composed."""

ALTERATIONS = {"seventh": ("b5", "#5", "b9", "#9", "#11", "b13"), "": ("b5", "#5")}
"""Degrees that are printed without add: over a seventh, and else."""


def sorted_out(degrees: tuple[str, ...], stages: Stages) -> tuple[list[str], set[str]]:
    """Return what the rows give for a chord's degrees, in order, and what is in the bag in the end."""
    bag: set[str] = set(degrees)
    given: list[str] = []
    for stage in stages:
        for row in stage:
            if bag.issuperset(row.has.split()) and bag.isdisjoint(row.lacks.split()):
                bag.difference_update(row.takes.split())
                bag.update(row.marks.split())
                given += filter(None, [row.gives])
                break
    return given, bag
