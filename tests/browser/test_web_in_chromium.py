"""Tries the web's own conventions: the policy, a missing page, reading offline, going back, nothing kept or sent."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from ..built_site import BuiltSite
from .conftest import Serve, Watch
from .test_pages_in_chromium import KINDS, PHONE

ROOTED = KINDS["rooted"]


def test_what_the_policy_forbids_is_not_run(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        seen.page.goto(base + ROOTED)
        ran = seen.page.evaluate("""() => {
          const script = document.createElement("script");
          script.textContent = "window.ran = true";
          document.body.append(script);
          return window.ran === true;
        }""")
        assert not ran
        assert any("Content Security Policy" in line for line in seen.said)


def test_nothing_is_kept_as_a_cookie(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        for kind in KINDS:
            seen.page.goto(base + KINDS[kind])
        assert seen.page.context.cookies() == []
        assert seen.hosts() == {"127.0.0.1"}


@pytest.mark.parametrize(
    ("address", "typed"),
    [("/chords/Gm9.html", "Gm9"), ("/terms/bar-lines", "bar lines"), ("/x/c%C3%A9_d", "cé d"), ("/%E0%A4%A", "")],
)
def test_a_missing_page_asks_the_look_up(watch: Watch, base: str, demo: BuiltSite, address: str, typed: str) -> None:
    lost = demo.folder.joinpath("404.html").read_text("utf-8")
    with watch(PHONE) as seen:
        seen.page.route(base + address, lambda route: route.fulfill(status=404, content_type="text/html", body=lost))
        seen.page.goto(base + address)
        assert seen.page.input_value(".look-up__input") == typed
        if typed == "Gm9":
            seen.page.wait_for_selector('[role="option"]')
            assert "G minor ninth" in seen.page.inner_text('[role="option"]')
        assert not [line for line in seen.said if "404" not in line]


def test_visited_pages_open_without_a_connection(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        seen.page.goto(base + ROOTED)
        seen.page.wait_for_function(KEPT, arg=base + ROOTED)
        seen.page.goto(base + KINDS["term"])
        seen.page.wait_for_function(KEPT, arg=base + KINDS["term"])
        seen.page.context.set_offline(True)
        for kind in ("rooted", "term"):
            seen.page.goto(base + KINDS[kind])
            assert seen.page.locator("article h1").count() == 1
            assert (
                seen.page.evaluate("() => getComputedStyle(document.querySelector('.md-header')).boxShadow") == "none"
            )
        seen.page.goto(base + KINDS["home"])
        assert "offline" in seen.page.inner_text("body")
        seen.page.context.set_offline(False)
        seen.page.goto(base + KINDS["home"])
        assert seen.page.locator("article h1").count() == 1


STYLED = "() => getComputedStyle(document.querySelector('.md-header')).boxShadow === 'none'"

KEPT = """async (address) => (await (await caches.open("pages")).match(address)) !== undefined &&
  (await (await caches.open("assets")).keys()).length > 3"""


def test_a_changed_page_is_seen_at_the_next_visit(watch: Watch, serve: Serve, demo: BuiltSite, tmp_path: Path) -> None:
    site = tmp_path / "site"
    for path in ("service-worker.js", "404.html", "assets", ROOTED.strip("/")):
        source = demo.folder / path
        (shutil.copytree if source.is_dir() else shutil.copy)(source, _made(site / path))
    page = site / ROOTED.strip("/") / "index.html"
    address = serve(site) + ROOTED
    with watch(PHONE) as seen:
        seen.page.goto(address)
        seen.page.wait_for_function(KEPT, arg=address)
        page.write_text(page.read_text("utf-8").replace("</h1>", " mended</h1>"), "utf-8")
        seen.page.goto(address)
        assert seen.page.inner_text("h1").endswith("mended")


def _made(path: Path) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    return path


def test_going_back_leads_to_where_one_was(watch: Watch, base: str) -> None:
    with watch(PHONE) as seen:
        seen.page.goto(base + "/chord-symbols/")
        seen.page.click("article a[href*='minor-ninth']")
        seen.page.wait_for_url("**/minor-ninth/")
        seen.page.go_back()
        assert seen.page.url == base + "/chord-symbols/"
        seen.page.go_forward()
        assert seen.page.url.endswith("/minor-ninth/")
        assert seen.said == []


@pytest.mark.parametrize("sheet", ["A4", "Letter"])
@pytest.mark.parametrize("kind", ["rooted", "inversion", "term", "slash pattern"])
def test_a_page_prints_on_one_sheet(look: Watch, base: str, kind: str, sheet: str) -> None:
    with look(PHONE) as seen:
        seen.page.goto(base + KINDS[kind])
        printed = seen.page.pdf(format=sheet)
        assert printed.count(b"/Type /Page\n") == 1


def test_what_a_page_defines_is_told_to_machines(look: Watch, base: str) -> None:
    with look(PHONE) as seen:
        seen.page.goto(base + ROOTED)
        told = json.loads(seen.page.inner_text('script[type="application/ld+json"]'))
        assert told["@type"] == "DefinedTerm"
        assert told["termCode"] == "Abm9"
        assert told["url"].endswith(ROOTED)
        assert told["description"] == seen.page.get_attribute('meta[property="og:description"]', "content")
        seen.page.goto(base + KINDS["index"])
        assert json.loads(seen.page.inner_text('script[type="application/ld+json"]'))["@type"] == "DefinedTermSet"
