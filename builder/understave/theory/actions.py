"""What the tokens of a chord symbol do to the chord being read, as rows that any reader can walk.

An action of `grammar.STATES` names a list of rules. Every rule whose conditions hold is carried out, in order, on a
draft: a set of registers, each a text (empty: no), the degrees that are ``implied`` and those that are ``written``, and
the numbers left out. Common practice throughout, unless a row of the grammar says whose habit it is.

Conditions: ``name`` (the register holds something), ``!name`` (it is empty), ``name=a,b`` and ``name!=a,b``.
The register ``value`` holds the token's value, ``third``, ``fifth``, ``seventh`` and ``sounds`` what the quality has;
``present`` holds the token's value where the chord so far has a degree of that number.

Steps: ``put REGISTER TEXT`` (the text may be empty), ``become QUALITY``, ``imply``, ``unimply``, ``write``, ``note``
(written without asking whether it may be) and ``alter`` (with the sign that is held) of one degree,
``erase`` (all sizes of a number), ``omit NUMBER``, ``push`` and ``pop REGISTER``, ``refuse REASON``, ``do ACTION``.
A word that begins with $ is what that register holds.
"""

from __future__ import annotations

from typing import NamedTuple


class Rule(NamedTuple):
    """Under the conditions ``when``, parted by spaces, take the steps ``do``, parted by semicolons."""

    when: str
    do: str


ACTIONS: dict[str, tuple[Rule, ...]] = {
    # a word or gap that changes nothing
    "pass_over": (),
    # a token that never fits here
    "refuse": (Rule("", "refuse quality"),),
    # m, dim, aug, ø, Δ right after the root
    "take_quality": (
        Rule("", "become $value"),
        Rule("value=triangle", "put major_seventh yes"),
        Rule("fifth!=5", "write $fifth"),
    ),
    # the m of madd9
    "take_minor": (Rule("", "become minor"),),
    # a + or - right after the root
    "take_mark": (
        Rule("value=#", "become augmented; write $fifth"),
        Rule("value=b", "become minor"),
    ),
    # the Δ of -Δ7; no other quality may follow a quality
    "take_triangle": (
        Rule("value!=triangle", "refuse number"),
        Rule("sounds", "refuse number"),
        Rule("", "put major_seventh yes; put has_seventh yes"),
    ),
    # maj after the root or a quality: the seventh to come is major
    "take_major": (
        Rule("sounds", "refuse number"),
        Rule("major_seventh", "refuse number"),
        Rule("", "put major_seventh yes"),
    ),
    # maj further on: makes the seventh major, now (7M) or when its number comes (m(maj7))
    "raise_seventh": (
        Rule("sounds", "refuse clash"),
        Rule("", "put major_seventh yes"),
    ),
    # the number after the root or its quality: 7 to 13 stack, the others add themselves
    "extend": (
        Rule("", "put number $value"),
        Rule("value=7,9,11,13", "put has_seventh yes"),
        Rule("value=11,13", "imply 9"),
        Rule("value=13", "imply 11"),
        Rule("value=9,11,13,2,6", "write $value"),
        Rule("value=4 quality=major !major_seventh", "put suspended yes; put fourth yes"),
        Rule("value=4 quality=major major_seventh", "write 4"),
        Rule("value=4 quality!=major", "write 4"),
        Rule("value=69", "write 6; write 9"),
        Rule("value=24", "write 2; write 4"),
        Rule("value=5 quality=major !major_seventh", "put power yes"),
        Rule("value=3", "refuse number"),
    ),
    # the number after a late maj: m(maj9) stacks; after 7M it adds only itself; m9(maj7) raises what its 9 implied
    "extend_major": (
        Rule("has_seventh value!=7", "put loose yes; do add_plain"),
        Rule("has_seventh value=7 quality!=minor", "refuse clash"),
        Rule("has_seventh value=7 number!=9,11,13", "refuse clash"),
        Rule("has_seventh value=7", "put number 7; put loose"),
        Rule("!has_seventh value!=7,9,11,13", "refuse number"),
        Rule("!has_seventh", "do extend"),
    ),
    # a number in brackets or after a gap: it adds only itself
    "add_plain": (
        Rule("!loose !depth", "refuse sign-or-word"),
        Rule("", "put loose; put number $value"),
        Rule("value=7", "do take_seventh"),
        Rule("value=5", "put bare_five yes"),
        Rule("value=3,69,24", "refuse number"),
        Rule("value=2,4,6,9,11,13", "write $value"),
    ),
    # a number after a slash adds that degree; a 4 over a seventh suspends
    "add_after_slash": (
        Rule("", "put loose yes"),
        Rule("value=4 has_seventh quality=major,minor", "put suspended yes; put fourth yes"),
        Rule("value=4 has_seventh quality!=major,minor", "do add_plain"),
        Rule("value=4 !has_seventh", "do add_plain"),
        Rule("value!=4", "do add_plain"),
    ),
    "take_seventh": (
        Rule("has_seventh", "refuse clash"),
        Rule("", "put has_seventh yes"),
    ),
    # a sign waits for its number
    "hold": (
        Rule("held", "refuse number"),
        Rule("", "put held $value"),
    ),
    # a number after its sign
    "alter": (
        Rule("", "put number $value; put loose"),
        Rule("value=7", "do take_seventh; put major_seventh"),
        Rule("value=7 held=#", "put major_seventh yes"),
        Rule("value=3,69,24", "refuse degree"),
        Rule("value!=7", "alter $value"),
        Rule("", "put held"),
    ),
    # a sign with no number after it alters the number before: C5+, Am7/5-, C9-
    "alter_last": (
        Rule("number!=5,9,11,13", "refuse number"),
        Rule("", "put power; put bare_five; erase $number; alter $number; put held"),
    ),
    "alter_last_and_close": (Rule("", "do alter_last; do close"),),
    "alter_last_and_open": (Rule("", "do alter_last; do open"),),
    # a number after add
    "add": (
        Rule("value=3 !suspended !power", "refuse clash"),
        Rule("value=7", "do take_seventh"),
        Rule("value=7 held=#", "put major_seventh yes"),
        Rule("value=7 held=b", "put major_seventh"),
        Rule("value=69", "alter 6; alter 9"),
        Rule("value=24", "alter 2; alter 4"),
        Rule("value!=7,69,24", "alter $value"),
        Rule("", "put held; put number $value"),
    ),
    # a number after no or omit
    "leave_out": (
        Rule("!present value!=3", "refuse degree-present"),
        Rule("!present !suspended !power", "refuse degree-present"),
        Rule("", "omit $value"),
    ),
    # sus: the third gives way, to the fourth unless a 2 follows
    "suspend": (
        Rule("quality!=major,minor", "refuse no-suspension"),
        Rule("quality=minor", "put remark minor-suspends"),
        Rule("", "put suspended yes"),
    ),
    # the number after sus: 2, 4 or both; 7 to 13 there extend (sus7 is 7sus4)
    "suspend_by": (
        Rule("value!=2,4,24,7,9,11,13", "refuse two-or-four"),
        Rule("value=7,9,11,13 has_seventh", "refuse two-or-four"),
        Rule("value=7,9,11,13", "put fourth yes; do extend"),
        Rule("value=2,24", "put second yes"),
        Rule("value=4,24", "put fourth yes"),
        Rule("value=2,4,24", "put number $value"),
    ),
    # alt: the altered dominant, one usual choice of it, the player's in the end
    "alter_freely": (
        Rule("quality!=major", "refuse no-alteration"),
        Rule("major_seventh", "refuse no-alteration"),
        Rule("written", "refuse no-alteration"),
        Rule("", "put has_seventh yes; omit 5; note b9; note #9; note b13"),
    ),
    # a gap or comma: a plain number may follow
    "loosen": (Rule("", "put loose yes"),),
    "open": (Rule("", "push depth"),),
    "close": (
        Rule("!depth", "refuse no-bracket"),
        Rule("", "pop depth; put loose yes"),
    ),
    # the symbol's end, the value being the state: apply a sign that still waits
    "finish": (
        Rule("value=sign", "do alter_last"),
        Rule("bare_five", "refuse sign-after-five"),
        Rule("depth", "refuse closing-bracket"),
    ),
    # what has been read so far, all together
    "gather": (
        Rule("", "imply 1; imply $fifth"),
        Rule("!suspended !power", "imply $third"),
        Rule("suspended", "unimply 11"),
        Rule("suspended second", "note 2"),
        Rule("suspended fourth", "note 4"),
        Rule("suspended !second !fourth", "note 4"),
        Rule("has_seventh major_seventh", "note 7"),
        Rule("has_seventh !major_seventh", "note $seventh"),
        Rule("!has_seventh sounds major_seventh", "note 7"),
        Rule("!has_seventh sounds !major_seventh", "note $seventh"),
    ),
}
"""By name, what an action does; `finish` and `gather` are done when the symbol ends."""

IN_TWO_SIZES = ("5", "9")
"""The numbers that may stand lowered and raised at once; any other number in two sizes is a clash."""

GIVES_WAY = (("2", "9"), ("4", "11"))
"""Where no third is left: the ninth of 9sus2 is the suspended second, the eleventh of 11sus4 the suspended fourth."""
