"""Checks which words of running text are chord symbols. Sentences without chords are everyday English and the like."""

from __future__ import annotations

import pytest

from .askings import asking, symbols


@pytest.mark.parametrize(
    "text",
    [
        "A minor point: the sound is low",
        "Am I right?",
        "could you dim the lights",
        "E for effort",
        "I could listen to this 24/7",
        "see you aug 9",
        "Plan B is vitamin C",
        "I am loving this, a lot",
        "that's kinda sus",
        "It is in G major",
        "Is this piece in D minor or F major?",
        "I play the C major scale every day",
        "Why is there a B in the left hand?",
        "the notes are C E G",
        "Is it A4 or letter paper?",
        "My middle C is C4, an octave lower",
        "My clarinet is in B flat",
        "He got an A+ and a C-",
        "9 AM in Manila",
        "Dm me please",
        "Em, I don't think so",
        "Do I need to press F5 to reload?",
        "a major improvement",
        "A major mistake of mine",
        "Em qual compasso começa a parte B?",
        "Am Anfang war es zu schwer",
        "La mayor parte es fácil",
        "si no, mi mayor problema es el ritmo",
        "E agora?",
        "A la main gauche",
        "G'day and go Do it",
        "Section C is my favorite",
        "bei 1:52 spielt die linke Hand doch nichts, oder?",
        "What level is this, grade B2?",
        "B4 I forget: where is the link?",
    ],
)
def test_words_that_only_look_like_chords_are_none(text):
    assert symbols(text) == []
    assert asking(text).suffixes == ()


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Why is it Dm9 in bar 9?", ["Dm9"]),
        ("What is F/A?", ["F/A"]),
        ("B♭maj7♯11 is new to me", ["Bbmaj7#11"]),
        ("what's E♭/G", ["Eb/G"]),
        ("Dm⁷ in bar 2", ["Dm7"]),
        ("G7(b9,#11)?", ["G7b9#11"]),
        ("is Bm7 b5 the same as Bø7?", ["Bm7b5", "Bm7b5"]),
        ("B flat minor nine at 1:05?", ["Bbm9"]),
        ("D minor 7 flat 5", ["Dm7b5"]),
        ("F sharp half diminished", ["F#m7b5"]),
        ("an E-flat major seventh", ["Ebmaj7"]),
        ("is that chord a Bb over C or a C11?", ["Bb/C", "C11"]),
        ("F6 with D in the bass", ["F6/D"]),
        ("the G chord in bar 3", ["G"]),
        ("is it G or G7?", ["G", "G7"]),
        ("Why G/B and not just G?", ["G/B", "G"]),
        ("from G7 to C", ["G7", "C"]),
        ("Dm7 G7 C is lovely", ["Dm7", "G7", "C"]),
        ("Gm9 - C7 - F", ["Gm9", "C7", "F"]),
        ("Dm7-G7-C", ["Dm7", "G7", "C"]),
        ("Do the chords C, G and F work?", ["C", "G", "F"]),
        ("the Am in bar 10", ["Am"]),
        ("Am in bar 4?", ["Am"]),
        ("Is the A minor in bar 4 right?", ["Am"]),
        ("What does C2 mean?", ["Cadd2"]),
        ("Why no third in F5?", ["F5"]),
        ("the symbol says Bb", ["Bb"]),
        ("Dm9's third", ["Dm9"]),
        ("dm7 in measure 2", ["Dm7"]),
        ("O acorde de Ré menor está certo?", ["Dm"]),
        ("¿Qué es Sol7?", ["G7"]),
        ("Im Takt 12 steht H7", ["B7"]),
        ("C7: C E G Bb", ["C7"]),
        ("Cmaj7 C E G B", ["Cmaj7"]),
        ("G Em D C all the way?", ["G", "Em", "D", "C"]),
        ("Why G in the easy one and G13 here?", ["G", "G13"]),
        ("what means Bb/D, is not just Bb?", ["Bb/D", "Bb"]),
        ("What's the difference between Am and A?", ["Am", "A"]),
        ("it is Dm not D", ["Dm", "D"]),
        ("the chord is G but I hear a C", ["G"]),
        ("how do I play caug?", ["Caug"]),
        ("D7/C, do I say D seven slash C?", ["D7/C", "D7/C"]),
        ("the D chord with F# in the bass", ["D/F#"]),
        ("Warum steht hier G7/H und nicht G7?", ["G7/B", "G7"]),
        ("¿Por qué escribes Do/Mi aquí?", ["C/E"]),
        ("perché Re/Fa# e non Re?", ["D/F#", "D"]),
        ("en el minuto 2:20 dices La menor pero suena mayor", ["Am"]),
    ],
)
def test_chords_are_found_as_they_are_meant(text, found):
    assert symbols(text) == found


@pytest.mark.parametrize(
    ("text", "entry"), [("What does add9 mean?", "9"), ("what does sus4 mean", "4"), ("what does ø mean", "b5")]
)
def test_symbols_without_a_root_are_found(text, entry):
    (chord,) = asking(text).suffixes
    assert entry in map(str, chord.degrees)


def test_a_part_of_a_named_chord_is_not_found_again():
    assert asking("What does add2 mean in Fadd2?").suffixes == ()
    assert asking("What does sus mean in Gsus4?").suffixes == ()
