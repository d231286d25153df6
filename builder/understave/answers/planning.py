"""What a lesson is the first to use at its level, what it leans on, and what the glossary still lacks for it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from understave.addresses.slugs import address_of_entry
from understave.answers.describing import page_of
from understave.answers.project import Loaded
from understave.entries.glossary import Glossary
from understave.entries.lookup import parts_of, symbol_of
from understave.lessons.lesson import Lesson
from understave.lessons.planning import KINDS, Plan, Used, plans
from understave.phrases.catalogue import phrase
from understave.phrases.counting import value_words
from understave.phrases.typesetting import TEXT, Setting, key_words, listed, symbol_text
from understave.theory.rhythms import recip_length

Json = dict[str, Any]

ENTRY_KINDS = frozenset(("chord-symbol", "added-tone", "slash-chord"))
"""The kinds whose names are ids of entries."""


INVERSIONS = ("", "first-inversion", "second-inversion", "third-inversion")


@dataclass(frozen=True)
class Missing:
    """Something the glossary lacks for a lesson: ``what`` is a page, an entry or a permalink."""

    what: str
    name: str


def plan_of(lesson: Lesson, loaded: Loaded) -> Plan:
    """Return a lesson's plan among the project's lessons; one from elsewhere takes its place by its date."""
    lessons = {**loaded.lessons, lesson.id: lesson}
    in_order = sorted(lessons.values(), key=lambda one: (one.file.date, one.id))
    system = loaded.counting_system
    return plans(in_order, loaded.glossary, system.system if system else None)[lesson.id]


def missing_for(lesson: Lesson, loaded: Loaded) -> Iterator[Missing]:
    """Yield what is missing: pages for symbols, entries for chords that are explained by parts, lines of the ledger."""
    glossary = loaded.glossary
    chords = dict.fromkeys(met.chord for met in lesson.symbols if met.chord)
    for chord in chords:
        if page_of(chord, glossary) is None:
            yield Missing("page", symbol_of(chord, glossary))
        elif parts_of(chord, glossary).own is None:
            yield Missing("entry", symbol_of(chord, glossary))
    used = dict.fromkeys(name for chord in chords for name in parts_of(chord, glossary).ids)
    if loaded.project.permalinks is not None:
        published = loaded.ledger.file.entries
        for name in (*used, *lesson.file.teaches, lesson.id):
            if name not in published:
                yield Missing("permalink", name)


def plan_value(plan: Plan, loaded: Loaded) -> Json:
    """Return the value of ``understave explain LESSON --new --json``."""
    return {
        "lesson": plan.lesson.id,
        "level": plan.lesson.file.level,
        "new": [_used_value(used, loaded.glossary) for used in plan.new],
        "leans": [
            {"lesson": name, "used": [_used_value(used, loaded.glossary) for used in items]}
            for name, items in plan.leans.items()
        ],
        "missing": [{"what": one.what, "name": one.name} for one in dict.fromkeys(missing_for(plan.lesson, loaded))],
    }


def _used_value(used: Used, glossary: Glossary) -> Json:
    return {
        "kind": used.kind,
        "name": used.name,
        "measure": used.measure,
        "semitones": used.size or None,
        "page": used_page(used, glossary),
    }


def used_page(used: Used, glossary: Glossary) -> str | None:
    """Return the address of the entry that explains what is used, None where no single entry does."""
    return address_of_entry(used.name, glossary.entries[used.name]) if used.kind in ENTRY_KINDS else None


def plan_text(plan: Plan, loaded: Loaded) -> str:
    """Return a lesson's plan for reading."""
    file, glossary = plan.lesson.file, loaded.glossary
    lines = [phrase("plan-title", title=file.title, level=file.level, date=file.date), "", phrase("plan-new")]
    lines += [f"  {line}" for line in new_lines(plan, glossary)] or [f"  {phrase('plan-nothing-new')}"]
    if plan.leans:
        lines += ["", phrase("plan-leans")]
        for name, items in plan.leans.items():
            title = loaded.lessons[name].file.title if name in loaded.lessons else name
            lines.append(f"  {title}: {listed([used_words(used, glossary) for used in _plain(items)])}")
    if missing := list(dict.fromkeys(missing_for(plan.lesson, loaded))):
        lines += ["", phrase("plan-missing")]
        lines += [f"  {phrase(f'plan-no-{one.what}', name=_missing_words(one))}" for one in missing]
    return "\n".join(lines)


def _plain(items: Iterable[Used]) -> list[Used]:
    """Return what a lesson leans on without the symbols, whose types and basses stand there as well."""
    return [used for used in items if used.kind != "symbol"] or list(items)


def _missing_words(one: Missing) -> str:
    return one.name if one.what == "permalink" else symbol_text(one.name)


def new_lines(plan: Plan, glossary: Glossary) -> list[str]:
    """Return a line a kind: what is new at the lesson's level."""
    return [f"{title}: {', '.join(_placed(used, glossary) for used in items)}" for title, items in new_by_kind(plan)]


def new_by_kind(plan: Plan) -> list[tuple[str, list[Used]]]:
    """Return what is new by its kind's title, in the order of KINDS."""
    by_kind = groupby(sorted(plan.new, key=lambda used: KINDS.index(used.kind)), key=lambda used: used.kind)
    return [(phrase(f"plan-kind-{kind}"), list(items)) for kind, items in by_kind]


def _placed(used: Used, glossary: Glossary) -> str:
    words = used_words(used, glossary)
    return phrase("plan-placed", what=words, measure=used.measure) if used.measure is not None else words


def used_words(used: Used, glossary: Glossary, setting: Setting = TEXT) -> str:
    """Return what a lesson uses in words."""
    match used.kind:
        case "symbol":
            return setting.symbol(used.name)
        case "inversion":
            return phrase(INVERSIONS[int(used.name)])
        case "division":
            return value_words(recip_length(used.name))
        case "span":
            return phrase("plan-span", hand=phrase(used.name), semitones=used.size)
        case "key":
            return key_words(used.name, setting)
        case "meter":
            return used.name
        case _:
            return glossary.entries[used.name].name
