"""A small channel that tests may break: the project's glossary, one good lesson, and room for a bad one."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from understave.cli import main

from ..lessons.small_scores import LESSON, SCORE

CONTENT = Path(__file__).parents[2] / "content"


@dataclass(frozen=True)
class Channel:
    """A channel's folder: ``lessons/good.yaml`` over a good score."""

    folder: Path

    def run(self, *arguments: object) -> Result:
        """Run `understave` for this channel."""
        command, *rest = map(str, arguments)
        result = CliRunner().invoke(main, [command, "-f", str(self.folder / "mkdocs.yml"), *rest])
        assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
        return result

    def write(self, name: str, lesson: str, music: str | bytes) -> Path:
        """Write a lesson and its score; returns the lesson's path."""
        content = music.encode() if isinstance(music, str) else music
        ending = ".mxl" if content.startswith(b"PK") else ".musicxml"
        (self.folder / f"{name}{ending}").write_bytes(content)
        path = self.folder / "lessons" / f"{name}.yaml"
        path.write_bytes(lesson.replace("small.musicxml", f"../{name}{ending}").encode())
        return path


@pytest.fixture(scope="session")
def whole_channel(tmp_path_factory: pytest.TempPathFactory) -> Channel:
    folder = tmp_path_factory.mktemp("channel")
    (folder / "mkdocs.yml").write_text(
        f"site_name: Small\nsite_url: https://small.example/\ndocs_dir: {CONTENT}\n"
        "plugins:\n  - understave: {lessons: lessons}\n"
    )
    (folder / "lessons").mkdir()
    channel = Channel(folder)
    channel.write("good", LESSON, SCORE)
    return channel


@pytest.fixture
def channel(whole_channel: Channel, monkeypatch: pytest.MonkeyPatch) -> Iterator[Channel]:
    """The channel as the current folder; all but the good lesson is removed after the test."""
    monkeypatch.chdir(whole_channel.folder)
    yield whole_channel
    for path in [*whole_channel.folder.glob("bad*"), *whole_channel.folder.glob("lessons/bad*")]:
        path.unlink()


Told = Callable[[Result], str]


@pytest.fixture
def one_line() -> Told:
    """Return the only line that a failed command says, on stderr."""

    def said(result: Result) -> str:
        assert result.exit_code == 2, result.output
        assert result.stdout == ""
        [line] = result.stderr.splitlines()
        return line

    return said
