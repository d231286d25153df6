"""Checks that scripts put inside the one that imports them keep their names to themselves and lose none."""

from __future__ import annotations

import re
from importlib.resources import files

import pytest

from understave.pages.joining import INSIDE, joined

SCRIPTS = {
    path.name: path.read_text("utf-8")
    for path in files("understave.pages").joinpath("scripts").iterdir()
    if path.name.endswith(".js")
}

IMPORT = re.compile(r'^import [^;]*? from "\./([a-z-]+\.js)";$', re.MULTILINE)


@pytest.mark.parametrize(("outer", "inner"), INSIDE.items())
def test_what_goes_inside_another_imports_nothing_that_imports_it(outer: str, inner: tuple[str, ...]) -> None:
    for place, name in enumerate(inner):
        assert set(IMPORT.findall(SCRIPTS[name])) & {outer, *inner[place:]} == set()


@pytest.mark.parametrize(("outer", "inner"), INSIDE.items())
def test_joined_script_imports_from_each_once_and_exports_what_it_did(outer: str, inner: tuple[str, ...]) -> None:
    whole = joined(SCRIPTS)
    inside = {name for names in INSIDE.values() for name in names}
    assert set(SCRIPTS) - set(whole) == inside
    assert {name for script in whole.values() for name in IMPORT.findall(script)} & inside == set()
    imports = IMPORT.findall(whole[outer])
    assert len(imports) == len(set(imports))
    exports = re.compile(r"^export (?:const|function|class) \w+", re.MULTILINE)
    assert exports.findall(whole[outer]) == exports.findall(SCRIPTS[outer])
    assert whole["tables.js"] == SCRIPTS["tables.js"]


@pytest.mark.parametrize("outer", INSIDE)
def test_no_name_stands_twice_in_a_joined_script(outer: str) -> None:
    """A browser refuses a module in which what one part imports is what another calls its own."""
    own = re.sub(
        r"^const \$\w+ = \(\(\) => \{\n.*?^\}\)\(\);\n", "", joined(SCRIPTS)[outer], flags=re.MULTILINE | re.DOTALL
    )
    rows = re.findall(r"^(?:import|(?:export )?const) \{ ?([^}]+?) ?\} (?:from|=)", own, re.MULTILINE)
    taken = [name.split(":")[-1].strip() for row in rows for name in row.split(",")]
    said = re.findall(r"^(?:export )?(?:const|let|class|(?:async )?function\*?) (\w+)", own, re.MULTILINE)
    names = [*taken, *said]
    assert len(names) > 10
    assert sorted(names) == sorted(set(names))
