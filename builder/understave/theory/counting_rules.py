"""What counting decides, as rows: what kind a beat is, in how many parts it is counted, and why.

Rows are (when, gives). ``when`` has the names of facts parted by spaces, ! before those that mustn't hold; of a rule's
rows the first that holds decides. The browser counts too: it walks these rows, and theory is written once.

Facts of a beat that its numbers tell: ``whole`` (nothing starts within it), ``thirds`` and ``halves`` (a multiple of
three parts, a power of two, is what its notes need), ``fine`` (more parts than are counted out), ``dotted`` (its length
has three parts of its own), ``group`` (it is a group of small notes in an asymmetric meter), ``even_group`` (their
number is a power of two) and ``fills_group`` (its notes divide them evenly).
"""

from __future__ import annotations

Rows = tuple[tuple[str, str], ...]

MOST_PARTS = 32
"""The finest grid that is counted out: a beat that needs more has a place for each of its notes only."""

BEAT_FACTS: Rows = (
    ("thirds", "in_three"),
    ("whole dotted", "in_three"),
    ("halves !in_three", "in_two"),
    ("in_two !fine", "sets_finest"),
)
"""What else holds of a beat; each row that holds gives a fact, and later rows may ask for it."""

PASSAGE_FACTS: Rows = (
    ("group !whole", "groups_divided"),
    ("in_three dotted !whole", "threes_divided"),
)
"""What holds of a passage if it holds of any of its beats."""

RULES: dict[str, Rows] = {
    # in how many parts a beat is counted: the largest of the amounts that are named
    "parts": (
        ("fine", "none"),
        ("group groups_divided whole each_beat", "group"),
        ("group groups_divided whole even_group", "group finest"),
        ("group groups_divided whole", "group"),
        ("group groups_divided in_two !dotted !each_beat", "needs finest"),
        ("group groups_divided !each_beat", "needs"),
        ("in_two !each_beat", "finest"),
        ("in_three dotted threes_divided !each_beat", "needs three"),
        ("", "needs"),
    ),
    # how a beat is felt: divided in two, in three, or neither
    "feel": (
        ("whole", "0"),
        ("fills_group", "0"),
        ("in_three", "3"),
        ("in_two", "2"),
        ("", "0"),
    ),
    # why: `parts_` tells of the parts that are counted, `wide` that every note is longer than one of them
    "why": (
        ("parts_none", "by-notes"),
        ("parts_one", "whole"),
        ("parts_of_group", "group"),
        ("in_three dotted parts_three", "dotted"),
        ("in_three dotted", "smallest"),
        ("in_three wide", "triplet-grid"),
        ("in_three", "triplet"),
        ("in_two parts_needed", "smallest"),
        ("in_two", "passage"),
        ("", "tuplet"),
    ),
    # what stays the same where the feel changes
    "even": (
        ("same_beat", "beat"),
        ("same_part", "part"),
        ("", "nothing"),
    ),
    # what is said of a place that a system by position counts
    "place_note": (
        ("no_word", "no-word"),
        ("starts", ""),
        ("rests", "rest"),
        ("", "held"),
    ),
    # what is said of a note that a system by value counts
    "value_note": (
        ("rests", "rest"),
        ("held", "held"),
        ("no_word", "no-word"),
        ("", ""),
    ),
}
"""By name, what is decided; amounts of parts are ``needs``, ``group``, ``finest`` (the passage's in two), ``three``."""
