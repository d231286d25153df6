"""Chord symbols in running text: which words are symbols and which only look like them. Precision before recall.

A token that nothing but a symbol looks like (Dm9, F/A, Cmaj7) counts by itself; a bare letter, Am, A- or C4 needs
musical company beside it; a key (in G major) and a lone note name are no symbols.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from understave.comments.text import Chunk, Text, plain
from understave.comments.vocabulary import Vocabulary
from understave.theory.chords import Chord
from understave.theory.grammar import LANGUAGES
from understave.theory.symbols import SymbolError, read_symbol

LONGEST_SYMBOL = 24
"""The most characters of a symbol in a comment."""

MOST_WORDS = 7
"""The most words that a symbol is spelled out in after its letter."""

_SIGNS = str.maketrans({"♭": "b", "♯": "#", "𝄫": "bb", "𝄪": "x"})
_ROOT = re.compile(r"([A-G])(##|bb|#|b|x(?![a-z]))?(.*)")
_SMALL = re.compile(
    r"([acdefg])(#|b(?!b))?((?:maj|min|m|sus|dim|aug|add)(?:2|4|6|7|9|11|13)[0-9b#()susad]*)|([cdfg])(#|b)?(maj|dim|aug|sus)"
)
_SMALL_SLASH = re.compile(
    r"([a-g])(#|b)?((?:maj|min|m|sus|dim|aug|add)?(?:2|4|6|7|9|11|13)?(?:sus[24]|b5)?)/([a-g])(#|b)?"
)
_SMALL_NUMBER = re.compile(r"([cdefg])(#|b)?(7|9|11|13)")
_NOTE = re.compile(r"[A-G](?:##|bb|#|b)?")
_ALLOWED = re.compile(
    r"(?:maj|min|dim|aug|sus|alt|add|omit|no|mi|ma|Maj|Min|M|m|o|°|º|ø|Ø|Δ|∆|△|b|#|\+|-|−|\(|\)|,|/|13|11|69|[2-9]|[⁰-⁹²³])*"
)
_BASS = re.compile(r"(.*)/([A-G](?:##|bb|#|b)?)")
_NO_SUFFIX = frozenset({
    "M", "ma", "mi", "o", "no", "add", "ad", "alt", "0", "x", "3", "8", "1", "/", "-/", "m/", "()", "b", "#", "°/",
})  # fmt: skip
_FOREIGN_BASS = re.compile(r"(.+)/([^\W\d]{1,3}[#♯b♭]?)")
_NO_NUMBER = frozenset({"i", "we", "you", "u", "it", "he", "she"})
"""Who does something after B4 and C2, which stand for words then."""

_MARKED_AS = frozenset({"grade", "level", "vitamin", "room", "gate", "row", "seat", "plan", "hotel", "visa"})
"""What has letters with numbers of its own: grade B2, vitamin B6."""

_COMPANY_SLASHES = frozenset({"A/C", "A/B", "B/A", "A/D"})
_SUFFIX_ALONE = re.compile(
    r"add(?:2|4|9|11)|sus[24]|maj(?:7|9|11|13)|min(?:7|9|11)|m7b5|m7\(b5\)|dim7|aug7|[ø°]7?|[Δ∆△]7?|[79]sus4?|7alt|7\(?[b#](?:5|9|11|13)\)?|maj7#11|6/9|13sus4?|m\(maj7\)|mMaj7|mmaj7"
)
_MINOR_ALONE = re.compile(r"m(?:6|7|9|11|13)?")
_MEAN = frozenset({"mean", "means", "stand", "stands", "significa", "bedeutet", "heißt", "signifie"})
_AT = frozenset({"in", "at", "from", "see", "im", "en", "em"})
_PARTING = re.compile(r"->|=>|[→>|,–—]|-(?=[A-G])")

_WORDS = frozenset({
    "flat", "sharp", "double", "major", "minor", "maj", "min", "mi", "ma", "dim", "diminished", "aug", "augmented",
    "half", "half-diminished", "dominant", "dom", "sus", "sus2", "sus4", "suspended", "add", "added", "add2",
    "add4", "add9", "add11", "seven", "seventh", "7", "7th", "nine", "ninth", "9", "9th", "eleven", "eleventh",
    "11", "11th", "thirteen", "thirteenth", "13", "13th", "six", "sixth", "6", "6th", "maj7", "maj9", "major7",
    "major9", "minor7", "minor9", "min7", "min9", "m7", "m9", "m6", "m11", "7b5", "b5", "b9", "#5", "#9", "#11",
    "b13", "(b5)", "(b9)", "(#9)", "(#11)", "(b13)", "(#5)", "(add9)", "(sus4)", "second", "fourth", "fifth", "two",
    "four", "five", "2", "4", "5", "2nd", "4th", "5th", "dim7", "aug7", "6/9", "alt", "altered", "7sus4", "9sus4",
    "7alt", "m7b5", "power",
})  # fmt: skip
"""Words that may spell a symbol out after its letter."""

_QUALITY = frozenset({"major", "minor", "maj", "min", "flat", "sharp"})
_EXTRA = frozenset({
    "b5", "b9", "#5", "#9", "#11", "b13", "(b5)", "(b9)", "(#9)", "(#11)", "(b13)", "(#5)", "add9", "(add9)",
    "sus4", "(sus4)", "sus2", "alt", "add11", "add2", "maj7",
})  # fmt: skip
"""What may follow a symbol after a space and belong to it."""

_NUMERALS = frozenset(
    {"2", "4", "5", "6", "7", "9", "11", "13", "2nd", "4th", "5th", "6th", "7th", "9th", "11th", "13th"}
)
_WORDS_OF_A = frozenset({
    "i", "we", "not", "so", "the", "a", "my", "you", "he", "it", "this", "that", "me", "us", "going", "just",
    "still", "loving", "trying", "learning", "really", "glad", "here", "happy", "new", "sorry", "very", "to",
    "enjoying", "having", "playing",
})  # fmt: skip
_ASKED = frozenset({
    "mean", "means", "why", "whats", "what", "called", "vs", "difference", "significa", "bedeutet", "warum", "pourquoi",
    "signifie",
})  # fmt: skip
_PAPER = frozenset({"A4", "A5", "A6"})
_BEFORE_SYMBOL = frozenset({
    "is", "to", "from", "not", "or", "of", "as", "with", "and", "thought", "then", "hear", "play", "between", "entre",
    "zwischen", "tra", "fra", "nao", "non", "no", "pas", "nicht", "statt",
})  # fmt: skip
_INSTEAD = frozenset({"instead", "rather", "vez", "invece", "lieu", "anstatt"})
_NOT = frozenset(
    {"not", "no", "non", "nao", "nicht", "pas", "statt", "vs", "versus", "why", "warum", "perche", "pourquoi"}
)
"""What may stand before a bare letter that is held against a longer symbol on the same root."""

_ONE = frozenset({"un", "une", "um"})
_IS = frozenset({"is", "e", "es", "est", "ist", "was"})
_OF = frozenset({"of", "than", "de", "di", "em", "en", "au"})
_STOPS = frozenset({
    "in", "at", "on", "or", "and", "but", "when", "if", "with", "from", "to", "instead", "not", "because", "since",
    "for", "there", "here", "then", "chord", "chords", "over", "is", "im", "am", "en", "au", "no", "na", "nel", "a",
    "why", "as",
})  # fmt: skip


@dataclass(frozen=True)
class Mention:
    """A chord as a comment names it: from chunk ``first`` up to ``last`` (left out), with the words it was read from.

    ``rootless`` is a symbol named without a root (add9); its chord stands on C then.
    """

    chord: Chord
    text: str
    first: int
    last: int
    rootless: bool = False


@dataclass(frozen=True, slots=True)
class _Shape:
    """What a token looks like by itself: ``sure``, or one of the kinds that need company."""

    kind: str
    text: str


@lru_cache(maxsize=1 << 14)
def _shape(core: str) -> _Shape | None:
    """Return what kind of symbol a token may be, None for anything else."""
    text = core.translate(_SIGNS)
    for ending in ("'s", "’s", "s'"):
        text = text.removesuffix(ending)
    if not text or len(text) > LONGEST_SYMBOL:
        return None
    small = _SMALL.fullmatch(text)
    if small:
        return _Shape("sure", text[0].upper() + text[1:]) if _readable(text[0].upper() + text[1:]) else None
    if slashed := _SMALL_SLASH.fullmatch(text):
        written = "/".join(part[0].upper() + part[1:] for part in text.split("/"))
        return _Shape("sure" if slashed[3] else "small-slash", written) if _readable(written) else None
    if _SMALL_NUMBER.fullmatch(text):
        return _Shape("small", text.capitalize())
    match = _ROOT.fullmatch(text)
    if not match:
        return None
    rest = match[3]
    if not rest:
        return _Shape("bare", text)
    if rest == "m":
        return _Shape("minor", text)
    if rest in ("+", "-", "°", "º"):
        return _Shape("sure" if rest in "°º" else "marked", text)
    if rest in ("2", "4", "5", "6"):
        return _Shape("number", text)
    if rest in _NO_SUFFIX:
        return None
    bass = _BASS.fullmatch(text)
    if bass and not _ROOT.fullmatch(bass[1]):
        return None
    if bass and _NOTE.fullmatch(bass[1]):
        return _Shape("slash" if text in _COMPANY_SLASHES else "sure", text)
    suffix = _ROOT.fullmatch(bass[1])[3] if bass else rest  # type: ignore[index]
    if not _ALLOWED.fullmatch(suffix) or suffix in _NO_SUFFIX or not _readable(text):
        return None
    return _Shape("sure", text)


@lru_cache(maxsize=1 << 14)
def chord_of(text: str, language: str = "") -> Chord | None:
    """Return the likeliest chord of a symbol in a language's note names; None where it doesn't read."""
    if len(text) > 80:
        return None
    try:
        return read_symbol(text, language)[0].chord
    except SymbolError:
        return None


def _readable(text: str) -> bool:
    return chord_of(text) is not None


@lru_cache(maxsize=1 << 12)
def suffix_chord(core: str) -> Chord | None:
    """Return what a suffix without a root means (add9, sus4, m7b5), as a chord on C; None for anything else."""
    text = core.translate(_SIGNS).removeprefix("-")
    return chord_of("C" + text) if _SUFFIX_ALONE.fullmatch(text) else None


class _Walk:
    """One comment's chunks, and what stands around each of them."""

    def __init__(self, read: Text, words: Vocabulary, language: str) -> None:
        self.chunks, self.words, self.language = read.chunks, words, language
        self.plains = [chunk.plain for chunk in read.chunks]
        self.shapes = [_shape(chunk.core) for chunk in read.chunks]
        self.sentences = read.sentences
        self.said = [frozenset(sentence.words) for sentence in read.sentences]
        chord, places = words.symbols["chord"], words.places["bar"] | words.symbols["hand"]
        self.chordal = [not said.isdisjoint(chord) for said in self.said]
        sure = {
            chunk.sentence
            for chunk, shape in zip(read.chunks, self.shapes, strict=True)
            if shape is not None and shape.kind == "sure"
        }
        self.musical = [
            number in sure or self.chordal[number] or not said.isdisjoint(places)
            for number, said in enumerate(self.said)
        ]

    def word(self, index: int) -> str:
        return self.plains[index] if 0 <= index < len(self.plains) else ""

    def within(self, index: int, other: int) -> bool:
        """Tell whether two chunks stand in one sentence."""
        return 0 <= other < len(self.chunks) and self.chunks[other].sentence == self.chunks[index].sentence

    def sure(self, index: int) -> bool:
        return 0 <= index < len(self.shapes) and (shape := self.shapes[index]) is not None and shape.kind == "sure"

    def company(self, index: int) -> bool:
        """Tell whether the sentence speaks of chords, of bars or hands, or holds a sure symbol."""
        return self.musical[self.chunks[index].sentence]


def mentions_of(read: Text, words: Vocabulary, language: str) -> list[Mention]:
    """Return the chords that a comment names, in order, each place once."""
    walk = _Walk(read, words, language)
    found: list[Mention] = []
    index = 0
    while index < len(walk.chunks):
        listed = _mentions_at(walk, index) or _against_foreign(walk, index, found)
        found += listed
        index = max([index + 1, *(mention.last for mention in listed)])
    return found


def _mentions_at(walk: _Walk, index: int) -> list[Mention]:
    chunk = walk.chunks[index]
    if not chunk.core or len(chunk.core) > 120:
        return []
    spelled = _spelled_out(walk, index)
    if spelled:
        return [spelled]
    shape = walk.shapes[index]
    if shape is None:
        return _parted(chunk, index) or _foreign(walk, index) or _alone(walk, index)
    if shape.kind == "sure" or _accepted(walk, index, shape):
        return _single(walk, index, shape.text)
    if shape.kind == "bare" and (shape.text not in ("A", "E") or walk.company(index)):
        over, last = _over(walk, index + 1, shape.text)
        chord = chord_of(over) if over else None
        if chord:
            return [Mention(chord, over, index, last)]
    return _foreign(walk, index)


def _alone(walk: _Walk, index: int) -> list[Mention]:
    """Return a symbol without a root: add9, sus4.

    6/9 could be a date, so it needs a word of chords; m7 could be a measure, so its meaning must be asked.
    """
    core = walk.chunks[index].core
    meaning_asked = bool(walk.said[walk.chunks[index].sentence] & _MEAN) and walk.word(index - 1) not in _AT
    chord = chord_of(f"C{core}") if meaning_asked and _MINOR_ALONE.fullmatch(core) else suffix_chord(core)
    if chord is None or (core == "6/9" and not walk.chordal[walk.chunks[index].sentence]):
        return []
    return [Mention(chord, core, index, index + 1, rootless=True)]


def _single(walk: _Walk, index: int, text: str) -> list[Mention]:
    """Return a symbol with what belongs to it after a space: C7 (b9), C over E, C with E in the bass."""
    last, plain_text = index + 1, text
    while last < len(walk.chunks) and last < index + 3 and walk.within(index, last) and not walk.chunks[last - 1].after:
        raw = walk.chunks[last].before.replace("“", "") + walk.chunks[last].core
        word = raw.translate(_SIGNS).lower()
        if word not in _EXTRA or not _readable(f"{plain_text} {word}"):
            break
        plain_text, last = f"{plain_text} {word}", last + 1
    over, end = _over(walk, last, plain_text)
    chord = chord_of(over or plain_text)
    return [Mention(chord, over or plain_text, index, end if over else last)] if chord else []


def _over(walk: _Walk, last: int, text: str) -> tuple[str, int]:
    """Return a symbol with the bass that the following words give it, and the place after them; or an empty text."""
    if last + 1 >= len(walk.chunks) or walk.chunks[last - 1].after or "/" in text:
        return "", last
    if walk.word(last) in walk.words.symbols["chord"] and last + 2 < len(walk.chunks) and not walk.chunks[last].after:
        last += 1  # a D chord with F sharp in the bass
    note = walk.chunks[last + 1].core.translate(_SIGNS)
    if not _NOTE.fullmatch(note) or walk.chunks[last].after:
        return "", last
    word = walk.word(last)
    if word in walk.words.symbols["over"] or walk.chunks[last].core == "/":
        return f"{text}/{note}", last + 2
    tail = " ".join(walk.word(place) for place in range(last + 2, last + 5))
    if word in ("with", "com", "con", "avec", "mit") and tail in ("in the bass", "as the bass", "as bass note"):
        return f"{text}/{note}", last + 5
    tail = " ".join(walk.word(place) for place in range(last + 2, last + 4))
    if word in ("with", "com", "con", "avec", "mit") and tail in (
        "no baixo",
        "al basso",
        "im bass",
        "in bass",
        "a la basse",
    ):
        return f"{text}/{note}", last + 4
    return "", last


def _parted(chunk: Chunk, index: int) -> list[Mention]:
    """Return the symbols of a token that joins several: Dm7-G7-C, Dm9/G7."""
    core = chunk.core.translate(_SIGNS)
    for parts in (_PARTING.split(core), core.split("/")):
        shapes = [_shape(part) for part in parts if part]
        if len(shapes) > 1 and all(shapes) and any(shape and shape.kind in ("sure", "minor") for shape in shapes):
            chords = [(shape.text, chord_of(shape.text)) for shape in shapes if shape]
            return [Mention(chord, text, index, index + 1) for text, chord in chords if chord]
    return []


def _spelled_out(walk: _Walk, index: int) -> Mention | None:
    """Return a chord in words from a chunk on: B flat minor nine, D minor over F, C maj7, E-flat major seventh."""
    core = walk.chunks[index].core.translate(_SIGNS)
    head = _head(core)
    if head is None or walk.chunks[index].after.strip("-"):
        return None
    letter, text = head
    last, longest = index + 1, None
    joined = text
    while last < len(walk.chunks) and last <= index + MOST_WORDS and walk.within(index, last):
        chunk = walk.chunks[last]
        word = (chunk.before.lstrip("“\"'") + chunk.core).translate(_SIGNS).lower()
        bare = word.strip("()")
        if word not in _WORDS and bare not in _WORDS and not all(part in _WORDS for part in word.split("-") if part):
            break
        joined = f"{joined} {_number(word)}"
        last += 1
        if _readable(joined):
            longest = (joined, last)
        if chunk.after:
            break
    if longest is None:
        longest = (text, index + 1) if text != letter and _readable(text) else None
    if longest is None or not _spelled_accepted(walk, index, core, *longest):
        return None
    text, last = longest
    over, end = _over(walk, last, text)
    chord = chord_of(over or text)
    return Mention(chord, over or text, index, end if over else last) if chord else None


def _head(core: str) -> tuple[str, str] | None:
    """Return the letter that starts a chord in words, and all of the token: E-flat-major; None for another word."""
    letter, *rest = core.split("-")
    if not re.fullmatch(r"[A-Ga-g](?:#|b)?", letter):
        return None
    if rest and not all(part.lower() in _WORDS or part.lower() in ("chord", "moll", "dur") for part in rest):
        return None
    return letter, letter + "".join(f" {_number(part.lower())}" for part in rest if part.lower() != "chord")


def _number(word: str) -> str:
    """Return 7th as 7."""
    return word[:-2] if word[:1].isdigit() and word[-2:] in ("th", "nd", "rd", "st") else word


def _spelled_accepted(walk: _Walk, index: int, core: str, text: str, last: int) -> bool:
    """Tell whether a chord in words is meant: small letters and A need company, and a key is none."""
    symbols = walk.words.symbols
    tail = text.split()[1:]
    before, before2, after = walk.word(index - 1), walk.word(index - 2), walk.word(last)
    beside = (
        after in symbols["chord"]
        or before in symbols["chord"]
        or (before in ("of", "de", "di", "la") and before2 in symbols["chord"])
    )
    small = core[0].islower()
    if small and (
        core[0] == "a" or (core[0] in "e" and walk.language in ("pt", "it")) or (core[0] == "b" and len(core) > 1)
    ):
        return False
    if small and not beside and len(tail) < 2:
        return False
    if tail and all(word in ("flat", "sharp", "double") for word in tail):
        return beside and after in symbols["chord"]  # a lone note name
    if tail and tail[0] in _NUMERALS:
        return beside and not small
    number = tail[-1] not in _QUALITY if tail else False
    if core in ("A", "E") and not beside:
        if core == "A" and not number:
            return (
                before in symbols["article"] | symbols["says"] | {"is", "be", "to", "from", "not", "or", "of", "play"}
                and (not after or after in _STOPS or bool(walk.chunks[last - 1].after))
                and not _is_key(walk, index, last)
            )
        if core == "A" and index == walk.sentences[walk.chunks[index].sentence].first:
            return False
    if number:
        return True
    if _is_key(walk, index, last):
        return beside
    return beside or walk.company(index) or before in symbols["says"] | {"is", "be", "as", "or", "not", "play"}


def _is_key(walk: _Walk, index: int, last: int) -> bool:
    symbols = walk.words.symbols
    if walk.word(last) in symbols["chord"]:
        return False
    start = index
    while start > 1 and walk.word(start - 1) in symbols["join"] | {"and", "to"} and walk.word(start - 2) in _QUALITY:
        start = max(0, start - 3)  # in D minor or F major
    near = [walk.word(place) for place in range(max(0, start - 3), start)]
    after = [walk.word(last), walk.word(last + 1)]
    return (
        bool(near and near[-1] in symbols["in_key"])
        or any(word in symbols["key"] for word in near)
        or any(word in symbols["key"] for word in after)
        or bool(walk.said[walk.chunks[index].sentence] & symbols["key"])
    )


def _accepted(walk: _Walk, index: int, shape: _Shape) -> bool:
    """Tell whether a token that may be a symbol has the company that its kind asks for."""
    chunk = walk.chunks[index]
    symbols = walk.words.symbols
    if shape.kind == "slash":
        return walk.company(index)
    if shape.kind in ("small", "small-slash"):
        return _small_accepted(walk, index)
    if _in_row(walk, index) or _held_against(walk, index):
        return True
    if _beside_chord_word(walk, index, chunk.core) or _joined_to_symbol(walk, index) or _in_progression(walk, index):
        return True
    if shape.kind == "number":
        return _number_accepted(walk, index)
    if shape.kind == "minor":
        return _minor_accepted(walk, index)
    if shape.kind == "marked":
        return any(chunk.core in ("+", "-") for chunk in walk.chunks if chunk.sentence == walk.chunks[index].sentence)
    if shape.kind == "bare":
        before = walk.word(index - 1)
        says = before in symbols["says"] or (before in _IS and walk.word(index - 2) in symbols["chord"])
        return says and walk.chordal[chunk.sentence] and not _note_list(walk, index)
    return False


def _small_accepted(walk: _Walk, index: int) -> bool:
    """Tell whether e13 or c/e, in small letters, is a chord: where chords are spoken of, and what it has is asked."""
    said = walk.said[walk.chunks[index].sentence]
    return walk.chordal[walk.chunks[index].sentence] or (walk.word(index - 1) in _OF and bool(said & _ASKED))


def _number_accepted(walk: _Walk, index: int) -> bool:
    """Tell whether C2, C4, C5, C6 is a chord and no pitch of a keyboard, size of paper, or key of a computer."""
    symbols, chunk = walk.words.symbols, walk.chunks[index]
    said = walk.said[chunk.sentence]
    beside = {walk.word(index - 1), walk.word(index + 1)}
    if walk.word(index + 1) in _NO_NUMBER or walk.word(index - 1) in _MARKED_AS:
        return False
    if chunk.core in _PAPER or beside & symbols["note"] or said & symbols["pitch"]:
        return False
    return bool(said & _ASKED) or walk.company(index) or chunk.core.endswith("6")


def _minor_accepted(walk: _Walk, index: int) -> bool:
    """Tell whether Am, Dm, Em is a chord and no word of its language (Am I right, Em qual compasso) or a message."""
    symbols, chunk = walk.words.symbols, walk.chunks[index]
    before, after = walk.word(index - 1), walk.word(index + 1)
    first = index == walk.sentences[chunk.sentence].first
    if before.isdigit() or after in ("me", "us"):
        return False
    if chunk.core not in walk.words.no_symbol:
        return not first or "?" in chunk.after or walk.company(index) or after in _STOPS
    if first:
        return after in ("in", "at") and walk.word(index + 2) in walk.words.places["bar"]
    if after in _WORDS_OF_A or before not in symbols["article"] | symbols["says"] | _BEFORE_SYMBOL:
        return False
    return not after or after in _STOPS or bool(chunk.after) or walk.company(index)


def _beside_chord_word(walk: _Walk, index: int, core: str) -> bool:
    """Tell whether ``chord`` or ``symbol`` stands right beside: the G chord, acorde de G, symbol F."""
    chord = walk.words.symbols["chord"]
    before, after = walk.word(index - 1), walk.word(index + 1)
    if after in chord and not walk.chunks[index].after and walk.within(index, index + 1):
        articles = walk.words.symbols["article"] | {"is", "play", "of", "as", "called"}
        return core != "A" or before in articles
    if not before or not walk.within(index, index - 1) or walk.chunks[index - 1].after.strip(":"):
        return False
    if before in chord and not (core == "A" and after and after not in _STOPS):
        return not _note_list(walk, index)
    return before in ("of", "de", "di", "do") and walk.word(index - 2) in chord and not _note_list(walk, index)


def _note_list(walk: _Walk, index: int) -> bool:
    """Tell whether two or more bare letters stand in a row from here on: C E G."""
    after, before = index + 1, index - 1
    return any(
        walk.within(index, place) and (shape := walk.shapes[place]) is not None and shape.kind == "bare"
        for place in (after, before)
    )


def _joined_to_symbol(walk: _Walk, index: int) -> bool:
    """Tell whether a sure symbol stands beside, or across a joining word: G or G7, from Dm7 to G, Dm7 G7 C."""
    symbols = walk.words.symbols
    chunk = walk.chunks[index]
    if _note_list(walk, index):
        return False
    shape = walk.shapes[index]
    bare = shape is not None and shape.kind == "bare"
    parting = walk.chunks[index - 1].after if walk.within(index, index - 1) else "."
    if walk.sure(index - 1) and parting in ("", ",") and not chunk.before:
        return walk.sure(index - 2) or (not bare and not parting)
    if (
        walk.within(index, index + 1)
        and walk.sure(index + 1)
        and not chunk.after
        and (walk.sure(index + 2) or not bare)
    ):
        return True
    for step in (-1, 1):
        near = index + step
        if walk.word(near) in symbols["filler"] and walk.word(near + step) in symbols["join"]:
            near += step
        word, other = walk.word(near), near + step
        if walk.within(index, near) and not walk.chunks[near].core and walk.sure(other):
            return True  # Gm9 - C7 - F
        if walk.word(other) in ("and", "but"):
            other += step
        if {word, walk.word(other)} & _INSTEAD and {word, walk.word(other)} & _OF:
            word, other = "or", other + step
        if walk.word(other) in symbols["filler"]:
            other += step
        if not walk.within(index, other) or not (walk.sure(other) or _minor_on_same(walk, index, other)):
            continue
        if word in symbols["join"]:
            return True
        if word in symbols["join_to"]:
            here, there = walk.shapes[index], walk.shapes[other]
            same_root = here is not None and there is not None and _root_of(here.text) == _root_of(there.text)
            between = {"from", "between", "de", "entre", "da", "von", "zwischen", "tra"}
            return same_root or walk.word(min(index, other) - 1) in between
    return False


def _minor_on_same(walk: _Walk, index: int, other: int) -> bool:
    here, there = walk.shapes[index], walk.shapes[other]
    if here is None or there is None or {here.kind, there.kind} != {"bare", "minor"}:
        return False
    return _root_of(here.text) == _root_of(there.text)


def _in_row(walk: _Walk, index: int) -> bool:
    """Tell whether three or more symbols stand in a row here, not all of them bare letters: G Em D C.

    A symbol with three letters after it is a chord and its notes: Cmaj7 C E G B.
    """
    first = last = index
    while walk.within(index, first - 1) and walk.shapes[first - 1] and index - first < LONGEST_ROW:
        if walk.chunks[first - 1].after not in ("", ","):
            break
        first -= 1
    while walk.within(index, last + 1) and walk.shapes[last + 1] and last - index < LONGEST_ROW:
        if walk.chunks[last].after not in ("", ","):
            break
        last += 1
    is_longer = [shape is not None and shape.kind in ("sure", "minor") for shape in walk.shapes[first : last + 1]]
    has_notes = is_longer[0] and not any(is_longer[1:]) and last - first >= 3
    return last - first >= 2 and any(is_longer) and not has_notes


LONGEST_ROW = 8
"""How many symbols of a row are looked at on either side."""


def _held_against(walk: _Walk, index: int) -> bool:
    """Tell whether a symbol is held against a longer one on its root: Bb/D, not Bb; why G here and G13 there."""
    shape = walk.shapes[index]
    place = index - 1
    while walk.word(place) in walk.words.symbols["filler"]:
        place -= 1
    word, before = walk.word(place), walk.word(place - 1)
    instead = word in _OF and before in _INSTEAD
    if shape is None or not walk.within(index, place) or not (word in _NOT or instead):
        return False
    near = range(max(0, index - REACH), min(len(walk.chunks), index + REACH + 1))
    others = [walk.shapes[other] for other in near if other != index]
    return any(
        other is not None and other.kind in ("sure", "minor") and _root_of(other.text) == _root_of(shape.text)
        for other in others
    )


REACH = 12
"""How many words may part two symbols that are held against each other."""


def _root_of(text: str) -> str:
    match = _ROOT.match(text)
    return match[1] + (match[2] or "") if match else ""


def _in_progression(walk: _Walk, index: int) -> bool:
    """Tell whether a run of letters after ``chords`` holds this one: the chords C, F and G; progression Am F C G."""
    chords = {"chords", "progression", "acordes", "accordi", "accords", "akkorde", "acords", "progressao", "progresion"}
    first = index
    while first > 0 and walk.within(index, first - 1) and index - first < 16:
        word = walk.word(first - 1)
        if walk.shapes[first - 1] is None and word not in ("and", "y", "e", "et", "und", "-", "to", "then", "&", "→"):
            break
        first -= 1
    near = [walk.word(place) for place in range(max(0, first - 3), first)]
    if not any(word in chords for word in near):
        return False
    return not any(word in ("notes", "note", "in", "on", "hand", "contain", "contains") for word in near)


def _foreign(walk: _Walk, index: int) -> list[Mention]:
    """Return a chord in another tradition's names: acorde de sol menor, Ré7, Fis-Moll-Akkord, H7."""
    language = LANGUAGES.get(walk.language)
    if language is None:
        return []
    core = walk.chunks[index].core
    name = _note_name(core, language.notes)
    if not name:
        return []
    rest = core[len(name) :]
    symbols = walk.words.symbols
    bass = _FOREIGN_BASS.fullmatch(core)
    if bass and _note_name(bass[2], language.notes):
        chord = chord_of(core, walk.language)
        return [Mention(chord, core, index, index + 1)] if chord and core[0].isupper() else []
    if rest and not _ALLOWED.fullmatch(rest.translate(_SIGNS)) and not rest.startswith("-"):
        return []
    before, before2 = walk.word(index - 1), walk.word(index - 2)
    beside = before in symbols["chord"] or (before in ("de", "di", "do", "en") and before2 in symbols["chord"])
    last, text = index + 1, core.removesuffix("-Akkord").removesuffix("-Akkords")
    beside = beside or text != core
    solfege = walk.language != "de"
    if rest and solfege:
        if not any(letter.isdigit() or letter in "#♯" for letter in rest) or (core[0].islower() and not beside):
            return []
    elif rest or not solfege:
        sure = (core[0] == "H" and rest) or (any(letter.isdigit() for letter in rest) and len(name) > 1)
        if not sure and not beside and walk.word(last) not in symbols["chord"]:
            return []
        if not rest and core[0].upper() in "ABCDEFG" and len(core) == 1 and not beside:
            return []
    longest = text if rest and chord_of(text, walk.language) else ""
    known = {**language.words, **dict.fromkeys(language.signs)}
    end = last
    while last < len(walk.chunks) and last < index + 5 and walk.within(index, last) and not walk.chunks[last - 1].after:
        word = walk.chunks[last].core.lower()
        if (
            word not in known
            and plain(word) not in {plain(each) for each in known}
            and word not in _NUMERALS | {"7", "9", "b", "#"}
        ):
            break
        text, last = f"{text} {word}", last + 1
        if chord_of(text, walk.language):
            longest, end = text, last
    beside = beside or (walk.word(end) in symbols["chord"] and not solfege)
    beside = beside or (end > index + 1 and before in symbols["says"] | _ONE)
    if not longest and beside and before not in symbols["article"] and chord_of(text, walk.language):
        longest = text
    if not longest or (not rest and not beside):
        return []
    chord = chord_of(longest, walk.language)
    return [Mention(chord, longest, index, end)] if chord else []


def _against_foreign(walk: _Walk, index: int, found: Sequence[Mention]) -> list[Mention]:
    """Return a bare name that is held against the chord before it, on the same root: Re/Fa# e non Re."""
    language = LANGUAGES.get(walk.language)
    core = walk.chunks[index].core
    if language is None or not found or not core[:1].isupper() or core.casefold() not in language.notes:
        return []
    last = found[-1]
    chord = chord_of(core, walk.language)
    against = walk.word(index - 1) in _NOT and index - last.last < REACH
    if chord is None or not against or chord.root != last.chord.root or chord == last.chord:
        return []
    return [Mention(chord, core, index, index + 1)]


def _note_name(core: str, notes: dict[str, tuple[str, int]]) -> str:
    small = core.casefold()
    return max((core[: len(name)] for name in notes if small.startswith(name)), key=len, default="")


def lone_notes(read: Text, taken: Sequence[Mention]) -> int:
    """Return how many bare note names a comment has beside its chords."""
    covered = {place for mention in taken for place in range(mention.first, mention.last)}
    return sum(
        1
        for index, chunk in enumerate(read.chunks)
        if index not in covered and _NOTE.fullmatch(chunk.core.translate(_SIGNS)) and chunk.core not in ("A", "E")
    )
