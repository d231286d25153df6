"""Checks what becomes of the content that is no entry: guides are pages, and replies stay with the builder."""

from __future__ import annotations

import shutil
from pathlib import Path

from ..built_site import SMALL, mkdocs_build, tree_bytes


def test_guides_are_pages_and_replies_are_not_published(tmp_path: Path) -> None:
    folder = tmp_path / "project"
    shutil.copytree(SMALL, folder, ignore=shutil.ignore_patterns("site", ".cache"))
    for name, text in (("guides/counting.md", "# How to count\n"), ("replies/de/symbol.yaml", "text: Hallo\n")):
        path = folder / "content" / name
        path.parent.mkdir(parents=True)
        path.write_text(text, encoding="utf-8")
    build = mkdocs_build(folder, "--strict")
    assert build.returncode == 0, build.stderr
    files = tree_bytes(folder / "site")
    assert b"How to count" in files["guides/counting/index.html"]
    assert [name for name in files if name.endswith((".yaml", ".yml"))] == []


def test_a_translation_is_a_file_of_the_content_and_the_themes_language(tmp_path: Path) -> None:
    folder = tmp_path / "project"
    shutil.copytree(SMALL, folder, ignore=shutil.ignore_patterns("site", ".cache"))
    config = folder / "mkdocs.yml"
    config.write_text(config.read_text("utf-8").replace("  font: false", "  font: false\n  language: de"), "utf-8")
    assert mkdocs_build(folder, "--strict").returncode == 1, "no catalogue yet"
    (folder / "content" / "phrases").mkdir()
    text = 'msgid "heading-tones"\nmsgstr "Die Töne und was sie tun"\n\nmsgid "look-up-label"\nmsgstr "Nachschlagen"\n'
    (folder / "content" / "phrases" / "de.po").write_text(text, encoding="utf-8")
    build = mkdocs_build(folder, "--strict")
    assert build.returncode == 0, build.stderr
    files = tree_bytes(folder / "site")
    page = files["a-flat-minor/index.html"].decode()
    assert '<html lang="de"' in page
    assert "Die Töne und was sie tun" in page
    assert ">Nachschlagen</label>" in page
    assert "Easily confused" in "".join(content.decode() for name, content in files.items() if name.endswith(".html"))
    assert [name for name in files if name.endswith(".po")] == []
