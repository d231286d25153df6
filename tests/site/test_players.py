"""Checks that what players light up is there: every note and word of every picture that plays."""

from __future__ import annotations

import json
from itertools import pairwise

import pytest

from ..built_site import BuiltSite, Node

FOLDERS = (
    "chord-symbols", "slash-chords", "added-tones", "counting-systems", "rhythm-figures", "terms", "lessons", "guides",
)  # fmt: skip
ROOTED = ("/c-dominant-seventh/", "/a-flat-minor-ninth/", "/g-flat-major-seventh-first-inversion/")


def players(site: BuiltSite, address: str) -> list[tuple[Node, Node]]:
    """Return each picture of a page that plays, with its player."""
    return [
        (one, other)
        for node in site.tree(address)
        for one, other in pairwise([part for part in node.content if isinstance(part, Node)])
        if "player" in other.classes
    ]


def names(picture: Node) -> set[str]:
    return {node.attributes["data-note"] for node in picture if "data-note" in node.attributes}


@pytest.mark.parametrize("folder", FOLDERS)
def test_every_note_that_plays_is_in_its_picture(demo: BuiltSite, folder: str) -> None:
    addresses = [address for address in demo.pages if address.startswith(f"/{folder}/")]
    found = [pair for address in addresses for pair in players(demo, address)]
    assert found
    for picture, player in found:
        assert "notation" in picture.classes
        if "data-passage" in player.attributes:
            _, _, length, notes, beats, words = json.loads(player.attributes["data-passage"])
            shown = [f"e{number}" for note in notes for number in note[4:]]
            assert len(shown) == len(set(shown))
            assert set(shown) <= names(picture)
            assert all(0 <= at < at + long <= length for at, long, *_ in (*notes, *words))
            assert all(0 <= beat < length for beat in beats)
            assert len(picture.all("g", "harm")) >= len(words)
        else:
            chords = json.loads(player.attributes["data-chords"])
            several = len(chords) > 1
            assert names(picture) == {
                f"{hand}{f'{turn}-' if several else ''}{index}"
                for turn, chord in enumerate(chords, 1)
                for hand, keys in zip("lr", chord, strict=True)
                for index in range(len(keys))
            }


def test_words_of_a_count_stand_last_and_in_order(demo: BuiltSite) -> None:
    for address in ("/rhythm-figures/eighths-to-triplets/", "/lessons/ferry-clock/", "/guides/two-against-three/"):
        for picture, player in players(demo, address):
            *_, words = json.loads(player.attributes["data-passage"])
            places = [node.one("text").attributes for node in picture.all("g", "harm")[-len(words) :]]
            assert len({place["y"] for place in places}) == 1, "they stand on one line"
            across = [float(place["x"]) for place in places]
            assert across == sorted(across)


@pytest.mark.parametrize("address", ROOTED)
def test_keys_of_the_first_chord_are_on_the_keyboard(demo: BuiltSite, address: str) -> None:
    left, right = json.loads(players(demo, address)[0][1].attributes["data-chords"])[0]
    marks = demo.tree(address).one("svg", "keyboard").all("circle")
    assert [int(mark.attributes["data-key"]) for mark in marks] == [*left, *right]
    assert [("held-l" in mark.classes) for mark in marks] == [True] * len(left) + [False] * len(right)


def test_caution_stands_once_on_a_page_that_plays(demo: BuiltSite) -> None:
    caution = "Start quietly, most of all with headphones."
    for address in ("/c-dominant-seventh/", "/lessons/ferry-clock/", "/counting-systems/kodaly/", "/guides/pickups/"):
        assert demo.html(address).count(caution) == 1
    assert caution not in demo.html("/terms/register/")
