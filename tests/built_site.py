"""The demo site, built once a test session outside the repository, and what its pages hold."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urldefrag, urljoin, urlsplit

import pytest

ROOT = Path(__file__).resolve().parents[1]
CONFIG = ROOT / "mkdocs.yml"
SMALL = ROOT / "site_examples" / "small-glossary"

VOID = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}
"""Elements of HTML that have no end tag (WHATWG HTML, void elements; from memory)."""

LOADS = {"script": "src", "img": "src", "iframe": "src", "source": "src", "video": "src", "audio": "src",
         "embed": "src", "object": "data", "use": "href", "image": "href"}  # fmt: skip
"""Where elements name what the browser fetches without being asked; links by their rel are beside it."""

LOADING_LINKS = {"stylesheet", "icon", "preload", "modulepreload", "manifest", "prefetch", "preconnect", "dns-prefetch"}


def quiet_environment(**changes: str) -> dict[str, str]:
    """Return the environment for a build: without the theme's banner, which is an advertisement and no warning."""
    return {**os.environ, "NO_MKDOCS_2_WARNING": "1", **changes}


def run(*command: str | Path, cwd: Path = ROOT, env: dict[str, str] | None = None) -> subprocess.CompletedProcess[str]:
    """Run a command to its end, whatever its exit status."""
    return subprocess.run(
        [str(part) for part in command], cwd=cwd, env=env or quiet_environment(), capture_output=True, text=True,
        encoding="utf-8", timeout=300, check=False,
    )  # fmt: skip


def mkdocs_build(folder: Path, *options: str, **changes: str) -> subprocess.CompletedProcess[str]:
    """Run `mkdocs build` in a folder, with the program that the tests run in."""
    return run(sys.executable, "-m", "mkdocs", "build", *options, cwd=folder, env=quiet_environment(**changes))


def understave(*arguments: str, cwd: Path = ROOT, **changes: str) -> subprocess.CompletedProcess[str]:
    """Run the `understave` command as its console script does."""
    start = "import sys; from understave.cli import main; sys.argv[0] = 'understave'; main()"
    return run(sys.executable, "-c", start, *arguments, cwd=cwd, env=quiet_environment(**changes))


def tree_bytes(folder: Path) -> dict[str, bytes]:
    """Return every file below a folder with its bytes."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()
    }


@dataclass
class Picture:
    """An SVG of notation or of a keyboard, as it stands on a page."""

    attributes: dict[str, str]
    title: str = ""
    description: str = ""
    notes: list[str] = field(default_factory=list)


@dataclass
class PageFacts:
    """What a page holds that links and rules are held against."""

    ids: list[str] = field(default_factory=list)
    links: list[str] = field(default_factory=list)
    loads: list[str] = field(default_factory=list)
    styled: list[str] = field(default_factory=list)
    pictures: list[Picture] = field(default_factory=list)
    is_entry: bool = False
    moved: bool = False


class _FactsReader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.facts = PageFacts()
        self._picture: Picture | None = None
        self._depth = 0
        self._text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        values = {name: value or "" for name, value in attrs}
        facts = self.facts
        if "id" in values:
            facts.ids.append(values["id"])
        if "style" in values:
            facts.styled.append(tag)
        if tag == "a" and "href" in values:
            facts.links.append(values["href"])
        if tag in LOADS and values.get(LOADS[tag]):
            facts.loads.append(values[LOADS[tag]])
        if tag == "link" and LOADING_LINKS & set(values.get("rel", "").split()):
            facts.loads.append(values.get("href", ""))
        if tag == "article" and "entry" in values.get("class", "").split():
            facts.is_entry = True
        if tag == "meta" and values.get("http-equiv", "").lower() == "refresh":
            facts.moved = True
        if tag == "svg":
            self._open_svg(values)
        elif self._picture is not None:
            if tag in ("title", "desc"):
                self._text = tag
            elif "data-note" in values:
                self._picture.notes.append(values["data-note"])

    handle_startendtag = handle_starttag

    def _open_svg(self, values: dict[str, str]) -> None:
        if self._picture is not None:
            self._depth += 1
        elif {"notation", "keyboard"} & set(values.get("class", "").split()):
            self._picture, self._depth = Picture(values), 1

    def handle_endtag(self, tag: str) -> None:
        self._text = ""
        if tag == "svg" and self._picture is not None:
            self._depth -= 1
            if not self._depth:
                self.facts.pictures.append(self._picture)
                self._picture = None

    def handle_data(self, data: str) -> None:
        if self._picture is not None and self._text == "title":
            self._picture.title += data
        elif self._picture is not None and self._text == "desc":
            self._picture.description += data


@dataclass
class Node:
    """An element with what is in it."""

    tag: str
    attributes: dict[str, str]
    content: list[Node | str] = field(default_factory=list)

    @property
    def classes(self) -> set[str]:
        """The element's classes."""
        return set(self.attributes.get("class", "").split())

    @property
    def text(self) -> str:
        """All text in it, white space made single."""
        return " ".join("".join(self._texts()).split())

    def _texts(self) -> Iterator[str]:
        for part in self.content:
            if isinstance(part, str):
                yield part
            else:
                yield from part._texts()

    def __iter__(self) -> Iterator[Node]:
        yield self
        for part in self.content:
            if isinstance(part, Node):
                yield from part

    def all(self, tag: str = "", name: str = "") -> list[Node]:
        """Return all elements in it of a tag and a class; either may be left open."""
        return [node for node in self if (not tag or node.tag == tag) and (not name or name in node.classes)]

    def one(self, tag: str = "", name: str = "") -> Node:
        """Return the only such element."""
        found = self.all(tag, name)
        assert len(found) == 1, f"{len(found)} elements {tag}.{name}"
        return found[0]

    def after_heading(self, name: str) -> Node:
        """Return the section from the heading with an id to the next heading of its rank."""
        section = Node("section", {})
        inside = False
        for part in self.content:
            if isinstance(part, Node) and part.tag == "h2":
                inside = part.attributes.get("id") == name
            if inside:
                section.content.append(part)
        assert section.content, f"no heading with the id {name}"
        return section


class _TreeReader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.root = Node("", {})
        self._open = [self.root]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        node = Node(tag, {name: value or "" for name, value in attrs})
        self._open[-1].content.append(node)
        if tag not in VOID:
            self._open.append(node)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._open[-1].content.append(Node(tag, {name: value or "" for name, value in attrs}))

    def handle_endtag(self, tag: str) -> None:
        names = [node.tag for node in self._open]
        if tag in names[1:]:
            del self._open[len(names) - 1 - names[::-1].index(tag) :]

    def handle_data(self, data: str) -> None:
        self._open[-1].content.append(data)


@dataclass
class BuiltSite:
    """A built site, how it was built, and the listing of the repository before and after."""

    folder: Path
    build: subprocess.CompletedProcess[str]
    before: str | None = None
    after: str | None = None

    @cached_property
    def pages(self) -> dict[str, PageFacts]:
        """What every page holds, by its address; 404.html keeps its name."""
        found = {}
        for path in sorted(self.folder.rglob("*.html")):
            reader = _FactsReader()
            reader.feed(path.read_text(encoding="utf-8"))
            address = "/" + path.relative_to(self.folder).as_posix()
            found[address.removesuffix("index.html")] = reader.facts
        return found

    @cached_property
    def data(self) -> list[dict[str, Any]]:
        """The rows of understave.json."""
        rows: list[dict[str, Any]] = json.loads((self.folder / "understave.json").read_text(encoding="utf-8"))["pages"]
        return rows

    @cached_property
    def row(self) -> dict[str, dict[str, Any]]:
        """The rows of understave.json by their permalinks."""
        return {row["permalink"]: row for row in self.data}

    @property
    def assets(self) -> Path:
        """The folder of our scripts, styles and tables."""
        [folder] = self.folder.glob("assets/understave-*")
        return folder

    def fetched_from(self, script: str) -> set[str]:
        """Return a script and what it fetches: all that is named from one to the next."""
        found: set[str] = set()
        waiting = [script]
        while waiting:
            name = waiting.pop()
            found.add(name)
            if name.endswith(".js"):
                named = set(re.findall(r'"\./([a-z-]+\.js(?:on)?)"', (self.assets / name).read_text("utf-8")))
                waiting += named - found
        return found

    def html(self, address: str) -> str:
        """Return a page's source."""
        return (self.folder / address.lstrip("/") / "index.html").read_text(encoding="utf-8")

    def tree(self, address: str) -> Node:
        """Return a page as a tree."""
        reader = _TreeReader()
        reader.feed(self.html(address))
        return reader.root

    def entry(self, address: str) -> Node:
        """Return the part of a page that is ours, as a tree."""
        return self.tree(address).one("article", "entry")

    def target(self, address: str, link: str) -> tuple[str, str] | None:
        """Return the address and the anchor that a link on a page leads to, None if it leaves the site."""
        whole, anchor = urldefrag(urljoin("https://built.example" + address, link))
        parts = urlsplit(whole)
        return (unquote(parts.path), unquote(anchor)) if parts.netloc == "built.example" else None

    def resolves(self, path: str) -> bool:
        """Tell whether a path of the site is a page or a file."""
        file = self.folder / path.lstrip("/")
        return (file / "index.html").is_file() if path.endswith("/") else file.is_file()


def listing() -> str | None:
    """Return what git has to say of the repository's files, None where there is no git.

    Caches may come and go, and the tests may be edited while they run.
    """
    if shutil.which("git") is None or not (ROOT / ".git").exists():
        return None
    lines = run("git", "status", "--porcelain", "--ignored").stdout.splitlines()
    return "\n".join(line for line in lines if not re.search(r"(^|[ /])(\.cache|__pycache__)/|^.. tests/", line))


_built: list[BuiltSite] = []


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> BuiltSite:
    """Return the demo site. It is built once, however many folders' conftest files bring this fixture in."""
    if not _built:
        folder = tmp_path_factory.mktemp("demo") / "glossary"
        before = listing()
        build = mkdocs_build(ROOT, "--strict", "--site-dir", str(folder))
        _built.append(BuiltSite(folder, build, before, listing()))
    site = _built[0]
    assert site.build.returncode == 0, site.build.stderr
    return site
