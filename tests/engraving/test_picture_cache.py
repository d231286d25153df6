"""Checks the picture cache: it saves work, follows what is asked, and is drawn anew when it is damaged."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from understave.engraving.drawing import EngravingError
from understave.engraving.finishing import Drawing, place
from understave.engraving.pictures import Picture, chord_picture
from understave.engraving.shelf import Shelf
from understave.engraving.studio import Studio
from understave.theory.symbols import read_symbol
from understave.theory.voicings import voice


def picture(symbol: str) -> Picture:
    chord = read_symbol(symbol)[0].chord
    assert chord
    return chord_picture(voice(chord), symbol)


PICTURES = [picture("C"), picture("Abm9"), picture("F#dim7")]


def drawn_now(cache: Path, pictures: list[Picture]) -> tuple[int, list[Drawing]]:
    """Return how many pictures a fresh studio had to draw, and all drawings."""
    told: list[tuple[int, int]] = []
    studio = Studio(cache)
    studio.draw(pictures, lambda done, total: told.append((done, total)))
    assert not told or told[-1][0] == told[-1][1]
    drawings = [studio[one] for one in pictures]
    studio.close()
    return (told[-1][1] if told else 0), drawings


@pytest.fixture(scope="module")
def fresh() -> list[Drawing]:
    studio = Studio(None)
    studio.draw(PICTURES)
    return [studio[one] for one in PICTURES]


@pytest.fixture
def cache(tmp_path: Path, fresh: list[Drawing]) -> Path:
    """Return a cache that holds the pictures."""
    count, drawings = drawn_now(tmp_path, PICTURES)
    assert count == len(PICTURES)
    assert drawings == fresh
    return tmp_path


def shelf(cache: Path) -> Path:
    """Return the cache's only file."""
    [file] = [path for path in cache.rglob("*") if path.is_file()]
    return file


def test_what_was_drawn_is_not_drawn_again(cache: Path, fresh: list[Drawing]) -> None:
    assert drawn_now(cache, PICTURES) == (0, fresh)


def test_only_what_is_new_is_drawn(cache: Path) -> None:
    count, _ = drawn_now(cache, [*PICTURES, picture("G7")])
    assert count == 1


def test_what_no_page_shows_is_forgotten(cache: Path) -> None:
    before = shelf(cache).stat().st_size
    studio = Studio(cache)
    studio.forget_all_but([PICTURES[0].key])
    studio.close()
    assert shelf(cache).stat().st_size < before
    assert drawn_now(cache, PICTURES)[0] == 2


def test_another_symbol_under_the_same_notes_is_another_picture(cache: Path) -> None:
    chord = read_symbol("C")[0].chord
    assert chord
    assert drawn_now(cache, [*PICTURES, chord_picture(voice(chord), "Cmaj")])[0] == 1


def _emptied(text: str) -> str:
    return "{}"


def _without_a_field(text: str) -> str:
    values = json.loads(text)
    del values["scale"]
    return json.dumps(values)


def _with_a_new_field(text: str) -> str:
    return json.dumps({**json.loads(text), "colour": "red"})


def _of_other_types(text: str) -> str:
    return json.dumps({"inner": None, "width": "wide", "height": [], "scale": {}, "glyphs": 3})


def drawn_anew(cache: Path, fresh: list[Drawing]) -> None:
    count, drawings = drawn_now(cache, PICTURES)
    assert (count, drawings) == (len(PICTURES), fresh)
    assert all(place(drawing, "p1", "C", "C") for drawing in drawings)
    assert drawn_now(cache, PICTURES) == (0, fresh), "and the next time it is whole"


@pytest.mark.parametrize(
    "damage",
    [
        pytest.param(lambda made: made[: len(made) // 2], id="cut off"),
        pytest.param(lambda made: b"", id="empty"),
        pytest.param(lambda made: b"\xff\xfe\x00" + made, id="shifted"),
        pytest.param(lambda made: b"[1, 2]", id="something else"),
        pytest.param(lambda made: made[:4096] + bytes(len(made) - 4096), id="zeros"),
    ],
)
def test_damaged_file_is_drawn_anew(cache: Path, fresh: list[Drawing], damage: Callable[[bytes], bytes]) -> None:
    file = shelf(cache)
    file.write_bytes(damage(file.read_bytes()))
    drawn_anew(cache, fresh)


@pytest.mark.parametrize(
    "damage",
    [
        pytest.param(lambda text: text[: len(text) // 2], id="cut off"),
        pytest.param(lambda text: "", id="empty"),
        pytest.param(lambda text: "[1, 2]", id="a list"),
        pytest.param(lambda text: '"text"', id="a text"),
        pytest.param(lambda text: "null", id="nothing"),
        pytest.param(lambda text: "[" * 100_000, id="nested too deep"),
        pytest.param(_emptied, id="without fields"),
        pytest.param(_without_a_field, id="without one field"),
        pytest.param(_with_a_new_field, id="of a later shape"),
        pytest.param(_of_other_types, id="fields of other types"),
    ],
)
def test_damaged_drawing_is_drawn_anew(cache: Path, fresh: list[Drawing], damage: Callable[[str], str]) -> None:
    kept = Shelf(shelf(cache))
    for key in kept:
        kept[key] = damage(kept[key])
    kept.commit()
    kept.close()
    drawn_anew(cache, fresh)


def test_failed_drawing_leaves_the_cache_whole(cache: Path, fresh: list[Drawing]) -> None:
    with pytest.raises(EngravingError):
        Studio(cache).draw([*PICTURES, Picture("<mei")])
    assert drawn_now(cache, PICTURES) == (0, fresh)


def test_studio_without_a_cache_writes_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Studio(None).draw(PICTURES[:1])
    assert list(tmp_path.iterdir()) == []
