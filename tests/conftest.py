"""What tests share: the project's own content, loaded once, and a small content that tests may break."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import settings

from understave.answers.configuration import find_project
from understave.answers.project import Loaded, load_project
from understave.entries.glossary import Glossary
from understave.entries.reading import read_glossary
from understave.lessons.lesson import Lesson

ROOT = Path(__file__).parents[1]

settings.register_profile("thorough", settings.get_profile("default"), max_examples=5_000, deadline=None)
"""Fifty times the usual cases, by ``pytest --hypothesis-profile=thorough``: a schedule runs it."""

OUTSIDE_TABLE = pytest.StashKey[list[str]]()
"""What tests compared with other readers of chord symbols, a line each, for the end of the run."""


@pytest.fixture(scope="session")
def outside_table(pytestconfig: pytest.Config) -> list[str]:
    """The lines of the table that stands at the end of the run."""
    return pytestconfig.stash.setdefault(OUTSIDE_TABLE, [])


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    """Print the table of what was compared with other readers, if any test compared."""
    lines = config.stash.get(OUTSIDE_TABLE, [])
    if lines:
        terminalreporter.section("chord symbols beside other readers")
        for line in lines:
            terminalreporter.write_line(line)


SMALL_CONTENT = {
    "chord-symbols/major.yaml": """\
name: major
written: ["", "maj", "M"]
degrees: ["1", "3", "5"]
musicxml: major
summary: A triad with a major third.
text: |
  Play {1}, {3} and {5} together. The [minor](minor) triad is near.

  The symbol {symbol} has no sign after its letter.
easily_confused_with: [minor]
sources: ["common practice"]
""",
    "chord-symbols/minor.yaml": """\
name: minor
written: ["m", "min"]
degrees: ["1", "b3", "5"]
musicxml: minor
also_read: [{as: "-", by: "jazz charts"}]
summary: A triad with a minor third.
text: |
  Play {1}, {b3} and {5} together.

  Its name is {name}.
sources: ["common practice"]
""",
    "added-tones/added-ninth.yaml": """\
name: added ninth
written: ["add9"]
degrees: ["1", "3", "5", "9"]
adds: "9"
summary: A major chord with the 9th on top.
text: |
  The third stays.

  There is no seventh.
sources: ["common practice"]
""",
    "slash-chords/first-inversion.yaml": """\
name: first inversion
chord: major
bass: "3"
example: "C C/E"
summary: A triad over its third.
text: |
  In {C/E} the left hand has {E}.

  The letters stay.
sources: ["common practice"]
""",
    "counting-systems/e-and-a.yaml": """\
name: "1 e & a"
by: position
two: ["n", "&"]
four: ["n", "e", "&", "a"]
summary: Numbers on the beats.
text: |
  Say the number.

  Then the rest.
sources: ["common practice"]
""",
    "counting-systems/kodaly.yaml": """\
name: ta and ti
by: value
values:
  "4": "ta"
  "8 8": "ti ti"
summary: Words for lengths.
text: |
  A quarter is ta.

  An eighth is ti.
sources: ["common practice"]
""",
    "rhythm-figures/quarter-notes.yaml": """\
name: quarter notes
meter: "4/4"
rhythm: "4 4 4 4"
summary: One note a beat.
text: |
  Four even notes.

  Count to four.
sources: ["common practice"]
""",
    "terms/measure.yaml": """\
name: measure
also_called: ["bar"]
summary: The stretch between two bar lines.
text: |
  Count from one again.

  A pickup is measure 0.
sources: ["common practice"]
""",
}
"""A glossary without faults, an entry of every kind in it."""

WriteFiles = Callable[[Mapping[str, str | bytes]], Path]


@pytest.fixture
def uncollected() -> Iterator[None]:
    """No collection of garbage while times are compared: with all tests in memory it outlasts what is timed."""
    gc.disable()
    yield
    gc.enable()


@pytest.fixture(scope="session")
def repository() -> Path:
    return ROOT


@pytest.fixture(scope="session")
def glossary() -> Glossary:
    """The project's own entries."""
    loaded, faults = read_glossary(ROOT / "content")
    assert faults == []
    return loaded


@pytest.fixture(scope="session")
def score_cache(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A cache of scores for the whole run: a worker starts once for each score."""
    return tmp_path_factory.mktemp("scores")


@pytest.fixture(scope="session")
def lanternfield(score_cache: Path) -> Loaded:
    """The example site with its lessons and its ledger."""
    return load_project(replace(find_project(ROOT / "mkdocs.yml"), cache=score_cache))


@pytest.fixture(scope="session")
def lesson(lanternfield: Loaded) -> Lesson:
    """The example site's first lesson."""
    return lanternfield.lessons["paper-lanterns-at-low-tide"]


@pytest.fixture
def in_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder, which is the current one, so that faults show paths from there."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def small_content() -> dict[str, str]:
    """The files of a small content without faults, by path."""
    return dict(SMALL_CONTENT)


@pytest.fixture
def write_files(in_folder: Path) -> WriteFiles:
    """Write files below the current folder's ``content`` and return that."""

    def written(files: Mapping[str, str | bytes]) -> Path:
        for name, content in files.items():
            path = in_folder / "content" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return Path("content")

    return written
