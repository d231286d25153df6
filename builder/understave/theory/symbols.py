"""Reading chord symbols by walking the tables of `grammar.py`."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from understave.theory import grammar
from understave.theory.chords import Chord
from understave.theory.drafts import Draft, Refused
from understave.theory.grammar import Language, Token
from understave.theory.tones import LETTERS, Degree, Tone


@dataclass(frozen=True)
class Reading:
    """One sense of a written symbol. ``chord`` is None for N.C.; ``why`` is the id of a reason, or empty."""

    chord: Chord | None
    why: str = ""


class SymbolError(ValueError):
    """A text is no readable symbol.

    ``expected`` is the id of what was wanted, ``at`` the offset of the first character that doesn't read, ``found``
    what stands from there on.
    """

    def __init__(self, expected: str, at: int, found: str) -> None:
        super().__init__(f"{expected} at {at}: {found!r}")
        self.expected, self.at, self.found = expected, at, found


class _Characters(dict[int, str]):
    """What a typed character, by its code point, stands for in the grammar's own letters."""

    def __missing__(self, code: int) -> str:
        return unicodedata.normalize("NFKC", chr(code))


_CHARACTERS = _Characters(
    {code: chr(code) for code in range(128)} | {ord(typed): plain for typed, plain in grammar.CHARACTERS.items()}
)


class _Text(NamedTuple):
    """A text in the grammar's own letters: as they stand, and the same letters small."""

    plain: str
    small: str

    @classmethod
    def of(cls, plain: str) -> _Text:
        small = plain.casefold()
        if len(small) != len(plain):  # a letter that folds into several stays, so that places are the same in both
            small = "".join(folded if len(folded := letter.casefold()) == 1 else letter for letter in plain)
        return cls(plain, small)

    def upto(self, end: int) -> _Text:
        """Return the text before a place."""
        return _Text(self.plain[:end], self.small[:end])


def _lengths(forms: Iterable[str]) -> dict[str, tuple[int, ...]]:
    """Return how long the forms are that start with a small letter, longest first."""
    found: dict[str, set[int]] = {}
    for form in forms:
        found.setdefault(form[0].casefold(), set()).add(len(form))
    return {letter: tuple(sorted(lengths, reverse=True)) for letter, lengths in found.items()}


class _Vocabulary(NamedTuple):
    """What is read with a language: its words and signs beside the grammar's, and their lengths by first letter."""

    language: Language | None
    words: dict[str, Token]
    word_lengths: dict[str, tuple[int, ...]]
    signs: dict[str, int]
    sign_lengths: dict[str, tuple[int, ...]]


@lru_cache(maxsize=len(grammar.LANGUAGES) + 1)
def _vocabulary(name: str) -> _Vocabulary:
    language = grammar.LANGUAGES.get(name)
    words = {**grammar.WORD_TOKENS, **(language.words if language else {})}
    signs = {**grammar.ROOT_SIGNS, **(language.signs if language else {})}
    return _Vocabulary(language, words, _lengths((*grammar.LETTER_TOKENS, *words)), signs, _lengths(signs))


class _Unread(ValueError):
    """The plain text doesn't read at ``place``; ``expected`` is the id of what was wanted."""

    def __init__(self, expected: str, place: int) -> None:
        super().__init__(expected)
        self.expected, self.place = expected, place


def read_symbol(text: str, language: str = "") -> tuple[Reading, ...]:
    """Return the readings of a written chord symbol, likeliest first, each with the id of its reason.

    Takes ASCII, Unicode and English words; with a ``language`` of LANGUAGES its note names and words too. Raises
    SymbolError, and nothing else, for what doesn't read; takes time in proportion to the text.
    """
    spelled = _Text.of(text.translate(_CHARACTERS))
    if spelled.small.strip() in grammar.NO_CHORD:
        return (Reading(None, "no-chord"),)
    try:
        return _readings(spelled, _vocabulary(language if language in grammar.LANGUAGES else ""))
    except _Unread as error:
        at = _typed_place(text, error.place)
        raise SymbolError(error.expected, at, text[at:]) from None


def _typed_place(text: str, place: int) -> int:
    """Return the offset in a typed text of a place in its plain form."""
    for offset, character in enumerate(text):
        place -= len(character.translate(_CHARACTERS))
        if place < 0:
            return offset
    return len(text)


def nearest_readable(text: str, error: SymbolError) -> str | None:
    """Return a readable symbol close to a text that doesn't read, or None: less of it, or one character left out."""
    before = text[: error.at]
    if error.expected == "german-h":
        candidates = [before + "B" + text[error.at + 1 :]]
    else:
        candidates = [before + text[error.at + 1 : error.at + 24], f"C{text[:24]}"]
        candidates += [before[: len(before) - cut] for cut in range(min(8, len(before)))]
    return next((candidate.strip() for candidate in candidates if _reads(candidate)), None)


def _reads(text: str) -> bool:
    """Tell whether a text reads; a sign left over at its end is no suggestion to make."""
    if text[-1:] in ("#", "b", "+", "-") and text[-2:-1].isdigit():
        return False
    try:
        read_symbol(text)
    except SymbolError:
        return False
    return bool(text.strip())


def _readings(text: _Text, vocabulary: _Vocabulary) -> tuple[Reading, ...]:
    plain, language = text.plain, vocabulary.language
    start = len(plain) - len(plain.lstrip())
    root, after_root, in_words = _read_tone(text, start, "root", vocabulary)
    end, bass = _split_bass(text, after_root, vocabulary)
    tokens = _tokens(text, after_root, end, vocabulary, in_words)
    if language and language.small_is_minor and plain[start].islower():
        tokens = _in_minor(tokens, after_root)
    readings = _senses(root, bass, tokens, end, language)
    if in_words:
        spoken = [(token, place) for token, place in tokens if token.kind != "gap"]
        if spoken and spoken[0][0].kind == "number" and spoken[0][0].value in grammar.SIGNED_NUMBERS:
            sign = Token("sign", "#" if root.alteration > 0 else "b")
            number, *rest = spoken
            altered = [(Token("open", ""), start + 1), (sign, start + 1), number, (Token("close", ""), end), *rest]
            with suppress(_Unread):  # the letter with an altered number may be no chord at all
                readings += _senses(Tone(root.letter), bass, altered, end, language, "word-alters-number")
    return readings


def _in_minor(tokens: list[tuple[Token, int]], place: int) -> list[tuple[Token, int]]:
    """Return the tokens of a symbol whose small root letter says minor, unless a quality says more."""
    first = next((token for token, _ in tokens if token.kind != "gap"), None)
    says_more = first is not None and first.kind in ("quality", "mark", "major", "minor-add")
    return tokens if says_more else [(Token("quality", "minor"), place), *tokens]


def _read_tone(text: _Text, start: int, expected: str, vocabulary: _Vocabulary) -> tuple[Tone, int, bool]:
    """Return the tone at ``start``, the place after it, and whether its accidental is a word."""
    plain, small = text
    name = _note_name(text, start, vocabulary.language)
    if name is None:
        raise _Unread("german-h" if plain[start : start + 1].upper() == "H" else expected, start)
    tone, after = name
    if tone.alteration:
        return tone, after, False
    gap = plain[after : after + 1] in (" ", "-")
    sign = after + gap
    for size in vocabulary.sign_lengths.get(small[sign : sign + 1], ()):
        word, place = small[sign : sign + size], sign + size
        if word not in vocabulary.signs or place > len(small) or (gap and size <= 2):
            continue
        if size <= 2 and plain[place : place + 1] in ("b", "#") and plain[place - 1] == plain[place]:
            raise _Unread("two-accidentals", place)
        return Tone(tone.letter, vocabulary.signs[word]), place, size > 2
    return tone, after, False


def _note_name(text: _Text, start: int, language: Language | None) -> tuple[Tone, int] | None:
    """Return the note named at ``start`` and the place after it; the longest name wins, but for As before us: Asus4."""
    if language:
        for size in range(5, 0, -1):
            name = text.small[start : start + size]
            follows = text.plain[start + size : start + size + 2]
            if name in language.notes and not (name[-1] == "s" and follows == "us"):
                return Tone(*language.notes[name]), start + len(name)
    letter = text.plain[start : start + 1].upper()
    return (Tone(letter), start + 1) if letter and letter in LETTERS else None


def _split_bass(text: _Text, start: int, vocabulary: _Vocabulary) -> tuple[int, Tone | None]:
    """Return the place where the chord ends and its bass, if one stands at the end."""
    whole = len(text.plain)
    small = text.small.rstrip()
    tail = next((tail for tail in grammar.BASS_TAILS if small.endswith(tail)), "")
    small = small[: len(small) - len(tail)]
    place, mark = max((small.rfind(mark, start), mark) for mark in grammar.BASS_MARKS)
    if place < 0 or (mark in grammar.TAILED_MARKS and not tail):
        return whole, None
    note = place + len(mark)
    note += len(small[note:]) - len(small[note:].lstrip())
    if note >= len(small):
        raise _Unread("bass", note)
    try:
        bass, after, _ = _read_tone(text.upto(len(small)), note, "bass", vocabulary)
    except _Unread as error:
        if error.expected != "bass":
            raise
        return whole, None
    return (place, bass) if after == len(small) else (whole, None)


def _tokens(text: _Text, start: int, end: int, vocabulary: _Vocabulary, in_words: bool) -> list[tuple[Token, int]]:
    """Return the tokens between two places, each with its place; the longest form wins.

    A hyphen joins words after a word, and after the bare letter where a long word follows: e-flat-major, C-minor.
    """
    plain, small = text
    tokens: list[tuple[Token, int]] = []
    place, after_word = start, in_words
    while place < end:
        if (
            plain[place] == "-"
            and _letters(plain, place + 1) >= (1 if after_word else 5)
            and (after_word or not tokens)
        ):
            tokens.append((Token("gap", ""), place))
            place += 1
            continue
        for size in vocabulary.word_lengths.get(small[place], ()):
            after = place + size
            form = plain[place:after]
            token = grammar.LETTER_TOKENS.get(form) or vocabulary.words.get(small[place:after])
            if token and after <= end:
                tokens.append((token, place))
                place = after
                after_word = size > 2 and form.isalpha()
                break
        else:
            raise _Unread("quality", place)
    return _without_gaps_after_signs(tokens, plain)


def _letters(plain: str, place: int) -> int:
    """Return how many letters follow from ``place`` on, up to five."""
    return next((count for count in range(5) if not plain[place + count : place + count + 1].isalpha()), 5)


def _without_gaps_after_signs(tokens: list[tuple[Token, int]], plain: str) -> list[tuple[Token, int]]:
    """Return the tokens without the spaces between a sign and its number: flat nine, b 9."""
    kept: list[tuple[Token, int]] = []
    for index, (token, place) in enumerate(tokens):
        following = tokens[index + 1][0].kind if index + 1 < len(tokens) else ""
        after_sign = bool(kept) and kept[-1][0].kind in ("sign", "mark")
        if not (token.kind == "gap" and plain[place] != "," and after_sign and following == "number"):
            kept.append((token, place))
    return kept


def _senses(
    root: Tone, bass: Tone | None, tokens: list[tuple[Token, int]], end: int, language: Language | None, why: str = ""
) -> tuple[Reading, ...]:
    """Return the readings of one suffix under one root."""
    key = "".join(grammar.KEYS.get(token, token.value) for token, _ in tokens)
    if key in grammar.AMBIGUOUS:
        senses = grammar.AMBIGUOUS[key]
        if language and language.plus_raises_seventh:
            senses = tuple(sorted(senses, key=lambda sense: sense.why != "plus-raises-seventh"))
        return tuple(Reading(Chord(root, suffix_degrees(sense.suffix), bass), sense.why) for sense in senses)
    degrees, remark = _walk(tokens, end)
    if key == "5" and root.alteration:
        remark = "accidental-is-the-roots"
    return (Reading(Chord(root, degrees, bass), why or remark or grammar.REMARKS.get(key, "")),)


@lru_cache(maxsize=256)
def suffix_degrees(suffix: str) -> tuple[Degree, ...]:
    """Return the degrees of a plain suffix of the grammar's own tables, its first sense left aside.

    They are worked out once, as a part of the tables; what somebody types never comes here.
    """
    return _walk(_tokens(_Text.of(suffix), 0, len(suffix), _vocabulary(""), False), len(suffix))[0]


def _walk(tokens: list[tuple[Token, int]], end: int) -> tuple[tuple[Degree, ...], str]:
    """Walk the state table. Returns the degrees and the id of a remark, or empty."""
    draft, state = Draft(), "root"
    for token, place in tokens:
        step = grammar.STATES[state].get(token.kind)
        if step is None:
            raise _Unread(f"after-{state}", place)
        try:
            draft.act(step.action, token.value)
        except Refused as refused:
            raise _Unread(str(refused), place) from None
        state = step.state
    if state not in grammar.LAST_STATES:
        raise _Unread(f"after-{state}", end)
    try:
        draft.act("finish", state)
    except Refused as refused:
        raise _Unread(str(refused), end) from None
    return draft.degrees(), draft.remark
