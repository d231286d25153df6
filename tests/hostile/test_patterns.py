"""Every regular expression of the package is tried with long strings made of its own parts: none may need long.

A pattern whose time grows faster than its text stands in BOUNDED, with what keeps its text short.
"""

from __future__ import annotations

import ast
import importlib
import pkgutil
import re
import re._constants as sre
import re._parser as parser
import time
from collections import defaultdict, deque
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

import understave

SHORT, LONG = 1_000, 4_000
"""How many characters the texts have whose times are compared."""

NOTICED = 0.004
"""Seconds below which a long text is done soon enough, whatever a short one takes."""

STEEPEST = 9.0
"""How much longer the long text may take, which is four times as long: growth with the square is sixteenfold."""

BOUNDED = {
    r"^```count[ \t]*\n(.*?)^```[ \t]*$": "a guide has at most 20,000 characters",
    "<script>(.*?)</script>": "a page's scripts are the theme's: what editors write holds no raw HTML",
}

CODE = Path(understave.__file__).parent

AT_THE_START = frozenset({"match", "fullmatch"})
"""Ways to ask a pattern that try it at one place only."""

_ONCE = AT_THE_START | {"pattern"}


def written_patterns() -> Iterator[tuple[str, int, str, str]]:
    """Yield every pattern that stands in the code as a text: its flags, how it is asked, and the name it is given."""
    for path in sorted(CODE.rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        names = {
            node.value: ast.unparse(node.targets[0])
            for node in ast.walk(tree)
            if isinstance(node, ast.Assign) and isinstance(node.value, ast.Call)
        }
        for node in ast.walk(tree):
            if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Attribute):
                continue
            if ast.unparse(node.func.value) != "re" or node.func.attr == "escape" or not node.args:
                continue
            if isinstance(node.args[0], ast.Constant):
                said = " ".join(map(ast.unparse, [*node.args[1:], *node.keywords]))
                flags = sum(getattr(re, flag).value for flag in set(re.findall(r"re\.([A-Z]+)", said)))
                yield node.args[0].value, flags, node.func.attr, names.get(node, "")


def asked() -> dict[str, set[str]]:
    """Return by name all that is asked of values of that name anywhere in the package."""
    ways: dict[str, set[str]] = defaultdict(set)
    for path in sorted(CODE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
                ways[node.value.id].add(node.attr)
    return ways


def compiled_patterns() -> Iterator[tuple[re.Pattern[Any], str]]:
    """Yield every pattern that a module holds, in its tables too, with its name if it has one of its own."""
    for module in pkgutil.walk_packages([str(CODE)], "understave."):
        for name, value in vars(importlib.import_module(module.name)).items():
            yield from ((one, name if one is value else "") for one in _within([value], 3))


def _within(values: Any, depth: int) -> Iterator[re.Pattern[Any]]:
    for value in values:
        if isinstance(value, re.Pattern):
            yield value
        elif depth and isinstance(value, tuple | list | set | frozenset):
            yield from _within(value, depth - 1)
        elif depth and isinstance(value, dict):
            yield from _within([*value, *value.values()], depth - 1)


def all_patterns() -> dict[str, tuple[re.Pattern[Any], bool]]:
    """Return every pattern, and whether it is only ever tried at one place of a text."""
    ways = asked()
    found: dict[str, tuple[re.Pattern[Any], bool]] = {}
    for text, flags, how, name in written_patterns():
        at_start = how in AT_THE_START or bool(how == "compile" and ways[name] and ways[name] <= _ONCE)
        pattern = re.compile(text, flags)
        label = repr(pattern.pattern)
        found[label] = pattern, at_start and found.get(label, (pattern, True))[1]
    for pattern, name in compiled_patterns():
        found.setdefault(repr(pattern.pattern), (pattern, bool(ways[name]) and ways[name] <= _ONCE))
    return found


PATTERNS = all_patterns()


def parts(tree: Any) -> Iterator[str]:
    """Yield texts that parts of a pattern match: signs, and whole sequences in their shortest form."""
    sequence = ""
    for kind, value in tree:
        one = list(_signs(kind, value))
        yield from one
        sequence += one[0] if one else ""
    if len(sequence) > 1:
        yield sequence


def _signs(kind: Any, value: Any) -> Iterator[str]:
    match kind:
        case sre.LITERAL:
            yield chr(value)
        case sre.NOT_LITERAL | sre.ANY:
            yield "~"
        case sre.IN:
            yield from _of_class(value)
        case sre.BRANCH:
            for branch in value[1]:
                yield from parts(branch)
        case sre.SUBPATTERN:
            yield from parts(value[3])
        case sre.ASSERT | sre.ASSERT_NOT:
            yield from parts(value[1])
        case sre.MAX_REPEAT | sre.MIN_REPEAT | sre.POSSESSIVE_REPEAT:
            yield from parts(value[2])
        case sre.ATOMIC_GROUP:
            yield from parts(value)


def _of_class(members: Any) -> Iterator[str]:
    for kind, value in members[:6]:
        match kind:
            case sre.LITERAL:
                yield chr(value)
            case sre.RANGE:
                yield chr(value[0])
            case sre.CATEGORY:
                yield {sre.CATEGORY_DIGIT: "7", sre.CATEGORY_SPACE: " ", sre.CATEGORY_WORD: "w"}.get(value, "~")
            case sre.NEGATE:
                yield "~"


def texts(pattern: re.Pattern[Any], length: int) -> Iterator[str | bytes]:
    """Yield long texts that begin like a match and then go on without coming to its end."""
    units = list(
        dict.fromkeys([*parts(parser.parse(pattern.pattern, pattern.flags & ~re.UNICODE)), " ", "\n", "a", "0"])
    )
    whole = max(units, key=len)
    for unit in [*units[:16], whole[:-1] or whole, whole + "\n"]:
        for start, end in (("", "\x00"), (whole, "\x00"), (whole[:1], "\x00")):
            text = start + (unit * (length // len(unit) + 1))[:length] + end
            yield text if isinstance(pattern.pattern, str) else text.encode("utf-8", "surrogatepass")


def seconds(pattern: re.Pattern[Any], text: str | bytes, at_start: bool) -> float:
    """Return the least of three times that a pattern takes to be tried, everywhere or at the start and as a whole."""

    def once() -> float:
        started = time.process_time()
        if at_start:
            pattern.match(text)
            pattern.fullmatch(text)
        else:
            deque(pattern.finditer(text), maxlen=0)
        return time.process_time() - started

    first = once()
    return first if first < NOTICED else min(first, once(), once())


def steepness(pattern: re.Pattern[Any], at_start: bool) -> float:
    """Return how many times longer than a short text a long one takes, at worst, where it is noticed at all."""
    worst = 0.0
    for short, long in zip(texts(pattern, SHORT), texts(pattern, LONG), strict=True):
        taken = seconds(pattern, long, at_start)
        if taken > NOTICED:
            worst = max(worst, taken / max(seconds(pattern, short, at_start), 1e-6))
    return worst


def test_the_patterns_of_the_package_are_found() -> None:
    assert len(PATTERNS) > 80
    assert {repr(pattern) for pattern in BOUNDED} <= set(PATTERNS), "what is explained is still there"


@pytest.mark.usefixtures("uncollected")
@pytest.mark.parametrize("name", [name for name, (one, _) in PATTERNS.items() if one.pattern not in BOUNDED])
def test_a_pattern_takes_no_longer_than_its_text_is_long(name: str) -> None:
    assert steepness(*PATTERNS[name]) < STEEPEST


@pytest.mark.parametrize("pattern", ["<[^>]*>", r"\s+$"])
def test_a_pattern_that_grows_with_the_square_would_be_noticed(pattern: str) -> None:
    assert steepness(re.compile(pattern), at_start=False) > STEEPEST
