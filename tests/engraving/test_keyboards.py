"""Checks the keyboard's drawing by its geometry: each held key is marked, with its hand above and its name below."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass
from pathlib import Path

import pytest

from understave.engraving.keyboard import HATCH, keyboard
from understave.entries.kept import load_glossary
from understave.phrases.typesetting import tone_text
from understave.theory.chords import Chord
from understave.theory.tones import Pitch, parse_pitch, parse_tone
from understave.theory.voicings import voice

BLACK_PATTERN = {1, 3, 6, 8, 10}
"""The black keys of an octave, in semitones above C."""

HANDS = [
    ("C3", "E4 G4 C5"),
    ("Ab2 Gb3", "C4 Eb4 Bb4 Db5 F5"),
    ("Cb3", "Ebb4 Gbb4 Bbbb4"),
    ("B#2", "D##4 F##4"),
    ("E3", ""),
    ("", "F#4 A#4 C#5"),
]


@dataclass(frozen=True)
class Key:
    """A key of the drawing: its left and right edge, where it ends, and whether it is black."""

    left: float
    right: float
    bottom: float
    black: bool

    @property
    def middle(self) -> float:
        return (self.left + self.right) / 2


def elements(tree: ET.Element, name: str, kind: str = "") -> list[ET.Element]:
    """Return the elements of a name and a class, whether or not the drawing states its namespace."""
    named = [element for element in tree.iter() if element.tag.rpartition("}")[2] == name]
    return [element for element in named if not kind or kind in (element.get("class") or "").split()]


def keys_of(tree: ET.Element) -> list[Key]:
    """Return the keys of a drawing from left to right."""
    found = []
    for name, black in (("white-keys", False), ("black-keys", True)):
        [path] = elements(tree, "path", name)
        for left, top, height, width in re.findall(r"M(-?[\d.]+) ([\d.]+)v([\d.]+)h([\d.]+)", path.get("d", "")):
            found.append(Key(float(left), float(left) + float(width), float(top) + float(height), black))
    return sorted(found, key=lambda key: key.middle)


def key_at(keys: list[Key], mark: ET.Element) -> int:
    """Return the place of the key that a mark lies on; a black key covers the whites beside it."""
    across, down = float(mark.get("cx", "nan")), float(mark.get("cy", "nan"))
    on = [n for n, key in enumerate(keys) if key.left < across < key.right and down < key.bottom]
    return next((n for n in on if keys[n].black), on[0])


def drawing(left: tuple[Pitch, ...], right: tuple[Pitch, ...]) -> ET.Element:
    return ET.fromstring(keyboard(left, right, "k1", "A chord & its keys", "Left hand: …"))


def pitches(text: str) -> tuple[Pitch, ...]:
    return tuple(map(parse_pitch, text.split()))


def check(left: tuple[Pitch, ...], right: tuple[Pitch, ...]) -> None:
    tree = drawing(left, right)
    keys = keys_of(tree)
    marks = {hand: elements(tree, "circle", f"held-{hand}") for hand in "lr"}
    held = [(key_at(keys, mark), mark) for hand in "lr" for mark in marks[hand]]
    wanted = [*left, *right]
    assert (len(marks["l"]), len(marks["r"])) == (len(left), len(right))
    # the drawing has no numbers on it: the first held key anchors the others, and the pattern of black keys the octave
    first = wanted[0].key - held[0][0]
    assert [first + place for place, _ in held] == [pitch.key for pitch in wanted]
    assert [key.black for key in keys] == [(first + n) % 12 in BLACK_PATTERN for n in range(len(keys))]
    letters = elements(tree, "text", "hand")
    names = elements(tree, "text", "key-name")
    assert [text.text for text in letters] == ["L"] * len(left) + ["R"] * len(right)
    assert [text.text for text in names] == [tone_text(pitch.tone) for pitch in wanted]
    bottom = max(key.bottom for key in keys)
    for (place, mark), letter, name in zip(held, letters, names, strict=True):
        key = keys[place]
        for element, attribute in ((mark, "cx"), (letter, "x"), (name, "x")):
            assert key.left < float(element.get(attribute, "nan")) < key.right
        assert float(letter.get("y", "nan")) < float(mark.get("cy", "nan")) < bottom < float(name.get("y", "nan"))


@pytest.mark.parametrize(("left", "right"), HANDS)
def test_held_keys_are_marked(left: str, right: str) -> None:
    check(pitches(left), pitches(right))


def test_held_keys_are_marked_for_every_chord() -> None:
    glossary = load_glossary(Path(__file__).parents[2] / "content")
    for root in map(parse_tone, ("C", "Ab", "F#", "Cb", "B#")):
        for entry in glossary.chords.values():
            voicing = voice(Chord(root, entry.degrees))
            check(tuple(p for p, _ in voicing.left), tuple(p for p, _ in voicing.right))


def test_names_beside_each_other_do_not_share_a_row() -> None:
    # B♭, B and C lie on keys whose middles are closer than a name is wide
    tree = drawing((), pitches("Bb3 B3 C4"))
    names = elements(tree, "text", "key-name")
    places = [(float(text.get("x", "nan")), float(text.get("y", "nan"))) for text in names]
    (flat_x, flat_y), (b_x, b_y), (c_x, c_y) = places
    assert flat_x < b_x < c_x
    assert flat_y != b_y == c_y


def test_hands_differ_by_more_than_color() -> None:
    tree = drawing(pitches("C3"), pitches("E4"))
    [left], [right] = elements(tree, "circle", "held-l"), elements(tree, "circle", "held-r")
    assert left is not right
    assert 'id="hatch"' in HATCH
    assert not re.search(r"(fill|stroke)=\"(#|rgb|black|red|blue)", ET.tostring(tree, "unicode"))


def test_keyboard_says_what_it_shows() -> None:
    tree = drawing(pitches("C3"), pitches("E4"))
    said = {element.get("id"): element.text for name in ("title", "desc") for element in elements(tree, name)}
    assert said[tree.get("aria-labelledby")] == "A chord & its keys"
    assert said[tree.get("aria-describedby")] == "Left hand: …"
    assert tree.get("role") == "img"
