"""Musical typesetting: ASCII tones and symbols → what people read, as text and as HTML."""

from __future__ import annotations

import re
from html import escape

from understave.theory.keys import Key
from understave.theory.tones import Degree, Pitch, Tone

ROOT_FORM = re.compile(r"([A-G])(bb|##|b|#|x)?")
ALTERED_FORM = re.compile(r"(#|b)(?=\d)")
SLASH_FORM = re.compile(r"/(?=[A-G])")
_NUMERAL = re.compile(r"([ivIV]+)(.*?)((?:/[ivIV]+)?)")
BASE_FORM = re.compile(r"\(?(?:maj|min|mi|ma|m|M|dim|aug|°|ø|Δ|\+|-|o)?")

_TIMES = {1: "", 2: "double ", 3: "triple "}
_OFTEN = {1: "", 2: "doubly ", 3: "triply "}
_INTERVALS = {1: "unison", 2: "second", 3: "third", 4: "fourth", 5: "fifth", 6: "sixth", 7: "seventh"}
_ORDINALS = {1: "root", 2: "2nd", 3: "3rd"}


def accidental(alteration: int) -> str:
    """Return the sign for an alteration in semitones: ♭, 𝄪, 𝄫♭."""
    double, single = ("𝄪", "♯") if alteration > 0 else ("𝄫", "♭")
    return double * (abs(alteration) // 2) + single * (alteration % 2)


def _accidental_words(alteration: int) -> str:
    """Return ``double flat``, as it is said, or nothing."""
    times = abs(alteration)
    return _TIMES.get(times, f"{times} times ") + ("sharp" if alteration > 0 else "flat") if alteration else ""


ACCIDENTAL_WORDS = {size: f" {_accidental_words(size)}".rstrip() for size in range(-4, 5)}
"""What follows a letter when a tone is said, by semitones."""


def tone_text(tone: Tone) -> str:
    """Return B♭."""
    return tone.letter + accidental(tone.alteration)


def tone_words(tone: Tone) -> str:
    """Return ``B flat``, as it is said."""
    return f"{tone.letter} {_accidental_words(tone.alteration)}".rstrip()


def pitch_text(pitch: Pitch) -> str:
    """Return B♭3."""
    return f"{tone_text(pitch.tone)}{pitch.octave}"


def pitch_words(pitch: Pitch) -> str:
    """Return ``B flat 3``, as it is said."""
    return f"{tone_words(pitch.tone)} {pitch.octave}"


def degree_label(degree: Degree) -> str:
    """Return root, 3rd, ♭7th: a bare digit beside notes would read as a fingering."""
    ordinal = _ORDINALS.get(degree.number, f"{degree.number}th")
    return accidental(degree.alteration) + ordinal


def degree_words(degree: Degree) -> str:
    """Return ``flat thirteenth``, as it is said."""
    compound = {9: "ninth", 11: "eleventh", 13: "thirteenth"}
    number = compound.get(degree.number) or _INTERVALS[degree.number]
    return f"{_accidental_words(degree.alteration)} {number}".lstrip()


def interval_words(degree: Degree) -> str:
    """Return the interval from the root: ``minor third``, ``augmented eleventh`` (common practice).

    A lowered root is told as the octave above.
    """
    name = {9: "ninth", 11: "eleventh", 13: "thirteenth"}.get(degree.number) or _INTERVALS[degree.number]
    size = degree.alteration
    perfect = degree.simple.number in (1, 4, 5)
    if degree.number == 1:
        name = "octave" if size < 0 else name
    if size > 0:
        return f"{_often(size)}augmented {name}"
    narrower = -size if perfect else -size - 1
    if narrower > 0:
        return f"{_often(narrower)}diminished {name}"
    return name if degree.number == 1 else f"{'perfect' if perfect else 'minor' if size else 'major'} {name}"


def _often(times: int) -> str:
    return _OFTEN.get(times, f"{times} times ")


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


def symbol_html(symbol: str) -> str:
    """Return a symbol as HTML: the extension raised, the bass after the slash."""
    plain, raised, bass = map(escape, symbol_parts(symbol))
    return f'<span class="symbol">{plain}{f"<sup>{raised}</sup>" if raised else ""}{bass}</span>'


def key_text(key: Key) -> str:
    """Return ``A♭ major``."""
    return f"{tone_text(key.tonic)} {'minor' if key.minor else 'major'}"


def numeral_html(numeral: str) -> str:
    """Return a Roman numeral as HTML, what it adds raised; what follows a last slash is the degree it leads to."""
    match = _NUMERAL.fullmatch(numeral)
    assert match is not None
    raised = f"<sup>{escape(suffix_text(match[2]))}</sup>" if match[2] else ""
    return f'<span class="symbol">{match[1]}{raised}{match[3]}</span>'


def listed(words: list[str] | tuple[str, ...]) -> str:
    """Return words as a list in a sentence: A, B and C."""
    return " and ".join(filter(None, [", ".join(words[:-1]), words[-1] if words else ""]))


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


def key_words(key: str) -> str:
    """Return the name of a musical key as an editor wrote it, with true accidentals: Bb minor → B♭ minor."""
    tone, _, mode = key.partition(" ")
    return " ".join(filter(None, (symbol_text(tone), mode)))
