"""A document → a value of its shape, or faults that say where in the file and what was expected."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any, TypeVar, get_args

from pydantic import ValidationError

from understave.entries.faults import Fault, nearest, shown
from understave.entries.leftovers import leftovers
from understave.entries.schema import Shape
from understave.entries.yaml_files import Document, Place, Scalar

Model = TypeVar("Model", bound=Shape)

MOST_FAULTS = 100
"""How many faults of a file's shape are told one by one."""


def build(model: type[Model], document: Document) -> Model | None:
    """Return the document as ``model``, or None with the document's ``faults`` extended."""
    if document.value is None:
        return None
    if not isinstance(document.value, dict):
        document.faults.append(document.fault((), "a list or a bare text", "a mapping of keys to values"))
        return None
    left = leftovers(document)
    document.faults += [fault for faults in left.values() for fault in faults]
    try:
        shape = model.model_validate(document.value)
    except ValidationError as error:
        problems = error.errors(include_url=False)
        faults = [fault for problem in problems[:MOST_FAULTS] for fault in _model_faults(problem, model, document)]
        # what is left for later has its fault, whatever else it isn't, and a list that waits for it isn't short
        waiting = {place[:-1] for place in left if isinstance(place[-1], int)}
        known = {document.marks[place] for place in (*left, *waiting)}
        document.faults += [fault for fault in faults if (fault.line, fault.column) not in known]
        if (more := len(problems) - MOST_FAULTS) > 0:
            document.faults.append(document.fault((), f"{more} more faults", "a file with the keys of its kind"))
        return None
    return None if left else shape


def _model_faults(problem: Any, model: type[Shape], document: Document) -> Iterator[Fault]:
    place: Place = tuple(part for part in problem["loc"] if part != "[key]")
    if problem["type"] == "entry":
        for one in (problem["ctx"], *problem["ctx"].get("more", ())):
            yield document.fault((*place, *one["at"]), one["found"], one["expected"], one["hint"])
    else:
        yield _usual_fault(problem, place, model, document)


def _usual_fault(problem: Any, place: Place, model: type[Shape], document: Document) -> Fault:
    context = problem.get("ctx", {})
    match problem["type"]:
        case "extra_forbidden":
            known = _keys_of(_model_at(model, place[:-1]))
            return document.fault(
                place,
                f"the key {str(place[-1])!r}",
                f"one of {', '.join(known)}",
                nearest(str(place[-1]), known),
                at_key=True,
            )
        case "missing":
            return document.fault(place[:-1], f"no {place[-1]!r}", f"the key {str(place[-1])!r}")
        case "tuple_type" | "list_type":
            found = shown(problem["input"]) if isinstance(problem["input"], Scalar) else "a mapping"
            return document.fault(
                place,
                found,
                "a list in brackets",
                f"nearest: [{shown(problem['input'])}]" if isinstance(problem["input"], Scalar) else "",
            )
        case "dict_type" | "model_type":
            return document.fault(place, shown(problem["input"]), "a mapping of keys to values")
        case "too_short":
            return document.fault(place, "too few items", f"at least {context['min_length']}")
        case "literal_error":
            options = re.findall(r"'([^']*)'", context["expected"])
            return document.fault(
                place, shown(problem["input"]), f"one of {', '.join(options)}", nearest(str(problem["input"]), options)
            )
    return document.fault(place, shown(problem["input"]), problem["msg"])


def _keys_of(model: type[Shape]) -> list[str]:
    return [info.alias or name for name, info in model.model_fields.items()]


def _model_at(model: type[Shape], place: Place) -> type[Shape]:
    """Return the model of the mapping at a place: the shape inside a field, or inside the items of a list."""
    for part in place:
        if isinstance(part, int):
            continue
        info = next((info for name, info in model.model_fields.items() if (info.alias or name) == part), None)
        inner = _shape_in(info.annotation) if info else None
        if inner is None:
            return model
        model = inner
    return model


def _shape_in(annotation: object) -> type[Shape] | None:
    if isinstance(annotation, type) and issubclass(annotation, Shape):
        return annotation
    return next((shape for part in get_args(annotation) if (shape := _shape_in(part))), None)
