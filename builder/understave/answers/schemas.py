"""What editors write: each kind of file, its shape as JSON Schema, and a worked example of it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import core_schema

from understave.addresses.ledger import LedgerFile
from understave.answers.configuration import NoProjectError
from understave.answers.handouts import HandoutFile
from understave.comments.answered import AnsweredFile
from understave.entries import schema
from understave.entries.faults import nearest
from understave.entries.guides import COUNTED, HEAD
from understave.entries.replies import ReplyFile, WordsFile
from understave.entries.yaml_files import Scalar, parse_yaml
from understave.lessons.levels import LevelsFile
from understave.lessons.schema import LessonFile

EXAMPLES = Path(__file__).parent / "examples"
"""The worked examples: together they are a small site, which a test checks and builds."""

MOST_EXAMPLES = 2
"""How many examples a field is shown with."""

FOLDER = "schemas"
"""Where a site publishes them."""

Json = dict[str, Any]


class _EditorsSchema(GenerateJsonSchema):
    """JSON Schema for what is typed: a key is left out, never null, and what is filled in for it is no concern."""

    def nullable_schema(self, schema: core_schema.NullableSchema) -> JsonSchemaValue:
        return self.generate_inner(schema["schema"])

    def default_schema(self, schema: core_schema.WithDefaultSchema) -> JsonSchemaValue:
        return self.generate_inner(schema["schema"])


@dataclass(frozen=True)
class Kind:
    """A kind of file, or of block within one: its ``model``, where such files lie, and worked examples."""

    name: str
    model: type[schema.Shape]
    path: str
    """The path of a file, {id} in its id's place; ``content``, ``lessons`` and nothing stand for a site's folders."""
    examples: tuple[str, ...]
    """Paths of worked examples, below EXAMPLES."""

    @cached_property
    def values(self) -> list[Any]:
        """The values of the worked examples, as they were typed."""
        return [parse_yaml(text, path).value for path in self.examples for text in _yaml_of(self, path)]

    @cached_property
    def keys(self) -> list[str]:
        """The keys of a file in the order in which the examples have them."""
        return list(dict.fromkeys(key for value in self.values for key in value))


def _entry(name: str, model: type[schema.EntryFile], *examples: str) -> Kind:
    folder = f"content/{model.makes.folder}"
    return Kind(name, model, f"{folder}/{{id}}.yaml", tuple(f"{folder}/{example}.yaml" for example in examples))


_GUIDE = ("content/guides/three-in-a-beat.md",)

KINDS: dict[str, Kind] = {
    kind.name: kind
    for kind in (
        _entry("chord-symbol", schema.ChordSymbolFile, "minor-ninth"),
        _entry("added-tone", schema.AddedToneFile, "minor-added-ninth"),
        _entry("slash-chord", schema.SlashChordFile, "minor-ninth-over-its-seventh"),
        _entry("counting-system", schema.CountingSystemFile, "e-and-a", "kodaly"),
        _entry("rhythm-figure", schema.RhythmFigureFile, "triplet-and-quarter"),
        _entry("term", schema.TermFile, "german-sixth"),
        Kind("guide", schema.GuideFile, "content/guides/{id}.md", _GUIDE),
        Kind("counted-rhythm", schema.CountedExampleFile, "content/guides/{id}.md", _GUIDE),
        Kind("handout", HandoutFile, "content/handouts/{id}.yaml", ("content/handouts/dark-colors.yaml",)),
        Kind("lesson", LessonFile, "lessons/{id}.yaml", ("lessons/four-quiet-measures.yaml",)),
        Kind("reply", ReplyFile, "content/replies/{id}.yaml", ("content/replies/pedal.yaml",)),
        Kind("words", WordsFile, "content/replies/words.yaml", ("content/replies/words.yaml",)),
        Kind("levels", LevelsFile, "levels.yaml", ("levels.yaml",)),
        Kind("answered", AnsweredFile, "answered.yaml", ("answered.yaml",)),
        Kind("permalinks", LedgerFile, "permalinks.yaml", ("permalinks.yaml",)),
    )
}
"""Every kind of file by its name, in the order in which editors meet them."""


def example_text(path: str) -> str:
    """Return a worked example."""
    return (EXAMPLES / path).read_text(encoding="utf-8")


def _yaml_of(kind: Kind, path: str) -> list[str]:
    """Return the YAML of an example: of a guide its head, or its blocks."""
    text = example_text(path)
    if kind.name == "counted-rhythm":
        return [block[1] for block in COUNTED.finditer(text)]
    head = HEAD.match(text)
    return [head[1] if head else text]


def find_kind(name: str) -> Kind:
    """Return a kind by its name. Raises NoProjectError for any other name."""
    if name not in KINDS:
        hint = nearest(name, KINDS)
        expected = f"expected one of {', '.join(KINDS)}"
        raise NoProjectError(f"{name}: no kind of file; {expected}" + (f"; {hint}" if hint else ""))
    return KINDS[name]


def schema_address(site_url: str, name: str) -> str:
    """Return where a site publishes a kind's schema; an empty text for a site without an address."""
    return f"{site_url.rstrip('/')}/{FOLDER}/{name}.json" if site_url else ""


def schema_of(kind: Kind, site_url: str = "") -> Json:
    """Return the JSON Schema of a kind, with a title, a description and examples for every field."""
    found = kind.model.model_json_schema(schema_generator=_EditorsSchema)
    for name, inner in (("", found), *found.get("$defs", {}).items()):
        inner["description"] = inner["description"].partition("\n")[0].replace("``", "")
        inner["title"] = (kind.name if not name else name.removesuffix("File")).replace("-", " ").capitalize()
    _show(found, kind.values, found.get("$defs", {}))
    address = schema_address(site_url, kind.name)
    return {"$schema": _EditorsSchema.schema_dialect, **({"$id": address} if address else {}), **found}


def _show(part: Json, values: list[Any], shapes: dict[str, Json]) -> None:
    """Give every property the values that it has in the examples, shapes within it too."""
    for name, about in part.get("properties", {}).items():
        found = [value[name] for value in values if isinstance(value, dict) and name in value]
        if found:
            about["examples"] = [_plain(value) for value in found[:MOST_EXAMPLES]]
        about["description"] = " ".join(about.get("description", "").split())
        for holder in (about, about.get("items", {}), about.get("additionalProperties", {})):
            if isinstance(holder, dict) and "$ref" in holder:
                _show(shapes[holder["$ref"].rpartition("/")[2]], list(_inside(found)), shapes)


def _inside(values: list[Any]) -> Iterator[Any]:
    """Yield the values themselves, or the items of those that are lists."""
    for value in values:
        yield from value if isinstance(value, list) else [value]


def _plain(value: Any) -> Any:
    """Return a value as JSON has it."""
    if isinstance(value, dict):
        return {key: _plain(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_plain(inner) for inner in value]
    if isinstance(value, Scalar) and value.kind in ("a number", "true or false"):
        return json.loads(value)
    return str(value)


def all_schemas(site_url: str = "") -> dict[str, Json]:
    """Return the schema of every kind, by name."""
    return {name: schema_of(kind, site_url) for name, kind in KINDS.items()}


def schema_files(site_url: str) -> dict[str, str | bytes]:
    """Return the files that a site publishes, by path."""
    return {
        f"{FOLDER}/{name}.json": json.dumps(found, indent=1) + "\n" for name, found in all_schemas(site_url).items()
    }
