"""The page of corrections, and the same as an Atom feed (RFC 4287)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from xml.etree import ElementTree

from understave.answers.corrections import Corrected, correction_sentence, corrections
from understave.answers.project import Loaded
from understave.pages.page import Page
from understave.phrases.catalogue import phrase

ADDRESS = "/corrections/"

FEED = "corrections.xml"

ATOM = "http://www.w3.org/2005/Atom"


@dataclass(frozen=True)
class CorrectionPages:
    """Makes the page of corrections; without any there is none."""

    loaded: Loaded

    def __iter__(self) -> Iterator[Page]:
        if found := corrections(self.loaded):
            title, intro = phrase("heading-corrections"), phrase("intro-corrections")
            rows = [{"page": one.page, "sentence": correction_sentence(one)} for one in found]
            values = {"title": title, "intro": intro, "rows": rows, "feed": FEED}
            yield Page(ADDRESS, title, intro, "corrections.html", lambda: values, searchable=True)


def corrections_feed(loaded: Loaded, title: str) -> str:
    """Return the feed of corrections, an empty text where there are none. ``title`` is the site's."""
    found = corrections(loaded)
    if not found:
        return ""
    site = loaded.project.site_url.rstrip("/")
    feed = ElementTree.Element("feed", xmlns=ATOM)
    _put(feed, "title", f"{title}: {phrase('heading-corrections')}")
    _put(feed, "id", f"{site}{ADDRESS}")
    _put(feed, "updated", _at_midnight(found[0]))
    ElementTree.SubElement(feed, "link", href=f"{site}{ADDRESS}")
    ElementTree.SubElement(feed, "link", rel="self", href=f"{site}/{FEED}")
    _put(ElementTree.SubElement(feed, "author"), "name", title)
    for one in found:
        entry = ElementTree.SubElement(feed, "entry")
        place = "" if one.measure is None else f"-{one.measure}"
        _put(entry, "title", one.name)
        _put(entry, "id", f"{site}{one.page}#corrected-{one.correction.date}{place}")
        _put(entry, "updated", _at_midnight(one))
        ElementTree.SubElement(entry, "link", href=f"{site}{one.page}")
        _put(entry, "summary", correction_sentence(one))
    return '<?xml version="1.0" encoding="utf-8"?>\n' + ElementTree.tostring(feed, encoding="unicode") + "\n"


def _put(parent: ElementTree.Element, tag: str, text: str) -> None:
    ElementTree.SubElement(parent, tag).text = text


def _at_midnight(one: Corrected) -> str:
    return f"{one.correction.date}T00:00:00Z"
