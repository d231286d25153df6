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
def test_scripts_that_go_inside_another_are_imported_by_it_or_its_like_alone(
    outer: str, inner: tuple[str, ...]
) -> None:
    for name in inner:
        importing = {other for other, script in SCRIPTS.items() if f'"./{name}"' in script}
        assert importing
        assert importing <= {outer, *inner[inner.index(name) + 1 :]}


@pytest.mark.parametrize(("outer", "inner"), INSIDE.items())
def test_joined_script_imports_each_name_once_and_exports_what_it_did(outer: str, inner: tuple[str, ...]) -> None:
    whole = joined(SCRIPTS)
    assert set(SCRIPTS) - set(whole) == {name for names in INSIDE.values() for name in names}
    script = whole[outer]
    imports = IMPORT.findall(script)
    assert len(imports) == len(set(imports))
    assert set(imports) & set(inner) == set()
    exports = re.compile(r"^export \w+ \w+", re.MULTILINE)
    assert exports.findall(script) == exports.findall(SCRIPTS[outer])
    assert whole["tables.js"] == SCRIPTS["tables.js"]
