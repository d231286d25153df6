"""What a comment asks about: its questions in order, each with one of the twelve topics.

A question's phrases and chords are weighed; where a question says too little ("Why is it minor?") the sentences before
it count as well.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise, takewhile

from understave.comments.mentions import Mention
from understave.comments.text import Sentence, Text
from understave.comments.vocabulary import Found
from understave.theory.tones import parse_degree

THEORY = frozenset({"chord-symbol", "slash-chord", "added-tone", "counting", "notes-vs-symbol"})
"""Topics that entries answer."""

CONTEXT = 0.6
"""How much the sentences before a question count for it."""

ENOUGH = 4.5
"""What a question's own words must tell for the sentences before it not to count."""

EARLY = 5
"""How many words may stand before a word such as why, in a question without a question mark."""

LEAST = 1.5
"""What a second question must tell to count as one."""

MOST_CUTS = 6
"""How many questions of one sentence are told apart, beside the first."""

THANKED = 2.0
"""What thanks must tell for a comment that asks nothing to be one of thanks, whatever it names."""

_SEVENTH = 7
_SECOND_NINTH = frozenset({2, 4, 9, 11})


@dataclass
class Evidence:
    """What a stretch of a comment tells: points by topic, marks and standing answers by name."""

    points: defaultdict[str, float] = field(default_factory=lambda: defaultdict(float))
    marks: Counter[str] = field(default_factory=Counter)
    answers: dict[str, int] = field(default_factory=dict)
    """Standing answers asked for, and how many words ask."""
    entries: list[tuple[str, int, int, bool]] = field(default_factory=list)
    """Entries named, between which words of the comment, and whether the name counts only where it's asked about."""

    def add(self, found: Found, offset: int) -> None:
        """Count a phrase that was found."""
        sign = found.sign
        if sign.kind == "topic":
            self.points[sign.name] += sign.weight
        elif sign.kind == "mark":
            self.marks[sign.name] += 1
        elif sign.kind == "answer":
            size = found.last - found.first
            self.answers[sign.name] = max(self.answers.get(sign.name, 0), size)
        elif sign.kind != "alone":
            self.entries.append((sign.name, found.first + offset, found.last + offset, sign.kind == "asked"))


@dataclass
class Question:
    """One question of a comment: its topic, what it tells, the chords it names, and the words that belong to it."""

    topic: str
    evidence: Evidence
    mentions: list[Mention]
    words: list[str]


@dataclass
class _Clause:
    words: list[str]
    start: int
    """The place of the first word in the comment."""
    asks: bool
    mentions: list[Mention]
    found: list[Found]


def questions_of(
    read: Text, found: Sequence[Sequence[Found]], mentions: Sequence[Mention], notes: int
) -> tuple[list[Question], Evidence]:
    """Return a comment's questions in order, the first its main one, and the evidence of the whole.

    ``found`` are each sentence's phrases, ``notes`` how many note names stand alone.
    """
    clauses = list(_clauses(read, found, mentions))
    whole = Evidence()
    for clause in clauses:
        for each in clause.found:
            whole.add(each, clause.start)
    asking = [clause for clause in clauses if clause.asks]
    if not asking:
        evidence = _weighed(clauses, [], notes)
        told_thanks = evidence.points["thanks"] >= THANKED and not evidence.marks["mistake"]
        topic = "thanks" if told_thanks and evidence.points["off-topic"] < THANKED else _topic(evidence, asks=False)
        return [Question(topic, evidence, list(mentions), _words(clauses))], whole
    questions: list[Question] = []
    before: list[_Clause] = []
    for place, clause in enumerate(clauses):
        if not clause.asks:
            before.append(clause)
            continue
        told_after = takewhile(lambda each: not each.asks, clauses[place + 1 :])
        evidence = _weighed([clause], [*before, *told_after], notes)
        topic = _topic(evidence, asks=True)
        if questions and (max(evidence.points.values(), default=0) < LEAST or _is_weak(topic, evidence)):
            questions[-1].mentions += clause.mentions
            questions[-1].words += clause.words
            continue
        own = [*before, clause]
        questions.append(Question(topic, evidence, [m for each in own for m in each.mentions], _words(own)))
        before = []
    if questions:
        questions[-1].words += _words(before)
    telling = [question for question in questions if not _is_weak(question.topic, question.evidence)]
    if not telling:
        evidence = _weighed(clauses, [], notes)
        return [Question(_topic(evidence, asks=True), evidence, list(mentions), _words(clauses))], whole
    return telling, whole


def _words(clauses: Iterable[_Clause]) -> list[str]:
    return [word for clause in clauses for word in clause.words]


def _is_weak(topic: str, evidence: Evidence) -> bool:
    """Tell whether a question says nothing of what it is about."""
    return topic in ("thanks", "other") and not evidence.answers and evidence.points["other"] < LEAST


def _clauses(read: Text, phrases: Sequence[Sequence[Found]], mentions: Sequence[Mention]) -> Iterator[_Clause]:
    """Yield the sentences, those with two questions in two: "Why is it Dm9, and can I print this?"."""
    inside_of: defaultdict[int, list[Mention]] = defaultdict(list)
    for mention in mentions:
        inside_of[read.chunks[mention.first].sentence].append(mention)
    for number, (sentence, found) in enumerate(zip(read.sentences, phrases, strict=True)):
        cuts = list(_cuts(sentence, found, read))
        bounds = [0, *cuts, len(sentence.words)]
        sentence_start = read.chunks[sentence.first].word
        for first, last in pairwise(bounds):
            inside = [
                Found(each.first - first, each.last - first, each.sign)
                for each in found
                if first <= each.first and each.last <= last
            ]
            own = [
                mention
                for mention in inside_of[number]
                if first <= read.chunks[mention.first].word - sentence_start < last
            ]
            asks = (sentence.asks and last == len(sentence.words)) or _asks(sentence.words[first:last], inside)
            if first != last or sentence.asks:
                yield _Clause(sentence.words[first:last], sentence_start + first, asks, own, inside)


def _cuts(sentence: Sentence, found: Sequence[Found], read: Text) -> Iterator[int]:
    """Yield where a second question starts within a sentence: a joining word, then one that asks."""
    asks = {each.first for each in found if each.sign.kind == "mark" and each.sign.name in ("ask", "asks_within")}
    joins = {each.first for each in found if each.sign.kind == "mark" and each.sign.name == "joins"}
    commas = {
        chunk.word - read.chunks[sentence.first].word + len(chunk.words)
        for chunk in read.chunks[sentence.first : sentence.last]
        if "," in chunk.after
    }
    last = count = 0
    for place in sorted(joins & {ask - 1 for ask in asks} | (commas & asks)):
        if place - last >= 3 and len(sentence.words) - place >= 3:
            last, count = place, count + 1
            yield place
        if count == MOST_CUTS:
            return


def _asks(words: list[str], found: list[Found]) -> bool:
    return any(
        each.sign.kind == "mark"
        and (
            each.sign.name == "asks_within"
            or (each.sign.name == "ask" and each.first == 0)
            or (each.sign.name == "ask_early" and each.first <= EARLY)
        )
        for each in found
    ) and bool(words)


def _weighed(clauses: Iterable[_Clause], before: Iterable[_Clause], notes: int) -> Evidence:
    evidence = Evidence()
    mentions: list[Mention] = []
    for clause in clauses:
        mentions += clause.mentions
        for found in clause.found:
            evidence.add(found, clause.start)
    _add_mentions(evidence, mentions)
    if max((value for name, value in evidence.points.items() if name != "thanks"), default=0) < ENOUGH:
        context = Evidence()
        earlier: list[Mention] = []
        for clause in before:
            earlier += clause.mentions
            for found in clause.found:
                context.add(found, clause.start)
        _add_mentions(context, earlier)
        for topic, points in context.points.items():
            if topic not in ("thanks", "off-topic"):
                evidence.points[topic] += points * CONTEXT
        evidence.marks.update(context.marks)
        for name, size in context.answers.items():
            evidence.answers.setdefault(name, size)
        evidence.entries += context.entries
        mentions = earlier + mentions
    _compare(evidence, mentions, notes)
    return evidence


def _add_mentions(evidence: Evidence, mentions: list[Mention]) -> None:
    points = evidence.points
    if not mentions:
        return
    points["chord-symbol"] += 2
    if any(mention.chord.slash for mention in mentions):
        points["slash-chord"] += 4
    if any(adds_tone(mention) for mention in mentions):
        points["added-tone"] += 3


def adds_tone(mention: Mention) -> bool:
    """Tell whether a chord has an added second, fourth and so on beside its third, and no seventh or sixth."""
    numbers = {degree.number for degree in mention.chord.degrees}
    third = {parse_degree("3"), parse_degree("b3")} & set(mention.chord.degrees)
    return bool(numbers & _SECOND_NINTH) and _SEVENTH not in numbers and 6 not in numbers and bool(third)


def _compare(evidence: Evidence, mentions: list[Mention], notes: int) -> None:
    """Add what tells that notes are held against a symbol: hands, note names and a but beside a chord."""
    points, marks = evidence.points, evidence.marks
    if notes and points["notes-vs-symbol"] >= 1:
        points["notes-vs-symbol"] += 1
    spoken = mentions or points["chord-symbol"] >= 1.5
    if not spoken:
        return
    sensed, hands, contrast = marks["sensed"], marks["hands"], marks["contrast"]
    held_against = sensed or hands or notes or marks["notes_words"]
    if notes and contrast:
        points["notes-vs-symbol"] += 2
    if contrast and marks["notes_words"]:
        points["notes-vs-symbol"] += 1
    if notes and mentions:
        points["notes-vs-symbol"] += 1
    if sensed and (contrast or notes):
        points["notes-vs-symbol"] += 2
    if hands and (contrast or sensed):
        points["notes-vs-symbol"] += 2
    if marks["written"] and contrast and held_against:
        points["notes-vs-symbol"] += 2
    if marks["mistake"] and not marks["no_mistake"]:
        about_bass = any(mention.chord.slash for mention in mentions) and not (sensed or hands or notes)
        points["notes-vs-symbol"] += 1 if about_bass else 4


ORDER = (
    "off-topic", "language", "printing", "levels", "counting", "request", "notes-vs-symbol", "slash-chord",
    "added-tone", "chord-symbol", "other", "thanks",
)  # fmt: skip
"""Topics from the most particular to the most general: the earlier one wins where points are even."""


LEAST_OF = {"notes-vs-symbol": 2.5, "request": 0.5}
"""What a topic needs to be one, where it isn't 1: a hand alone says little, please says it all."""


def _topic(evidence: Evidence, *, asks: bool) -> str:
    """Return the topic with the most points; thanks only where nothing is asked."""
    points = evidence.points
    usable = [
        topic
        for topic in ORDER
        if points[topic] > 0
        and not (asks and topic == "thanks" and any(points[t] >= 1 for t in ORDER if t != "thanks"))
    ]
    if not usable:
        return "other"
    best = max(usable, key=lambda topic: (points[topic], -ORDER.index(topic)))
    return best if points[best] >= LEAST_OF.get(best, 1) else "other"
