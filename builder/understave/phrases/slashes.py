"""Sentences about the note after a slash."""

from __future__ import annotations

from understave.phrases.catalogue import phrase
from understave.phrases.typesetting import degree_label, interval_words, symbol_text, tone_text
from understave.theory.chords import Chord
from understave.theory.house_style import print_symbol
from understave.theory.slashes import added_by_bass, completed, figures, foreign_degree, heard_as

INVERSIONS = ("root-position", "first-inversion", "second-inversion", "third-inversion")
"""The ids of the positions' names, by the number of the inversion."""


def bass_sentence(chord: Chord) -> str:
    """Return what the bass of a slash chord does: which inversion it makes, or what it adds and how that sounds."""
    return " ".join(filter(None, (_about_bass(chord), _figured(chord), _about_whole(chord))))


def inversion_sentence(chord: Chord) -> str:
    """Return which inversion a chord stands in, how figured bass writes it, and that the lowest note decides."""
    named = phrase("naming-inverted", inversion=phrase(INVERSIONS[chord.inversion or 0]))
    return " ".join(filter(None, (named, _figured(chord), phrase("lowest-decides"))))


def _about_bass(chord: Chord) -> str:
    bass = tone_text(chord.bass)
    if chord.bass_respelled:
        own = Chord(chord.root, chord.degrees, chord.bass_respelled)
        respelled = phrase("bass-respelled", bass=bass, respelled=tone_text(own.bass))
        return f"{respelled} {bass_sentence(own)}"
    foreign = foreign_degree(chord)
    if foreign is None:
        degree = degree_label(chord.degrees[chord.tones.index(chord.bass)])
        if chord.inversion is None:
            return phrase("bass-chord-tone", bass=bass, degree=degree)
        return phrase(f"bass-inversion-{chord.inversion}", bass=bass, degree=degree)
    if added := added_by_bass(chord):
        return phrase(f"bass-adds-{added}", bass=bass)
    return phrase("bass-foreign", bass=bass, interval=interval_words(foreign))


def _figured(chord: Chord) -> str:
    figured = " ".join(figures(chord))
    return phrase("bass-figured", figures=figured) if figured else ""


def _about_whole(chord: Chord) -> str:
    if whole := completed(chord):
        values = {
            "symbol": symbol_text(print_symbol(Chord(whole.root, whole.degrees))),
            "inversion": phrase(INVERSIONS[3]),
        }
        return " ".join(filter(None, (phrase("bass-completes", **values), _figured(whole))))
    heard = heard_as(chord)
    return phrase("bass-heard-as", symbol=symbol_text(print_symbol(heard))) if heard else ""
