"""Measure how often comments are sorted as somebody sorted them by hand: entries, topics, places, languages, mistakes.

    PYTHONPATH=builder python tests/benchmarks/triage_accuracy.py COMMENTS EXPECTED [--lessons DIR] [--misses]

COMMENTS is a CSV as for `understave triage`, or JSON lines with id, text, lesson. EXPECTED is JSON lines, or a CSV
with JSON in its cells: ``{"id", "topics", "entries", "also_right", "lesson", "at", "measure", "language", "mistake"}``;
what a line leaves out isn't measured. A link that ``also_right`` names is right but not expected. An entry is an id, a
page, or an object with entry and page as the command prints it; one that is linked is right if its id or its page is
expected. The comments must not be those that the word lists were made from.
"""

from __future__ import annotations

import argparse
import csv
import json
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from understave.answers.configuration import find_project
from understave.answers.triaging import Triage
from understave.comments.answered import Answered
from understave.comments.reading import Comment, read_comments
from understave.entries.guides import read_guides
from understave.entries.kept import load_glossary
from understave.entries.replies import read_replies
from understave.entries.values import CountingSystem
from understave.lessons.lesson import load_lessons

Json = dict[str, Any]

PLAIN = ("lesson", "at", "measure", "language", "mistake")


def comments_of(path: Path) -> Iterator[Comment]:
    if path.suffix == ".csv":
        yield from (row for row in read_comments(path) if isinstance(row, Comment))
        return
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        if line.strip():
            item = json.loads(line)
            yield Comment(str(item["id"]), item["text"], number, item.get("lesson") or "", item.get("author") or "")


def _cell(text: str) -> Any:
    try:
        return json.loads(text)
    except ValueError:
        return text or None


def expected_of(path: Path) -> dict[str, Json]:
    if path.suffix == ".csv":
        with path.open(encoding="utf-8-sig", newline="") as file:
            items = [
                {name: value if name == "id" else _cell(value) for name, value in row.items()}
                for row in csv.DictReader(file)
            ]
    else:
        items = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines() if line.strip()]
    return {str(item["id"]): item for item in items}


def names_of(entry: Any) -> set[str]:
    """Return what an entry may be called: its id and its page."""
    if isinstance(entry, str):
        return {entry}
    return {str(entry[name]) for name in ("entry", "page") if entry.get(name)}


def triage_of(lessons: Path | None) -> Triage:
    project = find_project(None)
    glossary = load_glossary(project.content, project.cache)
    found, faults = load_lessons(lessons or project.lessons, glossary, project.cache)
    replies, more = read_replies(project.content, glossary.entries)
    guides, problems = read_guides(project.content, None)
    for fault in (*faults, *more, *problems):
        print(fault, file=sys.stderr)
    system = glossary.of(CountingSystem).get(project.counting_system)
    return Triage(glossary, guides, found, replies, system, project.site_url, Answered())


def main() -> None:
    """Print the scores."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("comments", type=Path)
    parser.add_argument("expected", type=Path)
    parser.add_argument("--lessons", type=Path)
    parser.add_argument("--misses", action="store_true", help="print each comment that isn't sorted as expected")
    options = parser.parse_args()
    triage, expected = triage_of(options.lessons), expected_of(options.expected)
    counts: Counter[str] = Counter()
    topics: Counter[tuple[str, bool]] = Counter()
    for comment in comments_of(options.comments):
        if comment.id not in expected:
            continue
        wanted, found = expected[comment.id], triage.triaged(comment).value
        misses = []
        if "entries" in wanted:
            wanted_names = [names_of(entry) for entry in wanted["entries"] or ()]
            linked = [names_of(entry) for entry in found["entries"]]
            allowed = wanted_names + [names_of(entry) for entry in wanted.get("also_right") or ()]
            right = sum(any(names & each for each in allowed) for names in linked)
            reached = sum(any(names & each for each in linked) for names in wanted_names)
            counts.update(linked=len(linked), right=right, wanted=len(wanted_names), reached=reached)
            misses += ["entries"] if right < len(linked) or reached < len(wanted_names) else []
        if wanted.get("topics"):
            is_right = found["topics"][0] == wanted["topics"][0]
            topics[wanted["topics"][0], is_right] += 1
            misses += [] if is_right else ["topics"]
        for name in PLAIN:
            if name in wanted:
                counts.update({f"{name}-all": 1, f"{name}-right": found[name] == wanted[name]})
                misses += [] if found[name] == wanted[name] else [name]
        if misses and options.misses:
            print(f"{comment.id}: {comment.text!r}")
            for name in misses:
                print(f"    {name}: {found[name]!r}; expected {wanted[name]!r}")
    _print("linked entries that are right", counts["right"], counts["linked"])
    _print("expected entries that are linked", counts["reached"], counts["wanted"])
    _print("first topic", sum(topics[key] for key in topics if key[1]), sum(topics.values()))
    for topic in sorted({name for name, _ in topics}):
        _print(f"  {topic}", topics[topic, True], topics[topic, True] + topics[topic, False])
    for name in PLAIN:
        _print(name, counts[f"{name}-right"], counts[f"{name}-all"])


def _print(name: str, right: int, all_: int) -> None:
    print(f"{name:34} {right:5} of {all_:5}" + (f"  {right / all_:.3f}" if all_ else ""))


if __name__ == "__main__":
    main()
