"""A new file for an editor: filled in as far as its id tells, with a comment on every field from its schema."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from textwrap import wrap
from typing import Any

from understave.addresses.slugs import address_of_writing
from understave.answers.configuration import NoProjectError, Project
from understave.answers.schemas import KINDS, Kind, find_kind, schema_address, schema_of
from understave.entries.faults import nearest, shown
from understave.entries.folders import entry_files, id_faults, name_faults, shown_path
from understave.entries.leftovers import FILL_IN
from understave.entries.replies import TEMPLATES
from understave.entries.values import KINDS as ENTRIES
from understave.phrases.catalogue import phrase
from understave.theory.house_style import print_suffix
from understave.theory.symbols import SymbolError, read_symbol

NEW = tuple(name for name, kind in KINDS.items() if "{id}" in kind.path and name != "counted-rhythm")
"""The kinds that have a file for each id."""

WIDTH = 100
"""How wide comments are."""

LONGEST_EXAMPLE = 90
"""The most characters of an example beside a place to fill in."""

_PLAIN = re.compile(r"[A-Za-z][A-Za-z -]*")
_WORDS_OF_YAML = frozenset(("y", "n", "yes", "no", "on", "off", "true", "false", "null"))


def new_file(project: Project, kind_name: str, name: str) -> tuple[Path, str]:
    """Return where a new file belongs, and its text.

    Raises NoProjectError for an unknown kind, an id that no file of the kind may have or that is taken, and a project
    without the folder.
    """
    if kind_name not in NEW:
        hint = nearest(kind_name, NEW)
        expected = f"expected one of {', '.join(NEW)}"
        raise NoProjectError(f"{kind_name}: no kind of new file; {expected}" + (f"; {hint}" if hint else ""))
    kind = find_kind(kind_name)
    path = _path(project, kind, name)
    _check_name(project, kind, name, path)
    return path, _guide_text(kind, name) if path.suffix == ".md" else _text(kind, name, project.site_url)


def news_of(path: Path, text: str) -> str:
    """Return what is said of a new file."""
    return phrase("new-file-made", path=shown_path(path), mark=FILL_IN, count=_places(text))


def _places(text: str) -> int:
    """Return how many places are to be filled in; the comments speak of them, too."""
    return sum(line.count(FILL_IN) for line in text.splitlines() if not line.startswith("# "))


def _path(project: Project, kind: Kind, name: str) -> Path:
    if not project.config.is_file():
        raise NoProjectError("no mkdocs.yml here or above that names the plugin; expected one, or its path after -f")
    top, _, below = kind.path.format(id=name).partition("/")
    folder = {"content": project.content, "lessons": project.lessons}[top]
    if folder is None:
        raise NoProjectError(f"{project.config}: no folder of lessons; expected lessons: PATH under understave")
    return folder / below


def _check_name(project: Project, kind: Kind, name: str, path: Path) -> None:
    """Raise NoProjectError for an id that may not be, or that another file has."""
    if path.name.removesuffix(path.suffix) != name or Path(name).name != name:
        raise NoProjectError(f"the id {shown(name)}; expected small letters a-z, digits and single hyphens")
    entry = next((one for one in ENTRIES if f"content/{one.folder}/" in kind.path), None)
    faults = list(name_faults(path, entry) if entry else id_faults(path))
    if faults:
        raise NoProjectError(
            "; ".join(filter(None, (faults[0].found, f"expected {faults[0].expected}", faults[0].nearest)))
        )
    others = [other for other, known, _ in entry_files(project.content) if known is not None]
    others += sorted(project.lessons.glob("*.yaml")) if project.lessons else []
    taken = [path] if path.exists() or path.is_symlink() else []
    if kind.name not in ("guide", "reply"):
        taken += [other for other in others if other.stem == path.stem]
    if taken:
        raise NoProjectError(f"{shown_path(taken[0])}: it is there already; expected an id that isn't taken")


def _known(kind: Kind, name: str) -> dict[str, Any]:
    """Return what an id tells of a file of its kind."""
    words = name.replace("-", " ")
    match kind.name:
        case "chord-symbol" | "added-tone":
            return {"name": words, **_spelled(words, added=kind.name == "added-tone")}
        case "counting-system":
            return {"name": words, "by": "position", "two": ["n", FILL_IN]}
        case "rhythm-figure":
            return {"name": words, "meter": "4/4"}
        case "lesson":
            sections = [{"name": FILL_IN, "at": "0:00"}]
            score = f"../scores/{name}.musicxml"
            return {"title": words.capitalize(), "score": score, "rights": FILL_IN, "sections": sections}
        case "guide":
            return {"title": words.capitalize()}
        case "reply" if name in TEMPLATES:
            return {"text": " ".join((*(f"{{{field}}}" for field in sorted(TEMPLATES[name])), FILL_IN)) + "\n"}
        case "reply":
            return {"topic": FILL_IN, "asked_as": [FILL_IN], "text": f"{{hello}} {FILL_IN}\n"}
    return {"name": words}


def _spelled(words: str, *, added: bool) -> dict[str, Any]:
    """Return how a chord is written and what it holds, if its name reads as one."""
    try:
        chord = read_symbol(f"C {words}")[0].chord
    except SymbolError:
        chord = None
    if chord is None:
        return {"degrees": ["1", FILL_IN]}
    degrees = [str(degree) for degree in chord.degrees]
    more = {"adds": degrees[-1]} if added else {}
    return {"written": [print_suffix(chord.degrees)], "degrees": degrees, **more}


def _text(kind: Kind, name: str, site_url: str) -> str:
    address = schema_address(site_url, kind.name)
    head = [f"# yaml-language-server: $schema={address}"] if address else []
    return "\n".join([*head, *_fields(kind, name, site_url)]) + "\n"


def _guide_text(kind: Kind, name: str) -> str:
    title = _known(kind, name)["title"]
    return "\n".join(["---", *_fields(kind, name, ""), "---", "", f"# {title}", "", FILL_IN, ""])


def _fields(kind: Kind, name: str, site_url: str) -> Iterator[str]:
    """Yield the lines of a file: what it is, the fields that are wanted, and the others in comments."""
    schema = schema_of(kind)
    known = _known(kind, name)
    yield from _comment(phrase("new-file-head", what=schema["description"], mark=FILL_IN))
    if site_url:
        yield f"# {phrase('new-file-more', address=site_url.rstrip('/') + address_of_writing(kind.name))}"
    wanted = {*schema["required"], *known}
    shown = schema["properties"]
    ordered = sorted(shown, key=kind.keys.index)
    for field in ordered:
        if field in wanted:
            yield ""
            yield from _wanted(field, shown[field], known)
    left = [] if name in TEMPLATES else [field for field in ordered if field not in wanted]
    if left:
        yield ""
        yield from _comment(phrase("new-file-optional"))
    for field in left:
        yield "#"
        yield from _comment(shown[field]["description"])
        yield from (f"# {line}" for line in _lines(field, shown[field]["examples"][0]))


def _wanted(field: str, about: dict[str, Any], known: dict[str, Any]) -> Iterator[str]:
    yield from _comment(about["description"])
    value = known.get(
        field, f"{FILL_IN}\n" if field == "text" else [FILL_IN] if about.get("type") == "array" else FILL_IN
    )
    example = flow(about["examples"][0])
    if FILL_IN in flow(value) and len(example) <= LONGEST_EXAMPLE:
        yield from _comment(phrase("new-file-example", example=example))
    yield from _lines(field, value)


def _comment(text: str) -> list[str]:
    return [f"# {line}" for line in wrap(text, WIDTH)]


def _lines(field: str, value: Any) -> list[str]:
    """Return a field as it is typed: texts of several lines as a block, mappings in a list a line each."""
    if isinstance(value, str) and "\n" in value:
        return [f"{field}: |", *(f"  {line}".rstrip() for line in value.rstrip("\n").split("\n"))]
    if isinstance(value, list) and value and all(isinstance(item, dict) for item in value):
        return [f"{field}:", *(f"  - {flow(item)}" for item in value)]
    return [f"{field}: {flow(value)}"]


def flow(value: Any) -> str:
    """Return a value on one line, texts in quotes where YAML could take them for something else."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{flow(key)}: {flow(inner)}" for key, inner in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(flow, value)) + "]"
    if isinstance(value, str) and _PLAIN.fullmatch(value) and value.casefold() not in _WORDS_OF_YAML:
        return value
    return json.dumps(value, ensure_ascii=False)
