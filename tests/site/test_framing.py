"""Checks that a page in a frame is the theme's own page, byte for byte."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from understave import framing
from understave.building import build_site

from ..built_site import SMALL, tree_bytes


@pytest.fixture(scope="module")
def small_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("small") / "glossary"
    shutil.copytree(SMALL, folder, ignore=shutil.ignore_patterns("site", ".cache"))
    return folder


def built(folder: Path) -> dict[str, bytes]:
    assert build_site(folder / "mkdocs.yml") == 0
    return tree_bytes(folder / "site")


def test_framed_pages_are_the_themes_own(small_site: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    framed = built(small_site)
    filled: list[str] = []
    monkeypatch.setattr(framing, "_is_plain", lambda made: filled.append(made.address) or False)
    assert built(small_site) == framed
    assert len(filled) >= 30


def test_theme_that_shows_more_of_a_page_is_used_as_it_is(small_site: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    partials = small_site / "theme" / "partials"
    partials.mkdir(parents=True)
    (partials / "footer.html").write_text("<p>{{ page.file.src_uri if page }}</p>", encoding="utf-8")
    config = (small_site / "mkdocs.yml").read_text("utf-8")
    changed = config.replace("name: material", "name: material\n  custom_dir: theme")
    assert changed != config
    (small_site / "mkdocs.yml").write_text(changed, encoding="utf-8")
    pages = {name: page for name, page in built(small_site).items() if name.endswith("/index.html")}
    assert len(pages) >= 30
    for name, page in pages.items():
        assert f"<p>{name.removesuffix('html')}md</p>".encode() in page
