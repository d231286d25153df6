"""Checks what suffixes mean against the qualities of PyPI's pychord, wherever our reader reads them."""

from __future__ import annotations

import pytest
from pychord import Chord as TheirChord
from pychord.constants.qualities import DEFAULT_QUALITIES

from understave.theory.symbols import SymbolError, read_symbol

ROOTS = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"]

EXCEPTIONS = {
    "4": "an added eleventh in pychord; charts that write 4 mostly suspend, so sus4 comes first and add4 second here",
    "7b9b13": "pychord stacks a natural 11 under the b13; an alteration adds only itself here",
}
"""The suffixes that our first reading takes otherwise, each with the reason."""

UNREAD: dict[str, str] = {}
"""The suffixes that our reader refuses, each with the reason."""

SUFFIXES = [suffix for suffix, _ in DEFAULT_QUALITIES]


def theirs(root: str, suffix: str) -> set[int]:
    # pychord.Chord.components, pychord.constants.qualities
    return {key % 12 for key in TheirChord(root + suffix).components(visible=False)}


def ours(root: str, suffix: str) -> list[set[int]]:
    readings = read_symbol(root + suffix)
    return [{tone.pitch_class for tone in reading.chord.tones} for reading in readings if reading.chord]


def test_what_is_not_read_is_listed() -> None:
    unread = set()
    for suffix in SUFFIXES:
        try:
            read_symbol("C" + suffix)
        except SymbolError:
            unread.add(suffix)
    assert unread == set(UNREAD)


@pytest.mark.parametrize("suffix", [suffix for suffix in SUFFIXES if suffix not in EXCEPTIONS and suffix not in UNREAD])
def test_a_suffix_sounds_alike_over_every_root(suffix: str) -> None:
    # pychord.constants.qualities
    for root in ROOTS:
        assert ours(root, suffix)[0] == theirs(root, suffix), root + suffix


@pytest.mark.parametrize("suffix", EXCEPTIONS)
def test_an_exception_is_one(suffix: str) -> None:
    # pychord.constants.qualities: an exception that has gone must leave the table
    for root in ROOTS:
        assert ours(root, suffix)[0] != theirs(root, suffix), root + suffix


def test_a_second_reading_of_four_agrees() -> None:
    # pychord.constants.qualities
    assert theirs("C", "4") in ours("C", "4")
