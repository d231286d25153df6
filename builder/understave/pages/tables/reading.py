"""The grammar of chord symbols and the spelling of tones, as the browser's reader walks them."""

from __future__ import annotations

from typing import Any

from understave.phrases import typesetting
from understave.phrases.typesetting import NAMED_ALTERATIONS, accidental, accidental_words, degree_label, degree_words
from understave.theory import grammar
from understave.theory.actions import ACTIONS, GIVES_WAY, IN_TWO_SIZES
from understave.theory.chords import INVERSION_NUMBERS
from understave.theory.grammar import Language, Token
from understave.theory.sortings import ALTERATIONS, LEFT_OUT, PRINTED, PRINTED_WHOLE, Stages
from understave.theory.tones import DEGREES, LETTERS, NATURAL_KEYS, parse_degree

Json = dict[str, Any]


def reading_table() -> Json:
    """Return everything that reads, spells and prints a symbol."""
    return {
        "characters": grammar.CHARACTERS,
        "letterTokens": _tokens(grammar.LETTER_TOKENS),
        "wordTokens": _tokens(grammar.WORD_TOKENS),
        "noChord": sorted(grammar.NO_CHORD),
        "bassMarks": grammar.BASS_MARKS,
        "tailedMarks": list(grammar.TAILED_MARKS),
        "bassTails": grammar.BASS_TAILS,
        "rootSigns": grammar.ROOT_SIGNS,
        "longestForm": grammar.LONGEST_FORM,
        "languages": {name: _language(language) for name, language in grammar.LANGUAGES.items()},
        "states": grammar.STATES,
        "lastStates": sorted(grammar.LAST_STATES),
        "qualities": grammar.QUALITIES,
        "ambiguous": grammar.AMBIGUOUS,
        "remarks": grammar.REMARKS,
        "keys": {f"{token.kind} {token.value}": key for token, key in grammar.KEYS.items()},
        "signedNumbers": grammar.SIGNED_NUMBERS,
        "actions": ACTIONS,
        "inTwoSizes": IN_TWO_SIZES,
        "givesWay": GIVES_WAY,
        "degrees": DEGREES,
        "letters": LETTERS,
        "naturalKeys": NATURAL_KEYS,
        "inversions": INVERSION_NUMBERS,
        "printed": _stages(PRINTED),
        "printedWhole": PRINTED_WHOLE,
        "alterations": ALTERATIONS,
        "leftOut": _stages(LEFT_OUT),
    }


def typesetting_table() -> Json:
    """Return how tones, degrees and symbols are set in type and said."""
    return {
        "accidentals": {size: accidental(size) for size in NAMED_ALTERATIONS},
        "accidentalWords": {size: accidental_words(size) for size in NAMED_ALTERATIONS},
        "degreeLabels": {degree: degree_label(parse_degree(degree)) for degree in DEGREES},
        "degreeWords": {degree: degree_words(parse_degree(degree)) for degree in DEGREES},
        "rootForm": typesetting.ROOT_FORM.pattern,
        "alteredForm": typesetting.ALTERED_FORM.pattern,
        "slashForm": typesetting.SLASH_FORM.pattern,
        "baseForm": typesetting.BASE_FORM.pattern,
    }


def _tokens(tokens: dict[str, Token]) -> dict[str, str]:
    """Return forms with kind and value in one text: ``number 7``."""
    return {form: f"{token.kind} {token.value}" for form, token in tokens.items()}


def _stages(stages: Stages) -> list[list[list[list[str]]]]:
    """Return stages of rows, each row with its five lists."""
    return [[[text.split() for text in row] for row in stage] for stage in stages]


def _language(language: Language) -> Json:
    return {
        "notes": {name: [letter, size] for name, (letter, size) in language.notes.items()},
        "signs": language.signs,
        "words": _tokens(language.words),
        "smallIsMinor": language.small_is_minor,
        "plusRaisesSeventh": language.plus_raises_seventh,
    }
