"""Pages for editors: how each kind of file is written, from its schema, with a worked example."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import partial
from typing import Any

from understave.addresses.slugs import WRITING_ADDRESS, address_of_writing
from understave.answers.new_files import LONGEST_EXAMPLE, NEW, flow
from understave.answers.schemas import FOLDER, KINDS, Kind, example_text, schema_of
from understave.entries.leftovers import FILL_IN
from understave.pages.page import Page
from understave.phrases.catalogue import phrase


def writing_pages() -> Iterator[Page]:
    """Yield the index, and a page for each kind of file."""
    title, intro = phrase("write-title"), phrase("write-intro")
    index = {"title": title, "intro": intro, "steps": _steps()}
    yield Page(WRITING_ADDRESS, title, intro, "writing.html", lambda: {**index, "rows": _rows()})
    for kind in KINDS.values():
        about = str(schema_of(kind)["description"])
        yield Page(address_of_writing(kind.name), _title(kind), about, "write.html", partial(_values, kind))


def _steps() -> list[dict[str, str]]:
    """Return what an editor does from the first line to the last, with the command of each step."""
    return [
        {"does": phrase("write-step-new"), "command": "understave new term half-cadence"},
        {"does": phrase("write-step-fill", mark=FILL_IN), "command": ""},
        {"does": phrase("write-step-check"), "command": "understave check"},
        {"does": phrase("write-step-look"), "command": "understave serve"},
        {"does": phrase("write-step-fix"), "command": "understave check --fix"},
    ]


def _title(kind: Kind) -> str:
    return phrase("write-kind", kind=kind.name.replace("-", " "))


def _rows() -> list[dict[str, str]]:
    return [
        {"address": address_of_writing(name), "name": name.replace("-", " "), "summary": schema_of(kind)["description"]}
        for name, kind in KINDS.items()
    ]


def _values(kind: Kind) -> dict[str, Any]:
    schema = schema_of(kind)
    return {
        "title": _title(kind),
        "about": schema["description"],
        "path": kind.path.format(id="ID"),
        "command": " ".join(("understave", "new", kind.name, "ID")) if kind.name in NEW else "",
        "examples": [{"path": path, "text": example_text(path)} for path in kind.examples],
        "fields": list(_fields(schema, schema.get("$defs", {}), kind.keys)),
        "schema": f"/{FOLDER}/{kind.name}.json",
        "prose": "text" in schema["properties"] and kind.name in _PROSE,
    }


_PROSE = frozenset(name for name in NEW if name not in ("guide", "lesson", "reply"))
"""The kinds whose texts have braces that the site fills."""


def _fields(
    schema: dict[str, Any], shapes: dict[str, Any], order: Iterable[str], within: str = ""
) -> Iterator[dict[str, Any]]:
    """Yield a row for each field in an order, those of mappings within it after it."""
    for name in order:
        about = schema["properties"][name]
        example = next((text for value in about["examples"] if len(text := flow(value)) <= LONGEST_EXAMPLE), "")
        yield {
            "name": f"{within}{name}",
            "wanted": name in schema.get("required", ()),
            "about": about["description"],
            "example": example,
        }
        for holder in (about, about.get("items", {}), about.get("additionalProperties", {})):
            if isinstance(holder, dict) and "$ref" in holder:
                inner = shapes[holder["$ref"].rpartition("/")[2]]
                yield from _fields(inner, shapes, inner["properties"], f"{within}{name}: ")
