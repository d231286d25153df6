"""Checks that what was once published still leads somewhere: redirects are built for entries that were renamed."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from ..built_site import SMALL, BuiltSite, mkdocs_build, understave

LEDGER = """\
entries:
  bass-note: one-page
  lowest-note: one-page
  minor: roots-and-inversions
  minor-over-its-third: one-page
  plain-minor: roots-and-inversions
redirects:
  /chord-symbols/plain-minor/: /chord-symbols/minor/
  /terms/bass-note/: /terms/lowest-note/
"""


def project(folder: Path, ledger: str) -> Path:
    """Return a copy of the small glossary with a ledger of what was published."""
    shutil.copytree(SMALL, folder, ignore=shutil.ignore_patterns("site", ".cache"))
    config = folder / "mkdocs.yml"
    text = config.read_text("utf-8").replace("  - understave\n", "  - understave:\n      permalinks: permalinks.yaml\n")
    config.write_text(text, encoding="utf-8")
    (folder / "permalinks.yaml").write_text(ledger, encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> BuiltSite:
    folder = project(tmp_path_factory.mktemp("renamed") / "project", LEDGER)
    build = mkdocs_build(folder, "--strict")
    assert build.returncode == 0, build.stderr
    return BuiltSite(folder / "site", build)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("/terms/bass-note/", "/terms/lowest-note/"),
        ("/chord-symbols/plain-minor/", "/chord-symbols/minor/"),
        ("/a-flat-plain-minor/", "/a-flat-minor/"),
        ("/f-sharp-plain-minor-second-inversion/", "/f-sharp-minor-second-inversion/"),
    ],
)
def test_old_address_leads_to_the_new_one(site: BuiltSite, old: str, new: str) -> None:
    facts = site.pages[old]
    assert facts.moved
    assert [site.target(old, link) for link in facts.links] == [(new, "")]
    assert new in site.row


def test_redirects_are_no_pages_of_the_glossary(site: BuiltSite) -> None:
    moved = {address for address, facts in site.pages.items() if facts.moved}
    assert len(moved) >= 2 + 63
    assert moved & set(site.row) == set()
    sitemap = (site.folder / "sitemap.xml").read_text("utf-8")
    assert "plain-minor" not in sitemap
    assert "bass-note" not in sitemap


def test_every_redirect_leads_to_a_page(site: BuiltSite) -> None:
    moved = {address: facts for address, facts in site.pages.items() if facts.moved}
    for address, facts in moved.items():
        [link] = facts.links
        target = site.target(address, link)
        assert target, address
        assert target[0] in site.row, address


def test_published_entry_that_is_gone_stops_the_build(tmp_path: Path) -> None:
    folder = project(tmp_path / "project", LEDGER.replace("  /terms/bass-note/: /terms/lowest-note/\n", ""))
    build = understave("build", cwd=folder)
    assert build.returncode == 2
    [line] = [line for line in build.stderr.splitlines() if "permalinks.yaml:2:3:" in line]
    assert "bass-note" in line
    assert "redirects" in line
    assert not (folder / "site").exists()
