"""Checks in the browser that an old address leads on to the new one, and keeps the anchor that it was linked with."""

from __future__ import annotations

from pathlib import Path

from understave.pages.site import redirect_html

from .conftest import Serve, Watch

NEW = '<!doctype html><html lang="en"><title>New</title><h1>New</h1><h2 id="tones">Tones</h2></html>'


def moved(folder: Path) -> None:
    for name, html in (("old", redirect_html("../new/")), ("new", NEW)):
        (folder / name).mkdir()
        (folder / name / "index.html").write_text(html, encoding="utf-8")


def test_old_address_leads_to_the_new_one(watch: Watch, serve: Serve, tmp_path: Path) -> None:
    moved(tmp_path)
    base = serve(tmp_path)
    with watch((390, 844)) as seen:
        seen.page.goto(f"{base}/old/")
        seen.page.wait_for_url(f"{base}/new/")
        assert seen.page.locator("h1").inner_text() == "New"


def test_anchor_is_kept(watch: Watch, serve: Serve, tmp_path: Path) -> None:
    moved(tmp_path)
    base = serve(tmp_path)
    with watch((390, 844)) as seen:
        seen.page.goto(f"{base}/old/#tones")
        seen.page.wait_for_url(f"{base}/new/**")
        assert seen.page.url == f"{base}/new/#tones"


def test_old_address_can_be_followed_without_scripts(watch: Watch, serve: Serve, tmp_path: Path) -> None:
    moved(tmp_path)
    base = serve(tmp_path)
    with watch((390, 844), scripts=False) as seen:
        seen.page.goto(f"{base}/old/")
        seen.page.wait_for_url(f"{base}/new/")
