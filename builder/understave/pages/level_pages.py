"""A page for each level: its rules, and its lessons as a path, each with what it adds."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from typing import Any

from understave.addresses.slugs import address_of_lesson, address_of_level
from understave.answers.describing import page_of
from understave.answers.planning import new_by_kind, used_page, used_words
from understave.answers.project import Loaded
from understave.entries.lookup import symbol_of
from understave.lessons.levels import LevelRules
from understave.lessons.planning import Plan, Used, plans
from understave.lessons.schema import LEVELS
from understave.pages.page import Page
from understave.phrases.catalogue import phrase
from understave.phrases.counting import value_words
from understave.phrases.typesetting import HTML
from understave.theory.rhythms import recip_length


@dataclass(frozen=True)
class LevelPages:
    """Makes the levels' pages; a level without lessons has none."""

    loaded: Loaded

    def __iter__(self) -> Iterator[Page]:
        system = self.loaded.counting_system
        found = plans(self.loaded.lessons.values(), self.loaded.glossary, system.system if system else None)
        for level in LEVELS:
            path = [plan for plan in found.values() if plan.lesson.file.level == level]
            if path:
                title = phrase(f"level-{level}")
                values = partial(self._values, level, title, path)
                yield Page(address_of_level(level), title, phrase("intro-level"), "level.html", values, searchable=True)

    def _values(self, level: str, title: str, path: list[Plan]) -> dict[str, Any]:
        rules = self.loaded.levels.get(level)
        return {
            "title": title,
            "intro": phrase("intro-level"),
            "rules": list(rule_sentences(rules)) if rules else [],
            "path": [
                {
                    "address": address_of_lesson(plan.lesson.id),
                    "title": plan.lesson.file.title,
                    "adds": [(kind, [self._row(plan, used) for used in items]) for kind, items in new_by_kind(plan)],
                }
                for plan in path
            ],
        }

    def _row(self, plan: Plan, used: Used) -> dict[str, str]:
        """Return what is new: a symbol to typeset or words, and the page that explains it, if any."""
        glossary = self.loaded.glossary
        if used.kind == "symbol":
            chord = next(
                met.chord for met in plan.lesson.symbols if met.chord and symbol_of(met.chord, glossary) == used.name
            )
            return {"symbol": used.name, "words": "", "page": page_of(chord, glossary) or ""}
        return {"symbol": "", "words": used_words(used, glossary, HTML), "page": used_page(used, glossary) or ""}


def rule_sentences(rules: LevelRules) -> Iterator[str]:
    """Yield what a score of a level may ask for, a sentence a rule."""
    yield phrase("rule-span", semitones=rules.largest_span)
    yield phrase("rule-notes", count=rules.notes_at_once)
    yield phrase("rule-signs", count=rules.accidentals)
    yield phrase("rule-division", value=value_words(recip_length(rules.smallest_division)))
    yield phrase(f"rule-together-{rules.hands_together}")
