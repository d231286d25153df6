"""Checks that what was once published still leads somewhere: redirects are built for entries that were renamed."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from understave.addresses.slugs import COUNTING_ADDRESS, KEYS_ADDRESS
from understave.answers.configuration import find_project
from understave.answers.project import load_project

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


def edit(folder: Path, *changes: tuple[str, str]) -> None:
    """Change words in all entries."""
    for path in (folder / "content").rglob("*.yaml"):
        text = path.read_text("utf-8")
        for was, now in changes:
            text = text.replace(was, now)
        path.write_text(text, encoding="utf-8")


def rename(folder: Path, kind: str, old: str, new: str) -> None:
    """Rename an entry, and what names it in other entries."""
    entries = folder / "content" / kind
    (entries / f"{old}.yaml").rename(entries / f"{new}.yaml")
    edit(folder, (f"({old})", f"({new})"), (f"[{old}]", f"[{new}]"), (f"chord: {old}\n", f"chord: {new}\n"))


def published(folder: Path) -> set[str]:
    """Let the ledger be brought up to date, and return every address that answers then."""
    mended = understave("check", "--fix", cwd=folder)
    assert (mended.returncode, mended.stderr) == (0, ""), mended.stdout
    return load_project(find_project(folder / "mkdocs.yml")).now.addresses


def test_whatever_was_published_in_five_versions_still_answers(tmp_path: Path) -> None:
    """Replays a ledger's history: renamed, renamed again, a chord renamed, a pattern dropped, a name taken up again."""
    folder = project(tmp_path / "project", "")
    ledger = folder / "permalinks.yaml"
    ledger.unlink()
    ever = published(folder)
    rename(folder, "terms", "lowest-note", "deepest-note")
    ever |= published(folder)
    rename(folder, "terms", "deepest-note", "deep-note")
    rename(folder, "chord-symbols", "minor", "plain-minor")
    ever |= published(folder)
    assert "  /chord-symbols/minor/: /chord-symbols/plain-minor/\n" in ledger.read_text("utf-8")
    (folder / "content/slash-chords/minor-over-its-third.yaml").unlink()
    edit(folder, ("[Am over C](minor-over-its-third)", "Am over C"), ("[minor-over-its-third]", "[]"))
    [fault] = understave("check", cwd=folder).stdout.splitlines()
    assert "the published entry 'minor-over-its-third' is gone" in fault
    by_hand = "redirects:\n  /slash-chords/minor-over-its-third/: /chord-symbols/plain-minor/\n"
    ledger.write_text(ledger.read_text("utf-8").replace("redirects:\n", by_hand), encoding="utf-8")
    ever |= published(folder)
    rename(folder, "terms", "deep-note", "lowest-note")
    mended = understave("check", "--fix", cwd=folder)
    assert mended.returncode == 1
    assert "a redirect from '/terms/lowest-note/'" in mended.stdout
    stale = "  /terms/lowest-note/: /terms/deepest-note/\n"
    assert stale in ledger.read_text("utf-8")
    ledger.write_text(ledger.read_text("utf-8").replace(stale, ""), encoding="utf-8")
    ever |= published(folder)
    build = mkdocs_build(folder, "--strict")
    assert build.returncode == 0, build.stderr
    site = BuiltSite(folder / "site", build)
    ends = {}
    for address in ever - {COUNTING_ADDRESS, KEYS_ADDRESS}:
        facts = site.pages[address]
        links = [site.target(address, link) for link in facts.links] if facts.moved else [(address, "")]
        [ends[address]] = [target[0] for target in links if target]
    assert set(ends.values()) <= set(site.row)
    assert ends["/terms/deepest-note/"] == ends["/terms/deep-note/"] == "/terms/lowest-note/"
    assert ends["/a-flat-minor-second-inversion/"] == "/a-flat-plain-minor-second-inversion/"
    assert ends["/slash-chords/minor-over-its-third/"] == "/chord-symbols/plain-minor/"
    assert len(ends) == 2 * (1 + 21 * 3) + 3 + 1
