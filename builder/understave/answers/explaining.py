"""A lesson explained: each symbol against what sounds, hands by degree, one hand alone, the count of the measure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from understave.addresses.slugs import address_of_entry
from understave.answers.describing import page_of
from understave.answers.measure_counts import counts_of
from understave.answers.naming import naming_value, naming_why
from understave.answers.project import Loaded
from understave.answers.score_naming import score_namings
from understave.entries.glossary import Glossary
from understave.entries.lookup import symbol_of
from understave.entries.values import CountingSystem
from understave.lessons.lesson import Lesson, Met
from understave.lessons.score_stretches import Stretch
from understave.lessons.times import TimeFormatError, parse_time, time_text
from understave.lessons.video import Moment, moment_at
from understave.phrases.catalogue import phrase
from understave.phrases.counting import change_sentences, whose_measure
from understave.phrases.typesetting import TEXT, Setting, degree_label, joined, listed, symbol_text
from understave.theory.chords import FLAT_THIRD, THIRD, has_number
from understave.theory.naming import Naming, name_notes
from understave.theory.stretches import LEFT, name_span
from understave.theory.tones import Tone
from understave.theory.verdicts import Held, Verdict, judge

Json = dict[str, Any]


class ExplainError(ValueError):
    """What was asked of a lesson can't be answered; the message is one line."""


@dataclass(frozen=True)
class Explained:
    """A symbol of a lesson: how it agrees with what sounds (None for N.C. and silence), and the likeliest names.

    ``left_alone`` is what the left hand suggests without the right; None where only one of them plays.
    """

    met: Met
    verdict: Verdict | None
    namings: tuple[Naming, ...]
    left_alone: Naming | None

    @property
    def left_says_it(self) -> bool:
        """Whether the left hand alone suggests the symbol itself."""
        symbol, alone = self.met.chord, self.left_alone
        if symbol is None or alone is None:
            return False
        return (symbol.root, symbol.degrees) == (alone.chord.root, alone.chord.degrees)


@dataclass(frozen=True)
class Wanted:
    """What of a lesson is asked for: a measure, a second of the video, or (both None) all of it."""

    measure: int | None = None
    second: int | None = None

    @classmethod
    def of(cls, measure: int | None, time: str | None) -> Wanted:
        """Read a time such as 1:05. Raises ExplainError for no time, or where a measure is given as well."""
        if measure is not None and time is not None:
            raise ExplainError(phrase("explain-both"))
        try:
            return cls(measure, None if time is None else parse_time(time))
        except TimeFormatError:
            raise ExplainError(phrase("explain-no-time", text=time)) from None


def explained_value(lesson: Lesson, wanted: Wanted, loaded: Loaded) -> Json:
    """Return the value of ``understave explain LESSON --json``. Raises ExplainError for a measure that isn't there."""
    return explain_value(lesson, asked_of(lesson, wanted), loaded.glossary)


def explained_text(lesson: Lesson, wanted: Wanted, loaded: Loaded) -> str:
    """Return an explanation that a teacher could read out. Raises ExplainError for a measure that isn't there."""
    found = asked_of(lesson, wanted)
    numbers = list(lesson.score.by_number)
    if wanted.measure is not None:
        return explain_text(lesson, found, [wanted.measure], loaded)
    if wanted.second is None:
        return explain_text(lesson, found, numbers, loaded)
    moment = moment_at(wanted.second, lesson.file, lesson.score)
    first, last = _measures_of(moment) or (1, 0)
    text = explain_text(lesson, found, [number for number in numbers if first <= number <= last], loaded)
    return f"{moment_text(moment)}\n{text}".rstrip() if first <= last else moment_text(moment)


def asked_of(lesson: Lesson, wanted: Wanted) -> list[Explained]:
    """Return the symbols that are asked for, explained. Raises ExplainError for a measure that isn't there."""
    return _chosen(lesson, explain(lesson), wanted)


def explain(lesson: Lesson) -> list[Explained]:
    """Return every symbol of a lesson held against what sounds until the next."""
    by_place = {named[0].at: named for named in score_namings(lesson.score, "symbol")}
    found = []
    for met in lesson.symbols:
        stretch, namings, bass = by_place[met.at]
        verdict = None
        if met.chord is not None and bass is not None:
            verdict = judge(met.chord, stretch.notes, stretch.length, stretch.beat_length, bass, namings)
        found.append(Explained(met, verdict, namings, _left_alone(stretch)))
    return found


def _left_alone(stretch: Stretch) -> Naming | None:
    left = [note for note in stretch.sounding if note.hand == LEFT]
    if not left or len(left) == len(stretch.sounding):
        return None
    if len({note.pitch.key % 12 for note in left}) == 1:
        return name_notes([note.pitch for note in left], [])[0]
    around = [note for note in stretch.notes if note.hand == LEFT]
    namings = name_span(around, stretch.length, beat=stretch.beat_length)
    sounding = {note.pitch.tone for note in left}
    return next((naming for naming in namings if not _denies_a_third(naming, sounding)), namings[0])


def _denies_a_third(naming: Naming, sounding: set[Tone]) -> bool:
    """Tell whether a name has no third though one sounds, if only in passing: a reader sees it on the staff."""
    root, degrees = naming.chord.root, naming.chord.degrees
    thirds = {root.at(THIRD), root.at(FLAT_THIRD)}
    return not has_number(degrees, 3) and bool(thirds & sounding)


def _chosen(lesson: Lesson, explained: list[Explained], wanted: Wanted) -> list[Explained]:
    """Return the symbols of a measure, or of what is heard at a second; without one, the one that still holds.

    Raises ExplainError for a measure that the score doesn't have.
    """
    measure = wanted.measure
    if wanted.second is not None:
        spoken_of = _measures_of(moment_at(wanted.second, lesson.file, lesson.score))
        if spoken_of is None:
            return []
        measure, last = spoken_of
        if within := [one for one in explained if measure <= one.met.measure <= last]:
            return within
    if measure is None:
        return explained
    numbers = [one.number for one in lesson.score.measures]
    if measure not in numbers:
        raise ExplainError(phrase("explain-no-measure", measure=measure, first=min(numbers), last=max(numbers)))
    own = [one for one in explained if one.met.measure == measure]
    return own or [one for one in explained if one.met.measure < measure][-1:]


def _measures_of(moment: Moment) -> tuple[int, int] | None:
    """Return the measures that a second means: the one that is played, in talk those that its section explains."""
    if moment.measure is None:
        return None
    spoken_of = None if moment.stretch else moment.section.explains
    return spoken_of or (moment.measure.number, moment.measure.number)


def explain_value(lesson: Lesson, found: list[Explained], glossary: Glossary) -> Json:
    """Return the value of ``understave explain LESSON --json``."""
    return {"lesson": lesson.id, "symbols": [_symbol_value(one, glossary) for one in found]}


def _symbol_value(one: Explained, glossary: Glossary) -> Json:
    met, verdict = one.met, one.verdict
    return {
        "symbol": _symbol(met, glossary),
        "measure": met.measure,
        "beat": met.beat,
        "in_beat": str(met.in_beat),
        "at": str(met.at),
        "seconds": met.seconds,
        "verdict": verdict.kind if verdict else "agrees",
        "left": _hand_value(verdict.left) if verdict else [],
        "right": _hand_value(verdict.right) if verdict else [],
        "missing": [str(degree) for degree in verdict.missing] if verdict else [],
        "extra": [{"pitch": str(extra.pitch), "degree": str(extra.degree), "as": extra.role} for extra in verdict.extra]
        if verdict
        else [],
        "namings": [naming_value(naming, glossary) for naming in one.namings],
        "link": link_of(met, glossary),
    }


def _hand_value(hand: Held) -> list[list[str]]:
    return [[str(pitch), str(degree)] for pitch, degree in hand]


def _symbol(met: Met, glossary: Glossary) -> str:
    return symbol_of(met.chord, glossary) if met.chord else "N.C."


def link_of(met: Met, glossary: Glossary) -> str | None:
    """Return the address of the page that explains a symbol, without a host; None where no page does."""
    if met.chord is not None:
        return page_of(met.chord, glossary)
    no_chord = glossary.entries.get("no-chord")
    return address_of_entry("no-chord", no_chord) if no_chord else None


def explain_text(lesson: Lesson, found: list[Explained], measures: Iterable[int], loaded: Loaded) -> str:
    """Return an explanation that a teacher could read out: measure by measure, symbols first, then the count.

    A symbol from before the measures, which still holds there, comes first.
    """
    asked: dict[int, list[Explained]] = {number: [] for number in measures}
    blocks = []
    for one in found:
        if one.met.measure in asked:
            asked[one.met.measure].append(one)
        else:
            blocks.append("\n".join(_symbol_lines(one, loaded.glossary, loaded.project.site_url)))
    for number, symbols in asked.items():
        lines = ["\n".join(_symbol_lines(one, loaded.glossary, loaded.project.site_url)) for one in symbols]
        counts = "\n".join(count_lines(lesson, number, loaded.counting_system))
        if lines and counts:
            lines[0] += f"\n{counts}"
        blocks += lines or [counts.lstrip()]
    return "\n\n".join(filter(None, blocks)) or phrase("explain-no-symbols")


def moment_text(moment: Moment) -> str:
    """Return what a second of the video holds, in a sentence."""
    measures = _measures_of(moment)
    if measures is None:
        return phrase("explain-talk", section=moment.section.name)
    first, last = measures
    if first != last:
        return phrase("explain-talk-measures", section=moment.section.name, first=first, last=last)
    return phrase("explain-moment", section=moment.section.name, measure=first)


def _symbol_lines(one: Explained, glossary: Glossary, site: str) -> Iterator[str]:
    met, verdict = one.met, one.verdict
    symbol = symbol_text(_symbol(met, glossary))
    place = phrase("score-place-in-beat" if met.in_beat else "score-place", measure=met.measure, beat=met.beat)
    heard = "" if met.seconds is None else f" ({time_text(met.seconds)})"
    yield f"{place}{heard}: {symbol}. {verdict_sentence(one, glossary)}"
    if verdict is None:
        return
    for key, hand in (("left", verdict.left), ("right", verdict.right)):
        if hand:
            yield "  " + phrase("picture-hand", hand=phrase(key), notes=hand_notes(hand))
    if one.left_alone is not None:
        yield "  " + alone_sentence(one.left_alone, glossary)
    if other := other_name_sentence(one, glossary):
        yield "  " + other
    link = link_of(met, glossary)
    if link:
        yield f"  {site.rstrip('/')}{link}"


def other_name_sentence(one: Explained, glossary: Glossary, setting: Setting = TEXT) -> str:
    """Return what else the notes could be called where the likeliest name isn't the symbol's; empty where it is."""
    symbol, best = one.met.chord, one.namings[0].chord if one.namings else None
    if one.verdict is None or one.verdict.kind != "agrees" or symbol is None or best is None or best == symbol:
        return ""
    return phrase("other-name-for-notes", other=setting.symbol(symbol_of(best, glossary)))


def hand_notes(hand: Held, setting: Setting = TEXT) -> str:
    """Return a hand's notes from low to high, each with its degree."""
    return joined(
        ", ", [phrase("tone-degree", tone=setting.pitch(pitch), degree=degree_label(degree)) for pitch, degree in hand]
    )


def alone_sentence(alone: Naming, glossary: Glossary, setting: Setting = TEXT) -> str:
    """Return what the left hand alone would suggest."""
    if alone.why == "single-note":
        suggested = setting.tone(alone.chord.root)
    else:
        suggested = setting.symbol(symbol_of(alone.chord, glossary))
    return phrase("naming-left-alone", symbol=suggested, why=naming_why(alone, glossary, setting))


def verdict_sentence(one: Explained, glossary: Glossary, setting: Setting = TEXT) -> str:
    """Return in words whether a symbol agrees with what sounds."""
    met, verdict = one.met, one.verdict
    if met.chord is None:
        return phrase("why-no-chord")
    if verdict is None:
        return phrase("verdict-silent")
    best = one.namings[0].chord if one.namings else met.chord
    extra = [setting.pitch(note.pitch) for note in verdict.extra if note.role in ("unexplained", "pedal")]
    return phrase(
        f"verdict-{verdict.kind}",
        symbol=setting.symbol(_symbol(met, glossary)),
        missing=listed([degree_label(degree) for degree in verdict.missing]) or phrase("verdict-nothing"),
        extra=listed(extra) or phrase("verdict-nothing"),
        likelier=setting.symbol(symbol_of(best, glossary)),
    )


def count_lines(lesson: Lesson, measure: int, system: CountingSystem | None) -> Iterator[str]:
    """Yield the count of a measure and its changes of feel as lines."""
    for hand, counted in counts_of(lesson, measure, system).items():
        whose = phrase("explain-count" if hand == "both" else f"explain-count-{hand}", where=whose_measure(measure))
        yield f"  {whose} {counted.line}"
        for sentence in change_sentences(counted):
            yield f"  {sentence}"
