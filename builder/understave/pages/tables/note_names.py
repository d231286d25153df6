"""Every name that a tone can have on a page, as the script that shows other note names looks it up."""

from __future__ import annotations

from typing import Any

from understave.phrases.note_names import LETTERS_OF_ENGLISH, NAMINGS, named_forms, note_name, note_said

Json = dict[str, Any]


def note_name_table() -> Json:
    """Return the ``forms`` of tones as pages have them, and by language their ``names`` in the same order."""
    forms = list(named_forms())
    return {
        "forms": [form for form, _, _ in forms],
        "names": {
            language: [(note_said if said else note_name)(tone, language) for _, tone, said in forms]
            for language in NAMINGS
            if language != LETTERS_OF_ENGLISH
        },
    }
