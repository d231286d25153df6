"""Checks the letters and signs that people read: tones, degrees, intervals, symbols as text and in parts."""

from __future__ import annotations

import re
from html import unescape

import pytest
from music21 import interval, pitch

from understave.phrases.typesetting import (
    accidental,
    degree_label,
    interval_words,
    key_text,
    key_words,
    listed,
    numeral_html,
    pitch_words,
    suffix_text,
    symbol_html,
    symbol_parts,
    symbol_text,
    tone_text,
    tone_words,
)
from understave.theory.keys import KEYS, homes, secondary_dominants
from understave.theory.symbols import read_symbol
from understave.theory.tones import DEGREES, ROOTS, Tone, parse_degree, parse_pitch, parse_tone


@pytest.mark.parametrize(
    ("tone", "text", "words"),
    [
        ("C", "C", "C"),
        ("Bb", "B♭", "B flat"),
        ("F#", "F♯", "F sharp"),
        ("Bbb", "B𝄫", "B double flat"),
        ("F##", "F𝄪", "F double sharp"),
        ("Bbbb", "B𝄫♭", "B triple flat"),
        ("F###", "F𝄪♯", "F triple sharp"),
    ],
)
def test_a_tone_has_true_accidentals_and_is_said_in_words(tone, text, words):
    assert tone_text(parse_tone(tone)) == text
    assert tone_words(parse_tone(tone)) == words


def test_a_pitch_is_said_with_its_octave():
    assert pitch_words(parse_pitch("Bb3")) == "B flat 3"


def test_every_tone_of_every_chord_can_be_set(glossary):
    for entry in glossary.chords.values():
        for root in ROOTS:
            for degree in entry.degrees:
                tone = root.at(degree)
                assert re.fullmatch(r"[A-G](?:𝄫♭?|♭|𝄪♯?|♯)?", tone_text(tone))
                assert re.fullmatch(r"[A-G](?: (?:double |triple )?(?:flat|sharp))?", tone_words(tone))


@pytest.mark.parametrize(
    ("alteration", "sign"),
    [(0, ""), (1, "♯"), (2, "𝄪"), (3, "𝄪♯"), (-1, "♭"), (-2, "𝄫"), (-3, "𝄫♭"), (-4, "𝄫𝄫"), (4, "𝄪𝄪")],
)
def test_an_accidental_is_one_sign_as_far_as_there_is_one(alteration, sign):
    assert accidental(alteration) == sign


@pytest.mark.parametrize(
    ("degree", "label"),
    [
        ("1", "root"),
        ("2", "2nd"),
        ("b3", "♭3rd"),
        ("3", "3rd"),
        ("5", "5th"),
        ("#5", "♯5th"),
        ("bb7", "𝄫7th"),
        ("b9", "♭9th"),
        ("#11", "♯11th"),
        ("13", "13th"),
    ],
)
def test_a_degree_never_looks_like_a_fingering(degree, label):
    assert degree_label(parse_degree(degree)) == label


@pytest.mark.parametrize("letter", "CDEFGAB")
@pytest.mark.parametrize("alteration", range(-3, 4))
def test_any_interval_within_an_octave_is_named_as_music21_names_it(letter, alteration):
    """music21's interval names; an altered unison that would go down is told as an octave (common practice)."""
    above = Tone(letter, alteration)
    octave = 5 if letter == "C" and alteration < 0 else 4
    theirs = interval.Interval(pitch.Pitch("C4"), pitch.Pitch(f"{str(above).replace('b', '-')}{octave}")).niceName
    told = interval_words(Tone("C").degree_of(above))
    assert told == theirs.lower().replace("-", " ").removeprefix("perfect " if above == Tone("C") else "")


@pytest.mark.parametrize("alteration", range(-9, 10))
def test_no_accidental_is_too_many_to_be_said(alteration):
    assert tone_text(Tone("A", alteration)).startswith("A")
    assert bool(alteration) == bool(
        re.fullmatch(r"A (double |triple |\d times )?(sharp|flat)", tone_words(Tone("A", alteration)))
    )


@pytest.mark.parametrize("text", DEGREES)
def test_intervals_are_named_as_music21_names_them(text):
    """music21's interval names, which say compound intervals in numbers (Major Ninth, Augmented Eleventh)."""
    degree = parse_degree(text)
    above = Tone("C").at(degree)
    octave = 4 + (degree.number - 1) // 7
    theirs = interval.Interval(pitch.Pitch("C4"), pitch.Pitch(f"{str(above).replace('b', '-')}{octave}")).niceName
    assert interval_words(degree) == theirs.lower().removeprefix("perfect " if degree.number == 1 else "")


@pytest.mark.parametrize(
    ("symbol", "text"),
    [
        ("Abm7b5/Eb", "A♭m7♭5/E♭"),
        ("Bb", "B♭"),
        ("Bbb7", "B𝄫7"),
        ("F##m", "F𝄪m"),
        ("C7(b9,#11)", "C7(♭9,♯11)"),
        ("C6/9", "C6/9"),
        ("C6/9/E", "C6/9/E"),
        ("Bbsus2", "B♭sus2"),
        ("Caddb9", "Cadd♭9"),
        ("C7sus4b9", "C7sus4♭9"),
        ("D/F#", "D/F♯"),
        ("N.C.", "N.C."),
        ("", ""),
        ("Bb7b9#11", "B♭7♭9♯11"),
        ("C(b5)", "C(♭5)"),
        ("Cdim(maj7)", "Cdim(maj7)"),
    ],
)
def test_a_symbol_has_true_accidentals_in_every_place(symbol, text):
    assert symbol_text(symbol) == text


def test_only_accidentals_change_when_a_symbol_is_set(glossary):
    """Typesetting loses nothing: what is set reads to the same chord."""
    for entry in glossary.chords.values():
        for form in entry.written:
            for root in (parse_tone("C"), parse_tone("Bb"), parse_tone("F#")):
                symbol = f"{root}{form}"
                assert read_symbol(symbol_text(symbol)) == read_symbol(symbol)
                assert not re.search(r"[#b](?=\d)|^[A-G][#b]", symbol_text(symbol))


@pytest.mark.parametrize(
    ("symbol", "parts"),
    [
        ("C", ("C", "", "")),
        ("Abm7b5/Eb", ("A♭m", "7♭5", "/E♭")),
        ("Cmaj7", ("Cmaj", "7", "")),
        ("Bbadd9", ("B♭", "add9", "")),
        ("Csus4", ("C", "sus4", "")),
        ("Fdim7", ("Fdim", "7", "")),
        ("C6/9/E", ("C", "6/9", "/E")),
        ("Cm(maj7)", ("Cm", "(maj7)", "")),
        ("C(b5)", ("C", "(♭5)", "")),
        ("G#aug", ("G♯aug", "", "")),
        ("7b9", ("", "7♭9", "")),
    ],
)
def test_a_symbol_comes_in_three_parts(symbol, parts):
    assert symbol_parts(symbol) == parts


def test_the_parts_of_a_symbol_are_the_whole_of_it(glossary):
    for entry in glossary.chords.values():
        for form in entry.written:
            for slash in ("", "/E", "/Bb"):
                assert "".join(symbol_parts(f"Ab{form}{slash}")) == symbol_text(f"Ab{form}{slash}")


def test_html_raises_the_extension_and_is_safe():
    assert symbol_html("Abm7b5/Eb") == '<span class="symbol">A♭m<sup>7♭5</sup>/E♭</span>'
    assert symbol_html("C") == '<span class="symbol">C</span>'
    assert "<i>" not in symbol_html("C<i>&")
    assert unescape(re.sub(r"</?(?:span|sup)[^>]*>", "", symbol_html("C<i>&"))) == "C<i>&"


@pytest.mark.parametrize(
    ("suffix", "text"), [("7b9", "7♭9"), ("m7b5", "m7♭5"), ("maj7#11", "maj7♯11"), ("sub", "sub"), ("", "")]
)
def test_a_suffix_is_set_only_where_a_number_follows(suffix, text):
    assert suffix_text(suffix) == text


@pytest.mark.parametrize(
    ("words", "text"), [([], ""), (["A"], "A"), (["A", "B"], "A and B"), (["A", "B", "C"], "A, B and C")]
)
def test_a_list_reads_as_in_a_sentence(words, text):
    assert listed(words) == text
    assert listed(tuple(words)) == text


@pytest.mark.parametrize(
    ("key", "words"),
    [("Bb minor", "B♭ minor"), ("F major", "F major"), ("F# minor", "F♯ minor"), ("C", "C"), ("D dorian", "D dorian")],
)
def test_a_key_that_an_editor_wrote_has_true_accidentals(key, words):
    assert key_words(key) == words


def test_keys_have_letters_and_modes():
    assert sorted(map(key_text, KEYS))[:4] == ["A major", "A minor", "A♭ major", "A♭ minor"]


@pytest.mark.parametrize(
    ("symbol", "numerals"),
    [
        ("G7", '<span class="symbol">V<sup>7</sup></span>'),
        ("Dm", '<span class="symbol">ii</span>'),
        ("Bm7b5", '<span class="symbol">'),
    ],
)
def test_numerals_are_html_with_what_they_add_raised(symbol, numerals):
    whole = read_symbol(symbol)[0].chord
    assert whole is not None
    c_major = [numeral_html(home.numeral) for home in homes(whole) if key_text(home.key) == "C major"]
    assert len(c_major) == 1
    assert c_major[0].startswith(numerals)


def test_every_numeral_of_every_chord_can_be_set(glossary):
    from understave.theory.chords import Chord

    found = 0
    for entry in glossary.chords.values():
        for root in ROOTS:
            chord = Chord(root, entry.degrees)
            for home in (*homes(chord), *secondary_dominants(chord)):
                found += 1
                assert re.fullmatch(
                    r'<span class="symbol">[ivIV]+(?:<sup>[^<>]+</sup>)?(?:/[ivIV]+)?</span>',
                    numeral_html(home.numeral),
                )
    assert found > 500


@pytest.mark.parametrize(
    ("numeral", "html"),
    [("V7/ii", "V<sup>7</sup>/ii"), ("vii°7/V", "vii<sup>°7</sup>/V"), ("I6/9", "I<sup>6/9</sup>"), ("V/V", "V/V"),
     ("V7b9/vi", "V<sup>7♭9</sup>/vi")],
)  # fmt: skip
def test_the_degree_that_a_secondary_dominant_leads_to_isn_t_raised(numeral, html):
    assert numeral_html(numeral) == f'<span class="symbol">{html}</span>'
