"""Reading chord symbols by walking the tables of `grammar.py`."""

from __future__ import annotations

import unicodedata
from contextlib import suppress
from dataclasses import dataclass

from understave.theory import grammar
from understave.theory.chords import Chord
from understave.theory.drafts import Draft, Refused
from understave.theory.grammar import Token
from understave.theory.tones import LETTERS, Degree, Tone


@dataclass(frozen=True)
class Reading:
    """One sense of a written symbol. ``chord`` is None for N.C.; ``why`` is the id of a reason, or empty."""

    chord: Chord | None
    why: str = ""


class SymbolError(ValueError):
    """A text is no readable symbol.

    ``expected`` is the id of what was wanted, ``at`` the offset of the first character that doesn't read, ``found``
    what stands from there on, ``readable`` as much of the text as does read (perhaps nothing).
    """

    def __init__(self, expected: str, at: int, found: str, readable: str = "") -> None:
        super().__init__(f"{expected} at {at}: {found!r}")
        self.expected, self.at, self.found, self.readable = expected, at, found, readable


@dataclass(frozen=True)
class _Text:
    """A text in the grammar's own letters: ``plain``, and for each of its characters the ``source`` offset."""

    plain: str
    source: tuple[int, ...]

    @classmethod
    def of(cls, text: str) -> _Text:
        pairs = [
            (letter, offset)
            for offset, character in enumerate(text)
            for letter in grammar.CHARACTERS.get(character, unicodedata.normalize("NFKC", character))
        ]
        return cls("".join(letter for letter, _ in pairs), tuple(offset for _, offset in pairs))

    def cut(self, start: int, end: int) -> _Text:
        return _Text(self.plain[start:end], self.source[start:end])

    def stripped(self) -> _Text:
        start = len(self.plain) - len(self.plain.lstrip())
        return self.cut(start, len(self.plain.rstrip()) if self.plain.strip() else start)


class _Unread(ValueError):
    """The plain text doesn't read at ``place``; ``expected`` is the id of what was wanted."""

    def __init__(self, expected: str, place: int) -> None:
        super().__init__(expected)
        self.expected, self.place = expected, place


def read_symbol(text: str) -> tuple[Reading, ...]:
    """Return the readings of a written chord symbol, likeliest first, each with the id of its reason.

    Takes ASCII, Unicode and English words. Raises SymbolError, and nothing else, for what doesn't read; takes time
    in proportion to the text.
    """
    spelled = _Text.of(text)
    if spelled.plain.strip().casefold() in grammar.NO_CHORD:
        return (Reading(None, "no-chord"),)
    try:
        return _readings(spelled)
    except _Unread as error:
        at = spelled.source[error.place] if error.place < len(spelled.source) else len(text)
        raise SymbolError(error.expected, at, text[at:], text[:at].strip()) from None


def _readings(text: _Text) -> tuple[Reading, ...]:
    plain = text.plain
    start = len(plain) - len(plain.lstrip())
    root, after_root, in_words = _read_tone(plain, start, "root")
    end, bass = _split_bass(plain, after_root)
    tokens = _tokens(plain, after_root, end)
    readings = _senses(root, bass, tokens, end)
    spoken = [(token, place) for token, place in tokens if token.kind != "gap"]
    if in_words and spoken and spoken[0][0].kind == "number" and spoken[0][0].value in grammar.SIGNED_NUMBERS:
        sign = Token("sign", "#" if root.alteration > 0 else "b")
        number, *rest = spoken
        altered = [(Token("open", ""), start + 1), (sign, start + 1), number, (Token("close", ""), end), *rest]
        with suppress(_Unread):  # the letter with an altered number may be no chord at all
            readings += _senses(Tone(root.letter), bass, altered, end, "word-alters-number")
    return readings


def _read_tone(plain: str, start: int, expected: str) -> tuple[Tone, int, bool]:
    """Return the tone at ``start``, the place after it, and whether its accidental is a word."""
    letter = plain[start : start + 1].upper()
    if not letter or letter not in LETTERS:
        raise _Unread("german-h" if letter == "H" else expected, start)
    after = start + 1
    gap = 1 if plain[after : after + 1] in (" ", "-") and plain[after : after + 1] else 0
    for size in range(min(grammar.LONGEST_FORM, len(plain) - after), 0, -1):
        word = plain[after + gap : after + gap + size].casefold()
        if gap and not word.isascii():
            continue
        if word in grammar.ROOT_SIGNS and (len(word) > 2 or not gap):
            place = after + gap + size
            if len(word) <= 2 and plain[place : place + 1] in ("b", "#") and plain[place - 1] == plain[place]:
                raise _Unread("two-accidentals", place)
            return Tone(letter, grammar.ROOT_SIGNS[word]), place, len(word) > 2
    return Tone(letter), after, False


def _split_bass(plain: str, start: int) -> tuple[int, Tone | None]:
    """Return the place where the chord ends and its bass, if one stands at the end."""
    text = plain.rstrip()
    tail = next((tail for tail in grammar.BASS_TAILS if text.casefold().endswith(tail)), "")
    text = text[: len(text) - len(tail)]
    mark = max(grammar.BASS_MARKS, key=lambda mark: text.casefold().rfind(mark, start))
    place = text.casefold().rfind(mark, start)
    if place < 0 or (mark == " with " and not tail):
        return len(plain), None
    note = place + len(mark)
    note += len(text[note:]) - len(text[note:].lstrip())
    if note >= len(text):
        raise _Unread("bass", note)
    try:
        bass, after, _ = _read_tone(text, note, "bass")
    except _Unread:
        if text[note].upper() == "H":
            raise
        return len(plain), None
    return (place, bass) if after == len(text) else (len(plain), None)


def _tokens(plain: str, start: int, end: int) -> list[tuple[Token, int]]:
    """Return the tokens between two places, each with its place; the longest form wins."""
    tokens = []
    place, after_word = start, False
    while place < end:
        if after_word and plain[place] == "-" and plain[place + 1 : place + 2].isalpha():
            tokens.append((Token("gap", ""), place))
            place += 1
            continue
        for size in range(min(grammar.LONGEST_FORM, end - place), 0, -1):
            form = plain[place : place + size]
            token = grammar.LETTER_TOKENS.get(form) or grammar.WORD_TOKENS.get(form.casefold())
            if token:
                tokens.append((token, place))
                place += size
                after_word = size > 2 and form.isalpha()
                break
        else:
            raise _Unread("quality", place)
    return _without_gaps_after_signs(tokens, plain)


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
    root: Tone, bass: Tone | None, tokens: list[tuple[Token, int]], end: int, why: str = ""
) -> tuple[Reading, ...]:
    """Return the readings of one suffix under one root."""
    key = "".join(grammar.KEYS.get(token, token.value) for token, _ in tokens)
    if key in grammar.AMBIGUOUS:
        senses = grammar.AMBIGUOUS[key]
        return tuple(Reading(Chord(root, suffix_degrees(sense.suffix), bass), sense.why) for sense in senses)
    degrees, remark = _walk(tokens, end)
    if key == "5" and root.alteration:
        remark = "accidental-is-the-roots"
    return (Reading(Chord(root, degrees, bass), why or remark or grammar.REMARKS.get(key, "")),)


def suffix_degrees(suffix: str) -> tuple[Degree, ...]:
    """Return the degrees of a plain suffix of the grammar's own tables, its first sense left aside."""
    return _walk(_tokens(suffix, 0, len(suffix)), len(suffix))[0]


def _walk(tokens: list[tuple[Token, int]], end: int) -> tuple[tuple[Degree, ...], str]:
    """Walk the state table. Returns the degrees and the id of a remark, or empty."""
    draft, state = Draft(), "root"
    for token, place in tokens:
        step = grammar.STATES[state].get(token.kind)
        if step is None:
            raise _Unread(f"after-{state}", place)
        try:
            getattr(draft, step.action)(token.value)
        except Refused as refused:
            raise _Unread(str(refused), place) from None
        state = step.state
    if state not in grammar.LAST_STATES:
        raise _Unread(f"after-{state}", end)
    try:
        draft.finish(state)
    except Refused as refused:
        raise _Unread(str(refused), end) from None
    return draft.degrees(), draft.remark
