"""Checks what a batch's key promises: the same key, the same pages; and that an edit makes again only what says it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from understave.answers.project import Loaded
from understave.engraving.studio import Studio
from understave.entries.glossary import Glossary
from understave.entries.values import Entry
from understave.pages.batches import OWN_TO_CHORDS, Batch, site_batches, site_key, tables_key
from understave.pages.chords import ChordPages
from understave.pages.made import PageShelf

EDITED = "minor-eleventh"
SPOKEN_OF = "dominant-eleventh"


def edited(loaded: Loaded, **changes: object) -> Loaded:
    """Return the content with an entry changed."""
    entry = replace(loaded.glossary.entries[EDITED], **changes)  # type: ignore[arg-type]
    return replace(loaded, glossary=Glossary({**loaded.glossary.entries, EDITED: entry}))


def keys(loaded: Loaded) -> list[str]:
    return [batch.key for batch in site_batches(loaded, "Lanternfield")]


def test_keys_are_the_same_for_the_same_content(lanternfield: Loaded) -> None:
    again = replace(lanternfield, glossary=Glossary(dict(lanternfield.glossary.entries)))
    assert keys(again) == keys(lanternfield)
    assert len(set(keys(again))) == len(keys(again))
    assert site_key(again, "x") == site_key(lanternfield, "x")


def test_another_title_is_another_site(lanternfield: Loaded) -> None:
    assert site_key(lanternfield, "x") != site_key(lanternfield, "y")


def test_an_edited_text_makes_one_batch_again(lanternfield: Loaded) -> None:
    after = edited(lanternfield, text="Another text.")
    changed = [old for old, new in zip(keys(lanternfield), keys(after), strict=True) if old != new]
    assert len(changed) == 1
    assert site_key(after, "x") != site_key(lanternfield, "x")
    assert tables_key(after) == tables_key(lanternfield)


def test_an_edited_name_makes_all_again(lanternfield: Loaded) -> None:
    after = edited(lanternfield, name="another name")
    assert not set(keys(after)) & set(keys(lanternfield))


def test_what_scripts_find_an_entry_by_changes_the_tables(lanternfield: Loaded) -> None:
    assert tables_key(edited(lanternfield, asked_as=("x",))) != tables_key(lanternfield)


@pytest.mark.parametrize("name", [EDITED, SPOKEN_OF, "major", "added-ninth"])
def test_pages_say_nothing_of_others_that_their_key_leaves_out(lanternfield: Loaded, name: str) -> None:
    def blank(known: str, entry: Entry) -> Entry:
        others = {field: type(getattr(entry, field))() for field in ("text", "sources", "summary", "asked_as")}
        return entry if known == name else replace(entry, **others, since=None, corrected=None)  # type: ignore[arg-type]

    assert set(OWN_TO_CHORDS) == {"text", "sources", "summary", "asked_as", "since", "corrected"}
    glossary = lanternfield.glossary
    blanked = Glossary({known: blank(known, entry) for known, entry in glossary.entries.items()})
    before, after = (list(ChordPages(one, {}).of_entry(name)) for one in (glossary, blanked))
    for old, new in zip(before, after, strict=True):
        assert (old.address, old.title, old.description, old.reply) == (
            new.address,
            new.title,
            new.description,
            new.reply,
        )
        assert old.values() == new.values()


def listed(cache: Path, batches: list[Batch], site: str) -> tuple[int, dict[str, str]]:
    """Return how many batches were made, and each page's content."""
    told: list[int] = []
    studio = Studio(None)
    shelf = PageShelf(cache, studio)
    pages = {
        one.address: shelf[one].html for one in shelf.listed(site, lambda: batches, lambda *now: told.append(now[0]))
    }
    shelf.keep(set())
    shelf.close()
    studio.close()
    return max(told, default=0), pages


def a_batch(loaded: Loaded, key: str, name: str) -> Batch:
    pages: Callable[[], list[object]] = lambda: list(ChordPages(loaded.glossary, {}).of_entry(name))[:2]  # noqa: E731
    return Batch(key, pages)  # type: ignore[arg-type]


def test_batches_are_made_once_and_forgotten_with_their_entry(lanternfield: Loaded, tmp_path: Path) -> None:
    one, other = (a_batch(lanternfield, name, name) for name in ("power-chord", "major"))
    made, pages = listed(tmp_path, [one, other], "first")
    assert made == 2
    assert "/chord-symbols/major/" in pages
    assert listed(tmp_path, [one, other], "first") == (0, pages)
    assert listed(tmp_path, [one], "second")[0] == 0
    assert listed(tmp_path, [one, other], "third") == (1, pages)
