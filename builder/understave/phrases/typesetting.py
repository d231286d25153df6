"""Musical typesetting: ASCII tones and symbols → what people read, as text and as HTML.

A sentence with tones in it can be set in several ways: a `Setting` says how. In HTML every tone is marked, so that a
reader may have it under another name; chord symbols are marked as such and keep their letters, as scores print them.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from html import escape

from markupsafe import Markup

from understave.phrases.catalogue import phrase
from understave.theory.keys import Key, parse_key
from understave.theory.tones import Degree, Pitch, SpellingError, Tone

ROOT_FORM = re.compile(r"([A-G])(bb|##|b|#|x)?")
ALTERED_FORM = re.compile(r"(#|b)(?=\d)")
SLASH_FORM = re.compile(r"/(?=[A-G])")
_NUMERAL = re.compile(r"([ivIV]+)(.*?)((?:/[ivIV]+)?)")
BASE_FORM = re.compile(r"\(?(?:maj|min|mi|ma|m|M|dim|aug|°|ø|Δ|\+|-|o)?")

NAMED_ALTERATIONS = range(-4, 5)
"""The alterations that tones are named with, in semitones."""

_TIMES = {2: "said-double", 3: "said-triple"}
_OFTEN = {2: "interval-doubly", 3: "interval-triply"}

NAMED_DEGREES = frozenset((1, 2, 3, 4, 5, 6, 7, 9, 11, 13))
"""The numbers of degrees that have names of their own."""


def accidental(alteration: int) -> str:
    """Return the sign for an alteration in semitones: ♭, 𝄪, 𝄫♭."""
    double, single = ("𝄪", "♯") if alteration > 0 else ("𝄫", "♭")
    return double * (abs(alteration) // 2) + single * (alteration % 2)


def accidental_words(alteration: int) -> str:
    """Return ``double flat``, as it is said, or nothing."""
    if not alteration:
        return ""
    sign, times = phrase("said-sharp" if alteration > 0 else "said-flat"), abs(alteration)
    return sign if times == 1 else phrase(_TIMES.get(times, "said-often"), sign=sign, times=times)


def tone_text(tone: Tone) -> str:
    """Return B♭."""
    return tone.letter + accidental(tone.alteration)


def tone_words(tone: Tone) -> str:
    """Return ``B flat``, as it is said."""
    sign = accidental_words(tone.alteration)
    return phrase("said-tone", letter=tone.letter, sign=sign) if sign else tone.letter


def _marked(name: str) -> Markup:
    return Markup(f'<span class="tone">{escape(name)}</span>')


def tone_html(tone: Tone) -> Markup:
    """Return B♭, marked as a tone."""
    return _marked(tone_text(tone))


@dataclass(frozen=True)
class Setting:
    """How a sentence's tones, spoken tones and symbols are set."""

    tone: Callable[[Tone], str]
    said: Callable[[Tone], str]
    symbol: Callable[[str], str]

    def pitch(self, pitch: Pitch) -> str:
        """Return B♭3."""
        return joined("", [self.tone(pitch.tone), str(pitch.octave)])

    def pitch_said(self, pitch: Pitch) -> str:
        """Return ``B flat 3``, as it is said."""
        return joined(" ", [self.said(pitch.tone), str(pitch.octave)])


def joined(between: str, words: Sequence[str]) -> str:
    """Return words in a row; HTML among them makes HTML of it, with the others escaped."""
    return (Markup(between) if any(isinstance(word, Markup) for word in words) else between).join(words)


def pitch_text(pitch: Pitch) -> str:
    """Return B♭3."""
    return TEXT.pitch(pitch)


def pitch_words(pitch: Pitch) -> str:
    """Return ``B flat 3``, as it is said."""
    return TEXT.pitch_said(pitch)


def degree_label(degree: Degree) -> str:
    """Return root, 3rd, ♭7th: a bare digit beside notes would read as a fingering."""
    number = degree.number
    named = phrase(f"degree-{number}") if number in NAMED_DEGREES else phrase("degree-other", number=number)
    return accidental(degree.alteration) + named


def degree_words(degree: Degree) -> str:
    """Return ``flat thirteenth``, as it is said."""
    name, sign = phrase(f"interval-{degree.number}"), accidental_words(degree.alteration)
    return phrase("said-degree", sign=sign, degree=name) if sign else name


def interval_words(degree: Degree) -> str:
    """Return the interval from the root: ``minor third``, ``augmented eleventh`` (common practice).

    A lowered root is told as the octave above.
    """
    size = degree.alteration
    perfect = degree.simple.number in (1, 4, 5)
    name = phrase("interval-octave" if degree.number == 1 and size < 0 else f"interval-{degree.number}")
    if size > 0:
        return _often(size, phrase("interval-augmented", interval=name))
    narrower = -size if perfect else -size - 1
    if narrower > 0:
        return _often(narrower, phrase("interval-diminished", interval=name))
    if degree.number == 1:
        return name
    return phrase(f"interval-{'perfect' if perfect else 'minor' if size else 'major'}", interval=name)


def _often(times: int, interval: str) -> str:
    return interval if times == 1 else phrase(_OFTEN.get(times, "interval-often"), interval=interval, times=times)


def symbol_text(symbol: str) -> str:
    """Return a written symbol with true accidentals: A♭m7♭5/E♭."""
    body, *bass = SLASH_FORM.split(symbol)
    return "/".join([_tone_and_rest(body), *(_tone_and_rest(text) for text in bass)])


def _tone_and_rest(text: str) -> str:
    match = ROOT_FORM.match(text)
    if not match:
        return suffix_text(text)
    return match[1] + _signs(match[2] or "") + suffix_text(text[match.end() :])


def _signs(text: str) -> str:
    return {"": "", "b": "♭", "#": "♯", "bb": "𝄫", "##": "𝄪", "x": "𝄪"}[text]


def suffix_text(suffix: str) -> str:
    """Return what stands after a root, with true accidentals."""
    return ALTERED_FORM.sub(lambda match: "♯" if match[1] == "#" else "♭", suffix)


def symbol_html(symbol: str) -> Markup:
    """Return a symbol as HTML: the extension raised, the bass after the slash."""
    plain, raised, bass = map(escape, symbol_parts(symbol))
    return Markup(f'<span class="symbol">{plain}{f"<sup>{raised}</sup>" if raised else ""}{bass}</span>')


TEXT = Setting(tone_text, tone_words, symbol_text)
"""Plain text, for descriptions, commands and drawings."""

COPIED = Setting(lambda tone: f"{{{tone_text(tone)}}}", lambda tone: f"{{{tone_text(tone)}}}", symbol_text)
"""Text that a script copies: tones stand in braces, so that they get the names that the reader chose."""

HTML = Setting(tone_html, lambda tone: _marked(tone_words(tone)), symbol_html)
"""HTML in which tones and symbols are marked, for what stands on pages."""


def key_text(key: Key, setting: Setting = TEXT) -> str:
    """Return ``A♭ major``."""
    return phrase("key-minor" if key.minor else "key-major", tonic=setting.tone(key.tonic))


def numeral_html(numeral: str) -> str:
    """Return a Roman numeral as HTML, what it adds raised; what follows a last slash is the degree it leads to."""
    match = _NUMERAL.fullmatch(numeral)
    assert match is not None
    raised = f"<sup>{escape(suffix_text(match[2]))}</sup>" if match[2] else ""
    return f'<span class="symbol">{match[1]}{raised}{match[3]}</span>'


def listed(words: Sequence[str]) -> str:
    """Return words as a list in a sentence: A, B and C."""
    if len(words) < 2:
        return words[0] if words else ""
    return phrase("said-list", words=joined(", ", words[:-1]), last=words[-1])


def symbol_parts(symbol: str) -> tuple[str, str, str]:
    """Return a symbol in three typeset parts: root and quality, what is raised, and the bass with its slash."""
    body, *bass = SLASH_FORM.split(symbol)
    match = ROOT_FORM.match(body)
    root = match[0] if match else ""
    base = BASE_FORM.match(body, len(root))
    quality = base[0] if base and not base[0].startswith("(") else ""
    raised = body[len(root) + len(quality) :]
    slash = "".join(f"/{_tone_and_rest(text)}" for text in bass)
    return (_tone_and_rest(root) if root else "") + quality, suffix_text(raised), slash


def key_words(key: str, setting: Setting = TEXT) -> str:
    """Return the name of a musical key as an editor wrote it: Bb minor → B♭ minor; another mode stays as it is."""
    try:
        return key_text(parse_key(key), setting)
    except SpellingError:
        tone, _, mode = key.partition(" ")
        return " ".join(filter(None, (symbol_text(tone), mode)))
