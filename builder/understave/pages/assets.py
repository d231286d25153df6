"""The scripts and their tables as files of the site, in a folder named after what they hold."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from importlib.resources import files
from typing import Any

from rjsmin import jsmin

from understave.answers.project import Loaded
from understave.pages.joining import joined
from understave.pages.tables.asking import asking_table
from understave.pages.tables.counting import counting_table
from understave.pages.tables.counts import counts_table
from understave.pages.tables.glossary import glossary_table
from understave.pages.tables.naming import naming_table
from understave.pages.tables.note_names import note_name_table
from understave.pages.tables.reading import reading_table, typesetting_table
from understave.phrases.catalogue import phrase, phrase_ids, phrase_text

Json = dict[str, Any]

WORKER = "service-worker.js"
"""The service worker stands at the root of the site, whose pages it keeps; its name may not change."""

START = "start.js"
"""The one script that pages load by themselves; it fetches the others when they are needed."""

STYLE = "understave.css"
"""The one style sheet of ours."""

ACCIDENTALS = "accidentals.woff2"
"""The font that true accidentals are set in."""

SPOKEN = ("look-up-", "why-", "said-tone", "said-list", "said-chord", "said-over", "said-with")
"""The beginnings of the ids of the sentences that scripts say."""

NOT_SPOKEN = ("look-up-label", "look-up-hint", "look-up-answers", "look-up-guide", "why-plain", "why-composed")
"""Those among them that stand in every page already, or that commands alone say."""


def tables_json(loaded: Loaded) -> str:
    """Return everything that scripts walk, as compact JSON."""
    # what is alike stands together, since the tables are sent packed
    parts = {
        "glossary": glossary_table(loaded),
        "typesetting": typesetting_table(),
        "phrases": {
            name: phrase_text(name)
            for name in sorted(phrase_ids())
            if name.startswith(SPOKEN) and name not in NOT_SPOKEN
        },
        "asking": asking_table(),
        "reading": reading_table(),
        "counting": counts_table(loaded.glossary),
        "naming": naming_table(),
    }
    return _compact(parts)


def _compact(table: Json) -> str:
    return json.dumps(table, ensure_ascii=False, separators=(",", ":"))


def tables(loaded: Loaded) -> dict[str, str]:
    """Return the tables that scripts walk, each the content of a file."""
    return {
        "tables.json": tables_json(loaded),
        "counting.json": _compact(counting_table(loaded.glossary)),
        "note-names.json": _compact(note_name_table()),
    }


def browser_assets(made: dict[str, str]) -> dict[str, str | bytes]:
    """Return the content of each script, style and made table by its path in the site, and of the service worker."""
    scripts = {name: text.decode() for name, text in _room("scripts", ".js")}
    content: dict[str, str | bytes] = {
        **{name: jsmin(text) for name, text in joined(scripts).items()},
        **dict(_room("styles", ".css", ".woff2", ".svg", ".txt")),
        **made,
    }
    digest = hashlib.sha256()
    for name, held in content.items():
        digest.update(name.encode() + b"\0" + (held.encode() if isinstance(held, str) else held))
    folder = f"assets/understave-{digest.hexdigest()[:12]}"
    return {**{f"{folder}/{name}": held for name, held in content.items()}, WORKER: _worker()}


def _room(folder: str, *endings: str) -> Iterator[tuple[str, bytes]]:
    """Yield the files of a folder beside this module that have one of the endings, in order."""
    for path in sorted(files("understave.pages").joinpath(folder).iterdir(), key=lambda path: path.name):
        if path.name.endswith(endings):
            yield path.name, path.read_bytes()


def _worker() -> str:
    """Return the service worker, which knows what to say without a connection."""
    script = files("understave.pages").joinpath("worker/service-worker.js").read_text("utf-8")
    known = {"title": phrase("offline-title"), "sentence": phrase("offline")}
    return f"const SITE = {_compact(known)};\n{jsmin(script)}"
