"""Checks the names of tones in other traditions: against the reader of symbols, and against common practice."""

from __future__ import annotations

import pytest

from understave.phrases.note_names import ALTERATIONS, NAMINGS, named_forms, note_name, note_said, scale_name
from understave.phrases.typesetting import tone_text, tone_words
from understave.theory.grammar import LANGUAGES
from understave.theory.symbols import read_symbol
from understave.theory.tones import LETTERS, Tone, parse_tone

OTHERS = [language for language in NAMINGS if language != "en"]


def test_every_language_that_is_read_can_be_shown() -> None:
    assert set(OTHERS) == set(LANGUAGES)


# Common practice.
SCALES = {
    "en": "C D E F G A B",
    "pt": "dó ré mi fá sol lá si",
    "es": "do re mi fa sol la si",
    "fr": "do ré mi fa sol la si",
    "it": "do re mi fa sol la si",
    "de": "C D E F G A H",
}


@pytest.mark.parametrize("language", NAMINGS)
def test_scale_is_common_practice(language: str) -> None:
    assert scale_name(language) == SCALES[language]


# Common practice; the double signs' words are from memory.
NAMES = [
    ("Bb", "pt", "si♭", "si bemol"),
    ("F#", "pt", "fá♯", "fá sustenido"),
    ("C#", "es", "do♯", "do sostenido"),
    ("Eb", "fr", "mi♭", "mi bémol"),
    ("F#", "fr", "fa♯", "fa dièse"),
    ("Ab", "it", "la♭", "la bemolle"),
    ("G#", "it", "sol♯", "sol diesis"),
    ("Bbb", "pt", "si𝄫", "si dobrado bemol"),
    ("F##", "es", "fa𝄪", "fa doble sostenido"),
    ("Ebb", "fr", "mi𝄫", "mi double bémol"),
    ("C##", "it", "do𝄪", "do doppio diesis"),
    ("B", "de", "H", "H"),
    ("Bb", "de", "B", "B"),
    ("Bbb", "de", "Heses", "Heses"),
    ("Ab", "de", "As", "As"),
    ("Eb", "de", "Es", "Es"),
    ("Abb", "de", "Asas", "Asas"),
    ("Ebb", "de", "Eses", "Eses"),
    ("F#", "de", "Fis", "Fis"),
    ("F##", "de", "Fisis", "Fisis"),
    ("Db", "de", "Des", "Des"),
    ("C", "en", "C", "C"),
    ("Db", "en", "D♭", "D flat"),
]


@pytest.mark.parametrize(("tone", "language", "written", "said"), NAMES)
def test_names_are_common_practice(tone: str, language: str, written: str, said: str) -> None:
    assert note_name(parse_tone(tone), language) == written
    assert note_said(parse_tone(tone), language) == said


@pytest.mark.parametrize("language", OTHERS)
def test_names_read_back_as_the_same_tone(language: str) -> None:
    """Words for double signs aren't read; written ones are."""
    for letter in LETTERS:
        for alteration in range(-2, 3):
            tone = Tone(letter, alteration)
            forms = [note_name(tone, language)] + [note_said(tone, language)] * (abs(alteration) < 2)
            for form in forms:
                [reading, *_] = read_symbol(form, language)
                assert reading.chord is not None
                assert reading.chord.root == tone, form


def test_every_form_on_pages_has_a_place_of_its_own() -> None:
    forms = [form for form, _, _ in named_forms()]
    assert len(forms) == len(set(forms))
    for letter in LETTERS:
        for alteration in ALTERATIONS:
            assert {tone_text(Tone(letter, alteration)), tone_words(Tone(letter, alteration))} <= set(forms)


@pytest.mark.parametrize("language", OTHERS)
def test_names_of_tones_differ_where_tones_do(language: str) -> None:
    tones = [Tone(letter, alteration) for letter in LETTERS for alteration in ALTERATIONS]
    assert len({note_name(tone, language) for tone in tones}) == len(tones)
    assert len({note_said(tone, language) for tone in tones}) == len(tones)


def test_a_language_without_names_is_an_error() -> None:
    with pytest.raises(KeyError):
        note_name(Tone("C"), "xx")
