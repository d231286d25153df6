"""What a screen reader hears about a chord names the same tones as the core: on every page of a chord, in every place.

The core is `theory.chords.Chord`; what is said is read back here by its own small reader of spoken notes.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from markupsafe import Markup

from understave.addresses.slugs import ChordPlace, parse_chord_slug
from understave.answers.project import Loaded
from understave.entries.glossary import Glossary
from understave.entries.values import SlashChord
from understave.pages.chords import ChordPages
from understave.pages.handouts import HandoutPages
from understave.pages.others import OtherPages
from understave.pages.page import Page
from understave.theory.chords import Chord, usually_left_out, usually_played
from understave.theory.symbols import read_symbol
from understave.theory.tones import Degree, Tone

SIGNS = {
    "": 0, "sharp": 1, "flat": -1, "double sharp": 2, "double flat": -2, "triple sharp": 3, "triple flat": -3,
}  # fmt: skip
SPOKEN = re.compile(r"\b([A-G])((?: (?:double|triple))? (?:sharp|flat))? (\d)\b")
"""A pitch as it is said: B flat 3."""

PRINTED = re.compile(r"(?<![\w♭♯/])([A-G])((?:♭|♯|𝄫|𝄪)*)(?![\w♭♯°øΔ(/+])")
"""A note as it is printed within a sentence; letters inside symbols and words are none."""

LABELLED = re.compile(r"\d, (root|bass|[♭♯𝄫𝄪]*\d+(?:st|nd|rd|th))")


def spoken(text: str) -> list[Tone]:
    """Return the tones of the pitches that a text names as they are said."""
    return [Tone(letter, SIGNS[sign.strip()]) for letter, sign, _ in SPOKEN.findall(text)]


def printed(text: str) -> set[Tone]:
    """Return the tones that a sentence names as they are printed."""
    size = {"♭": -1, "♯": 1, "𝄫": -2, "𝄪": 2}
    return {Tone(letter, sum(size[sign] for sign in signs)) for letter, signs in PRINTED.findall(text)}


def chord_of(place: ChordPlace, glossary: Glossary) -> Chord:
    """Return the core's chord for a page."""
    degrees = glossary.chords[place.entry].degrees
    return Chord(place.root, degrees, place.root.at(degrees[place.inversion]) if place.inversion else None)


def needed(chord: Chord) -> set[Tone]:
    """Return the tones that a full voicing can't do without: those usually played, of two ninths either one."""
    ninths = [degree for degree in usually_played(chord.degrees) if degree.number == 9]
    optional: set[Degree] = set(ninths) if len(ninths) > 1 else set()
    return {chord.root.at(degree) for degree in usually_played(chord.degrees) if degree not in optional}


@pytest.fixture(scope="module")
def rooted(lanternfield: Loaded) -> list[tuple[Page, Chord]]:
    """Every page of a chord under a root, with the core's chord."""
    glossary = lanternfield.glossary
    found = []
    for page in ChordPages(glossary, {}):
        place = parse_chord_slug(page.address.strip("/"), glossary)
        if place:
            found.append((page, chord_of(place, glossary)))
    return found


def test_what_is_said_under_the_staff_names_the_tones_of_the_core(rooted: list[tuple[Page, Chord]]) -> None:
    assert len(rooted) > 2500
    for page, chord in rooted:
        tones = spoken(page.figures[0].words)
        assert tones[0] == chord.bass, page.address
        assert needed(chord) <= set(tones) <= {*chord.tones, chord.bass}, (page.address, page.figures[0].words)


def test_what_is_said_of_a_position_is_the_whole_chord_from_its_lowest_note(rooted: list[tuple[Page, Chord]]) -> None:
    positions = 0
    for page, chord in rooted:
        for inversion, figure in enumerate(page.figures[1:]):
            wanted = [*chord.tones[inversion:], *chord.tones[:inversion]]
            assert spoken(figure.words) == wanted, page.address
            positions += 1
    assert positions > 500


def test_each_tone_is_said_with_its_own_degree(rooted: list[tuple[Page, Chord]]) -> None:
    for page, chord in rooted:
        for figure in page.figures:
            degrees = LABELLED.findall(figure.words)
            for tone, label in zip(spoken(figure.words), degrees, strict=True):
                degree = chord.degrees[chord.tones.index(tone)]
                number = "1" if label == "root" else re.sub(r"\D", "", label)
                signs = re.sub(r"[^♭♯𝄫𝄪]", "", label)
                assert number == str(degree.number), (page.address, figure.words)
                assert printed(f"C{signs}") == {Tone("C", degree.alteration)}, (page.address, figure.words)


def test_the_sentence_names_every_tone_of_the_core_and_no_other(rooted: list[tuple[Page, Chord]]) -> None:
    for page, chord in rooted:
        assert printed(page.description) >= set(chord.tones), (page.address, page.description)
    for page, chord in rooted[::11]:
        sentence = Markup(page.values()["sentence"]).striptags()
        assert printed(sentence) == set(chord.tones), (page.address, sentence)


def test_the_keyboard_and_the_words_on_request_say_what_the_staff_says(rooted: list[tuple[Page, Chord]]) -> None:
    for page, chord in rooted[::41]:
        values = page.values()
        described = re.search(r"<desc[^>]*>([^<]*)</desc>", values["keyboard"])
        assert described
        assert described[1] == page.figures[0].words
        assert len(re.findall("data-key=", values["keyboard"])) == len(spoken(described[1]))
        for inversion, row in enumerate(values.get("inversions", [])):
            assert spoken(row["said"]) == [*chord.tones[inversion:], *chord.tones[:inversion]]


def test_a_progression_is_said_measure_by_measure(lanternfield: Loaded) -> None:
    glossary = lanternfield.glossary
    pages = {page.address: page for page in OtherPages(glossary, {}, lanternfield.project.counting_system)}
    told = 0
    for name, entry in glossary.of(SlashChord).items():
        words = pages[f"/slash-chords/{name}/"].figures[0].words
        chords = [reading.chord for symbol in entry.example.split() if (reading := read_symbol(symbol)[0]).chord]
        parts = re.split(r"Measure \d+, ", words)[1:] if len(chords) > 1 else [words]
        for chord, part in zip(chords, parts, strict=True):
            assert chord
            tones = spoken(part)
            assert tones[0] == chord.bass, (name, part)
            assert needed(chord) <= set(tones) <= {*chord.tones, chord.bass}, (name, part)
            told += 1
    assert told > 20


def test_a_handout_says_the_tones_of_the_core(lanternfield: Loaded) -> None:
    pages = {page.address: page for page in HandoutPages(lanternfield)}
    chords = 0
    for name, handout in lanternfield.handouts.items():
        page = pages[f"/handouts/{name}/"]
        cards = page.values()["cards"]
        for item, figure, card in zip(handout.items, page.figures, cards, strict=False):
            if not isinstance(item, Chord):
                continue
            chords += 1
            assert set(spoken(figure.words)) <= {*item.tones, item.bass}
            assert set(item.tones) - set(spoken(figure.words)) <= {
                item.root.at(degree) for degree in usually_left_out(item.degrees)
            }
            said = re.findall(r"([A-G][♭♯𝄫𝄪]*) \(([^)]*)\)", Markup(card["tones"]).striptags())
            assert printed(" ".join(tone for tone, _ in said)) == {*item.tones, item.bass}
    assert chords > 8


def heard(text: str) -> Iterator[str]:
    yield from (str(tone) for tone in spoken(text))


def test_spoken_notes_read_back() -> None:
    """The reader of this file itself: a check that reads nothing would always pass."""
    text = "Left hand: B double flat 2, ♭7th; C 3. Right hand: E sharp 4, G triple flat 5. A minor, D flat"
    assert list(heard(text)) == ["Bbb", "C", "E#", "Gbbb"]
    assert printed("C♭m7 has C♭, E𝄫 and B♭/A.") == {Tone("C", -1), Tone("E", -2)}
