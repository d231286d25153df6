"""Checks which times and measures comments name, in six languages."""

from __future__ import annotations

import pytest

from .askings import asking


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("at the 40 second mark", 40),
        ("about half a minute in", 30),
        ("0:40", 40),
        ("what is it at 1:05?", 65),
        ("1:02:03 please", 3723),
        ("1m22s what is that", 82),
        ("at 40 seconds", 40),
        ("at the forty second mark", 40),
        ("second 82", 82),
        ("2 minutes in you say", 120),
        ("around the 3 minute mark", 180),
        ("at 1 min 20", 80),
        ("from 0:40 to 0:50", 40),
        ("0:40-0:50", 40),
        ("aos 40 segundos", 40),
        ("en el minuto 1:22", 82),
        ("a los 40 segundos", 40),
        ("al secondo 40", 40),
        ("à la seconde 40", 40),
        ("bei 40 Sekunden", 40),
        ("bei Sekunde 40", 40),
        ("I practice at 6:30", None),
        ("my lesson is at 4:30 pm", None),
        ("um 6:30 Uhr", None),
        ("I practise every day at 7:15", None),
        ("1:75", None),
        ("I learned it in 5 minutes", None),
        ("it took 40 minutes", None),
        ("I practiced for 40 seconds", None),
        ("play it at 0.75 speed", None),
        ("16:9", None),
    ],
)
def test_times(text, seconds):
    assert asking(text).places.at == seconds


@pytest.mark.parametrize(
    ("text", "measure"),
    [
        ("bar 12", 12),
        ("third measure", 3),
        ("measures 9-10", 9),
        ("measures nine and ten", 9),
        ("mm. 9–12", 9),
        ("m. 12", 12),
        ("m12", 12),
        ("bar #9", 9),
        ("measure number 9", 9),
        ("the 21st bar", 21),
        ("the twenty first bar", 21),
        ("measure twenty-four", 24),
        ("the first four measures", 1),
        ("compasso 12", 12),
        ("terceiro compasso", 3),
        ("el tercer compás", 3),
        ("compases 9-10", 9),
        ("battuta 12", 12),
        ("la terza battuta", 3),
        ("la mesure 12", 12),
        ("la troisième mesure", 3),
        ("Takt 12", 12),
        ("im 12. Takt", 12),
        ("im dritten Takt", 3),
        ("the last four measures", None),
        ("the last measure", None),
        ("the second-to-last measure", None),
        ("a 12 bar blues", None),
        ("8 bars", None),
        ("compás de 3/4", None),
        ("im 3/4 Takt", None),
        ("the second bar line", None),
    ],
)
def test_measures(text, measure):
    assert asking(text).places.measure == measure


def test_the_first_of_each_counts():
    places = asking("At 0:22, bar 9, is it Dm? And at 0:40, bar 12?").places
    assert (places.at, places.measure) == (22, 9)
