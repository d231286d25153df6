"""The pinned comment of a lesson: the three questions that it raises most often, answered, in five lines.

How often a question comes up is computed: it counts the places of the lesson that raise it. Of two that come up as
often the one that stands first in QUESTIONS comes first. A lesson that raises fewer than three is filled up with how
its fullest measure is counted, what its commonest symbols mean, and its key.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from understave.addresses.slugs import address_of_entry, address_of_lesson
from understave.answers.describing import fullest_measure, page_of, plain_line
from understave.answers.explaining import Explained, explain, verdict_sentence
from understave.answers.measure_counts import count_of, counts_of
from understave.answers.project import Loaded
from understave.answers.simplifying import symbol_sentence
from understave.entries.lookup import parts_of, symbol_of
from understave.entries.values import AddedTone
from understave.lessons.demands import HANDS
from understave.lessons.lesson import Lesson
from understave.lessons.rhythms_met import RhythmMet, rhythms_met
from understave.lessons.siblings import simplifications
from understave.phrases.catalogue import phrase
from understave.phrases.counting import change_sentences, whose_measure
from understave.phrases.slashes import bass_sentence
from understave.phrases.typesetting import degree_label, key_words, listed, symbol_text, tone_text
from understave.theory.chords import has_number
from understave.theory.counting import Counted
from understave.theory.tones import Degree, Tone

ANSWERS = 3

Places = Iterator[str]
"""An answer for each place of a lesson that raises a question."""


@dataclass(frozen=True)
class Asked:
    """A lesson with what its questions are answered from."""

    lesson: Lesson
    loaded: Loaded
    explained: list[Explained]
    rhythms: list[RhythmMet]

    @property
    def symbols(self) -> Iterator[Explained]:
        """The symbols that have a chord."""
        return (one for one in self.explained if one.met.chord is not None)

    def linked(self, answer: str, page: str | None) -> str:
        """Return an answer with the permalink of the page that explains it."""
        return f"{answer} {self.loaded.project.site_url.rstrip('/')}{page}" if page else answer


def pinned(lesson: Lesson, loaded: Loaded) -> str:
    """Return the pinned comment of a lesson's video: a heading, three answers, the lesson's link; a line each."""
    asked = Asked(lesson, loaded, explain(lesson), rhythms_met(lesson, loaded.glossary))
    raised = [list(question(asked)) for question in QUESTIONS]
    commonest = sorted(filter(None, raised), key=lambda answers: -len(answers))
    chosen = [answers[0] for answers in commonest[:ANSWERS]]
    for answer in _filling(asked):
        if len(chosen) < ANSWERS and answer not in chosen:
            chosen.append(answer)
    link = loaded.project.site_url.rstrip("/") + address_of_lesson(lesson.id)
    lines = [phrase("pinned-first"), *chosen, phrase("pinned-last", link=link)]
    return "\n".join(map(plain_line, lines)) + "\n"


def _misleading_left_hands(asked: Asked) -> Places:
    """Symbols that the left hand alone doesn't say; first those of which it lacks the third."""
    found = [
        (has_number(tuple(degree for _, degree in one.verdict.left), 3), one)
        for one in asked.symbols
        if one.verdict and one.left_alone and not one.left_says_it and _added_by_right(one)
    ]
    for _, one in sorted(found, key=lambda pair: pair[0]):
        assert one.verdict
        assert one.met.chord
        yield asked.linked(
            phrase(
                "pinned-left",
                symbol=_symbol(one, asked),
                where=whose_measure(one.met.measure),
                left=_tones_words([(pitch.tone, degree) for pitch, degree in one.verdict.left]),
                right=_tones_words(_added_by_right(one)),
            ),
            page_of(one.met.chord, asked.loaded.glossary),
        )


def _added_by_right(one: Explained) -> list[tuple[Tone, Degree]]:
    """Return the chord's tones that the right hand alone plays."""
    if one.verdict is None or one.met.chord is None:
        return []
    left = {pitch.tone for pitch, _ in one.verdict.left}
    right = {pitch.tone for pitch, _ in one.verdict.right}
    chord = one.met.chord
    return [
        (tone, degree)
        for tone, degree in zip(chord.tones, chord.degrees, strict=True)
        if tone in right and tone not in left
    ]


def _slash_chords(asked: Asked) -> Places:
    """Symbols over a bass that isn't their root."""
    for one in asked.symbols:
        if one.met.chord and one.met.chord.bass != one.met.chord.root:
            values = {"symbol": _symbol(one, asked), "where": whose_measure(one.met.measure)}
            answer = phrase("pinned-slash", **values, about=bass_sentence(one.met.chord))
            yield asked.linked(answer, page_of(one.met.chord, asked.loaded.glossary))


def _added_tones(asked: Asked) -> Places:
    """Symbols with an added tone and their third."""
    glossary = asked.loaded.glossary
    for one in asked.symbols:
        chord = one.met.chord
        assert chord
        parts = parts_of(chord, glossary)
        added = [
            entry
            for name in (parts.own, *parts.added)
            if isinstance(entry := glossary.entries.get(name or ""), AddedTone)
        ]
        third = next((degree for degree in chord.degrees if degree.number == 3), None)
        if added and third:
            answer = phrase(
                "pinned-added",
                symbol=_symbol(one, asked),
                where=whose_measure(one.met.measure),
                added=_tones_words([(chord.root.at(entry.adds), entry.adds) for entry in added]),
                third=_tones_words([(chord.root.at(third), third)]),
            )
            yield asked.linked(answer, page_of(chord, glossary))


def _suspensions(asked: Asked) -> Places:
    """Symbols without a third."""
    for one in asked.symbols:
        chord = one.met.chord
        assert chord
        instead = [degree for degree in chord.degrees if degree.number in (2, 4)]
        if instead and not has_number(chord.degrees, 3):
            values = {"symbol": _symbol(one, asked), "where": whose_measure(one.met.measure)}
            tones = _tones_words([(chord.root.at(degree), degree) for degree in instead])
            yield asked.linked(phrase("pinned-suspended", **values, tones=tones), page_of(chord, asked.loaded.glossary))


def _changes_of_feel(asked: Asked) -> Places:
    """Measures in which a hand goes from three to two or back."""
    for hand, number, counted in _counted_measures(asked):
        if counted.changes:
            yield _count_answer(asked, number, hand, counted.line, " ".join(change_sentences(counted)))


def _held_over_beats(asked: Asked) -> Places:
    """Measures with a beat that no note starts on, though one starts within the beat before and is held over it."""
    for hand, number, counted in _counted_measures(asked):
        pairs = pairwise(counted.counts)
        if any(early.sounds and early.in_beat and not on.in_beat and on.note == "held" for early, on in pairs):
            yield _count_answer(asked, number, hand, counted.line, phrase("pinned-held"))


def _counted_measures(asked: Asked) -> Iterator[tuple[str, int, Counted]]:
    """Yield each measure of each hand that can be counted: the hand, the measure's number, its count."""
    system = asked.loaded.counting_system
    if system is not None:
        for hand in HANDS:
            for number in asked.lesson.score.by_number:
                if counted := count_of(asked.lesson, hand, number, system):
                    yield hand, number, counted


def _count_answer(asked: Asked, measure: int, hand: str, line: str, why: str) -> str:
    said = phrase(f"measure-count-{hand}", line=line)
    own = (met for met in asked.rhythms if (met.measure, met.hand) == (measure, hand))
    page = next((address_of_entry(met.figure, asked.loaded.glossary.entries[met.figure]) for met in own), None)
    return asked.linked(phrase("pinned-count", where=whose_measure(measure), count=said, why=why), page)


def _disagreements(asked: Asked) -> Places:
    """Symbols that say less or something else than what sounds."""
    for one in asked.symbols:
        if one.verdict and one.verdict.kind != "agrees" and one.met.chord:
            values = {"symbol": _symbol(one, asked), "where": whose_measure(one.met.measure)}
            answer = phrase("pinned-verdict", **values, verdict=verdict_sentence(one, asked.loaded.glossary))
            yield asked.linked(answer, page_of(one.met.chord, asked.loaded.glossary))


def _other_levels(asked: Asked) -> Places:
    """Places where another level of the tune has another symbol."""
    lessons = {**asked.loaded.lessons, asked.lesson.id: asked.lesson}
    simpler = simplifications(lessons.values()).get(asked.lesson.id)
    for other in simpler.symbols if simpler else ():
        answer = phrase("pinned-level", other=simpler.harder.file.level if simpler else "")
        yield f"{answer} {symbol_sentence(other, asked.loaded.glossary)}"


QUESTIONS: tuple[Callable[[Asked], Places], ...] = (
    _misleading_left_hands,
    _slash_chords,
    _added_tones,
    _suspensions,
    _changes_of_feel,
    _held_over_beats,
    _disagreements,
    _other_levels,
)
"""What viewers of lessons ask; the order settles which of two comes first that come up as often."""


def _filling(asked: Asked) -> Iterator[str]:
    """Yield answers for a lesson that raises few questions."""
    measure, system = fullest_measure(asked.lesson), asked.loaded.counting_system
    if measure is not None:
        for hand, counted in list(counts_of(asked.lesson, measure, system).items())[:1]:
            said = phrase(f"measure-count-{hand}", line=counted.line)
            yield phrase("pinned-count", where=whose_measure(measure), count=said, why="").rstrip()
    chords = Counter(one.met.chord for one in asked.symbols if one.met.chord)
    for chord, _ in chords.most_common():
        tones = _tones_words(list(zip(chord.tones, chord.degrees, strict=True)))
        values = {"symbol": symbol_text(symbol_of(chord, asked.loaded.glossary)), "tones": tones}
        yield asked.linked(phrase("pinned-symbol", **values), page_of(chord, asked.loaded.glossary))
    yield phrase("pinned-key", key=key_words(asked.lesson.file.key))
    yield phrase("pinned-from", tune=asked.lesson.file.tune)
    yield phrase("pinned-whose-level", level=asked.lesson.file.level)


def _symbol(one: Explained, asked: Asked) -> str:
    assert one.met.chord
    return symbol_text(symbol_of(one.met.chord, asked.loaded.glossary))


def _tones_words(tones: list[tuple[Tone, Degree]]) -> str:
    """Return tones with their degrees, each once: D (root) and A (5th)."""
    return listed([f"{tone_text(tone)} ({degree_label(degree)})" for tone, degree in dict(tones).items()])
