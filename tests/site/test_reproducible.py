"""Checks that the same input gives the same site, byte for byte, wherever, whenever and under whatever settings."""

from __future__ import annotations

import shutil

import pytest

from ..built_site import ROOT, SMALL, mkdocs_build, tree_bytes

SETTINGS = (
    {"TZ": "AAA-14", "LC_ALL": "C", "LANGUAGE": "en", "PYTHONHASHSEED": "1", "SOURCE_DATE_EPOCH": "1000000000"},
    {"TZ": "BBB+12", "LC_ALL": "C.UTF-8", "LANGUAGE": "de", "PYTHONHASHSEED": "4", "SOURCE_DATE_EPOCH": "1800000000"},
)
"""Two settings: the clocks are 26 hours apart, so that the local day always differs; the build dates, years."""


@pytest.fixture(scope="module")
def sites(tmp_path_factory: pytest.TempPathFactory) -> list[dict[str, bytes]]:
    """Return the files of two sites that were built one after the other, so that the second differs too."""
    users = [{"USER": name, "LOGNAME": name, "HOME": str(tmp_path_factory.mktemp(name))} for name in ("ada", "bo")]
    folders = [tmp_path_factory.mktemp(name) / f"{name}-glossary" for name in ("one", "another-place")]
    for folder, settings, user in zip(folders, SETTINGS, users, strict=True):
        shutil.copytree(SMALL, folder, ignore=shutil.ignore_patterns("site", ".cache"))
        build = mkdocs_build(folder, "--strict", "--quiet", **settings, **user)
        assert build.returncode == 0, build.stderr
    return [tree_bytes(folder / "site") for folder in folders]


def test_two_builds_have_the_same_files(sites: list[dict[str, bytes]]) -> None:
    one, other = sites
    assert len([name for name in one if name.endswith("index.html")]) >= 30
    assert one.keys() == other.keys()


def test_two_builds_have_the_same_bytes(sites: list[dict[str, bytes]]) -> None:
    one, other = sites
    assert [name for name in one if one[name] != other.get(name)] == []


def test_no_file_tells_where_it_was_built(sites: list[dict[str, bytes]]) -> None:
    words = (b"another-place", b"pytest-of-", str(ROOT).encode())
    assert [name for name, content in sites[1].items() if any(word in content for word in words)] == []
