"""Checks what comments are taken to ask: the twelve topics, the first question's first, standing answers, mistakes."""

from __future__ import annotations

import pytest

from .askings import asking


@pytest.mark.parametrize(
    ("text", "topics"),
    [
        ("Why is it Dm9 in bar 9?", ("chord-symbol",)),
        ("What is F/A?", ("slash-chord",)),
        ("what's the difference between Cadd9 and C9?", ("added-tone",)),
        ("How do you count measure 11?", ("counting",)),
        ("Why Dm9 in bar 9? My left hand plays only D and A.", ("notes-vs-symbol",)),
        ("Which level is this?", ("levels",)),
        ("Can I print the sheet music?", ("printing",)),
        ("Please make a lesson on waltzes", ("request",)),
        ("Subtitles in Spanish, please!", ("language",)),
        ("Thank you so much, now I get slash chords!", ("thanks",)),
        ("check out my channel", ("off-topic",)),
        ("first!", ("off-topic",)),
        ("Which fingers do you use in bar 7?", ("other",)),
        ("Great lesson! Why is it Dm9 in bar 9, and can I print this?", ("chord-symbol", "printing")),
        ("Can I print this? And why is bar 9 Dm9?", ("printing", "chord-symbol")),
        ("In bar 12, why is it Dm9?", ("chord-symbol",)),
        ("No compasso 12, por que é Dm9?", ("chord-symbol",)),
        ("¿Hay partitura en PDF?", ("printing",)),
        ("Come si contano le terzine?", ("counting",)),
        ("La mesure 8 indique Bb/C mais je ne vois que Bb, pourquoi ?", ("notes-vs-symbol",)),
        ("Danke, sehr schön erklärt!", ("thanks",)),
        ("", ("other",)),
        ("❤️❤️", ("thanks",)),
        ("👀", ("other",)),
        ("add 9 more of these please", ("request",)),
        ("The sheet says D13 but I can't find an A in your hands", ("notes-vs-symbol",)),
        ("No compasso 8 está escrito F7 mas eu ouço só fá e dó", ("notes-vs-symbol",)),
        ("Is the A♭m/E♭ at the end a misprint?", ("slash-chord",)),
        ("difference between Fadd2 and Fsus2?", ("added-tone",)),
        ("I can't reach it, my left hand is killing me", ("other",)),
    ],
)
def test_topics(text, topics):
    assert asking(text).topics == topics


@pytest.mark.parametrize(
    ("text", "answer"),
    [
        ("Can I print this?", "printing"),
        ("Where can I find the score?", "where-the-score-is"),
        ("Can you make the notes bigger? Large print would help", "large-print"),
        ("Which level is this?", "levels"),
        ("My son is six years old, can he play this?", "child-age"),
        ("Please make a lesson on waltzes", "requests"),
        ("Do you have this in do re mi?", "language"),
        ("Which fingers do you use?", "fingering"),
        ("Do you use the pedal here?", "pedal"),
        ("I have small hands, how do I play bar 1?", "small-hands"),
        ("How slowly should I practice this? What tempo?", "slow-practice"),
        ("Can I play it in another key?", "another-key"),
        ("Does this work on guitar?", "another-instrument"),
        ("The link in the description is dead", "dead-link"),
        ("I'm left handed, should I swap hands?", "left-handed"),
        ("My wrist hurts after ten minutes", "pain"),
        ("Thank you!", "thanks"),
    ],
)
def test_standing_answers_are_found(text, answer):
    assert asking(text).standing[:1] == (answer,)


@pytest.mark.parametrize(
    ("text", "mistake"),
    [
        ("There is a mistake in bar 7, it should be Bb", True),
        ("Typo at 0:12? Shouldn't that be C9?", True),
        ("I think the count in bar 11 is wrong", True),
        ("Im Takt 3 ist ein Fehler", True),
        ("Acho que tem um erro no compasso 3", True),
        ("I keep making mistakes in bar 7", False),
        ("What am I doing wrong?", False),
        ("Why is it Dm9?", False),
    ],
)
def test_mistakes_that_are_reported(text, mistake):
    assert asking(text).mistake is mistake


@pytest.mark.parametrize(
    ("text", "entries"),
    [
        ("How do you count the triplets in measure 11?", ("triplet",)),
        ("how do I go from triplets to eighths?", ("triplets-to-eighths",)),
        ("What is a pickup?", ("pickup",)),
        ("What is a half-diminished chord?", ("half-diminished",)),
        ("what does N.C. mean", ("no-chord",)),
        ("What is a tonic?", ()),
        ("Is this a ii-V-I? Gm7 C7 F", ()),
        ("how do I count the beat in bar 3?", ()),
    ],
)
def test_entries_that_are_named_in_words(text, entries):
    assert asking(text).entries == entries


def test_what_has_no_entry_is_told():
    assert asking("What is a polychord?").unknown == "polychord"
