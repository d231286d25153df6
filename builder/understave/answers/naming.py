"""Naming: notes by hand → the names they can have, and what each hand alone would suggest."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from understave.entries.glossary import Glossary
from understave.entries.lookup import parts_of, symbol_of
from understave.phrases.catalogue import phrase
from understave.phrases.names import chord_name
from understave.phrases.slashes import bass_sentence, inversion_sentence
from understave.phrases.typesetting import TEXT, Setting, degree_label, listed, pitch_text, symbol_text
from understave.theory.naming import MOST_NOTES, Naming, NoNotesError, name_notes
from understave.theory.tones import Degree, Pitch, SpellingError, parse_pitch

Json = dict[str, Any]


class NotesError(ValueError):
    """A text holds no notes to name; the message is one line."""


def parse_hands(text: str) -> tuple[tuple[Pitch, ...], tuple[Pitch, ...]]:
    """Return the left and the right hand of ``F3 A3 | C4``; without a bar all notes stand in the right.

    Raises NotesError for what is no note, for two bars, and for no notes at all.
    """
    hands = text.split("|")
    if len(hands) > 2:
        raise NotesError(phrase("notes-two-bars", text=text[:60]))
    try:
        read = [tuple(parse_pitch(word) for word in hand.split()) for hand in hands]
    except SpellingError as error:
        raise NotesError(str(error)) from None
    left, right = read if len(read) == 2 else ((), read[0])
    if not left and not right:
        raise NotesError(phrase("notes-none"))
    if len(left) + len(right) > MOST_NOTES:
        raise NotesError(phrase("notes-too-many", count=len(left) + len(right), most=MOST_NOTES))
    return left, right


def name(left: Sequence[Pitch], right: Sequence[Pitch], glossary: Glossary) -> Json:
    """Return the value of ``understave name NOTES --json``."""
    return {
        "namings": [naming_value(naming, glossary) for naming in name_notes(left, right)],
        "left_alone": _alone(left, (), glossary),
        "right_alone": _alone((), right, glossary),
    }


def _alone(left: Sequence[Pitch], right: Sequence[Pitch], glossary: Glossary) -> list[Json]:
    try:
        return [naming_value(naming, glossary) for naming in name_notes(left, right)]
    except NoNotesError:
        return []


def naming_value(naming: Naming, glossary: Glossary) -> Json:
    """Return a name for JSON: notes and symbols in ASCII, the reason in words."""
    chord = naming.chord
    single = naming.why == "single-note"
    return {
        "symbol": _printed(naming, glossary),
        "root": str(chord.root),
        "bass": str(chord.bass),
        "chord": None if single else parts_of(naming.read_as or chord, glossary).own,
        "tones": [str(tone) for tone in chord.tones],
        "inversion": chord.inversion,
        "missing": [str(degree) for degree in naming.missing],
        "extra": [{"pitch": str(extra.pitch), "degree": str(extra.degree), "as": extra.role} for extra in naming.extra],
        "left": _hand(naming.left),
        "right": _hand(naming.right),
        "why": naming_why(naming, glossary),
    }


def _hand(hand: Sequence[tuple[Pitch, Degree]]) -> list[list[str]]:
    return [[str(pitch), str(degree)] for pitch, degree in hand]


def naming_why(naming: Naming, glossary: Glossary, setting: Setting = TEXT) -> str:
    """Return the reason of a name as a sentence."""
    chord, read_as = naming.chord, naming.read_as or naming.chord
    bass_degree = chord.root.degree_of(chord.bass)
    return phrase(
        f"naming-{naming.why}",
        symbol=setting.symbol(symbol_of(read_as, glossary)),
        name=chord_name(read_as, glossary, setting),
        root=setting.tone(chord.root),
        bass=setting.tone(chord.bass),
        bass_degree=degree_label(bass_degree),
        missing=listed([degree_label(degree) for degree in naming.missing]),
        tones=listed([setting.tone(tone) for tone in chord.tones]),
    )


def name_text(left: Sequence[Pitch], right: Sequence[Pitch], glossary: Glossary) -> str:
    """Return the names as lines that a teacher could read out."""
    best, *others = name_notes(left, right)
    lines = [f"{symbol_text(_printed(best, glossary))}: {naming_why(best, glossary)}"]
    for key, hand in (("left", best.left), ("right", best.right)):
        if hand:
            notes = ", ".join(_with_degree(pitch, degree) for pitch, degree in hand)
            lines.append("  " + phrase("picture-hand", hand=phrase(key), notes=notes))
    lines += [f"  {line}" for line in _remarks(best)]
    if others:
        lines.append(
            "  " + phrase("naming-others", symbols=", ".join(symbol_text(_printed(n, glossary)) for n in others))
        )
    for key, hands in (("naming-left-alone", (left, ())), ("naming-right-alone", ((), right))):
        if left and right:
            alone = name_notes(*hands)[0]
            lines.append(
                "  " + phrase(key, symbol=symbol_text(_printed(alone, glossary)), why=naming_why(alone, glossary))
            )
    return "\n".join(lines)


def _printed(naming: Naming, glossary: Glossary) -> str:
    """Return the symbol in ASCII; a single note has only its own name."""
    if naming.why == "single-note":
        return str(naming.chord.root)
    return symbol_of(naming.read_as or naming.chord, glossary)


def _remarks(naming: Naming) -> Iterator[str]:
    chord = naming.chord
    if naming.left and (only_right := _told_by_right(naming)):
        yield phrase("naming-only-right", notes=listed(only_right))
    if chord.inversion:
        yield inversion_sentence(chord)
    elif chord.bass != chord.root:
        yield bass_sentence(chord)
    if naming.missing and naming.why not in ("missing-fifth", "missing-third", "missing-root", "single-note"):
        yield phrase("naming-missing", degrees=listed([degree_label(degree) for degree in naming.missing]))
    unexplained = [extra for extra in naming.extra if extra.role == "unexplained"]
    if unexplained:
        yield phrase("naming-extra", notes=listed([_with_degree(extra.pitch, extra.degree) for extra in unexplained]))


def _told_by_right(naming: Naming) -> list[str]:
    """Return the right hand's root and third (or what suspends it), where the left hand lacks them."""
    left = {degree for _, degree in naming.left}
    telling = [degree for degree in naming.chord.degrees if degree.number < 5 and degree not in left]
    lowest = {degree: pitch for pitch, degree in reversed(naming.right)}
    return [_with_degree(lowest[degree], degree) for degree in telling if degree in lowest]


def _with_degree(pitch: Pitch, degree: Degree) -> str:
    return f"{pitch_text(pitch)} ({degree_label(degree)})"
