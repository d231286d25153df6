"""Checks which language comments are taken to be in."""

from __future__ import annotations

import pytest

from .askings import asking


@pytest.mark.parametrize(
    ("text", "language"),
    [
        ("Why is it Dm9 in bar 9?", "en"),
        ("No compasso 12, por que é Dm9?", "pt"),
        ("Muito obrigado pela aula!", "pt"),
        ("¿Por qué es Gm9 en el compás 3?", "es"),
        ("¿me pasas la partitura?", "es"),
        ("Perché Bb/C alla battuta 8?", "it"),
        ("Pourquoi Gm9 à la mesure 3 ?", "fr"),
        ("Merci beaucoup", "fr"),
        ("Warum ist das in Takt 3 ein Gm9?", "de"),
        ("Почему здесь Gm9?", "ru"),
        ("なぜ Gm9 ですか", "ja"),
        ("What does CΔ7 mean?", "en"),
        ("Dm9?", "en"),
        ("❤️", "en"),
        ("", "en"),
    ],
)
def test_languages(text, language):
    assert asking(text).language == language
