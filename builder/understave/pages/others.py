"""Pages of the entries that have no root: slash patterns, counting systems, rhythm figures and terms."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import Any

from understave.addresses.slugs import ChordPlace, address_of_chord, address_of_entry, inversions
from understave.engraving.keyboard import keyboard
from understave.engraving.pictures import chord_picture, notes_picture, progression_picture
from understave.engraving.rhythm_pictures import rhythm_picture
from understave.entries.glossary import Glossary
from understave.entries.lookup import symbol_of
from understave.entries.values import ChordSymbol, CountingSystem, Entry, RhythmFigure, SlashChord, Term
from understave.pages.handouts import degrees_of, tones_by_degree
from understave.pages.heard import Hearing
from understave.pages.page import LINK, Fact, Figure, Page
from understave.pages.playing import played_chords, played_notes, played_rhythm
from understave.pages.prose import Rooted, line_html, list_html, prose_html, prose_text
from understave.phrases.catalogue import phrase
from understave.phrases.fingerings import fingers_html
from understave.phrases.measures import chords_words, counted_words, hands_words
from understave.phrases.names import chord_name
from understave.phrases.slashes import bass_sentence
from understave.phrases.typesetting import COPIED, HTML, Setting, joined, key_words, pitch_words
from understave.theory.chords import Chord
from understave.theory.counting import NO_WORD, POSITION_LISTS, Counted, PositionSystem, ValueSystem, count
from understave.theory.rhythms import Rhythm, parse_meter, parse_rhythm
from understave.theory.symbols import read_symbol
from understave.theory.tones import ROOTS
from understave.theory.voicings import COMFORTABLE_SPAN, voice, voice_in_turn

EXAMPLES = {
    "beats-in-two": ("4/4", "4 8 8 4 8 8"),
    "beats-in-four": ("2/4", "16 16 16 16 8 16 16"),
    "beats-in-three": ("4/4", "12 12 12 4 12 12 12 4"),
    "compound-beats": ("6/8", "8 8 8 4 8"),
}
"""What each counting system is shown with, by the id of the heading."""


@dataclass(frozen=True)
class OtherPages:
    """Makes the pages of entries without a root."""

    glossary: Glossary
    heard: dict[str, list[Hearing]]
    system: str
    """The id of the counting system that pictures are counted with."""

    def __iter__(self) -> Iterator[Page]:
        for name, entry in self.glossary.entries.items():
            match entry:
                case SlashChord():
                    yield self._slash_page(name, entry)
                case CountingSystem():
                    yield self._system_page(name, entry)
                case RhythmFigure():
                    yield self._figure_page(name, entry)
                case Term():
                    yield self._term_page(name, entry)

    def _common(self, name: str, entry: Entry, rooted: Rooted | None = None) -> dict[str, Any]:
        others = ((other, self.glossary.entries[other]) for other in self.glossary.confusions[name])
        return {
            "name": entry.name,
            "summary": line_html(entry.summary, self.glossary, rooted),
            "text": prose_html(entry.text, self.glossary, rooted),
            "sources": entry.sources,
            "corrected": entry.corrected,
            "confusions": [
                {"name": other.name, "address": address_of_entry(known, other), "summary": list_html(other)}
                for known, other in others
            ],
        }

    def _page(
        self,
        name: str,
        entry: Entry,
        template: str,
        figures: tuple[Figure, ...],
        fact: Fact,
        rooted: Rooted | None = None,
        reply: Callable[[], str] | None = None,
        **values: Any,
    ) -> Page:
        return Page(
            address_of_entry(name, entry),
            entry.name[:1].upper() + entry.name[1:],
            prose_text(entry.summary, rooted),
            template,
            lambda: {
                **self._common(name, entry, rooted),
                **{key: value() if callable(value) else value for key, value in values.items()},
            },
            figures,
            searchable=True,
            fact=fact,
            kind=entry.folder,
            answer=reply or (lambda: self._reply(entry, rooted)),
        )

    def _reply(self, entry: Entry, rooted: Rooted | None) -> str:
        return phrase("reply-page", answer=prose_text(entry.summary, rooted, COPIED), link=LINK)

    def _slash_page(self, name: str, entry: SlashChord) -> Page:
        kind = self.glossary.of(ChordSymbol)[entry.chord]
        chords = [
            reading.chord for symbol in entry.example.split() if (reading := read_symbol(symbol)[0]) and reading.chord
        ]
        shown = next(
            chord for chord in chords if chord.degrees == kind.degrees and chord.bass == chord.root.at(entry.bass)
        )
        voicing = voice(shown)
        symbol, say = symbol_of(shown, self.glossary), chord_name(shown, self.glossary)
        turns, symbols = voice_in_turn(chords), [symbol_of(chord, self.glossary) for chord in chords]
        names = [chord_name(chord, self.glossary) for chord in chords]
        words = chords_words(list(zip(names, turns, strict=True))) if len(chords) > 1 else hands_words(voicing)
        drawn = (
            progression_picture(list(zip(turns, symbols, strict=True)))
            if len(chords) > 1
            else chord_picture(voicing, symbol)
        )
        plays = played_chords(turns if len(chords) > 1 else [voicing])
        rooted = Rooted(shown.root, kind.written[0], kind.name)
        left, right = ([pitch for pitch, _ in hand] for hand in (voicing.left, voicing.right))
        return self._page(
            name, entry, "slash.html", (Figure(drawn, entry.name, words, plays),), _fact(shown, symbol), rooted,
            lambda: phrase("reply-staff", answer=self._slash_sentence(shown, COPIED), link=LINK),
            symbol=symbol,
            degrees=degrees_of(shown),
            tones=lambda: tones_by_degree(shown),
            fingers=lambda: fingers_html(shown),
            sentence=self._slash_sentence(shown, HTML),
            keyboard=lambda: keyboard(left, right, "k1", phrase("on-keyboard", name=say), hands_words(voicing)),
            wide=voicing.span > COMFORTABLE_SPAN,
            heard=lambda: [hearing.row() for hearing in self.heard.get(address_of_entry(name, entry), [])],
            roots=lambda: [self._slash_row(entry, kind, root) for root in ROOTS],
        )  # fmt: skip

    def _slash_sentence(self, chord: Chord, setting: Setting) -> str:
        plain = symbol_of(Chord(chord.root, chord.degrees), self.glossary)
        values = {"symbol": symbol_of(chord, self.glossary), "chord": plain}
        symbols = {key: setting.symbol(text) for key, text in values.items()}
        over = phrase("slash-sentence", **symbols, bass=setting.tone(chord.bass))
        return joined(" ", [over, bass_sentence(chord, setting)])

    def _slash_row(self, entry: SlashChord, kind: ChordSymbol, root: Any) -> dict[str, Any]:
        chord = Chord(root, kind.degrees, root.at(entry.bass))
        inversion = chord.inversion
        own = inversion is not None and inversion < inversions(kind)
        address = address_of_chord(ChordPlace(root, entry.chord, inversion or 0)) if own else ""
        return {"symbol": symbol_of(chord, self.glossary), "bass": chord.bass, "tones": chord.tones, "address": address}

    def _system_page(self, name: str, entry: CountingSystem) -> Page:
        examples = []
        for heading, (meter, rhythm) in EXAMPLES.items():
            parsed = parse_rhythm(rhythm, parse_meter(meter))
            counted = count(parsed, entry.system)
            if any(one.says for one in counted.counts):
                examples.append((heading, parsed, counted))
        figures = tuple(_counted_figure(parsed, counted, entry.name) for _, parsed, counted in examples)
        return self._page(
            name, entry, "system.html", figures, Fact(),
            examples=[{"title": phrase(heading)} for heading, _, _ in examples],
            by_position=entry.by == "position",
            words=_word_rows(entry.system),
        )  # fmt: skip

    def _figure_page(self, name: str, entry: RhythmFigure) -> Page:
        systems = self.glossary.of(CountingSystem)
        usual = systems[self.system] if self.system in systems else next(iter(systems.values()), None)
        figures, counted = [], []
        for beat, key in ((None, "counted-in"), ("eighth", "counted-in-eighths")):
            if usual is not None and (beat is None or _compound_eighths(entry)):
                figures.append(_counted_figure(entry.parsed, count(entry.parsed, usual.system, beat), entry.name))
                counted.append({"title": phrase(key, system=usual.name)})
        return self._page(
            name, entry, "figure.html", tuple(figures), Fact(),
            reply=partial(_figure_reply, entry, usual),
            counted=counted,
            lines=lambda: [_system_row(own, system, entry) for own, system in systems.items()],
            heard=lambda: [hearing.row() for hearing in self.heard.get(address_of_entry(name, entry), [])],
            gaps=any(NO_WORD in count(entry.parsed, system.system).line for system in systems.values()),
        )  # fmt: skip

    def _term_page(self, name: str, entry: Term) -> Page:
        figures: tuple[Figure, ...] = ()
        fact = Fact()
        if entry.example:
            left, right = entry.example.left, entry.example.right
            hands = (("left", left), ("right", right))
            words = " ".join(
                phrase("hand-in-words", hand=phrase(hand), notes=", ".join(map(pitch_words, pitches)))
                for hand, pitches in hands
                if pitches
            )
            figures = (Figure(notes_picture(left, right), entry.name, words, played_notes(left, right)),)
            fact = Fact(tones=tuple(str(pitch.tone) for pitch in (*left, *right)))
        return self._page(
            name, entry, "term.html", figures, fact,
            also_called=entry.also_called,
            in_key=phrase("in-key", key=key_words(entry.example.key, HTML)) if entry.example else "",
        )  # fmt: skip


def _figure_reply(entry: RhythmFigure, system: CountingSystem | None) -> str:
    """Return a figure's count with the site's system, and what it is."""
    summary = prose_text(entry.summary, None, COPIED)
    if system is None:
        return phrase("reply-page", answer=summary, link=LINK)
    return phrase("reply-figure", line=count(entry.parsed, system.system).line, summary=summary, link=LINK)


def _fact(chord: Chord, symbol: str) -> Fact:
    return Fact(symbol, tuple(map(str, chord.degrees)), tuple(map(str, chord.tones)))


def _counted_figure(rhythm: Rhythm, counted: Counted, title: str) -> Figure:
    return Figure(
        rhythm_picture(rhythm, counted.counts),
        title,
        counted_words(rhythm, counted),
        played_rhythm(rhythm, counted),
    )


def _compound_eighths(entry: RhythmFigure) -> bool:
    """Tell whether a figure's meter is felt in dotted beats, so that it may also be counted in eighths."""
    beats = parse_meter(entry.meter).beats()
    return all(beat.numerator == 3 and beat.denominator == 8 for beat in beats)


def _word_rows(system: PositionSystem | ValueSystem) -> list[dict[str, str]]:
    if isinstance(system, ValueSystem):
        return [{"what": " ".join(tokens), "words": " ".join(words)} for tokens, words in system.words.items()]
    return [
        {
            "what": phrase(f"parts-{number}"),
            "words": " ".join("1" if word == "n" else word for word in system.words[number]),
        }
        for number in POSITION_LISTS
        if number in system.words
    ]


def _system_row(name: str, system: CountingSystem, entry: RhythmFigure) -> dict[str, str]:
    return {
        "name": system.name,
        "address": address_of_entry(name, system),
        "line": count(entry.parsed, system.system).line,
    }
