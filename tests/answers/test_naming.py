"""The command `name`: JSON as its contract says, text a teacher could read out, one line for bad input."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from understave.cli import main


def run(*words: str) -> tuple[int, str, str]:
    result = CliRunner().invoke(main, ["name", *words])
    return result.exit_code, result.stdout, result.stderr


def test_json_of_both_hands() -> None:
    status, out, _ = run("G2 D3 | F4 A4 Bb4", "--json")
    value = json.loads(out)
    best = value["namings"][0]
    assert status == 0
    assert list(value) == ["namings", "left_alone", "right_alone"]
    assert list(best) == [
        "symbol",
        "root",
        "bass",
        "chord",
        "tones",
        "inversion",
        "missing",
        "extra",
        "left",
        "right",
        "why",
    ]
    assert (best["symbol"], best["root"], best["bass"], best["chord"]) == ("Gm9", "G", "G", "minor-ninth")
    assert best["left"] == [["G2", "1"], ["D3", "5"]]
    assert best["right"] == [["F4", "b7"], ["A4", "9"], ["Bb4", "b3"]]
    assert value["left_alone"][0]["symbol"] == "G5"


def test_without_a_bar_all_notes_stand_in_the_right_hand() -> None:
    value = json.loads(run("C3 E3 G3", "--json")[1])
    assert value["namings"][0]["left"] == []
    assert value["left_alone"] == []


def test_text_says_what_the_left_hand_alone_leaves_open() -> None:
    _, out, _ = run("G2 D3 | F4 A4 Bb4")
    assert out.startswith("Gm9: ")
    assert "The left hand alone suggests G5: a root and its 5th: no 3rd, so neither major nor minor." in out


@pytest.mark.parametrize(
    ("notes", "said"),
    [
        # neither note of the left hand is the chord's name: the answer to "why is it F here?"
        ("A2 E3 | C4 F4", ["Only the right hand holds F4 (root).", "This is the first inversion.",
                           "Figured bass writes 6 5. The lowest note decides the inversion"]),
        ("G2 D3 | F4 A4 Bb4", ["Only the right hand holds B♭4 (♭3rd)."]),
        ("G2 D3 | G4 C5", ["Only the right hand holds C5 (4th)."]),
        ("E3 G3 | C4", ["Only the right hand holds C4 (root).", "This is the first inversion. Figured bass writes 6."]),
        ("G2 | F4 A4 C5", ["Only the right hand holds F4 (root) and A4 (3rd).", "All together it sounds like G9sus4."]),
        ("Bb2 | C4 E4 G4", ["All together these are the notes of C7, third inversion."]),
    ],
)  # fmt: skip
def test_text_says_which_hand_holds_root_and_third_and_what_the_lowest_note_decides(
    notes: str, said: list[str]
) -> None:
    # common practice: both hands make the chord, the lowest note of either its inversion
    _, out, _ = run(notes)
    for words in said:
        assert words in out


def test_text_of_a_left_hand_with_root_and_third_says_nothing_of_the_right() -> None:
    _, out, _ = run("C3 E3 | G4 C5")
    assert "Only the right hand" not in out
    assert "inversion" not in out


@pytest.mark.parametrize("notes", ["C#######4 E4 G4", "C4 Ebbbbb4 G4", "Cbb2 | F###4 A##4", "B#######3 D#######4 F4"])
def test_any_accidentals_can_be_told(notes: str) -> None:
    status, out, err = run(notes)
    assert (status, err) == (0, "")
    assert out


@pytest.mark.parametrize("notes", ["", "|", "H9", "C44", "C3 | E3 | G3", "C4 " * 200])
def test_what_holds_no_notes_is_one_line(notes: str) -> None:
    status, out, err = run(notes)
    assert status == 2
    assert out == ""
    assert len(err.splitlines()) == 1


def span(name: str, length: str, *notes: tuple[str, int]) -> dict[str, object]:
    played = [{"pitch": pitch, "onset": "0", "duration": length, "part": part} for pitch, part in notes]
    return {"id": name, "notes": played}


SPANS = [
    span("x#1", "1/2", ("G4", 0), ("E4", 1), ("C3", 2)),
    span("x#2", "1/2", ("F4", 0), ("D4", 1), ("B2", 2), ("G2", 2)),
    span("x#3", "1", ("E4", 0), ("C4", 1), ("C3", 2)),
]


def test_spans_are_named_a_line_each(tmp_path: Path) -> None:
    file = tmp_path / "spans.jsonl"
    file.write_text("\n".join(map(json.dumps, SPANS)) + "\n")
    status, out, _ = run("--spans", str(file), "--json")
    items = [json.loads(line) for line in out.splitlines()]
    assert status == 0
    assert [item["id"] for item in items] == ["x#1", "x#2", "x#3"]
    # common practice: tonic, dominant seventh, tonic
    assert [item["namings"][0]["symbol"] for item in items] == ["C", "G7", "C"]
    assert items[1]["namings"][0]["right"] == [["F4", "b7"]]
    assert items[1]["namings"][0]["left"] == [["G2", "1"], ["B2", "3"], ["D4", "5"]]


def test_a_span_that_does_not_read_carries_its_error_and_the_rest_goes_on(tmp_path: Path) -> None:
    file = tmp_path / "spans.jsonl"
    file.write_text(
        json.dumps(SPANS[0]) + '\n{"id": "x#2", "notes": [{"pitch": "H4"}]}\n' + json.dumps(SPANS[2]) + "\n"
    )
    status, out, err = run("--spans", str(file), "--json")
    items = [json.loads(line) for line in out.splitlines()]
    assert status == 2
    assert ["error" in item for item in items] == [False, True, False]
    assert len(err.splitlines()) == 1


@pytest.mark.parametrize("length", ['"1e99999999"', '"-1/8"', "-1", '"1/0"', '"nan"', "NaN", "[]", '"1/8/8"'])
def test_a_length_that_is_no_fraction_is_an_error(tmp_path: Path, length: str) -> None:
    file = tmp_path / "spans.jsonl"
    line = json.dumps(SPANS[0])
    file.write_text(f'{line}\n{{"id":"x#2","notes":[{{"pitch":"C4","onset":"0","duration":{length},"part":0}}]}}\n')
    status, out, err = run("--spans", str(file), "--json")
    assert status == 2
    assert ["error" in json.loads(item) for item in out.splitlines()] == [False, True]
    assert len(err.splitlines()) == 1


def test_notes_or_spans_and_not_both() -> None:
    assert run()[0] == 2


def test_every_guess_of_a_span_can_be_printed(tmp_path: Path) -> None:
    """A German sixth in C minor (common practice): its root is the analysts', its symbol the one on its keys."""
    file = tmp_path / "spans.jsonl"
    sixth = span("y#2", "1", ("F#4", 0), ("Eb4", 1), ("C4", 1), ("Ab2", 2))
    others = [
        span("y#1", "1", ("G4", 0), ("Eb4", 1), ("C3", 2)),
        span("y#3", "1", ("G4", 0), ("D4", 1), ("B3", 1), ("G2", 2)),
    ]
    file.write_text("\n".join(json.dumps(item) for item in (others[0], sixth, others[1])))
    status, out, _ = run("--spans", str(file), "--json")
    items = [json.loads(line) for line in out.splitlines()]
    assert status == 0
    best = items[1]["namings"][0]
    assert (best["symbol"], best["chord"], best["root"], best["bass"]) == ("Ab7", "dominant-seventh", "F#", "Ab")
    assert best["tones"] == ["F#", "Ab", "C", "Eb"]
    assert (best["missing"], best["extra"]) == ([], [])
    assert best["left"] == [["Ab2", "bb3"], ["C4", "b5"], ["Eb4", "bb7"]]
    assert "from F♯" in best["why"]
    assert "A♭7" in best["why"]


@pytest.mark.parametrize(
    ("tune", "role"),
    [
        ([("C5", "0", "1/4"), ("D5", "1/4", "1/8"), ("E5", "3/8", "1/8"), ("G5", "1/2", "1/2")], "passing"),
        ([("E5", "0", "1/4"), ("D5", "1/4", "1/8"), ("E5", "3/8", "5/8")], "neighbor"),
        ([("G5", "0", "1/2"), ("D5", "1/2", "1/8"), ("G5", "5/8", "3/8")], "unexplained"),
    ],
)
def test_extra_notes_of_spans_say_what_they_do(tune: list[tuple[str, str, str]], role: str, tmp_path: Path) -> None:
    """Common practice: a passing note goes on, a neighbor comes back, both by step."""
    held = [{"pitch": pitch, "onset": "0", "duration": "1", "part": 1} for pitch in ("C3", "G3", "E4")]
    moving = [{"pitch": pitch, "onset": onset, "duration": length, "part": 0} for pitch, onset, length in tune]
    file = tmp_path / "spans.jsonl"
    file.write_text(json.dumps({"id": "x#1", "notes": held + moving}) + "\n")
    status, out, _ = run("--spans", str(file), "--json")
    best = json.loads(out)["namings"][0]
    assert (status, best["symbol"]) == (0, "C")
    assert best["extra"] == [{"pitch": "D5", "degree": "2", "as": role}]


def test_a_note_repeated_from_the_span_before_that_steps_down_is_a_suspension(tmp_path: Path) -> None:
    spans = [
        span("x#1", "1", ("F5", 0), ("A4", 0), ("C4", 1), ("F3", 1)),
        {
            "id": "x#2",
            "notes": [{"pitch": p, "onset": "0", "duration": "1", "part": 1} for p in ("C3", "G3", "C4")]
            + [{"pitch": "F5", "onset": "0", "duration": "1/4", "part": 0}]
            + [{"pitch": "E5", "onset": "1/4", "duration": "3/4", "part": 0}],
        },
    ]
    file = tmp_path / "spans.jsonl"
    file.write_text("\n".join(map(json.dumps, spans)) + "\n")
    second = json.loads(run("--spans", str(file), "--json")[1].splitlines()[1])["namings"][0]
    assert second["symbol"] == "C"
    assert second["extra"] == [{"pitch": "F5", "degree": "4", "as": "suspension"}]
