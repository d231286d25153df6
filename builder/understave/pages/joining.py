"""Scripts of one job as one file: what is loaded along with another is sent inside it, and packed with it."""

from __future__ import annotations

import re

INSIDE = {
    "symbols.js": ("tones.js", "drafts.js"),
    "words.js": ("typed.js",),
    "names.js": ("typeset.js",),
    "answers.js": ("order.js", "said.js", "slips.js", "counts.js", "full-text.js", "keyboard.js"),
}
"""By script, what is sent inside it, each before those of them that import it; outer scripts before what imports them.

Others that import an inner script get it from the outer one, which all of them load anyway.
"""

_IMPORT = re.compile(r'^import \{ ([^}]+) \} from "\./([a-z-]+\.js)";\n', re.MULTILINE)
_EXPORT = re.compile(r"^export (?=(?:const|class|(?:async )?function) (\w+))", re.MULTILINE)


def joined(scripts: dict[str, str]) -> dict[str, str]:
    """Return scripts by name, those of INSIDE put into the one that stands for them, each in a function of its own.

    A module's imports stand on one line each, its exports before what they name, as in all of ours.
    """
    left = dict(scripts)
    for outer, inner in INSIDE.items():
        outside: dict[str, set[str]] = {}
        parts = [_as_value(name, left.pop(name), inner, outside) for name in inner]
        body = _with_values(left.pop(outer), inner, outside)
        for name in inner:
            if any(f'"./{name}"' in script for script in left.values()):
                names = ", ".join(_EXPORT.findall(scripts[name]))
                parts.append(f"export const {{ {names} }} = {_value(name)};\n")
                body = re.sub(rf"^const \{{[^}}]*\}} = {re.escape(_value(name))};\n", "", body, flags=re.MULTILINE)
        parts.append(body)
        lines = [
            f'import {{ {", ".join(sorted(names))} }} from "./{name}";\n' for name, names in sorted(outside.items())
        ]
        for name in inner:
            left = {other: script.replace(f'"./{name}"', f'"./{outer}"') for other, script in left.items()}
        left[outer] = "".join([*lines, *parts])
    return left


def _as_value(name: str, script: str, inner: tuple[str, ...], outside: dict[str, set[str]]) -> str:
    exports = _EXPORT.findall(script)
    body = _EXPORT.sub("", _with_values(script, inner, outside))
    return f"const {_value(name)} = (() => {{\n{body}\nreturn {{ {', '.join(exports)} }};\n}})();\n"


def _with_values(script: str, inner: tuple[str, ...], outside: dict[str, set[str]]) -> str:
    """Return a script that takes what it imports from inner scripts from their values; the rest is noted as outside."""

    def taken(found: re.Match[str]) -> str:
        names, name = found.groups()
        if name in inner:
            return f"const {{ {names} }} = {_value(name)};\n"
        outside.setdefault(name, set()).update(names.split(", "))
        return ""

    return _IMPORT.sub(taken, script)


def _value(name: str) -> str:
    return "$" + name.removesuffix(".js").replace("-", "_")
