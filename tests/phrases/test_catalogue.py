"""Checks that every sentence that code and templates ask for is in the catalogue, and that none is left over.

The ids asked for are gathered from the source: texts handed to ``phrase`` as they stand, and families whose last part
is a value (``kind-`` and the name of a folder).
"""

from __future__ import annotations

import ast
import re
import string
import sys
from importlib.resources import files
from pathlib import Path

import pytest

import understave
from understave.engraving.note_glyphs import NOTES
from understave.entries.values import KINDS
from understave.lessons.levels import TOGETHER
from understave.lessons.planning import KINDS as PLANNED
from understave.lessons.schema import LEVELS
from understave.phrases import catalogue
from understave.phrases.catalogue import phrase, phrase_ids
from understave.phrases.counting import NAMED_NUMBERS, NAMED_VALUES
from understave.phrases.note_names import NAMINGS
from understave.phrases.typesetting import NAMED_DEGREES
from understave.theory import grammar
from understave.theory.actions import ACTIONS
from understave.theory.counting_rules import RULES
from understave.theory.spans import AUGMENTED_SIXTHS
from understave.theory.stretches import ROLES

PACKAGE = Path(understave.__file__).parent
SOURCES = sorted(path for path in PACKAGE.rglob("*.py"))
TEMPLATES = sorted([*PACKAGE.rglob("templates/*.html"), *PACKAGE.rglob("theme/**/*.html")])
SCRIPTS = sorted(PACKAGE.rglob("scripts/*.js"))
FOLDERS = {kind.folder for kind in KINDS}


OTHER_NAMES = {"look-up-list"}
"""What scripts and templates call parts of the page."""


def trees() -> list[ast.Module]:
    return [ast.parse(path.read_text("utf-8")) for path in SOURCES]


def texts_in_code() -> set[str]:
    return {
        node.value
        for tree in trees()
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }


def calls(name: str, tree: ast.AST) -> list[ast.Call]:
    return [
        node
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and getattr(node.func, "id", getattr(node.func, "attr", "")) == name
    ]


def keys_in_code() -> list[ast.expr]:
    """What calls of ``phrase`` ask for; of a condition both sides."""
    found = []
    waiting = [call.args[0] for tree in trees() for call in calls("phrase", tree) if call.args]
    while waiting:
        key = waiting.pop()
        if isinstance(key, ast.IfExp):
            waiting += [key.body, key.orelse]
        else:
            found.append(key)
    return found


def asked_for_in_code() -> set[str]:
    """The ids that stand in calls of ``phrase`` as texts."""
    return {str(key.value) for key in keys_in_code() if isinstance(key, ast.Constant)}


def asked_for_in_templates() -> set[str]:
    found = set()
    for path in TEMPLATES:
        for call in re.findall(r"phrase\(([^)]*)\)", path.read_text("utf-8")):
            first = call.split(",")[0]
            if "~" not in first:
                found |= set(re.findall(r"[\"']([a-z0-9-]+)[\"']", first))
    return found


def asked_for_in_scripts() -> set[str]:
    """The ids of sentences that stand in scripts as texts: the look-up's, and what is handed to ``phrase``."""
    texts = [path.read_text("utf-8") for path in SCRIPTS]
    found = {name for text in texts for name in re.findall(r'"((?:look-up|keys-page)-[a-z-]+)"', text)}
    return found | {name for text in texts for name in re.findall(r'phrase\("([a-z0-9-]+)"', text)}


def prefixes() -> set[str]:
    """The beginnings of ids that are put together: f"kind-{folder}", "kind-" ~ kind."""
    found = {
        str(key.values[0].value)
        for key in keys_in_code()
        if isinstance(key, ast.JoinedStr) and isinstance(key.values[0], ast.Constant)
    }
    for path in TEMPLATES:
        found |= set(re.findall(r'phrase\("([a-z-]+-)" ~', path.read_text("utf-8")))
    return found


def reasons() -> set[str]:
    """The ids of reasons that a reading can give."""
    found = {sense.why for senses in grammar.AMBIGUOUS.values() for sense in senses} | set(grammar.REMARKS.values())
    symbols = ast.parse((PACKAGE / "theory" / "symbols.py").read_text("utf-8"))
    found |= {
        call.args[1].value
        for call in calls("Reading", symbols)
        if isinstance(call.args[-1], ast.Constant) and len(call.args) > 1
    }
    found |= {call.args[-1].value for call in calls("_senses", symbols) if isinstance(call.args[-1], ast.Constant)}
    for node in ast.walk(symbols):
        if not (isinstance(node, ast.Assign) and isinstance(node.value, ast.Constant)):
            continue
        if any(getattr(target, "attr", getattr(target, "id", "")) == "remark" for target in node.targets):
            found.add(str(node.value.value))
    found |= {words[2] for words in steps_of_actions() if words[:2] == ["put", "remark"]}
    return found - {""}


def steps_of_actions() -> list[list[str]]:
    """Every step of every action of the grammar, as words."""
    return [step.split() for rules in ACTIONS.values() for rule in rules for step in rule.do.split(";")]


def expectations() -> set[str]:
    """The ids of what a symbol's reader can have expected."""
    symbols = ast.parse((PACKAGE / "theory" / "symbols.py").read_text("utf-8"))
    drafts = ast.parse((PACKAGE / "theory" / "drafts.py").read_text("utf-8"))
    found = {words[1] for words in steps_of_actions() if words[0] == "refuse"}
    for tree, name, place in ((drafts, "Refused", 0), (symbols, "_Unread", 0), (symbols, "_read_tone", 2)):
        for call in calls(name, tree):
            found |= {
                node.value
                for node in ast.walk(call.args[place])
                if isinstance(node, ast.Constant) and isinstance(node.value, str)
            }
    found -= {"H", "after-"}
    kinds = {token.kind for token in (*grammar.LETTER_TOKENS.values(), *grammar.WORD_TOKENS.values())}
    found |= {
        f"after-{state}"
        for state, steps in grammar.STATES.items()
        if kinds - set(steps) or state not in grammar.LAST_STATES
    }
    return found


def namings() -> set[str]:
    """The ids of reasons that a naming can give."""
    naming = ast.parse((PACKAGE / "theory" / "naming.py").read_text("utf-8"))
    found = set()
    for function in ast.walk(naming):
        if isinstance(function, ast.FunctionDef) and function.name == "_why":
            for node in ast.walk(function):
                if isinstance(node, ast.Return) and node.value is not None:
                    found |= {part.value for part in ast.walk(node.value) if isinstance(part, ast.Constant)}
    found |= {
        part.value
        for call in calls("Naming", naming)
        for part in call.args
        if isinstance(part, ast.Constant) and isinstance(part.value, str)
    }
    return {why for why in found if isinstance(why, str)}


def counting(rule: str) -> set[str]:
    """The ids that a rule of the counting can give."""
    return {gives for _, gives in RULES[rule]}


def rhythm_problems() -> set[str]:
    """The ids of what can be wrong with a rhythm, a meter, a beat or a system."""
    rhythms = ast.parse((PACKAGE / "theory" / "rhythms.py").read_text("utf-8"))
    found = {
        str(part.value)
        for call in calls("RhythmError", rhythms)
        for part in ([call.args[0].body, call.args[0].orelse] if isinstance(call.args[0], ast.IfExp) else call.args[:1])
        if isinstance(part, ast.Constant)
    }
    return found | {"no-beat", "no-system"}


FAMILIES = {
    "why-": reasons() | {"plain", "composed"},
    "expected-": expectations(),
    "kind-": FOLDERS | {"guides", "roots", "lessons", "handouts"},
    "intro-": FOLDERS | {"guides", "roots", "root", "lessons", "lesson", "level", "corrections", "handouts"},
    "level-": {*LEVELS, "caution"},
    "plan-kind-": set(PLANNED),
    "plan-no-": {"page", "entry", "permalink"},
    "rule-together-": set(TOGETHER),
    "question-": FOLDERS | {"guides", "handouts"},
    "family-": {"5", "6", "7", "9", "11", "13"},
    "degree-": {str(number) for number in NAMED_DEGREES} | {"other"},
    "interval-": {str(number) for number in NAMED_DEGREES}
    | {"octave", "perfect", "major", "minor", "augmented", "diminished", "doubly", "triply", "often"},
    "names-": {"label", *NAMINGS},
    "hand-letter-": {"left", "right"},
    "parts-": {str(number) for number in NAMED_NUMBERS},
    "value-": {str(number) for number in NAMED_VALUES} | {"dotted", "other"},
    "note-": {str(number) for number in NAMED_VALUES} | {"other", "dots-1", "dots-2"},
    "note-dots-": {"1", "2"},
    "many-notes-": {str(number) for number in NAMED_VALUES},
    "rest-": {str(number) for number in NAMED_VALUES} | {"other"},
    "count-why-": counting("why"),
    "count-change-": counting("even"),
    "count-error-": rhythm_problems(),
    "count-page-value-": set(NOTES),
    "job-": {
        "1",
        "3",
        "5",
        "7",
        "sus",
        "altered-5",
        "diminished-5",
        "augmented-5",
        "extension",
        "altered-extension",
        "added",
        "left-out",
    },
    "bass-inversion-": {"0", "1", "2", "3"},
    "bass-adds-": {"bb7", "b7", "7", "2", "4", "6"},
    "verdict-": {"agrees", "tone-left-out", "likelier", "contradicts", "silent", "nothing"},
    "explain-count-": {"left", "right"},
    "sheet-point-count-": {"left", "right"},
    "measure-count-": {"both", "left", "right"},
    "describe-hands-": {"both", "left", "right"},
    "simpler-symbol-": {"fewer-tones", "other-bass", "other-chord"},
    "naming-": namings()
    | set(AUGMENTED_SIXTHS.values())
    | {"sums-up", "missing", "extra", "others", "left-alone", "right-alone", "only-right", "inverted"},
    "extra-": set(ROLES),
    "triage-section-": {"mistakes", "open", "answered", "rest"},
    "write-brace-": {
        f"{what}{end}"
        for what in ("degree", "symbol", "over", "name", "note", "chord", "letter", "link")
        for end in ("", "-is")
    },
}


def test_the_search_finds_what_is_asked_for():
    assert {"describe-first", "chord-tones", "why-plain"} <= asked_for_in_code()
    assert {"heading-tones", "column-division", "column-value", "look-up-hint"} <= asked_for_in_templates()
    assert {"look-up-none", "look-up-composed"} <= asked_for_in_scripts()
    assert "minor-suspends" in reasons()
    assert {"root", "bass", "german-h", "clash", "after-quality", "two-or-four"} <= expectations()


def test_every_phrase_that_is_asked_for_is_there():
    asked = asked_for_in_code() | asked_for_in_templates() | (asked_for_in_scripts() - OTHER_NAMES)
    assert sorted(asked - phrase_ids()) == []


def test_every_family_of_phrases_is_known_here():
    assert prefixes() <= set(FAMILIES)


@pytest.mark.parametrize("prefix", FAMILIES)
def test_a_family_has_a_phrase_for_each_value_and_no_other(prefix):
    if prefix == "question-":
        wanted = {f"{prefix}{name}" for name in FAMILIES[prefix]}
        assert wanted <= phrase_ids()
        return
    there = {name for name in phrase_ids() if name.startswith(prefix)}
    assert there == {f"{prefix}{name}" for name in FAMILIES[prefix]}


def test_no_phrase_is_left_over():
    families = {f"{prefix}{name}" for prefix, names in FAMILIES.items() for name in names}
    left = phrase_ids() - texts_in_code() - asked_for_in_templates() - asked_for_in_scripts() - families
    assert sorted(left) == []


def test_the_kinds_of_jobs_and_families_are_those_that_chords_have(glossary):
    from understave.entries.glossary import order_of_chords
    from understave.pages.chords import _job_id

    jobs = {_job_id(degree, entry.degrees) for entry in glossary.chords.values() for degree in entry.degrees}
    assert jobs <= FAMILIES["job-"]
    assert {str(order_of_chords(entry.degrees)[0]) for entry in glossary.chords.values()} <= FAMILIES["family-"]


def test_every_reason_reads_as_a_sentence():
    for reason in reasons():
        text = phrase(f"why-{reason}")
        assert text[0].isupper() or text.split()[0] in {"sus", "alt"}, text
        assert text.endswith(".")


def test_placeholders_are_all_named():
    for name in phrase_ids():
        text = files("understave.phrases").joinpath("en.po").read_text("utf-8")
        assert f'msgid "{name}"' in text
    for message in re.findall(r'msgstr "(.+)"', files("understave.phrases").joinpath("en.po").read_text("utf-8"))[1:]:
        fields = [field for _, field, _, _ in string.Formatter().parse(message) if field is not None]
        assert all(re.fullmatch(r"[a-z_]+", field) for field in fields), message


def test_a_phrase_is_filled_and_an_unknown_one_is_an_error():
    assert phrase("heard-at", time="1:05") == "Hear it at 1:05"
    with pytest.raises(KeyError):
        phrase("no-such-phrase")
    with pytest.raises(KeyError):
        phrase("heard-at")


def test_values_are_put_in_as_they_are():
    assert phrase("heard-at", time="{x} %s") == "Hear it at {x} %s"


def test_no_id_stands_twice_in_the_catalogue():
    ids = re.findall(r'^msgid "(.+)"$', files("understave.phrases").joinpath("en.po").read_text("utf-8"), re.M)
    assert len(ids) == len(set(ids))
    assert set(ids) == phrase_ids()


@pytest.fixture
def po(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a catalogue where Python may keep what it compiles beside it, whatever its settings are here."""
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    monkeypatch.setattr(sys, "pycache_prefix", None)
    path = tmp_path / "en.po"
    path.write_text('msgid "x"\nmsgstr "one"\n', encoding="utf-8")
    return path


def test_compiled_sentences_follow_their_file(po: Path) -> None:
    assert catalogue._compiled(po) == catalogue._compiled(po) == {"x": "one"}
    po.write_text('msgid "x"\nmsgstr "another"\n', encoding="utf-8")
    assert catalogue._compiled(po) == {"x": "another"}


@pytest.mark.parametrize("damage", ["", "[]", "null", '{"of": 1}', "[" * 100_000])
def test_damaged_compiled_sentences_are_read_anew(po: Path, damage: str) -> None:
    catalogue._compiled(po)
    [kept] = po.parent.rglob("*.json")
    kept.write_text(damage, encoding="utf-8")
    assert catalogue._compiled(po) == {"x": "one"}
