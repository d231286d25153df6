"""Counted rhythms as notation: one file of its own, with a picture for each rhythm over its count."""

from __future__ import annotations

from collections.abc import Sequence

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from understave.answers.counting import CountError
from understave.engraving.finishing import place, sprite
from understave.engraving.rhythm_pictures import rhythm_picture
from understave.engraving.studio import Studio
from understave.phrases.catalogue import phrase
from understave.phrases.counting import count_sentences
from understave.theory.counting import Counted
from understave.theory.rhythms import Rhythm

MOST_NOTES = 400
"""The longest rhythm that is drawn; a longer one needs a score."""


def rhythm_sheet(title: str, counted: Sequence[tuple[Rhythm, Counted]]) -> str:
    """Return a page that shows each rhythm in notes over its count; the reasons too where it is one alone.

    Raises CountError where a rhythm is too long to draw.
    """
    for rhythm, _ in counted:
        if len(rhythm.events) > MOST_NOTES:
            raise CountError(phrase("too-long-to-draw", notes=len(rhythm.events), most=MOST_NOTES))
    pictures = [rhythm_picture(rhythm, told.counts) for rhythm, told in counted]
    studio = Studio(None)
    studio.draw(pictures)
    shown = [
        {
            "meter": str(rhythm.measures[0].meter),
            "recip": rhythm.recip,
            "svg": Markup(  # our own drawing
                place(studio[picture], f"r{number}", rhythm.recip, phrase("count-words", line=told.line))
            ),
            "sentences": count_sentences(told) if len(counted) == 1 else [],
        }
        for number, (picture, (rhythm, told)) in enumerate(zip(pictures, counted, strict=True))
    ]
    environment = Environment(
        loader=PackageLoader("understave.answers"), autoescape=True, undefined=StrictUndefined, trim_blocks=True,
        lstrip_blocks=True,
    )  # fmt: skip
    glyphs = Markup(sprite([studio[picture] for picture in pictures]))
    return environment.get_template("rhythms.html").render(title=title, glyphs=glyphs, rhythms=shown)
