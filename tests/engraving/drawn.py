"""The drawings that the tests of engraving look at, and how they are read."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import dataclass

import pytest

from understave.engraving.finishing import Drawing
from understave.engraving.pictures import Picture, chord_picture, inversion_picture, notes_picture, progression_picture
from understave.engraving.studio import Studio
from understave.entries.glossary import Glossary
from understave.entries.lookup import symbol_of
from understave.entries.values import SlashChord, Term
from understave.theory.chords import Chord
from understave.theory.symbols import read_symbol
from understave.theory.tones import Pitch, Tone, parse_tone
from understave.theory.voicings import close_position, voice

SHOWN_ROOTS = tuple(map(parse_tone, ("C", "Ab", "F#", "Cb")))
"""A plain root, a flat one, a sharp one, and one whose chords need double and triple flats."""

MOVED = re.compile(r"translate\((-?[\d.]+),? *(-?[\d.]+)\)")


@dataclass(frozen=True)
class Drawn:
    """A picture with its drawing, and what each note in it must be: its pitch, by the note's id."""

    name: str
    picture: Picture
    pitches: dict[str, Pitch]
    symbol: str
    drawing: Drawing

    def tree(self) -> ET.Element:
        """Return the finished drawing as XML."""
        return ET.fromstring(f"<svg>{self.drawing.inner}</svg>")


def groups(tree: ET.Element, name: str) -> Iterator[ET.Element]:
    """Yield the groups of a class, in the order of the drawing."""
    return (group for group in tree.iter("g") if name in (group.get("class") or "").split())


def place_of(element: ET.Element) -> tuple[float, float]:
    """Return where an element stands, in the drawing's units."""
    found = MOVED.match(element.get("transform", ""))
    assert found, element.attrib
    return float(found[1]), float(found[2])


def glyph(element: ET.Element) -> str:
    """Return the SMuFL code point of a glyph that a group shows: E262."""
    use = next(element.iter("use"))
    return use.get("href", "").removeprefix("#").lstrip("g")


def _hands(left: tuple[Pitch, ...], right: tuple[Pitch, ...], number: str = "") -> dict[str, Pitch]:
    return {f"l{number}{index}": pitch for index, pitch in enumerate(left)} | {
        f"r{number}{index}": pitch for index, pitch in enumerate(right)
    }


def _of_chord(chord: Chord, number: str = "") -> dict[str, Pitch]:
    voicing = voice(chord)
    return _hands(tuple(p for p, _ in voicing.left), tuple(p for p, _ in voicing.right), number)


Asked = tuple[str, Picture, dict[str, Pitch], str]


def _asked_of_root(glossary: Glossary, root: Tone) -> Iterator[Asked]:
    for name, entry in glossary.chords.items():
        chord = Chord(root, entry.degrees)
        symbol = f"{root}{entry.written[0]}"
        yield f"{symbol} {name}", chord_picture(voice(chord), symbol), _of_chord(chord), symbol
        for inversion in range(len(entry.degrees) if len(entry.degrees) < 5 else 0):
            close = close_position(chord, inversion)
            pitches = tuple(pitch for pitch, _ in close.right)
            yield f"{symbol}, position {inversion}", inversion_picture(close), _hands((), pitches), ""
    for entry in glossary.of(SlashChord).values():
        chord = Chord(root, glossary.chords[entry.chord].degrees, root.at(entry.bass))
        symbol = symbol_of(chord, glossary)
        yield symbol, chord_picture(voice(chord), symbol), _of_chord(chord), symbol


def _asked_of_examples(glossary: Glossary) -> Iterator[Asked]:
    for name, term in glossary.of(Term).items():
        if term.example:
            left, right = term.example.left, term.example.right
            yield name, notes_picture(left, right), _hands(left, right), ""
    for name, entry in glossary.of(SlashChord).items():
        chords = [chord for text in entry.example.split() if (chord := read_symbol(text)[0].chord)]
        pitches = {key: p for n, chord in enumerate(chords, 1) for key, p in _of_chord(chord, f"{n}-").items()}
        symbols = [symbol_of(chord, glossary) for chord in chords]
        drawn = progression_picture(list(zip(map(voice, chords), symbols, strict=True)))
        yield f"the example of {name}", drawn, pitches, " ".join(symbols)


@pytest.fixture(scope="session")
def drawn(glossary: Glossary) -> list[Drawn]:
    """Return the pictures of all entries under the shown roots, and of all examples, drawn in workers."""
    asked = [one for root in SHOWN_ROOTS for one in _asked_of_root(glossary, root)]
    asked += _asked_of_examples(glossary)
    studio = Studio(None)
    studio.draw(picture for _, picture, _, _ in asked)
    return [Drawn(name, picture, pitches, symbol, studio[picture]) for name, picture, pitches, symbol in asked]
