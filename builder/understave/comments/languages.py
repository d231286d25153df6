"""Which language a comment is written in: by its letters, or by how many of a language's common words it has."""

from __future__ import annotations

from collections import Counter

from understave.comments.text import Text
from understave.comments.vocabulary import LANGUAGES, common_words

SCRIPTS: tuple[tuple[int, int, str], ...] = (
    (0x0370, 0x03FF, "el"), (0x0400, 0x052F, "ru"), (0x0590, 0x05FF, "he"), (0x0600, 0x06FF, "ar"),
    (0x0900, 0x097F, "hi"), (0x0E00, 0x0E7F, "th"), (0x3040, 0x30FF, "ja"), (0x4E00, 0x9FFF, "zh"),
    (0xAC00, 0xD7AF, "ko"),
)  # fmt: skip
"""Ranges of Unicode and the language most often written in them."""

LETTERS: dict[str, tuple[str, ...]] = {
    "ñ": ("es",), "¿": ("es",), "¡": ("es",), "ã": ("pt",), "õ": ("pt",), "ç": ("pt", "fr"), "ß": ("de",), "ä": ("de",),
    "ö": ("de",), "ü": ("de",), "ê": ("pt", "fr"), "â": ("pt", "fr"), "è": ("it", "fr"), "ò": ("it",),
    "ù": ("it", "fr"),
    "ì": ("it",), "œ": ("fr",), "î": ("fr",), "û": ("fr",), "ô": ("fr", "pt"), "á": ("es", "pt"), "í": ("es", "pt"),
    "ó": ("es", "pt"), "ú": ("es", "pt"), "à": ("fr", "it", "pt"), "é": ("fr", "es", "pt"), "ë": ("fr",),
}  # fmt: skip
"""Letters that English has not, and the languages that they speak for."""

LEAST_EVIDENCE = 1.2
"""What a language other than English needs beyond English, in words of its own."""

SURE = {"¿": "es", "¡": "es", "ñ": "es", "ß": "de"}
"""Letters that leave no doubt."""

LEAST_LETTERS = 2
"""How many different letters of another script make it the comment's."""

_SIGNS = frozenset("δφ")
"""Greek letters that stand in chord symbols, in small letters."""

_NOTES = frozenset("abcdefg")


def language_of(text: str, read: Text) -> str:
    """Return a comment's language as its ISO 639-1 code; English where nothing tells."""
    scores: dict[str, float] = dict.fromkeys(LANGUAGES, 0.0)
    common = common_words()
    foreign: Counter[str] = Counter()
    for letter in set(text.lower()):
        for language in LETTERS.get(letter, ()):
            scores[language] += 0.6 / len(LETTERS[letter])
        scores[SURE.get(letter, "en")] += LEAST_EVIDENCE if letter in SURE else 0
        if letter > "\u0370" and letter not in _SIGNS:
            foreign.update(language for low, high, language in SCRIPTS if low <= ord(letter) <= high)
    if sum(foreign.values()) >= LEAST_LETTERS:
        return "ja" if foreign["ja"] else max(sorted(foreign), key=foreign.__getitem__)
    for sentence in read.sentences:
        for word in sentence.words:
            if word not in _NOTES:
                for language, weight in common.get(word, ()):
                    scores[language] += weight
    best = max(LANGUAGES, key=scores.__getitem__)
    return best if scores[best] >= scores["en"] + LEAST_EVIDENCE or not scores["en"] else "en"
