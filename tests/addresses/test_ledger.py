"""Checks that what has once been published must go on resolving, and that the ledger loses nothing."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from understave.addresses.ledger import Ledger, Now, read_ledger, write_ledger
from understave.addresses.slugs import address_of_entry, chord_places, chord_slug, root_slug
from understave.entries.glossary import Glossary
from understave.entries.kept import load_glossary
from understave.theory.tones import ROOTS

LESSONS = ("first-lesson",)


@pytest.fixture
def small(small_content, write_files) -> Glossary:
    return load_glossary(write_files(small_content))


def ledger_of(text: str, folder: Path) -> Ledger:
    path = folder / "permalinks.yaml"
    path.write_text(text, encoding="utf-8")
    ledger, faults = read_ledger(path)
    assert faults == []
    assert ledger is not None
    return ledger


def faults_of(text: str, folder: Path, glossary: Glossary) -> list[str]:
    return [str(fault) for fault in sorted(ledger_of(text, folder).faults(Now(glossary, LESSONS)))]


def test_pages_that_are_not_listed_yet_are_no_fault(small, in_folder):
    assert faults_of("entries: {}\n", in_folder, small) == []
    assert faults_of("entries:\n  major: roots-and-inversions\n", in_folder, small) == []


def test_an_extent_tells_how_many_pages_an_entry_has(small):
    assert Now(small, LESSONS).extents == {
        "major": "roots-and-inversions",
        "minor": "roots-and-inversions",
        "added-ninth": "roots",
        "first-inversion": "one-page",
        "e-and-a": "one-page",
        "kodaly": "one-page",
        "quarter-notes": "one-page",
        "measure": "one-page",
        "first-lesson": "one-page",
    }


def test_a_listed_entry_that_is_gone_is_a_fault_that_says_how_to_redirect_it(small, in_folder):
    assert faults_of("entries:\n  major: roots-and-inversions\n  measures: one-page\n", in_folder, small) == [
        "permalinks.yaml:3:3: the published entry 'measures' is gone; the entry, or a redirect from its old address; "
        "add under redirects: '/terms/measures/: /terms/measure/'"
    ]


def test_an_entry_that_resembles_none_says_what_to_fill_in(small, in_folder):
    (fault,) = faults_of("entries:\n  zzz: one-page\n", in_folder, small)
    assert fault.endswith("add under redirects: '/FOLDER/zzz/: /FOLDER/THE-NEW-ID/'")


def test_doing_what_the_fault_says_mends_it(small, in_folder):
    text = "entries:\n  measures: one-page\n"
    (fault,) = faults_of(text, in_folder, small)
    line = re.search(r"add under redirects: '(.*)'", fault)
    assert line
    assert faults_of(f"{text}redirects:\n  {line[1]}\n", in_folder, small) == []


def test_a_lesson_that_is_gone_is_a_fault_too(small, in_folder):
    assert faults_of("entries:\n  first-lesson: one-page\n", in_folder, small) == []
    (fault,) = faults_of("entries:\n  second-lesson: one-page\n", in_folder, small)
    assert fault.startswith("permalinks.yaml:2:3: the published entry 'second-lesson' is gone")


@pytest.mark.parametrize(
    ("name", "listed", "now"),
    [
        ("added-ninth", "roots-and-inversions", "roots"),
        ("measure", "roots", "one-page"),
        ("measure", "roots-and-inversions", "one-page"),
    ],
)
def test_an_entry_with_fewer_pages_than_published_is_a_fault(name, listed, now, small, in_folder):
    column = 5 + len(name)
    text = f"entries:\n  {name}: {listed}\n"
    [fault] = faults_of(text, in_folder, small)
    assert fault.startswith(
        f"permalinks.yaml:2:{column}: '{name}' now has {now}; the published {listed}, or redirects from the pages that "
        f"are lost; add under redirects: '/*-{name}"
    )
    ledger = ledger_of(text, in_folder)
    proposed = ledger.proposed(Now(small, LESSONS))
    lines = "".join(f"  {old}: {new}\n" for old, new in proposed.items())
    assert faults_of(f"{text}redirects:\n{lines}", in_folder, small) == []


def test_an_entry_with_more_pages_than_published_is_no_fault_and_is_listed_anew(small, in_folder):
    text = "entries:\n  major: one-page\n"
    assert faults_of(text, in_folder, small) == []
    assert ledger_of(text, in_folder).unlisted(Now(small, LESSONS))["major"] == "roots-and-inversions"


def test_a_redirect_to_nowhere_names_the_nearest_address(small, in_folder):
    text = "entries:\n  bar: one-page\nredirects:\n  /terms/bar/: /terms/mesure/\n"
    assert faults_of(text, in_folder, small) == [
        "permalinks.yaml:4:16: a redirect to '/terms/mesure/'; an address that exists; nearest: '/terms/measure/'"
    ]


@pytest.mark.parametrize(
    "old", ["/terms/measure/", "terms/bar/", "/terms/bar", "/bar/", "https://x.example/bar/", "/../bar/", "/terms/../"]
)
def test_a_redirect_from_no_old_address_is_a_fault(old, small, in_folder):
    text = f'entries: {{}}\nredirects:\n  "{old}": /terms/measure/\n'
    assert faults_of(text, in_folder, small) == [
        f"permalinks.yaml:3:3: a redirect from {old!r}; an old address such as /terms/bar/"
    ]


def test_a_redirect_of_one_page_resolves(small, in_folder):
    ledger = ledger_of("entries:\n  bar: one-page\nredirects:\n  /terms/bar/: /terms/measure/\n", in_folder)
    assert ledger.redirected(small) == {"/terms/bar/": "/terms/measure/"}


def test_a_redirect_of_a_chord_takes_every_root_and_inversion_with_it(small, in_folder):
    text = "entries:\n  maj: roots-and-inversions\nredirects:\n  /chord-symbols/maj/: /chord-symbols/major/\n"
    table = ledger_of(text, in_folder).redirected(small)
    assert len(table) == 1 + 21 * 4
    assert table["/a-flat-maj/"] == "/a-flat-major/"
    assert table["/c-maj-second-inversion/"] == "/c-major-second-inversion/"
    assert table["/c-maj-third-inversion/"] == "/c-major/"
    answered = {f"/{chord_slug(place)}/" for place in chord_places(small)}
    answered |= {address_of_entry(name, entry) for name, entry in small.entries.items()}
    assert set(table.values()) <= answered


def test_a_redirect_of_a_chord_to_an_entry_without_roots_leads_to_its_one_page(small, in_folder):
    text = "entries:\n  maj: roots\nredirects:\n  /chord-symbols/maj/: /terms/measure/\n"
    table = ledger_of(text, in_folder).redirected(small)
    assert len(table) == 1 + 21
    assert set(table.values()) == {"/terms/measure/"}


def test_what_moved_twice_leads_to_the_end(small, in_folder):
    text = """\
entries:
  tact: one-page
  bar: one-page
  maj: roots-and-inversions
  dur: roots-and-inversions
redirects:
  /terms/tact/: /terms/bar/
  /terms/bar/: /terms/measure/
  /chord-symbols/dur/: /chord-symbols/maj/
  /chord-symbols/maj/: /chord-symbols/major/
"""
    assert faults_of(text, in_folder, small) == []
    table = ledger_of(text, in_folder).redirected(small)
    assert table["/terms/tact/"] == table["/terms/bar/"] == "/terms/measure/"
    assert table["/chord-symbols/dur/"] == "/chord-symbols/major/"
    assert table["/a-flat-dur-first-inversion/"] == "/a-flat-major-first-inversion/"
    assert table["/a-flat-dur-third-inversion/"] == "/a-flat-major/"
    assert set(table.values()) <= Now(small, LESSONS).addresses


@pytest.mark.parametrize("names", [("a1",), ("a1", "a2"), ("a1", "a2", "a3")])
def test_redirects_in_a_circle_are_faults(names, small, in_folder):
    lines = [
        f"  /terms/{name}/: /terms/{next_one}/" for name, next_one in zip(names, (*names[1:], names[0]), strict=True)
    ]
    text = "\n".join(["entries: {}", "redirects:", *lines, f"  /terms/b/: /terms/{names[0]}/", ""])
    faults = faults_of(text, in_folder, small)
    assert len(faults) == len(names) + 1
    assert all("which leads back to it; an address that exists at the end" in fault for fault in faults)


def test_a_long_chain_takes_time_in_proportion(small, in_folder):
    """Every page of a chain of 3,000 leads to its end, found in one walk."""
    count = 3000
    lines = [f"  /terms/t{number}/: /terms/t{number + 1}/\n" for number in range(count)]
    text = f"redirects:\n{''.join(lines)}  /terms/t{count}/: /terms/measure/\n"
    table = ledger_of(text, in_folder).redirected(small)
    assert set(table.values()) == {"/terms/measure/"}
    assert len(table) == count + 1


def test_a_star_stands_for_each_root(small, in_folder):
    lines = ("/*-added-ninth-first-inversion/: /*-added-ninth/", "/g-sharp-moll/: /a-flat-minor/")
    text = "\n  ".join(("entries: {}\nredirects:", *lines)) + "\n"
    assert faults_of(text, in_folder, small) == []
    table = ledger_of(text, in_folder).redirected(small)
    assert len(table) == 22
    assert table["/f-sharp-added-ninth-first-inversion/"] == "/f-sharp-added-ninth/"
    assert table["/g-sharp-moll/"] == "/a-flat-minor/"


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("/*-minor/: /*-major/", "a redirect from '/*-minor/'"),
        ("/c-minor/: /c-major/", "a redirect from '/c-minor/'"),
        ("/*-moll/: /*-minr/", "a redirect to '/*-minr/'"),
        ("/h-moll/: /c-minor/", "a redirect from '/h-moll/'"),
        ("/c-moll/: /*-minor/", "a redirect to '/*-minor/'"),
    ],
)
def test_a_redirect_under_roots_that_does_not_fit_is_a_fault(line, said, small, in_folder):
    [fault] = faults_of(f"entries: {{}}\nredirects:\n  {line}\n", in_folder, small)
    assert said in fault


def test_what_is_gone_is_proposed_to_lead_to_what_is_new_and_alike(small, in_folder):
    def proposed(text: str) -> dict[str, str]:
        return ledger_of(text, in_folder).proposed(Now(small, LESSONS, ("pickups",)))

    others = "".join(
        f"  {name}: {extent}\n"
        for name, extent in Now(small, LESSONS, ("pickups",)).extents.items()
        if name not in ("measure", "minor", "guides/pickups", "first-lesson")
    )
    # one new entry with as many pages, however unlike
    assert proposed(f"entries:\n{others}  moll: roots-and-inversions\n") == {
        "/chord-symbols/moll/": "/chord-symbols/minor/"
    }
    assert proposed(f"entries:\n{others}  guides/pickup: one-page\n") == {"/guides/pickup/": "/guides/pickups/"}
    assert proposed(f"entries:\n{others}  first-lessons: one-page\n") == {
        "/lessons/first-lessons/": "/lessons/first-lesson/"
    }
    # three new ones, and none is alike
    assert proposed(f"entries:\n{others}  zzz: one-page\n") == {}


def test_an_entry_that_is_broken_is_not_gone(small, in_folder):
    ledger = ledger_of("entries:\n  bar: one-page\nredirects:\n  /terms/b1/: /terms/bar/\n", in_folder)
    assert [fault.line for fault in ledger.faults(Now(small))] == [2, 4]
    assert ledger.faults(Now(small, broken={"bar": "/terms/bar/"})) == []


def test_the_letters_of_addresses_are_there_for_ever():
    """Addresses were once made of these 21 letters, and nothing in a ledger names them."""
    slugs = {root_slug(root) for root in ROOTS}
    assert slugs >= {f"{letter}{sign}" for letter in "abcdefg" for sign in ("", "-flat", "-sharp")}


def test_writing_adds_what_is_new_and_keeps_what_stands(small, in_folder):
    text = "entries:\n  bar: one-page\n  major: roots-and-inversions\nredirects:\n  /terms/bar/: /terms/measure/\n"
    ledger = ledger_of(text, in_folder)
    write_ledger(in_folder / "permalinks.yaml", ledger, ledger.unlisted(Now(small, LESSONS)))
    again, faults = read_ledger(in_folder / "permalinks.yaml")
    assert faults == []
    assert again is not None
    assert again.file.redirects == {"/terms/bar/": "/terms/measure/"}
    assert dict(again.file.entries) == {"bar": "one-page", **Now(small, LESSONS).extents}
    assert again.unlisted(Now(small, LESSONS)) == {}
    assert again.faults(Now(small, LESSONS)) == []


def test_writing_twice_gives_the_same_bytes(small, in_folder):
    path = in_folder / "permalinks.yaml"
    ledger = ledger_of("entries: {}\n", in_folder)
    write_ledger(path, ledger, ledger.unlisted(Now(small, LESSONS)))
    first = path.read_bytes()
    again, _ = read_ledger(path)
    assert again is not None
    write_ledger(path, again, again.unlisted(Now(small, LESSONS)))
    assert path.read_bytes() == first


def test_writing_keeps_the_comments_of_the_people_who_wrote_them(small, in_folder):
    ledger = ledger_of(
        "entries:\n  bar: one-page  # renamed in spring\nredirects:\n  /terms/bar/: /terms/measure/\n", in_folder
    )
    write_ledger(in_folder / "permalinks.yaml", ledger, {})
    assert "renamed in spring" in (in_folder / "permalinks.yaml").read_text()


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("entries:\n  major: many\n", "permalinks.yaml:2:10: 'many'; one of one-page, roots, roots-and-inversions"),
        ("entries: [major]\n", "permalinks.yaml:1:10: "),
        ("entrys: {}\n", "permalinks.yaml:1:1: the key 'entrys'; one of entries, redirects; nearest: 'entries'"),
        ("entries:\n  a: roots\n  a: roots\n", "permalinks.yaml:3:3: the key 'a' a second time; each key once"),
        ("entries: *all\n", "permalinks.yaml:1:10: an alias *all; the value written out"),
    ],
)
def test_a_ledger_that_does_not_read_is_a_fault_with_its_place(text, fault, in_folder):
    (in_folder / "permalinks.yaml").write_text(text)
    ledger, faults = read_ledger(Path("permalinks.yaml"))
    assert ledger is None
    assert len(faults) == 1
    assert str(faults[0]).startswith(fault)


def test_a_ledger_that_is_not_there_yet_is_empty(in_folder):
    ledger, faults = read_ledger(Path("permalinks.yaml"))
    assert faults == []
    assert ledger is not None
    assert ledger.file.entries == {}


def test_the_committed_ledger_lists_every_page(glossary, lanternfield):
    ledger = lanternfield.ledger
    assert ledger.unlisted(lanternfield.now) == {}
    assert ledger.faults(lanternfield.now) == []
    assert set(ledger.file.entries) >= set(glossary.entries) | set(lanternfield.lessons)
    assert len(ROOTS) == 21


def test_the_committed_ledger_is_as_check_would_write_it(lanternfield, repository, tmp_path):
    path = repository / "site_examples" / "lanternfield" / "permalinks.yaml"
    write_ledger(tmp_path / "permalinks.yaml", lanternfield.ledger, {})
    assert (tmp_path / "permalinks.yaml").read_text("utf-8") == path.read_text("utf-8")
