"""Pages of chord types and added tones: on their own, under every root, and their inversions."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property, partial
from typing import Any

from understave.addresses.slugs import (
    ChordPlace,
    address_of_chord,
    address_of_entry,
    address_of_root,
    inversions,
)  # fmt: skip
from understave.engraving.keyboard import keyboard
from understave.engraving.pictures import chord_picture, inversion_picture
from understave.entries.glossary import Glossary
from understave.entries.values import SlashChord, Spelled
from understave.pages.heard import Hearing
from understave.pages.page import LINK, Fact, Figure, Page
from understave.pages.playing import played_chords
from understave.pages.prose import Rooted, line_html, prose_html, prose_text
from understave.phrases.catalogue import phrase
from understave.phrases.fingerings import fingers_html
from understave.phrases.measures import hand_words, hands_words
from understave.phrases.names import said_chord
from understave.phrases.slashes import INVERSIONS
from understave.phrases.typesetting import (
    COPIED,
    HTML,
    TEXT,
    Setting,
    degree_label,
    interval_words,
    key_text,
    listed,
    numeral_html,
    symbol_html,
    symbol_text,
    tone_html,
)  # fmt: skip
from understave.theory.chords import (
    Chord,
    easier_root,
    has_number,
    is_extended,
    usually_left_out,
    usually_played,
)  # fmt: skip
from understave.theory.keys import Home, homes, secondary_dominants
from understave.theory.slashes import figures
from understave.theory.symbols import read_symbol
from understave.theory.tones import ROOTS, Degree, Tone, parse_degree
from understave.theory.voicings import COMFORTABLE_SPAN, Voicing, close_position, voice

C = Tone("C")


@dataclass(frozen=True)
class ChordPages:
    """Makes the pages of chord types and added tones."""

    glossary: Glossary
    heard: dict[str, list[Hearing]]

    def __iter__(self) -> Iterator[Page]:
        for name in self.glossary.chords:
            yield from self.of_entry(name)

    def of_entry(self, name: str) -> Iterator[Page]:
        """Yield the pages of one entry: its own, then those under every root."""
        entry = self.glossary.chords[name]
        yield self._type_page(name, entry)
        for root in ROOTS:
            for inversion in range(inversions(entry)):
                yield self._rooted_page(ChordPlace(root, name, inversion), entry)

    def _type_page(self, name: str, entry: Spelled) -> Page:
        subject = _Subject(C, name, entry)
        address = address_of_entry(name, entry)
        return Page(
            address,
            f"{_upper(entry.name)}",
            f"{prose_text(entry.summary, subject.rooted)} {subject.sentence(TEXT)}",
            "chord.html",
            partial(self._values, subject, address, of_type=True),
            subject.figures,
            searchable=True,
            fact=subject.fact,
            kind=entry.folder,
            answer=partial(self._reply, subject),
        )

    def _rooted_page(self, place: ChordPlace, entry: Spelled) -> Page:
        subject = _Subject(place.root, place.entry, entry, place.inversion)
        address = address_of_chord(place)
        values: Callable[[], dict[str, Any]] = (
            partial(self._inversion_values, subject, address)
            if place.inversion
            else partial(self._values, subject, address)
        )
        return Page(
            address,
            f"{symbol_text(subject.symbol)} · {subject.say(TEXT)}",
            f"{prose_text(entry.summary, subject.rooted)} {subject.sentence(TEXT)}"
            if not place.inversion
            else subject.sentence(TEXT),
            "inversion.html" if place.inversion else "chord.html",
            values,
            subject.figures,
            fact=subject.fact,
            kind=entry.folder,
            answer=partial(self._reply, subject),
        )

    def _reply(self, subject: _Subject) -> str:
        """Return a short answer: the symbol, its tones with their places in the chord, one reason, the link."""
        if subject.inversion:
            answer = " ".join((subject.sentence(COPIED), phrase("lowest-decides")))
            return phrase("reply-staff", answer=answer, link=LINK)
        degrees = subject.chord.degrees
        played = usually_played(degrees)
        reason = prose_text(subject.entry.summary, subject.rooted, COPIED)
        if sum(degree.number == 9 for degree in played) > 1:
            return phrase("reply-staff", answer=f"{subject.sentence(COPIED)} {reason}", link=LINK)
        tones = [
            phrase("reply-tone", tone=COPIED.tone(subject.root.at(degree)), degree=degree_label(degree))
            for degree in played
        ]
        key = "reply-chord" if played == degrees else "reply-chord-played"
        return phrase(key, symbol=symbol_text(subject.symbol), tones=listed(tones), reason=reason, link=LINK)

    def _values(self, subject: _Subject, address: str, of_type: bool = False) -> dict[str, Any]:
        entry, chord = subject.entry, subject.chord
        return {
            **self._common(subject, address),
            "of_type": of_type,
            "summary": line_html(entry.summary, self.glossary, subject.rooted),
            "text": prose_html(entry.text, self.glossary, subject.rooted),
            "rows": subject.rows,
            "inversions": self._inversion_links(subject),
            "patterns": self._pattern_links(subject),
            "written": [f"{chord.root}{form}" for form in entry.written[1:]],
            "can_mean": self._other_senses(subject),
            "confusions": self._confusions(subject),
            **_homes(chord),
            "sources": entry.sources,
            "corrected": entry.corrected,
            "roots": [self._root_row(subject, root) for root in ROOTS] if of_type else [],
        }

    def _inversion_values(self, subject: _Subject, address: str) -> dict[str, Any]:
        entry, pattern = subject.entry, INVERSIONS[subject.inversion]
        return {
            **self._common(subject, address),
            "inversion": phrase(pattern),
            "figured": phrase("bass-figured", figures=" ".join(figures(subject.chord))),
            "pattern": address_of_entry(pattern, self.glossary.entries[pattern])
            if pattern in self.glossary.entries
            else "",
            "corrected": entry.corrected,
            "positions": [
                {"name": phrase(INVERSIONS[n]), "symbol": subject.at(n).symbol, "address": subject.at(n).address}
                for n in range(inversions(subject.entry))
                if n != subject.inversion
            ],
        }

    def _common(self, subject: _Subject, address: str) -> dict[str, Any]:
        entry, voicing = subject.entry, subject.voicing
        own = address_of_entry(subject.id, entry)
        left, right = ([pitch for pitch, _ in hand] for hand in (voicing.left, voicing.right))
        return {
            "symbol": subject.symbol,
            "say": subject.say(HTML),
            "sentence": subject.sentence(HTML),
            "keyboard": keyboard(left, right, "k1", phrase("on-keyboard", name=subject.say(TEXT)), subject.words),
            "wide": voicing.span > COMFORTABLE_SPAN,
            "fingers": fingers_html(subject.chord),
            "degrees": list(map(degree_label, subject.chord.degrees)),
            "easier": subject.easier,
            "kind": entry.folder,
            "type_name": entry.name,
            "type_address": own,
            "root_name": tone_html(subject.chord.root),
            "root_address": address_of_root(subject.chord.root),
            "heard": [hearing.row() for hearing in self.heard.get(address, [])],
        }

    def _root_row(self, subject: _Subject, root: Tone) -> dict[str, Any]:
        other = _Subject(root, subject.id, subject.entry)
        return {"symbol": other.symbol, "address": other.address, "tones": other.chord.tones}

    def _inversion_links(self, subject: _Subject) -> list[dict[str, Any]]:
        count = inversions(subject.entry)
        if count == 1:
            return []
        return [
            {
                "name": phrase(INVERSIONS[n]),
                "symbol": subject.at(n).symbol,
                "address": subject.at(n).address,
                "fingers": fingers_html(subject.at(n).chord),
                "said": hand_words(subject.at(n).close.right),
            }
            for n in range(count)
        ]

    def _pattern_links(self, subject: _Subject) -> list[dict[str, Any]]:
        return [
            {
                "symbol": f"{subject.symbol}/{subject.chord.root.at(entry.bass)}",
                "name": entry.name,
                "address": address_of_entry(name, entry),
            }
            for name, entry in self.glossary.of(SlashChord).items()
            if entry.chord == subject.id and "inversion" not in name
        ]

    def _other_senses(self, subject: _Subject) -> list[dict[str, Any]]:
        """Return what the written forms can mean beside this chord."""
        found = []
        for form in subject.entry.written:
            for reading in read_symbol(f"{subject.chord.root}{form}"):
                other = reading.chord and self.glossary.by_degrees.get(reading.chord.degrees)
                if other and other != subject.id and reading.chord and reading.chord.root == subject.chord.root:
                    target = _Subject(subject.chord.root, other, self.glossary.chords[other])
                    why = phrase(f"why-{reading.why}") if reading.why else ""
                    found.append(
                        {
                            "form": f"{subject.chord.root}{form}",
                            "symbol": target.symbol,
                            "address": target.address,
                            "why": why,
                        }
                    )
        return found

    def _confusions(self, subject: _Subject) -> list[dict[str, Any]]:
        found = []
        for name in self.glossary.confusions[subject.id]:
            other = self.glossary.entries[name]
            if isinstance(other, Spelled):
                target = _Subject(subject.chord.root, name, other)
                found.append(
                    {
                        "symbol": target.symbol,
                        "name": other.name,
                        "address": target.address,
                        "difference": subject.difference(target),
                    }
                )
            else:
                found.append(
                    {"symbol": "", "name": other.name, "address": address_of_entry(name, other), "difference": ""}
                )
        return found


@dataclass(frozen=True)
class _Subject:
    """An entry under a root, perhaps inverted: what the pages say and show of it."""

    root: Tone
    id: str
    entry: Spelled
    inversion: int = 0

    def at(self, inversion: int) -> _Subject:
        return _Subject(self.root, self.id, self.entry, inversion)

    @property
    def address(self) -> str:
        return address_of_chord(ChordPlace(self.root, self.id, self.inversion))

    @cached_property
    def chord(self) -> Chord:
        slash = self.root.at(self.entry.degrees[self.inversion]) if self.inversion else None
        return Chord(self.root, self.entry.degrees, slash)

    @property
    def rooted(self) -> Rooted:
        return Rooted(self.root, self.entry.written[0], self.entry.name)

    @property
    def symbol(self) -> str:
        slash = f"/{self.chord.bass}" if self.inversion else ""
        return f"{self.root}{self.entry.written[0]}{slash}"

    def say(self, setting: Setting) -> str:
        """Return how the chord is said."""
        return said_chord(self.root, self.entry.name, self.chord.bass, setting)

    @property
    def fact(self) -> Fact:
        return Fact(self.symbol, tuple(map(str, self.chord.degrees)), tuple(map(str, self.chord.tones)))

    @cached_property
    def voicing(self) -> Voicing:
        return voice(self.chord)

    @property
    def words(self) -> str:
        return hands_words(self.voicing)

    @property
    def close(self) -> Voicing:
        """The chord in one hand, its tones as close as they go."""
        return close_position(self.chord, self.inversion)

    @property
    def figures(self) -> tuple[Figure, ...]:
        main = Figure(
            chord_picture(self.voicing, self.symbol),
            phrase("both-hands", name=self.say(TEXT)),
            self.words,
            played_chords([self.voicing]),
        )
        if self.inversion or inversions(self.entry) == 1:
            return (main,)
        row = []
        for inversion in range(inversions(self.entry)):
            close = self.at(inversion).close
            title = phrase("chord-position", name=self.at(0).say(TEXT), inversion=phrase(INVERSIONS[inversion]))
            row.append(Figure(inversion_picture(close), title, hand_words(close.right), played_chords([close]), False))
        return (main, *row)

    def sentence(self, setting: Setting) -> str:
        """Return one sentence with the notes: what is usually played first, then the full stack."""
        chord, symbol = self.chord, setting.symbol(self.symbol)

        def tones(some: Iterable[Tone]) -> str:
            return listed([setting.tone(tone) for tone in some])

        def names(degrees: Iterable[Degree]) -> str:
            return tones(map(self.root.at, degrees))

        if self.inversion:
            turned = chord.tones[self.inversion :] + chord.tones[: self.inversion]
            return phrase(
                "inversion-sentence",
                symbol=symbol,
                plain=setting.symbol(self.at(0).symbol),
                bass=setting.tone(chord.bass),
                degree=degree_label(chord.degrees[self.inversion]),
                inversion=phrase(INVERSIONS[self.inversion]),
                tones=tones(turned),
            )
        played = usually_played(chord.degrees)
        ninths = [degree for degree in played if degree.number == 9]
        if len(ninths) > 1:
            first = names(degree for degree in played if degree.number != 9)
            choice = [setting.tone(self.root.at(degree)) for degree in ninths]
            return phrase(
                "chord-tones-two-ninths",
                symbol=symbol,
                played=first,
                first=choice[0],
                second=choice[1],
                tones=tones(chord.tones),
            )
        if played == chord.degrees:
            return phrase("chord-tones", symbol=symbol, tones=tones(chord.tones))
        if has_number(played, 13) and parse_degree("9") in played:
            first = names(degree for degree in played if degree.number not in (9, 11))
            optional = names(degree for degree in played if degree.number in (9, 11))
            return phrase(
                "chord-tones-thirteenth", symbol=symbol, played=first, optional=optional, tones=tones(chord.tones)
            )
        return phrase("chord-tones-left-out", symbol=symbol, played=names(played), tones=tones(chord.tones))

    @property
    def rows(self) -> list[dict[str, Any]]:
        """The table of tones: degree, note, interval from the root, job in the chord."""
        return [
            {"degree": degree_label(degree), "tone": tone, "interval": interval_words(degree), "job": self._job(degree)}
            for degree, tone in zip(self.chord.degrees, self.chord.tones, strict=True)
        ]

    def _job(self, degree: Degree) -> str:
        degrees = self.chord.degrees
        job = phrase(f"job-{_job_id(degree, degrees)}")
        return phrase("job-left-out", job=job) if degree in usually_left_out(degrees) else job

    @property
    def easier(self) -> dict[str, str] | None:
        root = easier_root(self.root, self.chord.degrees)
        if root is None:
            return None
        other = _Subject(root, self.id, self.entry, self.inversion)
        return {"symbol": other.symbol, "address": other.address}

    def difference(self, other: _Subject) -> str:
        """Return a sentence, as HTML, with the tones in which another chord on the same root differs."""
        theirs = [
            degree for degree in other.chord.degrees if degree.simple not in {d.simple for d in self.chord.degrees}
        ]
        mine = [degree for degree in self.chord.degrees if degree.simple not in {d.simple for d in other.chord.degrees}]
        values = {
            "other": symbol_html(other.symbol),
            "symbol": symbol_html(self.symbol),
            "theirs": listed([self._with_degree(degree) for degree in theirs]),
            "mine": listed([self._with_degree(degree) for degree in mine]),
        }
        if theirs and mine:
            return phrase("confusion-differs", **values)
        if theirs or mine:
            return phrase("confusion-more" if theirs else "confusion-less", **values)
        return phrase("confusion-octave", **values)

    def _with_degree(self, degree: Degree) -> str:
        return phrase("tone-degree", tone=tone_html(self.root.at(degree)), degree=degree_label(degree))


def _homes(chord: Chord) -> dict[str, list[dict[str, str]]]:
    """Return the keys that hold a chord, those that hold it in their melodic form, and those that it leads within."""
    found = homes(chord)
    return {
        "homes": [_home_row(home) for home in found if home.form != "melodic"],
        "melodic_homes": [_home_row(home) for home in found if home.form == "melodic"],
        "secondary_homes": [_home_row(home) for home in secondary_dominants(chord)],
    }


def _home_row(home: Home) -> dict[str, str]:
    note = phrase("raised-seventh") if home.form == "raised-seventh" else ""
    return {"key": key_text(home.key, HTML), "numeral": numeral_html(home.numeral), "note": note}


def _job_id(degree: Degree, degrees: tuple[Degree, ...]) -> str:
    has_seventh = has_number(degrees, 7)
    match degree.number:
        case 1:
            return "1"
        case 3:
            return "3"
        case 5:
            return _job_of_fifth(degree, degrees)
        case 7:
            return "7"
        case 2 | 4 if not has_number(degrees, 3):
            return "sus"
        case 9 | 11 | 13 if has_seventh:
            return "altered-extension" if degree.alteration else "extension" if is_extended(degrees) else "added"
    return "added"


def _job_of_fifth(degree: Degree, degrees: tuple[Degree, ...]) -> str:
    if not degree.alteration:
        return "5"
    if degree.alteration < 0 and parse_degree("b3") in degrees:
        return "diminished-5"
    plain = degree.alteration > 0 and len(degrees) == 3 and parse_degree("3") in degrees
    return "augmented-5" if plain else "altered-5"


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]
