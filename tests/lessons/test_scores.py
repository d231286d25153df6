"""Checks how scores are read: what may not be read, what is kept, and that music comes out as it stands there."""

from __future__ import annotations

import json
import os
import zipfile
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest

from understave.entries.faults import Faulty
from understave.entries.schema import MUSICXML_KINDS
from understave.lessons import score_files, scores
from understave.lessons.lesson import chord_of, load_lesson
from understave.lessons.score_files import ScoreError
from understave.lessons.scores import Score, ScoreSymbol, load_score
from understave.theory.tones import Tone, parse_tone

from .small_scores import DOCTYPE, HEADER, LESSON, SCORE, both, harmony, note, score

CONTAINER = '<container><rootfiles><rootfile full-path="score.xml"/></rootfiles></container>'

ReadScore = Callable[..., Score]


@pytest.fixture
def read_score(tmp_path: Path, score_cache: Path) -> ReadScore:
    def read(text: str | bytes, name: str = "score.musicxml", cache: Path | None = score_cache) -> Score:
        path = tmp_path / name
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return load_score(path, cache)

    return read


def packed(folder: Path, files: dict[str, str | bytes], name: str = "score.mxl") -> Path:
    with zipfile.ZipFile(folder / name, "w", zipfile.ZIP_DEFLATED) as archive:
        for file, content in files.items():
            archive.writestr(file, content)
    return folder / name


# what is refused


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "it is no MusicXML"),
        ("hello", "it is no MusicXML"),
        (b"\x00\x01", "it is no MusicXML"),
        (HEADER + '<!DOCTYPE score-partwise [<!ENTITY a "b">]><score-partwise/>', "it declares entities"),
        (HEADER + '<!DOCTYPE x [<!ENTITY % a SYSTEM "file:///etc/passwd"> %a;]><x/>', "it declares entities"),
        (SCORE[: len(SCORE) // 2], "it can't be read: "),
        (HEADER + "<html><body/></html>", "it "),
        (HEADER + "<score-partwise><part-list/></score-partwise>", "it "),
    ],
    ids=["empty", "text", "bytes", "entity", "parameter entity", "truncated", "other XML", "no parts"],
)
def test_what_is_no_score_is_refused_in_a_few_words(text, why, read_score):
    with pytest.raises(ScoreError) as raised:
        read_score(text)
    assert str(raised.value).startswith(why)
    assert len(str(raised.value).splitlines()) == 1
    assert len(str(raised.value)) < 200


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be"])
def test_an_entity_is_found_in_any_encoding(encoding, read_score):
    declared = '<?xml version="1.0" encoding="UTF-16"?><!DOCTYPE score-partwise [<!ENTITY t "Piano">]>'
    text = declared + SCORE[len(HEADER + DOCTYPE) :]
    text = text.replace("<part-name>Piano</part-name>", "<part-name>&t;</part-name>")
    with pytest.raises(ScoreError):
        read_score(text.encode(encoding), cache=None)


def test_a_doctype_without_entities_is_fine(read_score):
    assert DOCTYPE in SCORE
    assert len(read_score(SCORE).measures) == 4
    assert read_score(SCORE.replace(DOCTYPE, "")) == read_score(SCORE)
    assert read_score(b"\xef\xbb\xbf" + SCORE.encode()) == read_score(SCORE)


def test_a_score_that_is_not_there_is_refused(tmp_path):
    with pytest.raises(ScoreError, match="it can't be opened: No such file or directory"):
        load_score(tmp_path / "none.musicxml", None)
    with pytest.raises(ScoreError, match="it can't be opened: Is a directory"):
        load_score(tmp_path, None)


def test_a_score_that_is_too_large_is_refused_unread(read_score, monkeypatch):
    monkeypatch.setattr(score_files, "LARGEST_SCORE", len(SCORE.encode()) - 1)
    with pytest.raises(ScoreError, match="it is larger than"):
        read_score(SCORE)


def test_a_compressed_score_is_read(tmp_path, score_cache, read_score):
    path = packed(tmp_path, {"META-INF/container.xml": CONTAINER, "score.xml": SCORE})
    assert load_score(path, score_cache) == read_score(SCORE)


def test_a_small_file_that_unpacks_to_a_large_one_is_refused(tmp_path, monkeypatch):
    """The bound is on what comes out, whatever the archive says of its sizes, and over all of its files together."""
    monkeypatch.setattr(score_files, "LARGEST_SCORE", 100_000)
    bomb = packed(tmp_path, {"score.xml": SCORE + " " * 1_000_000})
    assert bomb.stat().st_size < 10_000
    many = packed(tmp_path, {f"part{n}.bin": b" " * 30_000 for n in range(5)}, "many.mxl")
    for path in (bomb, many):
        with pytest.raises(ScoreError, match="it unpacks to more than 100000 bytes"):
            load_score(path, None)


def test_the_bound_holds_for_the_real_size_too(tmp_path):
    bomb = packed(tmp_path, {"score.xml": HEADER + "<a>" + " " * score_files.LARGEST_SCORE})
    assert bomb.stat().st_size < 50_000
    with pytest.raises(ScoreError, match="it unpacks to more than"):
        load_score(bomb, None)


def test_an_entity_in_a_compressed_score_is_found(tmp_path):
    entity = SCORE.replace(DOCTYPE, '<!DOCTYPE score-partwise [<!ENTITY t "Piano">]>')
    for name in ("score.xml", "score.musicxml", "score.mxl"):
        with pytest.raises(ScoreError, match="it declares entities"):
            load_score(packed(tmp_path, {"META-INF/container.xml": CONTAINER, name: entity}), None)


def broken_archives(folder: Path) -> dict[str, Path]:
    """Archives that are damaged in ways that Python tells by different exceptions."""
    whole = packed(folder, {"score.xml": SCORE * 3}).read_bytes()
    start = whole.index(b"score.xml") + len(b"score.xml")
    encrypted = bytearray(whole)
    encrypted[6] |= 1
    encrypted[whole.index(b"PK\x01\x02") + 8] |= 1
    unknown = bytearray(whole)
    unknown[8] = 99
    unknown[whole.index(b"PK\x01\x02") + 10] = 99
    files = {
        "text": b"no zip",
        "cut": whole[: len(whole) // 2],
        "flipped": whole[: start + 20]
        + bytes(byte ^ 0xFF for byte in whole[start + 20 : start + 60])
        + whole[start + 60 :],
        "encrypted": bytes(encrypted),
        "unknown method": bytes(unknown),
        "nothing in it": packed(folder, {}, "none.mxl").read_bytes(),
    }
    for name, content in files.items():
        (folder / f"{name}.mxl").write_bytes(content)
    return {name: folder / f"{name}.mxl" for name in files}


@pytest.mark.parametrize("name", ["text", "cut", "flipped", "encrypted", "unknown method", "nothing in it"])
def test_a_damaged_archive_is_refused_and_raises_nothing_else(name, tmp_path):
    with pytest.raises(ScoreError):
        load_score(broken_archives(tmp_path)[name], None)


def test_a_score_that_cannot_be_read_is_a_fault_of_the_lesson(in_folder, glossary):
    (in_folder / "small.musicxml").write_text(SCORE[:400])
    (in_folder / "small.yaml").write_text(LESSON)
    with pytest.raises(Faulty) as raised:
        load_lesson(Path("small.yaml"), glossary, None)
    (fault,) = raised.value.faults
    assert str(fault).startswith("small.yaml:6:8: the score 'small.musicxml': it can't be read: ")
    assert str(fault).endswith("; a MusicXML score")


def test_the_reader_leaves_nothing_in_the_users_folders(tmp_path, monkeypatch):
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    monkeypatch.setenv("TMPDIR", str(tmp_path / "tmp"))
    (tmp_path / "home").mkdir()
    (tmp_path / "tmp").mkdir()
    (tmp_path / "score.musicxml").write_text(SCORE)
    before = os.environ.copy()
    load_score(tmp_path / "score.musicxml", None)
    assert list((tmp_path / "home").iterdir()) == []
    assert list((tmp_path / "tmp").iterdir()) == []
    assert os.environ.copy() == before


# what is kept


def test_a_score_is_read_once_and_then_taken_from_the_cache(read_score, tmp_path, monkeypatch):
    first = read_score(SCORE, cache=tmp_path / "cache")

    def never(path: Path) -> scores.Plain:
        raise AssertionError("the score is read again")

    monkeypatch.setattr(scores, "_read_in_worker", never)
    assert read_score(SCORE, cache=tmp_path / "cache") == first
    assert read_score(SCORE, name="other.xml", cache=tmp_path / "cache") == first
    with pytest.raises(AssertionError):
        read_score(SCORE + "\n", cache=tmp_path / "cache")


@pytest.mark.parametrize(
    "damage",
    [
        "",
        "{",
        "[]",
        "7",
        '"x"',
        "{}",
        '{"measures": 5, "symbols": [], "notes": []}',
        '{"measures": [], "symbols": [], "notes": []}',
        "\xff",
        '{"measures": [{"number": 1, "at": "1/0", "length": "1", "meter": "4/4"}], "symbols": [], "notes": []}',
        '{"measures": [{"number": 1, "at": "0", "length": "1", "meter": "4/4"}], "symbols": [], "notes": [[]]}',
    ],
)
def test_a_damaged_cache_is_read_anew_and_mended(damage, read_score, tmp_path, monkeypatch, score_cache):
    whole = read_score(SCORE)
    cache = tmp_path / "cache"
    read_score(SCORE, cache=cache)
    (kept,) = (cache / "scores").iterdir()
    good = kept.read_bytes()
    kept.write_bytes(damage.encode("latin-1"))
    monkeypatch.setattr(scores, "_read_in_worker", lambda path: json.loads(good))
    assert read_score(SCORE, cache=cache) == whole
    assert kept.read_bytes() == good
    assert [path.name for path in (cache / "scores").iterdir()] == [kept.name]


# what stands in it


def test_notes_have_their_place_hand_and_ties(read_score):
    start, stop = '<tie type="start"/>', '<tie type="stop"/>'
    read = read_score(
        score(
            ('number="1"', both(note("r") + note("F#5") + note("Bb4", 2, extra=start), note("C3", 4, 2))),
            ('number="2"', both(note("Bb4", 4, extra=stop), note("C2", 4, 2))),
        )
    )
    assert [
        (str(n.pitch), n.at, n.length, n.hand, n.held) for n in sorted(read.notes, key=lambda n: (n.hand, n.at))
    ] == [
        ("C3", 0, 1, "left", False),
        ("C2", 1, 1, "left", False),
        ("F#5", Fraction(1, 4), Fraction(1, 4), "right", False),
        ("Bb4", Fraction(1, 2), Fraction(1, 2), "right", False),
        ("Bb4", 1, 1, "right", True),
    ]


def test_a_pickup_is_measure_0_and_the_next_is_1(read_score):
    read = read_score(
        score(
            ('number="0" implicit="yes"', both(note("G4"), note("r", 1, 2), 1)),
            ('number="1"', both(harmony("C", "major") + note("E4", 4), note("C3", 4, 2))),
        )
    )
    assert [(m.number, m.at, m.length, str(m.meter)) for m in read.measures] == [
        (0, 0, Fraction(1, 4), "4/4"),
        (1, Fraction(1, 4), 1, "4/4"),
    ]
    assert [(symbol.measure, symbol.at) for symbol in read.symbols] == [(1, Fraction(1, 4))]


def test_a_pickup_of_one_quarter_is_the_last_beat(read_score):
    """Common practice: a pickup is counted as the end of a measure that isn't written."""
    read = read_score(
        score(
            ('number="0" implicit="yes"', both(harmony("G", "dominant") + note("G4"), note("r", 1, 2), 1)),
            ('number="1"', both(harmony("C", "major") + note("E4", 4), note("C3", 4, 2))),
        )
    )
    assert [read.beat_at(symbol.at) for symbol in read.symbols] == [(4, Fraction(0)), (1, Fraction(0))]


@pytest.mark.parametrize(
    ("meter", "at", "beat"),
    [
        ((4, 4), Fraction(3, 8), (2, Fraction(1, 8))),
        ((6, 8), Fraction(3, 8), (2, Fraction(0))),
        ((6, 8), Fraction(5, 8), (2, Fraction(1, 4))),
        ((3, 4), Fraction(1, 2), (3, Fraction(0))),
        ((2, 2), Fraction(1, 2), (2, Fraction(0))),
        ((5, 8), Fraction(3, 8), (2, Fraction(0))),
    ],
)
def test_a_place_has_its_beat(meter, at, beat, read_score):
    quarters = Fraction(4 * meter[0], meter[1])
    content = both(note("E4", quarters), note("C3", quarters, 2), quarters)
    read = read_score(score(('number="1"', content), ('number="2"', content), meter=meter))
    assert read.beat_at(at) == beat


def test_every_measure_has_its_meter_from_the_first_on(read_score):
    change = "<attributes><time><beats>3</beats><beat-type>4</beat-type></time></attributes>"
    waltz, slow = both(note("E4", 3), note("C3", 3, 2), 3), both(note("E4", 2), note("C3", 2, 2), 2)
    read = read_score(score(('number="1"', slow), ('number="2"', change + waltz), ('number="3"', waltz), meter=(2, 4)))
    assert [str(measure.meter) for measure in read.measures] == ["2/4", "3/4", "3/4"]


def test_measures_keep_the_numbers_that_the_score_prints(read_score):
    measure = both(note("E4", 4), note("C3", 4, 2))
    read = read_score(score(*((f'number="{number}"', measure) for number in (12, 13, 14))))
    assert [(m.number, m.at) for m in read.measures] == [(12, 0), (13, 1), (14, 2)]
    assert read.measure_at(Fraction(5, 4)).number == 13


def test_a_symbol_stands_once_however_the_score_assigns_it(read_score):
    """A harmony without a staff belongs to the part; it is met once."""
    for staff in (True, False):
        read = read_score(
            score(('number="1"', both(harmony("C", "major", staff=staff) + note("E4", 4), note("C3", 4, 2))))
        )
        assert [(str(symbol.root), symbol.kind, symbol.at) for symbol in read.symbols] == [("C", "major", 0)]


def test_a_symbol_between_notes_stands_where_the_score_puts_it(read_score):
    offset = harmony("C", "major").replace("<staff>", "<offset>8</offset><staff>")
    read = read_score(score(('number="1"', both(offset + note("E4", 4), note("C3", 4, 2)))))
    assert [symbol.at for symbol in read.symbols] == [Fraction(1, 2)]


def test_every_kind_of_musicxml_comes_out_under_its_own_name(read_score):
    """MusicXML 4.0, kind-value; none stands for N.C."""
    kinds = [kind for kind in MUSICXML_KINDS if kind != "other"]
    measures = [
        (f'number="{n}"', both(harmony("C", kind) + note("E4", 4), note("C3", 4, 2))) for n, kind in enumerate(kinds, 1)
    ]
    read = read_score(score(*measures))
    assert [symbol.kind for symbol in read.symbols] == kinds
    assert [symbol.root for symbol in read.symbols] == [None if kind == "none" else Tone("C") for kind in kinds]


@pytest.mark.parametrize("tone", ["Bb", "F#", "Cb", "B#", "Ebb", "F##"])
def test_roots_and_basses_keep_their_spelling(tone, read_score):
    read = read_score(
        score(('number="1"', both(harmony(tone, "minor-seventh", tone) + note("E4", 4), note("C3", 4, 2))))
    )
    assert (read.symbols[0].root, read.symbols[0].bass) == (parse_tone(tone), parse_tone(tone))


def symbol(kind: str, *degrees: tuple[str, int, int], root: str = "C", bass: str = "") -> ScoreSymbol:
    return ScoreSymbol(1, Fraction(0), parse_tone(root), kind, parse_tone(bass) if bass else None, degrees)


@pytest.mark.parametrize(
    ("kind", "degrees", "spelled"),
    [
        ("major", (), "1 3 5"),
        ("major", (("add", 9, 0),), "1 3 5 9"),
        ("major", (("add", 2, 0),), "1 2 3 5"),
        ("major", (("add", 7, 0),), "1 3 5 b7"),
        ("major", (("add", 7, 1),), "1 3 5 7"),
        ("major", (("add", 7, -1),), "1 3 5 bb7"),
        ("dominant", (("add", 9, -1),), "1 3 5 b7 b9"),
        ("dominant", (("add", 9, -1), ("add", 11, 1)), "1 3 5 b7 b9 #11"),
        ("dominant", (("alter", 5, 1),), "1 3 #5 b7"),
        ("dominant", (("alter", 5, -1),), "1 3 b5 b7"),
        ("half-diminished", (("alter", 5, 1),), "1 b3 5 b7"),
        ("dominant-ninth", (("alter", 9, -1),), "1 3 5 b7 b9"),
        ("dominant", (("subtract", 5, 0),), "1 3 b7"),
        ("dominant-13th", (("subtract", 11, 0),), "1 3 5 b7 9 13"),
        ("major", (("subtract", 3, 0),), "1 5"),
        ("suspended-fourth", (("add", 7, 0),), "1 4 5 b7"),
        ("minor", (("add", 7, 1),), "1 b3 5 7"),
        ("major-minor", (), "1 b3 5 7"),
    ],
)
def test_degrees_are_added_altered_and_taken_away_as_musicxml_counts_them(kind, degrees, spelled, glossary):
    """MusicXML 4.0, degree-alter: added degrees count from a dominant chord, altered ones from the kind's own."""
    chord = chord_of(symbol(kind, *degrees), glossary)
    assert chord is not None
    assert " ".join(map(str, chord.degrees)) == spelled


def test_degrees_come_through_the_reader_as_they_stand(read_score, glossary):
    harmonies = harmony("D", "dominant", degrees=((9, -1, "add"), (5, 1, "alter"))) + note("E4", 2)
    harmonies += harmony("E", "dominant-11th", degrees=((3, 0, "subtract"),)) + note("E4", 2)
    read = read_score(score(('number="1"', both(harmonies, note("C3", 4, 2)))))
    assert [" ".join(map(str, chord_of(one, glossary).degrees)) for one in read.symbols] == [
        "1 3 #5 b7 b9",
        "1 5 b7 9 11",
    ]


def test_a_bass_makes_a_slash_and_the_root_as_bass_makes_none(glossary):
    assert chord_of(symbol("major", bass="E"), glossary).slash == Tone("E")
    assert chord_of(symbol("major", bass="C"), glossary).slash is None
    assert chord_of(symbol("major", bass="Gb"), glossary).bass_respelled is None
    assert chord_of(ScoreSymbol(1, Fraction(0), None, "none", None, ()), glossary) is None


def test_a_kind_that_the_glossary_lacks_is_a_fault_that_names_the_measure(in_folder, glossary, score_cache):
    music = SCORE.replace("<kind>minor</kind>", "<kind>other</kind>")
    (in_folder / "small.musicxml").write_text(music)
    (in_folder / "small.yaml").write_text(LESSON)
    with pytest.raises(Faulty) as raised:
        load_lesson(Path("small.yaml"), glossary, score_cache)
    assert [str(fault) for fault in raised.value.faults] == [
        "small.yaml:6:8: the symbol in measure 2: no entry claims the MusicXML kind 'other'; "
        "a chord that the glossary has"
    ]


@pytest.mark.parametrize("change", [(13, 1, "add"), (5, -2, "alter"), (15, 0, "add"), (10, 0, "add"), (9, 3, "add")])
def test_a_degree_that_does_not_exist_is_a_fault_and_no_accident_later(change, in_folder, glossary, score_cache):
    music = score(('number="1"', both(harmony("C", "dominant", degrees=(change,)) + note("E4", 4), note("C3", 4, 2))))
    (in_folder / "small.musicxml").write_text(music)
    (in_folder / "small.yaml").write_text(LESSON[: LESSON.index("heard")])
    with pytest.raises(Faulty) as raised:
        load_lesson(Path("small.yaml"), glossary, score_cache)
    assert [str(fault).partition(": ")[0] for fault in raised.value.faults] == ["small.yaml:6:8"]
