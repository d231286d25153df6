"""Names as they are said: A flat minor eleventh, C major over E."""

from __future__ import annotations

from understave.entries.glossary import Glossary
from understave.entries.lookup import parts_of
from understave.phrases.catalogue import phrase
from understave.phrases.typesetting import TEXT, Setting, degree_words, listed
from understave.theory.chords import Chord
from understave.theory.house_style import print_symbol
from understave.theory.tones import Tone


def said_chord(root: Tone, name: str, bass: Tone, setting: Setting = TEXT) -> str:
    """Return how a chord is said whose type has a ``name``."""
    said = phrase("said-chord", root=setting.said(root), name=name)
    return said if bass == root else phrase("said-over", name=said, bass=setting.said(bass))


def chord_name(chord: Chord, glossary: Glossary, setting: Setting = TEXT) -> str:
    """Return how a chord is said; one without an entry of its own is named by its parts."""
    parts = parts_of(chord, glossary)
    base = parts.own or parts.base
    if base is None:
        return setting.symbol(print_symbol(chord))
    name = glossary.chords[base].name
    if parts.added:
        added = [glossary.chords[part].name.removeprefix("minor ") for part in parts.added]
        name = phrase("said-with", name=name, added=listed(added))
    covered = set(glossary.chords[base].degrees).union(*(glossary.chords[part].degrees for part in parts.added))
    if more := [degree for degree in chord.degrees if degree not in covered]:
        name = phrase("said-with", name=name, added=listed([degree_words(degree) for degree in more]))
    return said_chord(chord.root, name, chord.bass, setting)
