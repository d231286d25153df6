"""Checks how scripts are made small for the way: what they say and do stays as written."""

from __future__ import annotations

import pytest

from understave.pages.assets import sent


@pytest.mark.parametrize(
    ("script", "small"),
    [
        ("/* What for. */\n\nconst a = 1;\n", "\nconst a=1;"),
        ("  // why\n  const same = (a, b) => a === b;\n", "const same=(a, b)=>a===b;"),
        ('say("a = b ? c : d");\n', 'say("a = b ? c : d");'),
        ("say(`a = ${b ? 1 : 2}`);\n", "say(`a = ${b ? 1 : 2}`);"),
        ('go({\n  a: "\\"x = y",\n});\n', 'go({a: "\\"x = y",});'),
        ("if (a) {\n  b();\n}\nc();\n", "if (a) {b();}\nc();"),
    ],
)
def test_scripts_lose_comments_and_space_outside_their_strings(script: str, small: str) -> None:
    assert sent(script) == small
