"""Checks that no word that a viewer reads stands in a template, a script or a page's code: all are in the catalogue."""

from __future__ import annotations

import ast
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

import understave

PACKAGE = Path(understave.__file__).parent
TEMPLATES = sorted([*PACKAGE.rglob("templates/*.html"), *PACKAGE.rglob("theme/**/*.html")])
SCRIPTS = sorted(PACKAGE.rglob("scripts/*.js"))
ROOMS = sorted(path for room in ("pages", "phrases", "engraving") for path in (PACKAGE / room).rglob("*.py"))

WORD = re.compile(r"[A-Za-z]{2,}")
READ = ("alt", "title", "placeholder", "aria-label", "label", "summary")
"""The attributes whose text is read, aloud or not (WHATWG HTML and WAI-ARIA; from memory)."""

SCRIPT_WORDS = {"const", "export", "from", "import", "return"}
"""What code writes of scripts, and nobody reads (ECMAScript's reserved words)."""


def bare_words(template: str) -> list[str]:
    """The words that stand in a template beside what Jinja puts in, in texts and in attributes that are read."""
    found: list[str] = []
    hidden: list[str] = []

    class Reader(HTMLParser):
        def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
            if tag in ("style", "script"):
                hidden.append(tag)
            found.extend(value for name, value in attrs if name in READ and value and WORD.search(value))

        def handle_endtag(self, tag: str) -> None:
            if hidden and hidden[-1] == tag:
                hidden.pop()

        def handle_data(self, data: str) -> None:
            if not hidden and WORD.search(data):
                found.append(data.strip())

    Reader().feed(re.sub(r"\{%.*?%\}|\{\{.*?\}\}|\{#.*?#\}", "", template, flags=re.S))
    return found


def sentences_in(script: str) -> list[str]:
    """The texts of a script that read as words parted by spaces or that stand in the page as they are."""
    code = re.sub(r"/\*.*?\*/|^import .*?;$", "", script, flags=re.S | re.M)
    texts = [text for pair in re.findall(r'"((?:[^"\\\n]|\\.)*)"|`((?:[^`\\]|\\.)*)`', code) for text in pair if text]
    plain = [re.sub(r"\$\{[^}]*\}", "", text) for text in texts]
    return [text for text in plain if re.search(r"(?:^|\s)[a-z]{2,} (?:[a-z]+ )*[a-z]{2,}(?:\s|$)", text, re.I)]


def words_in_code(path: Path) -> list[str]:
    """The words between the values of f-strings; what editors and developers are told of faults is English."""
    tree = ast.parse(path.read_text("utf-8"))
    told = {
        inner
        for node in ast.walk(tree)
        if isinstance(node, ast.Raise) or (isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Fault")
        for inner in ast.walk(node)
    }
    parts = [
        str(part.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.JoinedStr) and node not in told
        for part in node.values
        if isinstance(part, ast.Constant)
    ]
    return [
        part
        for part in parts
        if re.search(r"(?:^| )[A-Za-z]{2,} | [A-Za-z]{2,}(?: |$)", part)
        and not set("<=") & set(part)
        and not set(WORD.findall(part)) <= SCRIPT_WORDS
    ]


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.name)
def test_templates_have_no_words_of_their_own(path: Path) -> None:
    assert bare_words(path.read_text("utf-8")) == []


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.name)
def test_scripts_have_no_sentences_of_their_own(path: Path) -> None:
    assert sentences_in(path.read_text("utf-8")) == []


def test_code_of_pages_has_no_words_between_its_values() -> None:
    found = {path.name: found for path in ROOMS if (found := words_in_code(path))}
    assert found == {}, found


def test_words_are_found_where_they_stand() -> None:
    assert bare_words('<p>{{ phrase("a") }} Words</p>') == ["Words"]
    assert bare_words('<b aria-label="A word">{% if a %}›{% endif %}</b><p class="word">1</p>') == ["A word"]
    assert sentences_in('news.textContent = `${count} more answers`; const a = "class-name";') == [" more answers"]
