"""Checks that scripts can be made small for the way: what they say and do stays as written."""

from __future__ import annotations

import re
from importlib.resources import files

import pytest
from rjsmin import jsmin

SCRIPTS = sorted(
    (path for folder in ("scripts", "worker") for path in files("understave.pages").joinpath(folder).iterdir()),
    key=lambda path: path.name,
)

_COMMENT = re.compile(r"^ */\*.*?\*/\n|^ *//[^\n]*\n", re.M | re.S)
_NESTED = re.compile(r"`[^`]*\$\{[^}`]*`")


@pytest.mark.parametrize("name", [path.name for path in SCRIPTS])
def test_no_text_stands_within_a_text(name: str) -> None:
    """The library that makes scripts small takes a template within a template for code and drops its blanks."""
    (script,) = [path.read_text("utf-8") for path in SCRIPTS if path.name == name]
    assert _NESTED.findall(_COMMENT.sub("", script)) == []


def test_that_library_drops_blanks_there() -> None:
    assert jsmin("say(`${a ? ` b` : c} d`);") != "say(`${a?` b`:c} d`);"
