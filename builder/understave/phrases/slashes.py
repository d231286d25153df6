"""Sentences about the note after a slash."""

from __future__ import annotations

from understave.phrases.catalogue import phrase
from understave.phrases.typesetting import degree_label, interval_words, symbol_text, tone_text
from understave.theory.chords import Chord
from understave.theory.house_style import print_symbol
from understave.theory.slashes import figures, foreign_degree, heard_as


def bass_sentence(chord: Chord) -> str:
    """Return what the bass of a slash chord does: which inversion it makes, or what it adds."""
    bass = tone_text(chord.bass)
    if chord.bass_respelled:
        return phrase("bass-respelled", bass=bass, respelled=tone_text(chord.bass_respelled))
    foreign = foreign_degree(chord)
    if foreign is None:
        degree = chord.degrees[chord.tones.index(chord.bass)]
        if chord.inversion is None:
            return phrase("bass-chord-tone", bass=bass, degree=degree_label(degree))
        figured = " ".join(figures(chord))
        sentence = phrase(f"bass-inversion-{chord.inversion}", bass=bass, degree=degree_label(degree))
        return f"{sentence} {phrase('bass-figured', figures=figured)}" if figured else sentence
    sentence = phrase(
        f"bass-adds-{foreign}" if str(foreign) in ADDING else "bass-foreign",
        bass=bass,
        interval=interval_words(foreign),
    )
    whole = heard_as(chord)
    return f"{sentence} {phrase('bass-heard-as', symbol=symbol_text(print_symbol(whole)))}" if whole else sentence


ADDING = ("b7", "7", "2", "6")
"""The degrees that a bass is said to add to the chord above it."""
