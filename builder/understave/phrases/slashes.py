"""Sentences about the note after a slash."""

from __future__ import annotations

from understave.phrases.catalogue import phrase
from understave.phrases.typesetting import TEXT, Setting, degree_label, interval_words, joined
from understave.theory.chords import Chord
from understave.theory.house_style import print_symbol
from understave.theory.slashes import added_by_bass, completed, figures, foreign_degree, heard_as

INVERSIONS = ("root-position", "first-inversion", "second-inversion", "third-inversion")
"""The ids of the positions' names, by the number of the inversion."""


def bass_sentence(chord: Chord, setting: Setting = TEXT) -> str:
    """Return what the bass of a slash chord does: which inversion it makes, or what it adds and how that sounds."""
    sentences = (_about_bass(chord, setting), _figured(chord), _about_whole(chord, setting))
    return joined(" ", [sentence for sentence in sentences if sentence])


def inversion_sentence(chord: Chord) -> str:
    """Return which inversion a chord stands in, how figured bass writes it, and that the lowest note decides."""
    named = phrase("naming-inverted", inversion=phrase(INVERSIONS[chord.inversion or 0]))
    return " ".join(filter(None, (named, _figured(chord), phrase("lowest-decides"))))


def _about_bass(chord: Chord, setting: Setting) -> str:
    bass = setting.tone(chord.bass)
    if chord.bass_respelled:
        own = Chord(chord.root, chord.degrees, chord.bass_respelled)
        respelled = phrase("bass-respelled", bass=bass, respelled=setting.tone(own.bass))
        return joined(" ", [respelled, bass_sentence(own, setting)])
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


def _about_whole(chord: Chord, setting: Setting) -> str:
    if whole := completed(chord):
        values = {
            "symbol": setting.symbol(print_symbol(Chord(whole.root, whole.degrees))),
            "inversion": phrase(INVERSIONS[3]),
        }
        completes, figured = phrase("bass-completes", **values), _figured(whole)
        return joined(" ", [completes, figured] if figured else [completes])
    heard = heard_as(chord)
    return phrase("bass-heard-as", symbol=setting.symbol(print_symbol(heard))) if heard else ""
