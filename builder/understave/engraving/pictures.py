"""What is drawn: pictures as values. A picture's key changes with anything that changes its ink."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass

from understave.engraving import mei
from understave.phrases.catalogue import phrase
from understave.phrases.typesetting import degree_label, symbol_parts, tone_text
from understave.theory.tones import Pitch
from understave.theory.voicings import Voicing

CHORD_OPTIONS = (("spacingNonLinear", 0.5), ("measureMinWidth", 1), ("spacingSystem", 0))
PROGRESSION_OPTIONS = (("pageWidth", 900), ("spacingNonLinear", 0.5), ("measureMinWidth", 1), ("spacingSystem", 4))


@dataclass(frozen=True)
class Label:
    """A tone's label beside its notehead: the note's id, its letter, and its degree in words."""

    note: str
    letter: str
    degree: str


@dataclass(frozen=True)
class Picture:
    """A picture to draw: its MEI, its own options for Verovio, labels, and pixels per unit of the viewBox."""

    mei: str
    options: tuple[tuple[str, float], ...] = ()
    labels: tuple[Label, ...] = ()
    scale: float = 0.6
    notes: tuple[str, ...] = ()
    """The ids of what must be in the drawing."""

    @property
    def key(self) -> str:
        """A hash of all that the drawing depends on beside the programs' versions."""
        values = (self.mei, self.options, self.labels, self.scale, self.notes)
        return hashlib.sha256(repr(values).encode()).hexdigest()[:32]


def chord_picture(voicing: Voicing, symbol: str) -> Picture:
    """Return a chord on the grand staff, the symbol (ASCII) under it, each tone labelled with letter and degree."""
    right = [(pitch, f"r{index}") for index, (pitch, _) in enumerate(voicing.right)]
    left = [(pitch, f"l{index}") for index, (pitch, _) in enumerate(voicing.left)]
    degrees = {f"r{index}": degree for index, (_, degree) in enumerate(voicing.right)}
    degrees |= {f"l{index}": degree for index, (_, degree) in enumerate(voicing.left)}
    content = mei.measure(
        [mei.whole_chord(right, "right"), mei.whole_chord(left, "left")],
        mei.symbol_below(symbol_parts(symbol), "left", 2),
    )
    labels = tuple(
        Label(name, tone_text(pitch.tone), degree_label(degree) if (degree := degrees[name]) else phrase("label-bass"))
        for pitch, name in [*right, *left]
    )
    return Picture(mei.document(mei.GRAND_STAFF, [content]), CHORD_OPTIONS, labels, notes=tuple(degrees))


def inversion_picture(voicing: Voicing) -> Picture:
    """Return a chord in close position on the treble staff, small, to stand in a row."""
    notes = [(pitch, f"r{index}") for index, (pitch, _) in enumerate(voicing.right)]
    space = '<space dur="8"/>'
    content = mei.measure([space + mei.whole_chord(notes, "right") + space])
    return Picture(
        mei.document(mei.TREBLE_STAFF, [content]), CHORD_OPTIONS, scale=0.42, notes=tuple(n for _, n in notes)
    )


def progression_picture(chords: Sequence[tuple[Voicing, str]]) -> Picture:
    """Return several chords, a measure each, with their symbols (ASCII) under the bass staff."""
    measures, names = [], []
    for number, (voicing, symbol) in enumerate(chords, 1):
        right = [(pitch, f"r{number}-{index}") for index, (pitch, _) in enumerate(voicing.right)]
        left = [(pitch, f"l{number}-{index}") for index, (pitch, _) in enumerate(voicing.left)]
        names += [name for _, name in [*right, *left]]
        staves = [mei.whole_chord(right, f"right{number}"), mei.whole_chord(left, f"left{number}")]
        below = mei.symbol_below(symbol_parts(symbol), f"left{number}", 2)
        measures.append(mei.measure(staves, below, last=number == len(chords)))
    return Picture(mei.document(mei.GRAND_STAFF, measures), PROGRESSION_OPTIONS, scale=0.54, notes=tuple(names))


def notes_picture(left: Sequence[Pitch], right: Sequence[Pitch]) -> Picture:
    """Return notes of both hands on the grand staff, labelled with their letters."""
    upper = [(pitch, f"r{index}") for index, pitch in enumerate(right)]
    lower = [(pitch, f"l{index}") for index, pitch in enumerate(left)]
    content = mei.measure([mei.whole_chord(upper, "right"), mei.whole_chord(lower, "left")])
    labels = tuple(Label(name, tone_text(pitch.tone), "") for pitch, name in [*upper, *lower])
    return Picture(
        mei.document(mei.GRAND_STAFF, [content]), CHORD_OPTIONS, labels, notes=tuple(n for _, n in [*upper, *lower])
    )
