"""The phrase catalogue: sentences by id, with placeholders, one .po file a language."""

from __future__ import annotations

from functools import lru_cache
from importlib.resources import files

from babel.messages.pofile import read_po


@lru_cache(maxsize=8)
def _catalogue(language: str) -> dict[str, str]:
    with files("understave.phrases").joinpath(f"{language}.po").open("rb") as file:
        return {str(message.id): str(message.string) for message in read_po(file) if message.id and message.string}


def phrase(key: str, /, **values: object) -> str:
    """Return the sentence of an id, its placeholders filled. Raises KeyError for an id that no catalogue has."""
    return _catalogue("en")[key].format(**values)


def phrase_text(key: str) -> str:
    """Return the sentence of an id with its placeholders, for a reader that fills them itself."""
    return _catalogue("en")[key]


def phrase_ids() -> frozenset[str]:
    """Return every id of the catalogue."""
    return frozenset(_catalogue("en"))
