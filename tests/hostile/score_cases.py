"""Named scores: what no reader may take, and what scores in the wild hold without being wrong."""

from __future__ import annotations

import io
import re
import struct
import zipfile

from understave.lessons.score_files import LARGEST_SCORE

from ..lessons.small_scores import DOCTYPE, HEADER, SCORE, both, harmony, note, score

CONTAINER = '<container><rootfiles><rootfile full-path="score.xml"/></rootfiles></container>'


def packed(files: dict[str, str | bytes]) -> bytes:
    """Return files as a compressed score."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(name, content)
    return buffer.getvalue()


def lying(archive: bytes, size: int) -> bytes:
    """Return an archive whose central directory says that its only file unpacks to ``size`` bytes."""
    at = archive.index(b"PK\x01\x02")
    return archive[: at + 24] + struct.pack("<I", size) + archive[at + 28 :]


def declared(entities: str) -> str:
    """Return a score with entity declarations in front, the first of which is its part's name."""
    text = SCORE.replace(DOCTYPE, f"<!DOCTYPE score-partwise [{entities}]>")
    return text.replace("<part-name>Piano", "<part-name>&a;")


LAUGHS = "".join(f'<!ENTITY {b} "{f"&{a};" * 10}">' for a, b in zip("bcdefghij", "cdefghija", strict=True))
"""Nine entities, each of ten of the one before: a billion words."""

BAD: dict[str, tuple[str | bytes, str]] = {
    "empty": ("", "it is no MusicXML"),
    "blank": (" \n\t", "it is no MusicXML"),
    "text": ("a score", "it is no MusicXML"),
    "a picture": (b"\x89PNG\r\n\x1a\n\x00\x00", "it is no MusicXML"),
    "other XML": (
        HEADER + "<html><body/></html>",
        "it is no MusicXML score: it holds 'html', expected 'score-partwise'",
    ),
    "ill-formed": (SCORE.replace("</measure>", "</bar>", 1), "it can't be read: mismatched tag"),
    "truncated": (SCORE[: len(SCORE) // 2], "it can't be read: "),
    "truncated within a tag": (SCORE[: SCORE.index("<duration>") + 4], "it can't be read: "),
    "an encoding that isn't its own": (
        SCORE.replace("Piano", "Pianoforté").encode("latin-1"),
        "it can't be read: not well-formed (invalid token)",
    ),
    "an encoding that doesn't exist": (SCORE.replace("UTF-8", "UTF-9"), "it can't be read: "),
    "a NUL in it": (SCORE.replace("Piano", "Pi\0ano"), "it can't be read: not well-formed (invalid token)"),
    "no parts": (HEADER + "<score-partwise><part-list/></score-partwise>", "it holds no notes"),
    "rests alone": (score(('number="1"', both(note("r", 4), note("r", 4, 2)))), "it holds no notes"),
    "a note called H": (SCORE.replace("<step>E", "<step>H"), "it can't be read: a note is called 'H', expected A to G"),
    "a meter of nothing": (SCORE.replace("<beat-type>4", "<beat-type>0"), "it has a meter that can't be: 4/0"),
    "an entity": (declared('<!ENTITY a "Piano">'), "it declares entities"),
    "an external entity": (declared('<!ENTITY a SYSTEM "file:///etc/hostname">'), "it declares entities"),
    "an external entity of another host": (declared('<!ENTITY a SYSTEM "https://x.example/">'), "it declares entities"),
    "a parameter entity": (declared('<!ENTITY % p SYSTEM "x.dtd"> %p;'), "it declares entities"),
    "a billion words": (declared(f'<!ENTITY b "ha"> {LAUGHS}'), "it declares entities"),
    "an entity in UTF-16": (
        declared('<!ENTITY a "Piano">').replace("UTF-8", "UTF-16").encode("utf-16"),
        "it declares entities",
    ),
    "a script in its words": (SCORE.replace("Piano", "<![CDATA[<script>alert(1)</script>]]>"), "it holds markup"),
    "a drawing in it": (
        SCORE.replace("<backup>", '<svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)"/><backup>', 1),
        "it holds markup that is no MusicXML",
    ),
    "a sheet of styles": (
        SCORE.replace(HEADER, f'{HEADER}<?xml-stylesheet href="https://x.example/a.xsl"?>'),
        "it holds markup that is no MusicXML",
    ),
    "a meter without end": (SCORE.replace("<beats>4", "<beats>999999999"), "it has a meter that can't be: "),
    "a measure that never stops": (
        SCORE.replace("<backup>", note("E4") * 5_000 + "<backup>", 1),
        "it has 5002 notes in one measure, at most 1000",
    ),
    "an archive cut off": (packed({"score.xml": SCORE})[:-40], "it is no compressed MusicXML"),
    "an archive of nothing": (packed({}), "it is no MusicXML"),
    "an archive of pictures": (packed({"page.png": b"\x89PNG"}), "it is no MusicXML"),
    "an archive with an entity": (
        packed({"META-INF/container.xml": CONTAINER, "score.xml": declared('<!ENTITY a "x">')}),
        "it declares entities",
    ),
    "an archive that unpacks without end": (
        packed({"score.xml": HEADER + "<a>" + " " * LARGEST_SCORE}),
        f"it unpacks to more than {LARGEST_SCORE} bytes",
    ),
    "an archive that lies about its size": (
        lying(packed({"score.xml": HEADER + "<a>" + " " * LARGEST_SCORE}), 100),
        "it ",
    ),
    "an archive of many files": (
        packed({f"{n}.bin": b" " * (LARGEST_SCORE // 10) for n in range(11)}),
        f"it unpacks to more than {LARGEST_SCORE} bytes",
    ),
}
"""By name: the file, and how its line begins after the score's name."""

BAD_SYMBOLS: dict[str, tuple[str, str]] = {
    "a kind that nobody knows": (
        SCORE.replace("<kind>minor", "<kind>bluish"),
        "the symbol in measure 2: no entry claims the MusicXML kind 'bluish'",
    ),
    "a text that nobody can read": (
        SCORE.replace("<kind>minor", '<kind text="???">other'),
        "the symbol in measure 2: no entry claims the MusicXML kind 'other'",
    ),
    "a degree without end": (
        SCORE.replace(harmony("A", "minor"), harmony("A", "minor", degrees=((999_999_999, 999_999_999, "add"),))),
        "the symbol in measure 2: the degree #######99, which no chord has",
    ),
    "a text without end": (
        SCORE.replace("<kind>minor", f'<kind text="{"(" * 100_000}">other'),
        "the symbol in measure 2: no entry claims the MusicXML kind 'other'",
    ),
    "a degree that no chord has": (
        SCORE.replace(harmony("A", "minor"), harmony("A", "minor", degrees=((17, 0, "add"),))),
        "the symbol in measure 2: the degree 17, which no chord has",
    ),
}
"""Scores that read, with a symbol that doesn't."""


def marked(**changes: str) -> str:
    """Return SCORE with the content of elements changed wherever they stand; ``_`` is a hyphen."""
    text = SCORE
    for name, content in changes.items():
        tag = name.replace("_", "-")
        text = re.sub(f"<{tag}>[^<]*", f"<{tag}>{content}", text)
    return text


MANY_ATTRIBUTES = " ".join(f'a{number}="1"' for number in range(50_000))


def never_played() -> str:
    """Return SCORE with measure 2 as a second ending that stands before the first."""
    bar = '<barline><ending number="{}" type="{}"/></barline>'.format
    text = SCORE.replace('<measure number="2">', f'<measure number="2">{bar(2, "start")}')
    first = f'{bar(2, "stop")}</measure><measure number="3">{bar(1, "start")}'
    return text.replace('</measure><measure number="3">', first)


ODD: dict[str, str] = {
    "no divisions": marked(divisions="0"),
    "divisions without end": marked(divisions="9" * 100_000),
    "divisions below nothing": marked(divisions="-4"),
    "lengths without end": marked(duration="9" * 100_000),
    "lengths of a power": marked(duration="1e999999999"),
    "lengths below nothing": marked(duration="-16"),
    "lengths of nothing": marked(duration="0"),
    "octaves without end": marked(octave="999999999"),
    "signs without end": marked(alter="999999999"),
    "staves without end": marked(staves="999999999"),
    "a key without end": SCORE.replace("<time>", "<key><fifths>999999999</fifths></key><time>"),
    "a transposition without end": SCORE.replace(
        "</clef></attributes>", "</clef><transpose><chromatic>999999999</chromatic></transpose></attributes>"
    ),
    "repeats without end": SCORE.replace(
        '</measure><measure number="4">',
        '<barline><repeat direction="backward" times="999999999"/></barline></measure><measure number="4">',
    ),
    "a symbol behind the end": SCORE.replace("<kind>minor</kind>", "<kind>minor</kind><offset>999999999</offset>"),
    "a symbol at the end": SCORE.replace("</measure></part>", harmony("G", "major") + "</measure></part>"),
    "a symbol before the start": SCORE.replace("<kind>minor</kind>", "<kind>minor</kind><offset>-99999</offset>"),
    "a measure that is never played": never_played(),
    "measures of one number": SCORE.replace('number="3"', 'number="2"'),
    "numbers that go down": SCORE.replace('number="2"', 'number="3"', 1).replace('number="3"', 'number="2"', 1),
    "a comment without end": SCORE.replace("<backup>", f"<!--{'- ' * 500_000}--><backup>", 1),
    "attributes without end": SCORE.replace("<backup>", f"<backup {MANY_ATTRIBUTES}>", 1),
    "a hundred thousand elements deep": SCORE.replace("<backup>", f"{'<x>' * 100_000}{'</x>' * 100_000}<backup>", 1),
    "two thousand measures": SCORE.replace(
        "</part>", "".join(f'<measure number="{n}"/>' for n in range(5, 2_000)) + "</part>"
    ),
}
"""Scores that are odd, and read all the same: none stops or takes long."""

CUE = note("A5").replace("<note>", "<note><cue/>")
GRACE = "<note><grace/><pitch><step>D</step><octave>5</octave></pitch><voice>1</voice><staff>1</staff></note>"


def _part(name: str, clef: str, bars: list[str]) -> str:
    attributes = (
        "<attributes><divisions>4</divisions><time><beats>4</beats><beat-type>4</beat-type></time>"
        f"<clef><sign>{clef}</sign><line>2</line></clef></attributes>"
    )
    measures = "".join(
        f'<measure number="{n}">{attributes if n == 1 else ""}{bar}</measure>' for n, bar in enumerate(bars, 1)
    )
    return f'<part id="{name}">{measures}</part>'


def two_parts() -> str:
    """Return SCORE's music as a piano of two parts with a staff each."""
    right = [harmony("C", "major", staff=False) + note("E4", 4), harmony("A", "minor", staff=False) + note("E4", 4)]
    right += [
        harmony("C", "major", "E", staff=False) + note("C5", 2) + harmony("G", "major", staff=False) + note("B4", 2)
    ]
    right += [harmony("C", "major", staff=False) + note("E4", 4)]
    left = [note(pitch, 4) for pitch in ("C3", "A2", "E3", "C3")]
    names = "".join(
        f'<score-part id="{one}"><part-name>Piano {hand}</part-name></score-part>'
        for one, hand in (("P1", "right hand"), ("P2", "left hand"))
    )
    body = re.sub("<staff>.</staff>", "", _part("P1", "G", right) + _part("P2", "F", left))
    return f'{HEADER}<score-partwise version="4.0"><part-list>{names}</part-list>{body}</score-partwise>'


def repeated() -> str:
    """Return SCORE with a repeat from the start, measure 3 as its first ending and measure 4 as its second."""
    first = '<barline location="left"><ending number="1" type="start"/></barline>'
    back = '<barline location="right"><ending number="1" type="stop"/><repeat direction="backward"/></barline>'
    second = '<barline location="left"><ending number="2" type="start"/></barline>'
    text = SCORE.replace('<measure number="3">', f'<measure number="3">{first}')
    return text.replace('</measure><measure number="4">', f'{back}</measure><measure number="4">{second}')


def transposed() -> str:
    """Return SCORE as a part written a whole step higher than it sounds."""
    up = {"C": ("D", 0), "E": ("F", 1), "G": ("A", 0), "A": ("B", 0), "B": ("C", 1)}

    def moved(match: re.Match[str]) -> str:
        step, alter = up[match[2]]
        octave = int(match[4]) + (match[2] == "B") if match[4] else ""
        tail = f"<octave>{octave}</octave>" if match[4] else ""
        kind = match[1]
        return f"<{kind}step>{step}</{kind}step><{kind}alter>{alter}</{kind}alter>{tail}"

    shape = r"<((?:root-|bass-)?)step>(.)</\1step><\1alter>(0)</\1alter>(?:<octave>(\d)</octave>)?"
    told = "</clef><transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose></attributes>"
    return re.sub(shape, moved, SCORE).replace("</clef></attributes>", told)


GOOD: dict[str, str | bytes] = {
    "as it is": SCORE,
    "a DOCTYPE that nobody fetches": SCORE.replace(
        DOCTYPE, '<!DOCTYPE score-partwise SYSTEM "https://x.example/a.dtd">'
    ),
    "a mark at its front": b"\xef\xbb\xbf" + SCORE.encode(),
    "UTF-16": SCORE.replace("UTF-8", "UTF-16").encode("utf-16"),
    "compressed": packed({"META-INF/container.xml": CONTAINER, "score.xml": SCORE}),
    "compressed without a container": packed({"music/score.musicxml": SCORE}),
    "transposed": transposed(),
    "two parts": two_parts(),
    "repeats with endings": repeated(),
    "cues": SCORE.replace(note("B4", 2), note("B4", 1) + CUE),
    "grace notes": SCORE.replace(note("E4", 4), GRACE + note("E4", 4)),
    "symbols with a text": SCORE.replace("<kind>minor", '<kind text="m" use-symbols="no">minor'),
    "a symbol by its text alone": SCORE.replace("<kind>minor", '<kind text="m">other'),
    "elements that nobody knows": SCORE.replace("<backup>", "<listening><x/></listening><backup>"),
    "ten thousand elements deep": SCORE.replace("<backup>", f"{'<x>' * 10_000}{'</x>' * 10_000}<backup>", 1),
}
"""By name: scores of the same four chords."""
