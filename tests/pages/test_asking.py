"""Checks the words of questions: each in the form in which the browser looks it up, each for a word of ours."""

from __future__ import annotations

import unicodedata

import pytest

from understave.answers.project import Loaded
from understave.pages.tables import asking
from understave.pages.tables.glossary import TOOL_WORDS, glossary_table


def plain(text: str) -> str:
    """Return a text in small letters without accents, as the browser compares it."""
    return "".join(one for one in unicodedata.normalize("NFD", text.lower()) if not unicodedata.combining(one))


@pytest.mark.parametrize(("ours", "others"), asking.MUSIC_WORDS.items())
def test_words_of_other_languages_stand_once_small_and_without_accents(ours: str, others: str) -> None:
    words = others.split()
    assert [word for word in words if word != plain(word)] == []
    assert len(words) == len(set(words))
    elsewhere = {word for key, row in asking.MUSIC_WORDS.items() if key != ours for word in row.split()}
    assert elsewhere & set(words) == set(), "a word stands for one of ours"


def test_each_stands_for_a_word_that_some_page_is_found_by(lanternfield: Loaded) -> None:
    table = glossary_table(lanternfield)
    columns = [table[key][name] for key in ("chords", "pages") for name in ("id", "name", "words", "line")]
    known = {
        word
        for column in columns
        for text in column
        for word in plain(text or "").replace("-", " ").replace("|", " ").split()
    }
    stems = known | {word.strip(".,;:").removesuffix("s") for word in known}
    assert set(asking.MUSIC_WORDS) - stems == set()


@pytest.mark.parametrize(("language", "row"), asking.COUNTED.items())
def test_beats_are_counted_to_four_and_parted_by_one_word(language: str, row: str) -> None:
    *numbers, halfway = row.split(" ")
    assert len(numbers) == 4, language
    assert halfway.isalpha()


def test_hurried_spellings_stand_for_other_words_than_music() -> None:
    music = {*asking.MUSIC_WORDS, *(word for row in asking.MUSIC_WORDS.values() for word in row.split())}
    assert music & set(asking.CHAT) == set()


@pytest.mark.parametrize("row", TOOL_WORDS.values())
def test_phrases_of_tools_have_a_word_that_tells(row: tuple[str, ...]) -> None:
    fillers = {plain(word) for word in asking.FILLERS}
    idle = [phrase for phrase in row if all({word, f"{word}s"} & fillers for word in phrase.split())]
    assert idle == []


def test_questions_in_small_words_are_plain_and_lead_to_a_phrase_of_a_tool() -> None:
    assert [question for question in asking.ASKED_IN_SMALL_WORDS if question != plain(question)] == []
    assert set(asking.ASKED_IN_SMALL_WORDS.values()) <= {phrase for row in TOOL_WORDS.values() for phrase in row}
