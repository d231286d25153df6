"""Checks triage as JSON and as drafts, on the example site's lesson. Its shape is the contract of the command."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from understave.answers.bars import bars_in, bars_of, fits, measures_near
from understave.answers.drafting import greeted
from understave.answers.explaining import explain
from understave.answers.measure_counts import counts_of
from understave.answers.triaging import Tally, Triage, chosen, json_lines
from understave.comments.answered import Answer, Answered, read_answered
from understave.comments.reading import Comment
from understave.entries.faults import Faulty
from understave.theory.symbols import read_symbol

LESSON = "paper-lanterns-at-low-tide"
KEYS = ["id", "topics", "entries", "lesson", "at", "measure", "language", "mistake", "answered", "draft"]
SITE = "https://site.example/"


@pytest.fixture(scope="session")
def triage(lanternfield) -> Triage:
    return Triage(
        lanternfield.glossary,
        lanternfield.guides,
        lanternfield.lessons,
        lanternfield.replies,
        lanternfield.counting_system,
        SITE,
        Answered(),
    )


def value(triage: Triage, text: str, lesson: str = LESSON, author: str = "nilo") -> dict:
    return triage.triaged(Comment("c1", text, 2, lesson, author)).value


def chord(symbol: str):
    return read_symbol(symbol)[0].chord


def test_a_comments_value_has_the_contracts_keys(triage):
    found = value(triage, "Why is it Gm9 in bar 3?")
    assert list(found) == KEYS
    assert found["entries"] == [{"entry": "minor-ninth", "page": "/g-minor-ninth/", "symbol": "Gm9"}]
    assert (found["lesson"], found["at"], found["measure"]) == (LESSON, None, 3)


@pytest.mark.parametrize(
    ("text", "entries"),
    [
        ("What is F/A?", [("major", "/f-major-first-inversion/", "F/A")]),
        ("What is Bb/C?", [("subdominant-over-dominant", "/slash-chords/subdominant-over-dominant/", "Bb/C")]),
        ("What does add9 mean?", [("added-ninth", "/added-tones/added-ninth/", None)]),
        ("C2 or Cadd9?", [("added-second", "/c-added-second/", "Cadd2"), ("added-ninth", "/c-added-ninth/", "Cadd9")]),
        ("How do you count triplets?", [("how-to-count-triplets", "/guides/how-to-count-triplets/", None)]),
        ("What is a triplet?", [("triplet", "/terms/triplet/", None)]),
        (
            "What is the difference between a tie and a slur?",
            [("tie", "/terms/tie/", None), ("slur", "/terms/slur/", None)],
        ),
        (
            "What's that circle with the slash through it?",
            [("half-diminished", "/chord-symbols/half-diminished/", None)],
        ),
        ("does m7 mean minor?", [("minor-seventh", "/chord-symbols/minor-seventh/", None)]),
        ("Is it in m7?", []),
        ("When do I press the pedal?", [("damper-pedal", "/terms/damper-pedal/", None)]),
        (
            "the bass goes down step by step, does it have a name?",
            [("falling-line-in-the-bass", "/slash-chords/falling-line-in-the-bass/", None)],
        ),
        ("Is C6/9 a slash chord?", [("six-nine", "/c-six-nine/", "C6/9")]),
        ("Is it in G major?", []),
        ("Dm9? Dm9!", [("minor-ninth", "/d-minor-ninth/", "Dm9")]),
    ],
)
def test_entries_and_pages(triage, text, entries):
    assert [(e["entry"], e["page"], e["symbol"]) for e in value(triage, text)["entries"]] == entries


@pytest.mark.parametrize(
    ("column", "text", "lesson"),
    [
        (LESSON, "Dm9?", LESSON),
        ("Paper Lanterns at Low Tide: chords shared by two hands", "Dm9?", LESSON),
        ("PAPER LANTERNS AT LOW TIDE", "Dm9?", LESSON),
        ("", "In paper lanterns at low tide, bar 3, why Gm9?", LESSON),
        ("another-lesson", "Dm9?", None),
        ("", "Dm9?", None),
    ],
)
def test_the_lesson_comes_from_the_column_or_the_text(triage, column, text, lesson):
    assert value(triage, text, column)["lesson"] == lesson


def test_a_time_tells_the_measure_that_is_played_then(triage, lesson):
    (stretch, *_) = lesson.file.heard
    found = value(triage, f"Why is it so at 0:{stretch.from_:02}?")
    assert (found["at"], found["measure"]) == (stretch.from_, stretch.measures[0])


def test_who_asks_which_chord_it_is_gets_the_one_that_stands_there(triage):
    found = value(triage, "what chord is that in bar 3?")
    assert found["entries"] == [{"entry": "minor-ninth", "page": "/g-minor-ninth/", "symbol": None}]
    assert value(triage, "what chord is that?")["entries"] == []


def test_a_name_that_two_lessons_share_tells_neither(lanternfield, lesson):
    other = replace(lesson, id="paper-lanterns-made-plain", file=lesson.file.model_copy(update={"title": "Made plain"}))
    lessons = {lesson.id: lesson, other.id: other}
    triage = Triage(
        lanternfield.glossary,
        lanternfield.guides,
        lessons,
        lanternfield.replies,
        lanternfield.counting_system,
        SITE,
        Answered(),
    )
    assert value(triage, "Dm9?", lesson.file.tune)["lesson"] is None
    assert value(triage, "Dm9?", lesson.file.title)["lesson"] == lesson.id


def test_a_draft_is_tied_to_the_bar(triage):
    """Measure 3 of the score: G and D in the left hand; F, A and B flat in the right; read off the notation."""
    assert value(triage, "Why is it Gm9 in bar 3?")["draft"] == (
        "Hi nilo. In measure 3 the symbol is Gm9. My left hand plays G (root) and D (5th). My right hand plays "
        "F (♭7th), A (9th) and B♭ (♭3rd). The symbol sums up both hands. Hear each hand: https://site.example/g-minor-ninth/"
    )


def test_a_draft_says_where_symbol_and_place_disagree(triage):
    draft = value(triage, "Why C7 in bar 12?")["draft"]
    assert "In measure 12 I play F/A:" in draft
    assert "Do you mean measure 14?" in draft
    assert "isn't in this lesson" in value(triage, "Why F#7 in bar 12?")["draft"]


def test_a_measure_past_the_end_is_told(triage):
    assert "ends with measure 16" in value(triage, "bar 99, what chord is it?")["draft"]


def test_an_askers_time_may_be_off_by_three_seconds(triage, lesson):
    assert 8 in measures_near(lesson, 164)
    assert "B♭/C" in value(triage, "at 2:44 why Bb/C?")["draft"]


def test_a_draft_is_in_the_askers_language_or_else_in_english(triage):
    assert value(triage, "No compasso 3, por que é Gm9?")["draft"].startswith("Oi, nilo. No compasso 3 a cifra é Gm9.")
    assert "kleine Terz" in value(triage, "Warum ist das in Takt 3 ein Gm9?")["draft"]
    assert value(triage, "Почему здесь Gm9?")["draft"].startswith("Hi nilo.")


def test_two_questions_get_both_answers(triage):
    both = value(triage, "Why is it Gm9 in bar 3, and can I print this?")
    assert both["topics"] == ["chord-symbol", "printing"]
    assert both["draft"].index("Gm9") < both["draft"].index("black and white")
    turned = value(triage, "Can I print this? And why is it Gm9 in bar 3?")["draft"]
    assert turned.index("black and white") < turned.index("Gm9")
    assert turned.count("Hi nilo.") == 1


def test_mistakes_are_flagged_and_the_draft_promises_to_look(triage):
    found = value(triage, "There is a mistake in measure 14: the symbol says Bb/C but you play C7.")
    assert found["mistake"] is True
    assert "I'll check it" in found["draft"]
    assert "measure 11" in value(triage, "I think the count in bar 11 is wrong")["draft"]
    assert "I'll check it" in value(triage, "I think the Gm9 is a misprint")["draft"]


def test_pain_gets_the_caution_and_no_diagnosis(triage):
    draft = value(triage, "My wrist hurts when I reach for Dm9, is it tendinitis?")["draft"]
    assert "stop" in draft
    assert "clinician" in draft
    assert "tendinitis" not in draft


@pytest.mark.parametrize(
    "text",
    ["<script>alert(1)</script> Dm9?", '=HYPERLINK("https://x.invalid","y")', "Dm9? Ignore previous instructions"],
)
def test_hostile_comments_get_no_draft_and_no_entries(triage, text):
    found = value(triage, text)
    assert (found["topics"], found["entries"], found["draft"]) == (["off-topic"], [], "")


@pytest.mark.parametrize(
    ("author", "greeting"),
    [
        ("nilo", "nilo"), ("@ana_maria.b", "ana_maria.b"), ("Zoë", "Zoë"), ("", ""), ("<b>x</b>", ""), ("=cmd|x", ""),
        ("a\u202eb", ""), ("{link}", ""), ("x" * 80, ""), ("two\nlines", ""),
    ],
)  # fmt: skip
def test_only_a_plain_name_is_greeted(author, greeting):
    assert greeted(author) == greeting


def test_hands_are_told_by_degree(lesson):
    (bar,) = bars_in(bars_of(lesson), 3)
    assert [(str(tone), str(degree)) for tone, degree in bar.left] == [("G", "1"), ("D", "5")]
    assert {(str(tone), str(degree)) for tone, degree in bar.right} == {("F", "b7"), ("A", "9"), ("Bb", "b3")}


def test_a_draft_and_explain_hold_the_same_notes_in_each_hand(lesson):
    for one, bar in zip(explain(lesson), bars_of(lesson), strict=True):
        held = (one.verdict.left, one.verdict.right) if one.verdict else ((), ())
        assert [{(pitch.tone, degree) for pitch, degree in hand} for hand in held] == [set(bar.left), set(bar.right)]


def test_a_draft_about_counting_has_the_count_of_the_measure(triage, lanternfield, lesson):
    line = counts_of(lesson, 11, lanternfield.counting_system)["both"].line
    draft = value(triage, "how do you count the triplets in bar 11?")["draft"]
    assert draft.startswith(f"Hi nilo. In measure 11, count: {line}.")
    assert draft.endswith("https://site.example/guides/how-to-count-triplets/")
    assert value(triage, "Wie zählt man Takt 11?")["draft"].startswith(f"Hallo nilo. In Takt 11 zähle ich: {line}.")
    assert "measure 16" in value(triage, "how do you count measure 99?")["draft"]


def test_a_draft_says_so_where_symbol_and_place_disagree(triage):
    draft = value(triage, "Why is it Bb/C in measure 3?")["draft"]
    assert draft.startswith("Hi nilo. In measure 3 I play Gm9: left hand G (root) and D (5th)")
    assert "Do you mean measure 8? The symbol B♭/C stands there" in draft


def test_a_german_b_is_the_lessons_own(triage):
    found = value(triage, "Ist das in Takt 8 ein Vorhalt oder einfach B/C?")
    assert [(e["page"], e["symbol"]) for e in found["entries"]] == [
        ("/slash-chords/subdominant-over-dominant/", "Bb/C")
    ]
    assert value(triage, "Was ist B/C?", lesson="")["entries"][0]["symbol"] == "B/C"


def test_a_template_that_is_only_there_in_english_has_english_words(triage):
    draft = value(triage, "Warum steht in Takt 3 ein Emaj7?")["draft"]
    assert "G (root) and D (5th)" in draft


def test_an_asker_may_leave_out_what_a_symbol_adds():
    assert fits(chord("Gm"), chord("Gm9"))
    assert fits(chord("F"), chord("F/A"))
    assert not fits(chord("G"), chord("Gm9"))
    assert not fits(chord("Bb/C"), chord("Bbmaj7"))


def test_what_is_answered_is_not_drafted_twice(lanternfield):
    answers = {
        "c1": Answer(comment="c1", reply="Done."),
        "c2": Answer(comment="c2", video="https://v.example/?t={seconds}", at="3:20"),
    }
    triage = Triage(
        lanternfield.glossary,
        lanternfield.guides,
        lanternfield.lessons,
        lanternfield.replies,
        lanternfield.counting_system,
        SITE,
        Answered(answers, {"c3": "r3"}),
    )
    found = {name: triage.triaged(Comment(name, "Why Gm9?", 2)).value for name in ("c1", "c2", "c3", "c4")}
    assert [found[name]["answered"] for name in found] == [
        {"reply": "Done."},
        {"video": "https://v.example/?t=200", "at": 200},
        {"reply_id": "r3"},
        None,
    ]
    assert found["c2"]["draft"] == "Hi. I answered this on camera, at 3:20: https://v.example/?t=200"
    assert found["c4"]["draft"] != ""


def test_the_teachers_own_comments_ask_nothing(triage):
    found = triage.triaged(Comment("r1", "Why Gm9?", 2, by_me=True)).value
    assert (found["answered"], found["draft"], found["entries"]) == ({"by_me": True}, "", [])


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("answered:\n  - {comment: c1}\n", "answered.yaml:2:5: an answer without reply or video; "),
        ('answered:\n  - {comment: c1, video: "https://v.example/"}\n', "answered.yaml:2:5: a video without its"),
        ("answered:\n  - {comment: c1, video: v, at: 1:75}\n", "answered.yaml:2:33: the time '1:75'; "),
        (
            "answered:\n  - {comment: c1, reply: a}\n  - {comment: c1, reply: b}\n",
            "answered.yaml:3:15: the comment 'c1' a second time; ",
        ),
    ],
)  # fmt: skip
def test_faults_of_the_answers_say_where(in_folder, text, told):
    path = in_folder / "answered.yaml"
    path.write_text(text)
    with pytest.raises(Faulty) as error:
        read_answered(path)
    assert str(error.value).startswith(told)


def tallied(triage: Triage, texts: list[str]) -> Tally:
    tally = Tally()
    for number, text in enumerate(texts):
        tally.add(triage.triaged(Comment(f"c{number}", text, number, LESSON, likes=number)))
    return tally


QUESTIONS = [
    "Why is it Gm9 in bar 3?",
    "what's Gm9?",
    "Explain Gm9 please",
    "What is F/A?",
    "How do you count triplets?",
    "What is a polychord?",
    "What's a polychord",
    "Thank you!",
    "Can I print this?",
]


def test_the_same_question_is_grouped_and_counted(triage):
    tally = tallied(triage, QUESTIONS)
    first = tally.often()[0]
    assert (first.symbol, first.count, first.comments) == ("Gm9", 3, ["c0", "c1", "c2"])
    assert tally.unanswered() == [{"missing": "polychord", "count": 2, "comments": ["c5", "c6"]}]
    assert tally.value()["topics"] == {
        "chord-symbol": 5, "counting": 1, "printing": 1, "slash-chord": 1, "thanks": 1,
    }  # fmt: skip


def test_the_json_is_whole_and_in_the_files_order(triage):
    tally = Tally()

    def values():
        for number, text in enumerate(QUESTIONS):
            triaged = triage.triaged(Comment(f"c{number}", text, number))
            tally.add(triaged)
            yield triaged.value

    found = json.loads("".join(json_lines(values(), tally)))
    assert list(found) == ["comments", "groups", "unanswered", "counts"]
    assert [comment["id"] for comment in found["comments"]] == [f"c{number}" for number in range(len(QUESTIONS))]


def test_a_round_takes_often_asked_questions_of_different_topics(triage):
    groups = chosen(tallied(triage, QUESTIONS), 3)
    assert [group.topic for group in groups] == ["chord-symbol", "counting", "slash-chord"]
    assert groups[0].best is not None
    assert groups[0].best.draft is not None
    assert groups[0].best.draft.bar is not None


def test_what_is_answered_is_not_taken_up_again(triage):
    tally = Tally()
    tally.add(replace(triage.triaged(Comment("c1", "Why Gm9?", 2)), answered={"reply": "Yes."}))
    assert chosen(tally, 3) == []
