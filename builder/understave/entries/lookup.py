"""From a chord to the entries that explain it: its own, or those of its parts."""

from __future__ import annotations

from dataclasses import dataclass

from understave.entries.glossary import Glossary
from understave.entries.values import AddedTone, SlashChord
from understave.theory.chords import Chord
from understave.theory.house_style import print_suffix
from understave.theory.tones import Degree, parse_degree


@dataclass(frozen=True)
class Parts:
    """The entries that explain a chord: its ``own``, or its ``base`` and ``added`` tones, and the ``slash`` pattern."""

    own: str | None
    base: str | None
    added: tuple[str, ...] = ()
    slash: str | None = None

    @property
    def ids(self) -> tuple[str, ...]:
        """All ids, the most telling first."""
        return tuple(name for name in (self.own or self.base, *self.added, self.slash) if name)


def suffix_of(degrees: tuple[Degree, ...], glossary: Glossary) -> str:
    """Return what is printed after the root: the entry's first written form, or the house style's."""
    own = glossary.by_degrees.get(degrees)
    return glossary.chords[own].written[0] if own else print_suffix(degrees)


def symbol_of(chord: Chord, glossary: Glossary) -> str:
    """Return the chord's printed symbol in ASCII."""
    slash = f"/{chord.bass}" if chord.bass != chord.root else ""
    return f"{chord.root}{suffix_of(chord.degrees, glossary)}{slash}"


def parts_of(chord: Chord, glossary: Glossary) -> Parts:
    """Return the entries that explain a chord."""
    own = glossary.by_degrees.get(chord.degrees)
    base, added = (own, ()) if own else _composed(chord.degrees, glossary)
    return Parts(own, base, added, slash_pattern(chord, own or base, glossary))


def _composed(degrees: tuple[Degree, ...], glossary: Glossary) -> tuple[str | None, tuple[str, ...]]:
    """Return the largest chord type within the degrees, and added tones for what is left."""
    base = next((name for name in glossary.bases if set(glossary.chords[name].degrees) <= set(degrees)), None)
    if base is None:
        return None, ()
    left = [degree for degree in degrees if degree not in glossary.chords[base].degrees]
    return base, tuple(filter(None, (added_tone(degree, glossary) for degree in left)))


def added_tone(degree: Degree, glossary: Glossary) -> str | None:
    """Return the added tone of a degree: the one on a major triad explains it best, whatever the chord."""
    found = [
        (parse_degree("3") not in entry.degrees, name)
        for name, entry in glossary.of(AddedTone).items()
        if entry.adds == degree
    ]
    return min(found)[1] if found else None


def slash_pattern(chord: Chord, base: str | None, glossary: Glossary) -> str | None:
    """Return the slash pattern of a chord over its bass: one on this very chord type, or one on a plain triad."""
    if chord.bass == chord.root:
        return None
    degree = chord.root.degree_of(chord.bass)
    found = [(name, entry) for name, entry in slash_patterns(glossary) if entry.bass.simple == degree]
    own = next((name for name, entry in found if entry.chord == base), None)
    if own or chord.inversion is None:
        return own
    return next((name for name, _ in found), None)


def slash_patterns(glossary: Glossary) -> list[tuple[str, SlashChord]]:
    """Return the slash patterns, the commonest first."""
    return sorted(glossary.of(SlashChord).items(), key=lambda item: _commonness(*item))


def _commonness(name: str, entry: SlashChord) -> tuple[bool, int, str]:
    """Return a sorting key: patterns whose example shows nothing but this step come first."""
    return ("inversion" not in name, len(entry.example.split()), name)
