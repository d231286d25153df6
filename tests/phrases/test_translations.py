"""Checks that a translation is a file: found without touching code, held against the English one, lacks made up for."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from understave.phrases.catalogue import catalogue_faults, phrase, speak, spoken_language
from understave.phrases.typesetting import degree_label, interval_words, key_words, listed, tone_words
from understave.theory.tones import parse_degree, parse_tone

HEAD = 'msgid ""\nmsgstr ""\n"Language: de\\n"\n"Content-Type: text/plain; charset=utf-8\\n"\n\n'


@pytest.fixture(autouse=True)
def english_again() -> Iterator[None]:
    yield
    speak("en")


def catalogue(content: Path, name: str, text: str) -> Path:
    (content / "phrases").mkdir(exist_ok=True)
    path = content / "phrases" / name
    path.write_text(text, encoding="utf-8")
    return path


def faults(content: Path, language: str = "en") -> list[str]:
    return [str(fault) for fault in catalogue_faults(language, content, content / "mkdocs.yml")]


def messages(**sentences: str) -> str:
    return HEAD + "".join(f'msgid "{key.replace("_", "-")}"\nmsgstr "{text}"\n\n' for key, text in sentences.items())


def test_a_sites_own_catalogue_is_found(tmp_path: Path) -> None:
    catalogue(
        tmp_path, "de.po", messages(heading_tones="Die Töne", said_list="{words} und {last}", degree_1="Grundton")
    )
    speak("de", tmp_path)
    assert spoken_language() == "de"
    assert phrase("heading-tones") == "Die Töne"
    assert listed(["1", "2", "3"]) == "1, 2 und 3"
    assert degree_label(parse_degree("1")) == "Grundton"


def test_words_that_are_put_together_are_in_the_catalogue(tmp_path: Path) -> None:
    text = messages(
        said_flat="bemol", said_tone="{letter} {sign}", key_minor="{tonic} menor", interval_3="tercera",
        interval_minor="{interval} menor", degree_3="3.ª",
    )  # fmt: skip
    catalogue(tmp_path, "es.po", text)
    speak("es", tmp_path)
    assert tone_words(parse_tone("Bb")) == "B bemol"
    assert key_words("Bb minor") == "B♭ menor"
    assert interval_words(parse_degree("b3")) == "tercera menor"
    assert degree_label(parse_degree("b3")) == "♭3.ª"


def test_what_a_translation_lacks_is_said_in_english(tmp_path: Path) -> None:
    catalogue(tmp_path, "de.po", messages(heading_tones="Die Töne", heading_roots=""))
    speak("de", tmp_path)
    assert phrase("heading-roots") == "On every letter"
    speak("en", tmp_path)
    assert phrase("heading-tones") == "The notes and their jobs"


def test_a_site_may_say_an_english_sentence_in_its_own_way(tmp_path: Path) -> None:
    catalogue(tmp_path, "en.po", messages(heading_tones="Which notes?"))
    speak("en", tmp_path)
    assert phrase("heading-tones") == "Which notes?"


def test_a_regions_catalogue_stands_before_its_languages(tmp_path: Path) -> None:
    catalogue(tmp_path, "pt.po", messages(heading_tones="As notas", heading_roots="Em cada letra"))
    catalogue(tmp_path, "pt-BR.po", messages(heading_tones="As notas e o que fazem"))
    speak("pt-BR", tmp_path)
    assert phrase("heading-tones") == "As notas e o que fazem"
    assert phrase("heading-roots") == "Em cada letra"
    assert spoken_language() == "pt-BR"


def test_a_good_catalogue_has_no_faults(tmp_path: Path) -> None:
    catalogue(tmp_path, "de.po", messages(heard_at="Ab {time} zu hören", why_plain="{name}"))
    assert faults(tmp_path, "de") == []
    assert faults(tmp_path) == []
    assert faults(tmp_path / "nowhere") == []


@pytest.mark.parametrize(
    ("name", "text", "wanted"),
    [
        (
            "de.po",
            messages(heading_tone="Die Töne"),
            ":6:1: the id 'heading-tone'; the id of a sentence; nearest: 'heading-tones'",
        ),
        (
            "de.po",
            messages(heard_at="Ab {zeit}"),
            ":6:1: the placeholder 'zeit' in 'heard-at'; those of the English sentence: time",
        ),
        (
            "de.po",
            messages(heard_at="Ab {time"),
            ":6:1: a brace that isn't closed in 'heard-at'; placeholders such as {symbol}",
        ),
        ("de.po", "Die Töne\n", ":1:1: a line that isn't gettext's; msgid \"…\" and msgstr \"…\""),
        ("deutsch.po", HEAD, ":1:1: the name 'deutsch.po'; a catalogue such as de.po or pt-BR.po"),
        ("de.txt", HEAD, ":1:1: the name 'de.txt'; a catalogue such as de.po or pt-BR.po"),
        (
            "de.po",
            HEAD + 'msgid "heard-at"\nmsgid_plural "heard-ats"\nmsgstr[0] "Ab"\nmsgstr[1] "Abe"\n',
            ":6:1: a sentence with plural forms; one sentence to an id",
        ),
    ],
)  # fmt: skip
def test_a_bad_catalogue_gets_one_clear_line(tmp_path: Path, name: str, text: str, wanted: str) -> None:
    path = catalogue(tmp_path, name, text)
    [fault] = faults(tmp_path)
    assert fault.removeprefix(path.as_posix()) == wanted


def test_a_catalogue_that_is_no_text_gets_one_clear_line(tmp_path: Path) -> None:
    catalogue(tmp_path, "de.po", HEAD).write_bytes(b"\xff\xfe\x00m")
    [fault] = faults(tmp_path)
    assert "bytes that are no UTF-8" in fault


@pytest.mark.parametrize("language", ["de", "../en", "x" * 300, ""])
def test_a_language_without_a_catalogue_is_a_fault(tmp_path: Path, language: str) -> None:
    [fault] = faults(tmp_path, language)
    assert "mkdocs.yml:1:1: the theme's language" in fault
    assert "expected" not in fault
    assert "\n" not in fault
