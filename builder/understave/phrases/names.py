"""Names as they are said: A flat minor eleventh, C major over E."""

from __future__ import annotations

from understave.entries.glossary import Glossary
from understave.entries.lookup import parts_of
from understave.phrases.typesetting import degree_words, listed, symbol_text, tone_words
from understave.theory.chords import Chord
from understave.theory.house_style import print_symbol


def chord_name(chord: Chord, glossary: Glossary) -> str:
    """Return how a chord is said; one without an entry of its own is named by its parts."""
    parts = parts_of(chord, glossary)
    over = f" over {tone_words(chord.bass)}" if chord.bass != chord.root else ""
    base = parts.own or parts.base
    if base is None:
        return symbol_text(print_symbol(chord))
    name = f"{tone_words(chord.root)} {glossary.chords[base].name}"
    if parts.added:
        added = [glossary.chords[part].name.removeprefix("minor ") for part in parts.added]
        name += f" with {listed(added)}"
    covered = set(glossary.chords[base].degrees).union(*(glossary.chords[part].degrees for part in parts.added))
    if more := [degree for degree in chord.degrees if degree not in covered]:
        name += f" with {listed([degree_words(degree) for degree in more])}"
    return name + over
