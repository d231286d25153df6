"""Fingerings as they are printed: right 1-3-5, left 5-3-1."""

from __future__ import annotations

from markupsafe import Markup

from understave.phrases.catalogue import phrase
from understave.theory.chords import Chord
from understave.theory.fingerings import common_fingering


def fingers_html(chord: Chord) -> str:
    """Return ``right 1-3-5, left 5-3-1`` as HTML whose lines don't break within a hand; nothing where none is common.

    They are the fingers of one hand that plays the chord in close position, from the lowest note to the highest.
    """
    fingering = common_fingering(chord.degrees, chord.inversion)
    if fingering is None:
        return ""
    right, left = (
        Markup(f'<span class="hand">{"-".join(map(str, hand))}</span>') for hand in (fingering.right, fingering.left)
    )
    return phrase("fingers", right=right, left=left)
