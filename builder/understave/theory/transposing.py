"""Other keys: how far to move, which name of a key reads easier, what other instruments read, guitar with a capo.

Spelling stays by letter: a chord moves by an interval, which knows its letters, so that an E♭ in C minor is a G♭ in E♭
minor and never an F♯.
"""

from __future__ import annotations

from collections.abc import Mapping

from understave.theory.keys import KEYS, Key
from understave.theory.tones import Interval, SpellingError, parse_degree, parse_tone

MOST_SIGNS = 6
"""The most sharps or flats of a key that is called readable; with seven its other name has five (common practice)."""

INSTRUMENTS: Mapping[str, Interval] = {
    "Bb": parse_degree("2").interval,
    "Eb": parse_degree("6").interval,
    "F": parse_degree("5").interval,
}
"""What a part in B♭ (clarinet, trumpet), E♭ (alto saxophone) and F (horn) has above what sounds; octaves aside."""

LAST_FRET = 11
"""The highest fret for a capo: at 12 all is as without one."""


class KeyProblem(ValueError):
    """A key, an instrument or a fret that isn't there. ``problem`` is an id, ``details`` what it speaks of."""

    def __init__(self, problem: str, *details: object) -> None:
        self.problem, self.details = problem, details
        super().__init__(problem)


def readable(key: Key, towards: int = 0) -> Key:
    """Return the key by its easier name: with the fewest signs where its own has more than MOST_SIGNS.

    Where six sharps and six flats tie, it has sharps if ``towards``, another key's signature, has them, else flats.
    """
    return key if abs(key.signature) <= MOST_SIGNS else _named(key.tonic.pitch_class, key.minor, towards)


def _named(pitch_class: int, minor: bool, towards: int) -> Key:
    names = [key for key in KEYS if key.minor == minor and key.tonic.pitch_class == pitch_class]
    return min(names, key=lambda key: (abs(key.signature), (key.signature > 0) != (towards > 0)))


def twelve_keys(key: Key) -> tuple[Key, ...]:
    """Return the key and the eleven others of its mode, each a half step above the one before, by readable names."""
    first = readable(key)
    others = (_named((first.tonic.pitch_class + step) % 12, key.minor, first.signature) for step in range(1, 12))
    return (first, *others)


def way(key: Key, other: Key) -> Interval:
    """Return the shorter way from one key to another, by letter; up where both are as far (a tritone)."""
    degree = key.tonic.degree_of(other.tonic)
    up = degree.interval
    return up if up.semitones <= 6 else Interval(up.steps - 7, up.semitones - 12)


def read_by(key: Key, instrument: str) -> Key:
    """Return the key that a part for an instrument (a key of INSTRUMENTS) has. Raises KeyProblem."""
    if instrument not in INSTRUMENTS:
        raise KeyProblem("no-instrument", instrument, ", ".join(INSTRUMENTS))
    return readable(Key(key.tonic.up(INSTRUMENTS[instrument]), key.minor), key.signature)


def under_capo(key: Key, fret: int) -> Key:
    """Return the key whose shapes a guitar with a capo at a fret plays to sound in ``key``. Raises KeyProblem.

    A capo raises all strings by a half step a fret.
    """
    if not 0 <= fret <= LAST_FRET:
        raise KeyProblem("no-fret", fret, LAST_FRET)
    return readable(key) if fret == 0 else _named((key.tonic.pitch_class - fret) % 12, key.minor, key.signature)


def key_like(text: str, key: Key) -> Key:
    """Read a key for a piece in ``key``: a tonic alone (Eb) keeps its mode; E♭ and Eb minor read too.

    Its signature may be unreadable. Raises KeyProblem for what is no key, or another mode than the piece's.
    """
    words = text.replace("♭", "b").replace("♯", "#").split()
    mode = "minor" if key.minor else "major"
    if len(words) == 2 and words[1].lower() in ("major", "minor") and words[1].lower() != mode:
        raise KeyProblem("other-mode", text, mode)
    if not words or words[1:] not in ([], [mode]):
        raise KeyProblem("no-key", text)
    try:
        tonic = parse_tone(words[0][:1].upper() + words[0][1:])
    except SpellingError:
        raise KeyProblem("no-key", text) from None
    if abs(tonic.alteration) > 1:
        raise KeyProblem("no-key", text)
    return Key(tonic, key.minor)
