"""The phrase catalogue: sentences by id, with placeholders, one .po file a language.

Everything is said in one language at a time, English until `speak` is told another. Its file is LANGUAGE.po, of the
site's own folder of phrases or of this package; what it lacks is said in English. The English sentences are kept as
JSON where Python keeps its compiled modules, so that a command needn't wait for gettext's reader.
"""

from __future__ import annotations

import json
import os
import re
import sys
from functools import lru_cache
from importlib.resources import files
from importlib.util import cache_from_source
from pathlib import Path
from string import Formatter
from typing import TYPE_CHECKING

from markupsafe import Markup

from understave.entries.faults import Fault, nearest, shown
from understave.entries.folders import own_files, shown_path

if TYPE_CHECKING:
    from babel.messages.catalog import Message

ENGLISH = "en"

FOLDER = "phrases"
"""The folder of a site's content in which its own catalogues lie."""

_LANGUAGE = re.compile(r"[a-z]{2,3}(?:-[A-Za-z]{2,4})?")

_spoken: dict[str, str] = {}
"""The sentences of the language that is spoken, as far as they aren't the English ones."""

_language = [ENGLISH]


def phrase(key: str, /, **values: object) -> str:
    """Return the sentence of an id, its placeholders filled; with HTML among the values it is HTML, the rest escaped.

    Raises KeyError for an id that no catalogue has.
    """
    text = phrase_text(key)
    if any(isinstance(value, Markup) for value in values.values()):
        return Markup(text).format(**values)
    return text.format(**values)


def phrase_text(key: str) -> str:
    """Return the sentence of an id with its placeholders, for a reader that fills them itself."""
    return _spoken.get(key) or _english()[key]


def phrase_ids() -> frozenset[str]:
    """Return every id of the catalogue."""
    return frozenset(_english())


def spoken_language() -> str:
    """Return the language that sentences are said in, as HTML names it: en, pt-BR."""
    return _language[0]


def speak(language: str, content: Path | None = None) -> None:
    """Say everything in a language from now on; ``content`` is the folder of the site's own content.

    Its catalogues have to be free of `catalogue_faults`.
    """
    sentences: dict[str, str] = {}
    for path in reversed(_catalogues(language, content)):
        known = path == _packaged() / f"{ENGLISH}.po"
        sentences |= _english() if known else _sentences(path.read_text("utf-8-sig"))
    _spoken.clear()
    _spoken.update(sentences)
    _language[:] = [language]


def catalogue_faults(language: str, content: Path, config: Path) -> list[Fault]:
    """Return what is wrong with a site's own catalogues, and with a language that has none.

    ``config`` is the file that names the language.
    """
    faults = [fault for path in own_files(content / FOLDER) for fault in _file_faults(path)]
    if not _catalogues(language, content):
        file = shown_path(content / FOLDER / f"{language}.po")
        where = (shown_path(config), 1, 1)
        faults.append(Fault(*where, f"the theme's language {shown(language)}", f"{ENGLISH}, or a catalogue {file}"))
    return faults


@lru_cache(maxsize=1)
def _english() -> dict[str, str]:
    return _compiled(_packaged() / f"{ENGLISH}.po")


def _compiled(path: Path) -> dict[str, str]:
    """Return a catalogue's sentences as they were read before, as long as its file is the same as then."""
    state = path.stat()
    kept = Path(cache_from_source(str(path))).with_suffix(".json")
    try:
        compiled = json.loads(kept.read_bytes())
        if compiled["of"] == [state.st_size, state.st_mtime_ns]:
            return {str(key): str(text) for key, text in compiled["sentences"].items()}
    except (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
        pass
    sentences = _sentences(path.read_text("utf-8"))
    _keep(kept, {"of": [state.st_size, state.st_mtime_ns], "sentences": sentences})
    return sentences


def _keep(kept: Path, compiled: dict[str, object]) -> None:
    if sys.dont_write_bytecode:
        return
    aside = kept.with_name(f"{kept.name}.{os.getpid()}")
    try:
        kept.parent.mkdir(parents=True, exist_ok=True)
        aside.write_text(json.dumps(compiled), encoding="utf-8")
        aside.replace(kept)
    except OSError:  # a folder that can't be written to costs time only
        return


def _packaged() -> Path:
    return Path(str(files("understave.phrases")))


def _catalogues(language: str, content: Path | None) -> list[Path]:
    """Return the files that hold a language's sentences, those that win first: the site's own, pt-BR before pt."""
    if not _LANGUAGE.fullmatch(language):
        return []
    names = dict.fromkeys((f"{language}.po", f"{language.partition('-')[0]}.po"))
    folders = [content / FOLDER] if content is not None else []
    paths = (folder / name for folder in (*folders, _packaged()) for name in names)
    return [path for path in paths if path.is_file()]


def _messages(content: str) -> list[Message]:
    """Return the translated messages of a catalogue. Raises PoFileError or ValueError for what is none."""
    from babel.messages.pofile import read_po

    return [message for message in read_po(content.splitlines(), abort_invalid=True) if message.id]


def _sentences(content: str) -> dict[str, str]:
    return {str(message.id): str(message.string) for message in _messages(content) if message.string}


def _file_faults(path: Path) -> list[Fault]:
    # whoever has no catalogue of their own needs neither YAML nor Markdown
    from understave.entries.prose import RAW_HTML
    from understave.entries.yaml_files import Document, read_text

    where = shown_path(path)
    if path.suffix != ".po" or not _LANGUAGE.fullmatch(path.stem):
        return [Fault(where, 1, 1, f"the name {shown(path.name)}", "a catalogue such as de.po or pt-BR.po")]
    document = Document(where)
    text = read_text(path, document)
    if text is None:
        return document.faults
    from babel.messages.pofile import PoFileError

    try:
        messages = _messages(text)
    except PoFileError as error:
        return [Fault(where, error.lineno + 1, 1, "a line that isn't gettext's", 'msgid "…" and msgstr "…"')]
    except ValueError:
        return [Fault(where, 1, 1, "what no catalogue holds", "a catalogue of gettext")]
    marked = [
        Fault(where, message.lineno or 1, 1, f"raw HTML in {shown(message.id)}", "a sentence of plain text")
        for message in messages
        if RAW_HTML.search(str(message.string))
    ]
    return [*marked, *(fault for message in messages for fault in _message_faults(where, message))]


def _message_faults(where: str, message: Message) -> list[Fault]:
    line, key = message.lineno or 1, message.id
    if not isinstance(key, str) or not isinstance(message.string, str):
        return [Fault(where, line, 1, "a sentence with plural forms", "one sentence to an id")]
    if key not in _english():
        return [Fault(where, line, 1, f"the id {shown(key)}", "the id of a sentence", nearest(key, _english()))]
    english = _english()[key]
    wanted = _placeholders(english) | {name for _, name, _, _ in Formatter().parse(english) if name is not None}
    try:
        found = _placeholders(message.string)
    except ValueError:
        return [Fault(where, line, 1, f"a brace that isn't closed in {shown(key)}", "placeholders such as {symbol}")]
    names = ", ".join(sorted(_placeholders(english))) or "none"
    return [
        Fault(
            where, line, 1, f"the placeholder {shown(name)} in {shown(key)}", f"those of the English sentence: {names}"
        )
        for name in sorted(found - wanted)
    ]


def _placeholders(text: str) -> set[str]:
    """Return what stands in braces, with forms such as :>9 and !r. Raises ValueError for braces that don't match."""
    return {
        name + (f"!{change}" if change else "") + (f":{form}" if form else "")
        for _, name, form, change in Formatter().parse(text)
        if name is not None
    }
