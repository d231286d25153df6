"""Tones under the names of other traditions: B♭ is si♭ (said si bemol) in Portuguese, and B in German.

The names come from the tables that read symbols in those languages (`theory/grammar.py`): of several names that a table
has for a tone its last is printed (dó, not do), of several words for a sign its first (bémol, not bemol).
"""

from __future__ import annotations

from collections.abc import Iterator

from understave.phrases.typesetting import accidental, tone_text, tone_words
from understave.theory.grammar import LANGUAGES
from understave.theory.tones import LETTERS, Tone

LETTERS_OF_ENGLISH = "en"
"""The naming that pages are written with."""

NAMINGS = (LETTERS_OF_ENGLISH, "pt", "es", "fr", "it", "de")
"""The languages whose note names a reader can choose, in the order in which they are offered."""

ALTERATIONS = range(-3, 4)
"""The alterations that have names, in semitones: triple flats stand in diminished sevenths."""

_TIMES = {
    "pt": ("", "dobrado ", "triplo "),
    "es": ("", "doble ", "triple "),
    "fr": ("", "double ", "triple "),
    "it": ("", "doppio ", "triplo "),
}
"""What is said before a sign that stands once, twice or three times (common practice)."""


def note_name(tone: Tone, language: str) -> str:
    """Return a tone as it is written in text: si♭; H in German. Raises KeyError for a language of no naming."""
    if language == LETTERS_OF_ENGLISH:
        return tone_text(tone)
    if language not in _TIMES:
        return _whole_name(tone, language)
    return _whole_name(Tone(tone.letter), language) + accidental(tone.alteration)


def note_said(tone: Tone, language: str) -> str:
    """Return a tone as it is said: si bemol; H in German. Raises KeyError for a language of no naming."""
    if language == LETTERS_OF_ENGLISH:
        return tone_words(tone)
    if language not in _TIMES or not tone.alteration:
        return note_name(tone, language)
    size = abs(tone.alteration)
    sign = next(word for word, step in LANGUAGES[language].signs.items() if step * size == tone.alteration)
    return f"{_whole_name(Tone(tone.letter), language)} {_TIMES[language][size - 1]}{sign}"


def _whole_name(tone: Tone, language: str) -> str:
    """Return a name that is one word. In German is and es go on beyond the second (Eseses; from memory)."""
    at = (tone.letter, max(-2, min(2, tone.alteration)))
    name = [name for name, known in LANGUAGES[language].notes.items() if known == at][-1]
    name += ("is" if tone.alteration > 0 else "es") * max(0, abs(tone.alteration) - 2)
    return name if language in _TIMES else name.capitalize()


def named_forms() -> Iterator[tuple[str, Tone, bool]]:
    """Yield every form of a tone that stands on pages, written and said: the form, the tone, whether it is said."""
    for letter in LETTERS:
        for alteration in ALTERATIONS:
            tone = Tone(letter, alteration)
            yield tone_text(tone), tone, False
            if alteration:
                yield tone_words(tone), tone, True


def scale_name(language: str) -> str:
    """Return the seven names that a naming is known by: do ré mi fa sol la si."""
    return " ".join(note_name(Tone(letter), language) for letter in "CDEFGAB")
