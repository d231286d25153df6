"""Finding: a count as it is said → the rhythms that it says, the plainest first.

A word in brackets is a place where no note starts: the note before is still held, or there is a rest. A place that
nothing is said at belongs to the note before. A beat in three has all its words, since a division in three is always
said in full; a beat in two may leave out what it doesn't need, so that ``1 & a`` is both a triplet and an eighth with
two sixteenths.
"""

from __future__ import annotations

import re
import unicodedata
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations, islice, pairwise
from itertools import count as count_up

from understave.theory.counting import PositionSystem, Span, System, ValueSystem, count, spans_of
from understave.theory.note_values import Frame, Stretch, written
from understave.theory.rhythms import BEATS, Meter, Rhythm, RhythmError, parse_meter, recip_length

MOST_WORDS = 400
"""The longest line that is read."""

MOST_RHYTHMS = 64
"""The most rhythms that are returned: each pair of brackets can be held or a rest, so that there may be very many."""

MOST_SOUGHT = 1024
"""How many more are sought where none of those is counted just as the line says."""

LIKE = {"and": "&", "+": "&", "ee": "e", "uh": "a", "ah": "a"}
"""Other ways to write the words of the number systems (common practice)."""

_PARTS = re.compile(r"[()|]|[^\s()|,;.]+")


@dataclass(frozen=True)
class _Word:
    """A word of the line: ``starts`` unless it stands in brackets; ``place`` counts from 1."""

    text: str
    place: int
    starts: bool
    barred: bool
    """Whether a bar line stands before it."""


@dataclass(frozen=True)
class _Chunk:
    """The words of one beat: ``said`` is its number, or 0; ``on_beat`` if its first word is the beat's own."""

    words: tuple[_Word, ...]
    said: int
    on_beat: bool


@dataclass(frozen=True)
class _Reading:
    """One way to put a chunk's words on a beat: where each falls in it, and whether the beat is in two."""

    places: tuple[Fraction, ...]
    in_two: bool


@dataclass(frozen=True)
class _Placed:
    """A chunk on its beat: the beat's place from the first measure's start, and the readings it has there."""

    at: Fraction
    words: tuple[_Word, ...]
    readings: tuple[_Reading, ...]


def find(text: str, system: System, meter: Meter | None = None) -> tuple[Rhythm, ...]:
    """Return the rhythms that a line says, the plainest first, at most MOST_RHYTHMS of them.

    Where many can be meant, one that is counted just so is among them: the plainest such takes the last one's place.
    Without a meter the numbers' highest one, or how many beats there are, makes it. Raises RhythmError: ``no-words``,
    ``line-too-long`` with the number of words and the most that are read, ``brackets`` with the line, ``unknown-word``
    with the word and its place, ``words-do-not-fit`` with the word, its place and the meter, ``no-reading`` with the
    line.
    """
    words = _words(text, system)
    found: Iterator[Rhythm]
    if isinstance(system, PositionSystem):
        found = _by_position(words, system, meter)
    else:
        found = _by_value(words, system, meter)
    rhythms = list({rhythm.recip: rhythm for rhythm in islice(found, MOST_RHYTHMS)}.values())
    if not rhythms:
        raise RhythmError("no-reading", text)
    if len(rhythms) == MOST_RHYTHMS and not any(_is_counted_so(rhythm, words, system) for rhythm in rhythms):
        further = islice(found, MOST_SOUGHT)
        rhythms[-1] = next((rhythm for rhythm in further if _is_counted_so(rhythm, words, system)), rhythms[-1])
    return tuple(rhythms)


def _is_counted_so(rhythm: Rhythm, words: Sequence[_Word], system: System) -> bool:
    """Return whether the system counts a rhythm in just these words, by its smallest note or each beat by its own."""
    said = [(word.text, word.starts) for word in words]
    counted = (count(rhythm, system, each_beat=each).counts for each in (False, True))
    return any(said == [(one.says, one.sounds) for one in counts] for counts in counted)


def beats_without_word(text: str, system: System) -> int:
    """Return how many beats of a line begin without the beat's own word: the fewer, the likelier is the system.

    Raises RhythmError as ``find`` does.
    """
    words = _words(text, system)
    return sum(not chunk.on_beat for chunk in _chunks(words, system)) if isinstance(system, PositionSystem) else 0


def _words(text: str, system: System) -> list[_Word]:
    vocabulary = _vocabulary(system)
    words: list[_Word] = []
    open_brackets, barred = False, False
    for part in _PARTS.findall(unicodedata.normalize("NFC", text.casefold())):
        if part in "()":
            if open_brackets == (part == "("):
                raise RhythmError("brackets", text)
            open_brackets = part == "("
        elif part == "|":
            barred = bool(words)
        else:
            for known in _known(part, vocabulary, len(words) + 1):
                words.append(_Word(known, len(words) + 1, not open_brackets, barred))
                barred = False
    if open_brackets:
        raise RhythmError("brackets", text)
    if not words:
        raise RhythmError("no-words", text)
    if len(words) > MOST_WORDS:
        raise RhythmError("line-too-long", len(words), MOST_WORDS)
    return words


def _vocabulary(system: System) -> dict[str, str]:
    """Return the system's words by how they may be typed: as they are, without accents, or otherwise spelled."""
    own = [word for said in system.words.values() for word in said]
    vocabulary = {_without_accents(word.casefold()): word for word in own}
    vocabulary |= {other: word for other, word in LIKE.items() if word in own and other not in vocabulary}
    return vocabulary | {word.casefold(): word for word in own}


def _without_accents(word: str) -> str:
    return "".join(letter for letter in unicodedata.normalize("NFD", word) if not unicodedata.combining(letter))


def _known(part: str, vocabulary: dict[str, str], place: int) -> list[str]:
    """Return the words of a part of the line, which may be joined by hyphens. Raises RhythmError for others."""
    if part in vocabulary and part != "n":
        return [vocabulary[part]]
    if "n" in vocabulary and part.isascii() and part.isdigit() and 1 <= len(part) <= 2 and int(part):
        return [str(int(part))]
    pieces = [piece for piece in part.split("-") if piece]
    if len(pieces) > 1:
        return [word for piece in pieces for word in _known(piece, vocabulary, place)]
    raise RhythmError("unknown-word", part, place)


def _by_position(words: Sequence[_Word], system: PositionSystem, meter: Meter | None) -> Iterator[Rhythm]:
    chunks = _chunks(words, system)
    meter, beat = _meter_of(chunks, system, meter)
    spans = spans_of(meter, system, beat)
    lines = [
        (_placed(chunks, spans, system, meter, first), pickup) for first, pickup in _beginnings(chunks, spans, system)
    ]
    for cost in count_up():
        found = False
        for placed, pickup in lines:
            for rhythm in _of_cost(placed, pickup, spans, meter, cost):
                found = True
                yield rhythm
        if not found:  # each choice more is one more to pay, so that nothing dearer is left either
            return


def _of_cost(
    placed: Sequence[_Placed], pickup: bool, spans: Sequence[Span], meter: Meter, cost: int
) -> Iterator[Rhythm]:
    """Yield the rhythms that are so many choices away from the plainest."""
    for spent in range(cost + 1):
        for choice in _choices([len(one.readings) for one in placed], spent):
            chosen = [(one, one.readings[index]) for one, index in zip(placed, choice, strict=True)]
            points = [
                (one.at + place, word.starts)
                for one, reading in chosen
                for place, word in zip(reading.places, one.words, strict=True)
            ]
            said = _Points(points, {one.at for one, reading in chosen if reading.in_two}, pickup)
            for frames in _frames(said, spans, meter):
                yield from _rhythms(said, frames, spans, meter, cost - spent)


def _chunks(words: Sequence[_Word], system: PositionSystem) -> list[_Chunk]:
    """Return the words of each beat: a new one begins with the beat's own word, or where no list goes on so."""
    beat_words = {said[0] for said in system.words.values()}
    chunks: list[list[_Word]] = []
    for word in words:
        own = word.text in beat_words or word.text.isdigit()
        so_far = [one.text for one in chunks[-1]] if chunks else []
        if not chunks or own or word.barred or not any(True for _ in _embeddings([*so_far, word.text], system)):
            if not own and not any(True for _ in _embeddings([word.text], system)):
                raise RhythmError("unknown-word", word.text, word.place)
            chunks.append([])
        chunks[-1].append(word)
    return [
        _Chunk(
            tuple(chunk),
            int(chunk[0].text) if chunk[0].text.isdigit() else 0,
            chunk[0].text in beat_words or chunk[0].text.isdigit(),
        )
        for chunk in chunks
    ]


def _embeddings(texts: Sequence[str], system: PositionSystem) -> Iterator[tuple[int, tuple[int, ...]]]:
    """Yield each list of the system that has the words in order, as its length and the places of the words."""
    on_beat = texts[0].isdigit() or any(texts[0] == said[0] for said in system.words.values())
    for parts, said in system.words.items():
        for places in combinations(range(parts), len(texts)):
            if on_beat == (places[0] == 0) and all(
                said[place] == text or (said[place] == "n" and text.isdigit())
                for place, text in zip(places, texts, strict=True)
            ):
                yield parts, places


def _meter_of(chunks: Sequence[_Chunk], system: PositionSystem, meter: Meter | None) -> tuple[Meter, str | None]:
    """Return the meter of a line, and the beat if it isn't the meter's own: six in 6/8 are its eighths."""
    highest = max(chunk.said for chunk in chunks)
    if meter is None:
        beats = highest or sum(chunk.on_beat for chunk in chunks) or 1
        if highest > 4 and highest % 3 == 0:
            return parse_meter(f"{highest}/8"), "eighth"
        if not highest and (beats > 4 or f"{beats}/4" in system.beats):
            sizes = (size for size in (4, 3, 2, 1) if beats % size == 0 and f"{size}/4" not in system.beats)
            beats = 4 if beats % 2 and beats > 4 and beats % 3 else next(sizes)
        return parse_meter(f"{beats}/4"), None
    names = {length: name for name, length in BEATS.items()}
    smaller = (names.get(Fraction(1, meter.unit)), names.get(Fraction(1, 2 * meter.unit)))
    for beat in (None, *filter(None, smaller)):
        if highest <= max(span.said for span in spans_of(meter, system, beat)):
            return meter, beat
    wrong = next(chunk.words[0] for chunk in chunks if chunk.said == highest)
    raise RhythmError("words-do-not-fit", wrong.text, wrong.place, meter)


def _beginnings(chunks: Sequence[_Chunk], spans: Sequence[Span], system: PositionSystem) -> list[tuple[int, bool]]:
    """Return where the first chunk can stand in its measure, and whether the line then begins with a pickup."""
    size, first = len(spans), chunks[0]
    if system.numbers:
        following = chunks[1].said if len(chunks) > 1 and not first.said else 0
        if first.said:
            index = _index_of(first.said, spans, 0)
            return [(index, index > 0 and any(chunk.said == 1 for chunk in chunks[1:]))]
        if following > 1:
            return [(_index_of(following, spans, 1) - 1, False)]
        return [(size - 1, True)] if following else [(0, False)]
    barred = next((number for number, chunk in enumerate(chunks) if chunk.words[0].barred), len(chunks))
    start = -barred % size
    begins_late = len(chunks) > barred or len(chunks) > size
    found = [(start, True)] if begins_late and start else []
    if not first.on_beat and not start and len(chunks) > 1:
        found.append((size - 1, True))
    return [*found, (0, False)] if barred == len(chunks) or not found else found


def _placed(
    chunks: Sequence[_Chunk], spans: Sequence[Span], system: PositionSystem, meter: Meter, first: int
) -> list[_Placed]:
    """Return the chunks on their beats, the first of them on the beat ``first`` of its measure."""
    index = first
    placed = []
    for number, chunk in enumerate(chunks):
        if number:
            index += 1
            if chunk.words[0].barred:
                index += -index % len(spans)
            if chunk.said:
                index = _index_of(chunk.said, spans, index)
        span = spans[index % len(spans)]
        readings = _readings([word.text for word in chunk.words], span, system, chunk.on_beat)
        if not readings:
            word = chunk.words[-1]
            raise RhythmError("words-do-not-fit", word.text, word.place, meter)
        placed.append(_Placed(index // len(spans) * meter.length + span.at, chunk.words, readings))
    return placed


def _index_of(said: int, spans: Sequence[Span], start: int) -> int:
    """Return the next place, counted in spans from the first measure's start, at which a number is said."""
    return next(index for index in range(start, start + len(spans)) if spans[index % len(spans)].said == said)


def _readings(texts: Sequence[str], span: Span, system: PositionSystem, on_beat: bool) -> tuple[_Reading, ...]:
    """Return the ways to put words on a beat: those in full first, then those that leave out what isn't needed."""
    full: list[_Reading] = []
    needed: list[_Reading] = []
    others: list[_Reading] = []
    for parts, places in _embeddings(texts, system):
        reading = _Reading(tuple(span.length * place / parts for place in places), parts % 3 != 0)
        of_its_kind = (parts % 3 == 0) == span.dotted
        if list(places) == list(range(places[0], parts)) and (of_its_kind or on_beat or not span.dotted):
            full.append(reading)
        elif of_its_kind:
            needed.append(reading)
        else:
            others.append(reading)
    found: dict[tuple[Fraction, ...], _Reading] = {}
    for reading in [*full, *needed] or others:
        found.setdefault(reading.places, reading)
    return tuple(found.values())


def _choices(sizes: Sequence[int], cost: int) -> Iterator[tuple[int, ...]]:
    """Yield the choices of one option at each place, options counted from 0, that together make a cost."""
    if not cost:
        yield (0,) * len(sizes)
    if not 0 < cost <= sum(sizes) - len(sizes):
        return
    where = next(index for index, size in enumerate(sizes) if size > 1)
    for own in range(min(sizes[where] - 1, cost) + 1):
        for rest in _choices(sizes[where + 1 :], cost - own):
            yield (*(0,) * where, own, *rest)


@dataclass(frozen=True)
class _Points:
    """The places of all words, counted from the first measure's start: at each a note starts or doesn't."""

    points: Sequence[tuple[Fraction, bool]]
    in_two: set[Fraction]
    """Where beats start that aren't in three."""
    pickup: bool

    @property
    def missing(self) -> Fraction:
        """What a pickup lacks at its front."""
        return self.points[0][0] if self.pickup else Fraction(0)


def _rhythms(
    said: _Points, frames: Sequence[Frame], spans: Sequence[Span], meter: Meter, cost: int
) -> Iterator[Rhythm]:
    """Yield the rhythms in which as many places as ``cost`` are silent that could be held."""
    silent = _silent_places(said, spans, meter, frames[-1].end)
    borders = [*(at - said.missing for at, sounds in said.points if sounds), frames[-1].end]
    runs = [silent[bisect_left(silent, at) : bisect_left(silent, end)] for at, end in pairwise(borders)]
    in_two = {at - said.missing for at in said.in_two}
    for choice in _choices([len(run) + 1 for run in runs], cost):
        stretches = [Stretch(Fraction(0), borders[0], rests=True)] if borders[0] else []
        for (at, end), run, chosen in zip(pairwise(borders), runs, choice, strict=True):
            until = run[-chosen] if chosen else end
            stretches.append(Stretch(at, until))
            if until < end:
                stretches.append(Stretch(until, end, rests=True))
        yield written(frames, stretches, in_two)


def _frames(said: _Points, spans: Sequence[Span], meter: Meter) -> Iterator[list[Frame]]:
    """Yield the measures that a line can fill; after a pickup the last may end as early as the pickup is long."""
    length, missing = meter.length, said.missing
    last, within = divmod(said.points[-1][0], length)
    frames = [Frame(0 if said.pickup else 1, Fraction(0), length - missing, meter, missing)]
    frames += [Frame(n + (not said.pickup), n * length - missing, length, meter) for n in range(1, int(last) + 1)]
    beat_ends = next(span.at + span.length for span in spans if within < span.at + span.length)
    if len(frames) == 1 or beat_ends > missing:
        yield frames
    if len(frames) > 1 and within < missing:
        yield [*frames[:-1], Frame(frames[-1].number, frames[-1].at, missing, meter)]


def _silent_places(said: _Points, spans: Sequence[Span], meter: Meter, end: Fraction) -> list[Fraction]:
    """Return where no note starts though one could: what stands in brackets, and beats that aren't said."""
    silent = {at - said.missing for at, sounds in said.points if not sounds}
    known = {at - said.missing for at, _ in said.points}
    for measure in range(int((end + said.missing) / meter.length) + 1):
        beats = (measure * meter.length + span.at - said.missing for span in spans)
        silent |= {at for at in beats if 0 <= at < end and at not in known}
    return sorted(silent)


def _by_value(words: Sequence[_Word], system: ValueSystem, meter: Meter | None) -> Iterator[Rhythm]:
    """Yield the rhythms whose notes are said so, each held against its own count."""
    texts = [word.text for word in words]
    for tokens in islice(_tokens_said(texts, system), MOST_RHYTHMS):
        lengths = [recip_length(token) for token in tokens]
        for rhythm in _in_measures(lengths, meter or _meter_of_length(sum(lengths, Fraction(0)))):
            if [one.says for one in count(rhythm, system).counts if one.sounds] == texts:
                yield rhythm


def _tokens_said(texts: Sequence[str], system: ValueSystem) -> Iterator[tuple[str, ...]]:
    """Yield the tokens of notes that are said so, longer figures first; rests are silent and can't be said."""
    figures = [
        (tokens, said)
        for tokens, said in sorted(system.words.items(), key=lambda item: -len(item[0]))
        if not any(token.endswith("r") for token in tokens)
    ]
    steps: list[list[tuple[str, ...]]] = [[] for _ in texts]
    reaches_end = [False] * len(texts) + [True]
    for index in range(len(texts) - 1, -1, -1):
        steps[index] = [
            tokens
            for tokens, said in figures
            if tuple(texts[index : index + len(said)]) == said and reaches_end[index + len(said)]
        ]
        reaches_end[index] = bool(steps[index])
    waiting: list[tuple[str, ...]] = [()]
    while waiting:
        tokens = waiting.pop()
        if len(tokens) == len(texts):
            yield tokens
        else:
            waiting += [(*tokens, *step) for step in reversed(steps[len(tokens)])]


def _meter_of_length(length: Fraction) -> Meter:
    """Return the plainest meter that a length fills."""
    if length.denominator <= 4:
        beats = int(length * 4)
        size = beats if beats <= 4 else next((size for size in (4, 3, 2) if beats % size == 0), 4)
        return parse_meter(f"{size}/4")
    eighths = -(-length.numerator * 8 // length.denominator)
    return parse_meter(f"{eighths if eighths <= 12 else 4}/{8 if eighths <= 12 else 4}")


def _in_measures(lengths: Sequence[Fraction], meter: Meter) -> Iterator[Rhythm]:
    """Yield notes of these lengths in measures: what doesn't fill one is a pickup, or is filled up with a rest.

    Where notes reach over a bar line, a pickup with which none does comes as well.
    """
    borders = [Fraction(0)]
    for length in lengths:
        borders.append(borders[-1] + length)
    end = borders[-1]
    full, over = divmod(end, meter.length)
    if over and full:
        yield _notes_in(borders, over, end, meter)
    yield _notes_in(borders, Fraction(0), (full + bool(over)) * meter.length, meter)
    known = set(borders)
    if not over and not known.issuperset(_bars(Fraction(0), end, meter)):
        early = (at for at in borders[1:] if at < meter.length)
        pickup = next((at for at in early if known.issuperset(_bars(at, end, meter))), None)
        if pickup is not None:
            yield _notes_in(borders, pickup, end, meter)


def _bars(first: Fraction, end: Fraction, meter: Meter) -> list[Fraction]:
    """Return where bar lines stand, the first of them after a pickup."""
    return [first + n * meter.length for n in range(int((end - first) / meter.length) + 1)]


def _notes_in(borders: Sequence[Fraction], pickup: Fraction, end: Fraction, meter: Meter) -> Rhythm:
    """Return notes from border to border, after a pickup of some length, and the rest that the last measure needs."""
    stretches = [Stretch(at, until) for at, until in pairwise(borders)]
    if borders[-1] < end:
        stretches.append(Stretch(borders[-1], end, rests=True))
    bars = [bar for bar in _bars(pickup, end, meter) if bar < end]
    frames = [Frame(0, Fraction(0), pickup, meter, meter.length - pickup)] if pickup else []
    frames += [Frame(n, at, min(meter.length, end - at), meter) for n, at in enumerate(bars, 1)]
    return written(frames, stretches)
