"""Checks the files of standing answers and draft templates: what they may hold, and how their faults are told."""

from __future__ import annotations

import pytest

from understave.entries.replies import TEMPLATES, WORDS, read_replies

WORDS_FILE = """\
hello: "Hi {who}."
hello_nobody: "Hi."
at_measure: "In measure {measure}"
at_time: "At {time} (measure {measure})"
conjunction: "and"
left_hand: "left hand"
right_hand: "right hand"
nothing: "nothing"
degrees: [root, "2nd", "3rd", "4th", "5th", "6th", "7th", "8th", "9th", "10th", "11th", "12th", "13th"]
"""

ANSWER = 'topic: other\nasked_as: ["pedal"]\nentries: [measure]\ntext: "{hello} See {link}"\n'


def read(write_files, files: dict[str, str]):
    return read_replies(write_files({f"replies/{name}.yaml": text for name, text in files.items()}), {"measure"})


def test_answers_are_found_in_their_language_or_in_english(write_files):
    files = {"words": WORDS_FILE, "pedal": ANSWER, "pt/words": WORDS_FILE, "pt/pedal": ANSWER, "es/pedal": ANSWER}
    replies, faults = read(write_files, files)
    assert faults == []
    assert [replies.find("pedal", language).language for language in ("pt", "es", "de")] == ["pt", "en", "en"]
    assert replies.find("nothing", "en") is None
    assert [reply.id for reply in replies.standing("en")] == ["pedal"]


@pytest.mark.parametrize(
    ("name", "text", "told"),
    [
        ("pedal", "text: Hi\n", "pedal.yaml:1:1: no topic; "),
        ("symbols", "text: Hi\n", "symbols.yaml:1:1: no topic; "),
        (
            "pedal",
            ANSWER.replace("{link}", "{lnik}"),
            "pedal.yaml:4:7: {lnik} in the text; one of {hello}, {link}; nearest: 'link'",
        ),
        ("pedal", ANSWER.replace("{link}", "{"), "pedal.yaml:4:7: {…} in the text; "),
        ("pedal", ANSWER.replace("{link}", "{link.__class__}"), "pedal.yaml:4:7: {link.__class__} in the text; "),
        ("pedal", ANSWER.replace("{link}", "{link:>999999}"), "pedal.yaml:4:7: {link:>999999} in the text; "),
        (
            "pedal",
            ANSWER.replace("[measure]", "[measures]"),
            "pedal.yaml:3:11: the id 'measures'; the id of an entry; nearest: 'measure'",
        ),
        ("pedal", ANSWER.replace("entries: [measure]\n", ""), "pedal.yaml:3:7: {link} in a reply without"),
        ("pedal", ANSWER.replace("topic: other", "topic: others"), "pedal.yaml:1:8: 'others'; one of "),
        ("pedal", "text: {a\n", "pedal.yaml:"),
        ("Pedal", ANSWER, "Pedal.yaml:1:1: the id 'Pedal'; "),
        ("words", WORDS_FILE.replace("{who}", "{whom}"), "words.yaml:1:8: {whom}; one of {who}"),
        ("words", WORDS_FILE.replace("root, ", ""), "words.yaml:9:"),
    ],
)  # fmt: skip
def test_faults_say_where_and_what(write_files, name, text, told):
    _, faults = read(write_files, {name: text})
    assert [str(fault).removeprefix("content/replies/")[: len(told)] for fault in faults] == [told]


def test_other_files_and_folders_are_faults(write_files):
    content = write_files({"replies/notes.txt": "x", "replies/german/pedal.yaml": ANSWER, "replies/.hidden": "x"})
    _, faults = read_replies(content, {"measure"})
    assert [fault.found for fault in faults] == ["the folder 'german'", "the file 'notes.txt'"]


def test_a_content_without_replies_has_none(write_files):
    replies, faults = read_replies(write_files({"terms/measure.yaml": "x"}), ())
    assert (replies.texts, faults) == ({}, [])


def test_the_projects_own_replies_are_whole(repository, glossary):
    replies, faults = read_replies(repository / "content", glossary.entries)
    assert faults == []
    assert set(replies.words) == {"en", "pt", "es", "it", "fr", "de"}
    assert {name for language, name in replies.texts if language == "en"} >= set(TEMPLATES)
    assert WORDS not in {name for _, name in replies.texts}
    languages = {language for language, name in replies.texts if name == "pain"}
    assert languages == set(replies.words)


def test_answers_about_pain_and_stretching_point_to_a_teacher(repository, glossary):
    replies, _ = read_replies(repository / "content", glossary.entries)
    for name in ("pain", "small-hands", "fingering"):
        assert "teacher" in replies.texts["en", name].file.text
    assert "clinician" in replies.texts["en", "pain"].file.text
