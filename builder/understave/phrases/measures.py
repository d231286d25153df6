"""Notes in words, for readers who don't see the staff: what hands hold, lengths, rests, in order."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from understave.phrases.catalogue import phrase
from understave.phrases.counting import NAMED_VALUES, measure_words
from understave.phrases.typesetting import TEXT, Setting, degree_label, joined, listed, pitch_words
from understave.theory.counting import Counted
from understave.theory.rhythms import Measure, Rhythm, recip_token
from understave.theory.tones import Degree, Pitch
from understave.theory.voicings import Voicing


def hand_words(hand: Sequence[tuple[Pitch, Degree | None]]) -> str:
    """Return a hand's notes as they are said, low to high: ``C 3, root; E 4, 3rd``."""
    return "; ".join(pitch_words(pitch) + (f", {degree_label(degree)}" if degree else "") for pitch, degree in hand)


def hands_words(voicing: Voicing) -> str:
    """Return what both hands hold, a sentence a hand, as in ``Left hand: C 3, root. Right hand: E 4, 3rd``."""
    hands = (("left", voicing.left), ("right", voicing.right))
    return " ".join(phrase("hand-in-words", hand=phrase(name), notes=hand_words(hand)) for name, hand in hands if hand)


def chords_words(chords: Sequence[tuple[str, Voicing]]) -> str:
    """Return chords that follow each other, a measure each, by their spoken names and what both hands hold."""
    return " ".join(
        phrase("chord-in-words", measure=number, name=name, hands=hands_words(voicing))
        for number, (name, voicing) in enumerate(chords, 1)
    )


def counted_words(rhythm: Rhythm, counted: Counted | None) -> str:
    """Return a rhythm in words: its count, if it is counted, then its notes."""
    notes = rhythm_words(rhythm)
    return f"{phrase('count-words', line=counted.line)}. {notes}" if counted else notes


def length_words(length: Fraction, count: int = 1) -> str:
    """Return what a note of a length in whole notes is called: half note, dotted quarter notes (for more than one)."""
    token = recip_token(length)
    number, dots = int(token.rstrip(".") or 0), token.count(".")
    if number not in NAMED_VALUES:
        return phrase("note-other", length=length)
    name = phrase(f"note-{number}") if count == 1 else phrase(f"many-notes-{number}")
    return phrase(f"note-dots-{dots}", value=name) if dots else name


def rest_words(length: Fraction) -> str:
    """Return what a rest of a length in whole notes is called: half rest."""
    token = recip_token(length)
    number, dots = int(token.rstrip(".") or 0), token.count(".")
    if number not in NAMED_VALUES:
        return phrase("rest-other", length=length)
    name = phrase(f"rest-{number}")
    return phrase(f"note-dots-{dots}", value=name) if dots else name


def together_words(pitches: Sequence[Pitch], length: Fraction, held: bool, setting: Setting = TEXT) -> str:
    """Return notes of one length that start together: ``D 2 and A 2 together, half notes``."""
    notes = listed([setting.pitch_said(pitch) for pitch in pitches])
    together = notes if len(pitches) == 1 else phrase("notes-together", notes=notes)
    words = phrase("notes-of", notes=together, value=length_words(length, len(pitches)))
    return phrase("still-held", what=words) if held else words


def in_turn_words(pitches: Sequence[Pitch], length: Fraction, setting: Setting = TEXT) -> str:
    """Return notes of one length that follow each other: ``D 2, A 2, D 3, eighth notes in turn``."""
    notes = joined(", ", [setting.pitch_said(pitch) for pitch in pitches])
    return phrase("notes-in-turn", notes=notes, value=length_words(length, len(pitches)))


def rhythm_words(rhythm: Rhythm) -> str:
    """Return a rhythm in words, measure by measure."""
    many = len(rhythm.measures) > 1
    return " ".join(_measure_words(measure, many) for measure in rhythm.measures)


def _measure_words(measure: Measure, numbered: bool) -> str:
    events = [
        rest_words(event.length)
        if event.rests
        else phrase("still-held", what=length_words(event.length))
        if event.held
        else length_words(event.length)
        for event in measure.events
    ]
    words = ", ".join(events)
    if not numbered:
        return phrase("measure-in-words", notes=words)
    where = measure_words(measure.number)
    return phrase("measure-in-words-numbered", where=where[:1].upper() + where[1:], notes=words)
