"""All of a site's content loaded and checked: entries, guides, lessons, the ledger, replies."""

from __future__ import annotations

from collections.abc import Collection, Container, Mapping
from dataclasses import dataclass
from pathlib import Path

from understave.addresses.ledger import Ledger, Now, address_faults, read_ledger
from understave.addresses.slugs import address_of_entry, address_of_guide, address_of_lesson
from understave.answers.configuration import NoProjectError, Project
from understave.answers.handouts import Handout, read_handouts
from understave.entries.faults import Fault, Faulty, nearest
from understave.entries.folders import entry_ids, link_faults, shown_path
from understave.entries.glossary import Glossary
from understave.entries.guides import read_guides
from understave.entries.kept import read_kept
from understave.entries.replies import Replies, read_replies
from understave.entries.values import CountingSystem, Entry, Guide
from understave.lessons.lesson import Lesson, load_lesson, load_lessons
from understave.lessons.levels import LEVELS_FILE, LevelRules, read_levels
from understave.phrases.catalogue import catalogue_faults, speak


@dataclass(frozen=True)
class Loaded:
    """A project's content, checked."""

    project: Project
    glossary: Glossary
    guides: dict[str, Guide]
    lessons: dict[str, Lesson]
    levels: dict[str, LevelRules]
    ledger: Ledger
    replies: Replies
    handouts: dict[str, Handout]

    @property
    def now(self) -> Now:
        """What the site has now, for the ledger."""
        return Now(self.glossary, self.lessons, self.guides)

    @property
    def counting_system(self) -> CountingSystem | None:
        """The system that the site counts with; None for a glossary without any."""
        return self.glossary.of(CountingSystem).get(self.project.counting_system)


@dataclass(frozen=True)
class _Read:
    """What was read of a project, None without a ledger that reads, and the faults by what they speak of."""

    loaded: Loaded | None
    lessons: list[Fault]
    permalinks: list[Fault]
    others: list[Fault]


def load_project(project: Project) -> Loaded:
    """Read and check all of a project's content. Raises Faulty with every fault of every file."""
    read = _read(project)
    if read.loaded is None or read.lessons or read.permalinks or read.others:
        raise Faulty([*read.lessons, *read.permalinks, *read.others])
    return read.loaded


def load_but_faulty_lessons(project: Project) -> tuple[Loaded, list[Fault]]:
    """Read a project's content and pass over lessons with faults. Returns the content and those faults.

    Raises Faulty for any other fault.
    """
    read = _read(project)
    if read.loaded is None or read.permalinks or read.others:
        raise Faulty([*read.lessons, *read.permalinks, *read.others])
    return read.loaded, read.lessons


def load_but_lost_pages(project: Project) -> Loaded:
    """Read a project's content whatever published pages it has lost. Raises Faulty for any other fault."""
    read = _read(project)
    if read.loaded is None or read.lessons or read.others:
        raise Faulty([*read.lessons, *read.permalinks, *read.others])
    return read.loaded


def _read(project: Project) -> _Read:
    """Read a project's content. From here on its language is spoken."""
    phrase_faults = catalogue_faults(project.language, project.content, project.config)
    if not phrase_faults:
        speak(project.language, project.content)
    glossary, faults = read_kept(project.content, project.cache)
    # an entry with faults is there all the same: what speaks of it is right
    known = entry_ids(project.content) if faults else {name: type(entry) for name, entry in glossary.entries.items()}
    systems = [name for name, kind in known.items() if kind is CountingSystem]
    lessons, lesson_faults = load_lessons(project.lessons, None if faults else glossary, project.cache, known)
    ledger, ledger_faults = read_ledger(project.permalinks)
    guides, guide_faults = read_guides(project.content, systems, known)
    replies, reply_faults = read_replies(project.content, known)
    handouts, handout_faults = read_handouts(project.content, None if faults else glossary)
    faults += phrase_faults + ledger_faults + guide_faults + reply_faults + handout_faults
    faults += link_faults(project.content)
    faults += _address_faults(project, glossary) + _system_faults(project, systems)
    if ledger is None:
        return _Read(None, lesson_faults, [], faults)
    broken = _broken(project, known, {*glossary.entries, *lessons, *(f"guides/{name}" for name in guides)})
    lost = ledger.faults(Now(glossary, lessons, guides, broken))
    loaded = Loaded(project, glossary, guides, lessons, _levels(project), ledger, replies, handouts)
    return _Read(loaded, lesson_faults, lost, faults)


def _broken(project: Project, entries: Mapping[str, type[Entry]], read: Container[str]) -> dict[str, str]:
    """Return the addresses of the entries, lessons and guides that are there and don't read, by id."""
    lessons = sorted(project.lessons.glob("*.yaml")) if project.lessons else []
    found = {name: address_of_entry(name, kind) for name, kind in entries.items()}
    found |= {path.stem: address_of_lesson(path.stem) for path in lessons}
    found |= {
        f"guides/{path.stem}": address_of_guide(path.stem) for path in sorted(project.content.glob("guides/*.md"))
    }
    return {name: address for name, address in found.items() if name not in read}


def _levels(project: Project) -> dict[str, LevelRules]:
    """Return the rules of the levels; their faults came with the lessons."""
    return read_levels(project.lessons.parent / LEVELS_FILE)[0] if project.lessons else {}


def _address_faults(project: Project, glossary: Glossary) -> list[Fault]:
    return [
        Fault(
            shown_path(project.content / glossary.entries[name].folder / f"{name}.yaml"),
            1,
            1,
            f"an id that gives the address {address}",
            "addresses that no other entry's pages have",
        )
        for name, address in address_faults(glossary)
    ]


def _system_faults(project: Project, systems: Collection[str]) -> list[Fault]:
    if project.counting_system in systems or not systems:
        return []
    found = f"the counting system {project.counting_system!r}"
    return [
        Fault(
            shown_path(project.config),
            1,
            1,
            found,
            "the id of a counting system",
            nearest(project.counting_system, systems),
        )
    ]


def find_lesson(loaded: Loaded, name: str) -> Lesson:
    """Return a lesson by its id or the path of its file. Raises NoProjectError for one that isn't there."""
    path = Path(name)
    if name in loaded.lessons:
        return loaded.lessons[name]
    if path.is_file():
        lesson = load_lesson(path, loaded.glossary, loaded.project.cache, loaded.levels)
        assert lesson is not None
        return lesson
    hint = nearest(name, loaded.lessons)
    raise NoProjectError(f"{name}: no such lesson; expected a lesson's file or id" + (f"; {hint}" if hint else ""))
