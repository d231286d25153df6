"""A chord while its symbol is being read: the rules of `actions.py`, carried out.

The rules are texts, so that any reader can walk them; here they become functions at first use, and sets of degrees are
kept as bits, one a degree.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache, reduce
from operator import or_

from understave.theory.actions import ACTIONS, GIVES_WAY, IN_TWO_SIZES
from understave.theory.grammar import QUALITIES
from understave.theory.tones import DEGREES, Degree, parse_degree

_DEGREES = tuple(
    (1 << place, degree) for place, degree in enumerate(sorted(map(parse_degree, DEGREES), key=lambda d: d.rank))
)
"""The bit of each degree, from the root upwards."""

BITS = {str(degree): bit for bit, degree in _DEGREES}

OF_NUMBER = {
    number: reduce(or_, (bit for bit, degree in _DEGREES if str(degree.number) == number))
    for number in {str(degree.number) for _, degree in _DEGREES}
}
"""The bits of a number in all its sizes."""


class Refused(ValueError):
    """A token may not do here what it does elsewhere; the argument is the id of what was wanted instead."""


class Draft:
    """What has been read so far. Sets of degrees are kept as BITS."""

    __slots__ = ("implied", "left_out", "registers", "written")

    def __init__(self) -> None:
        self.registers: dict[str, str] = {}
        """What is empty isn't there."""
        self.implied = 0
        """Degrees that a number or the quality brings in without naming them."""
        self.written = 0
        """Degrees that stand in the symbol."""
        self.left_out = 0
        """Degrees of numbers that are left out, in all their sizes."""
        self.become("major")

    @property
    def remark(self) -> str:
        """The id of a reason that the reading gives, or empty."""
        return self.registers.get("remark", "")

    def act(self, action: str, value: str) -> None:
        """Carry out an action with a token's value. Raises Refused where it doesn't fit."""
        for conditions, steps in _rules(action):
            for holds in conditions:
                if not holds(self, value):
                    break
            else:
                for step in steps:
                    step(self, value)

    def degrees(self) -> tuple[Degree, ...]:
        """Return the degrees of what has been read, from the root upwards."""
        bits = self.bits()
        return tuple([degree for bit, degree in _DEGREES if bits & bit])

    def bits(self) -> int:
        """Return what has been read; a written degree takes the place of an implied one of its number."""
        kept = self.implied, self.written
        self.act("gather", "")
        implied, written = self.implied, self.written
        self.implied, self.written = kept
        for sizes in OF_NUMBER.values():
            if written & sizes:
                implied &= ~sizes
        bits = (written | implied) & ~self.left_out
        if not bits & OF_NUMBER["3"]:
            for stays, gives_way in GIVES_WAY:
                if bits & BITS[stays]:
                    bits &= ~BITS[gives_way]
        return bits

    def become(self, quality: str) -> None:
        """Take a quality's third, fifth and seventh."""
        row = QUALITIES[quality]
        self.registers["quality"] = quality
        self.registers["third"] = row.third
        self.registers["fifth"] = row.fifth
        self.registers["seventh"] = row.seventh
        self.registers["sounds"] = "yes" if row.sounds else ""

    def push(self, register: str) -> None:
        """Count one more."""
        self.registers[register] = self.registers.get(register, "") + "|"

    def pop(self, register: str) -> None:
        """Count one less."""
        self.registers[register] = self.registers[register][1:]

    def write(self, degree: str) -> None:
        """Put a degree that stands in the symbol.

        Raises Refused for a degree that doesn't exist and where the symbol states its number in two sizes, unless
        both are altered and the number is one that may stand so.
        """
        bit = BITS.get(degree)
        if bit is None:
            raise Refused("degree")
        number = degree.lstrip("#b")
        stated = self.written & OF_NUMBER[number] | bit
        are_altered = number in IN_TWO_SIZES and not stated & BITS[number]
        if bit & self.left_out or (stated != bit and not are_altered):
            raise Refused("clash")
        self.written |= bit

    def alter(self, number: str) -> None:
        """Write a number with the sign that is held."""
        self.write(self.registers.get("held", "") + number)

    def erase(self, number: str) -> None:
        """Take a number back, in all its sizes."""
        self.written &= ~OF_NUMBER[number]

    def imply(self, degree: str) -> None:
        """Bring a degree in without naming it."""
        self.implied |= BITS[degree]

    def unimply(self, degree: str) -> None:
        """Take such a degree back."""
        self.implied &= ~BITS[degree]

    def note(self, degree: str) -> None:
        """Put a degree without asking whether it may stand there."""
        self.written |= BITS[degree]

    def omit(self, number: str) -> None:
        """Leave a number out, in all its sizes."""
        self.left_out |= OF_NUMBER.get(number, 0)

    def refuse(self, reason: str) -> None:
        """Say that the token doesn't fit."""
        raise Refused(reason)


_STEPS: dict[str, Callable[[Draft, str], None]] = {
    "become": Draft.become,
    "push": Draft.push,
    "pop": Draft.pop,
    "write": Draft.write,
    "alter": Draft.alter,
    "erase": Draft.erase,
    "imply": Draft.imply,
    "unimply": Draft.unimply,
    "note": Draft.note,
    "omit": Draft.omit,
    "refuse": Draft.refuse,
}

_Condition = Callable[[Draft, str], bool]
_Step = Callable[[Draft, str], None]


@lru_cache(maxsize=len(ACTIONS))
def _rules(action: str) -> tuple[tuple[tuple[_Condition, ...], tuple[_Step, ...]], ...]:
    """Return an action's rules as functions of the draft and the token's value."""
    return tuple(
        (tuple(map(_condition, rule.when.split())), tuple(_step(*text.split()) for text in rule.do.split(";")))
        for rule in ACTIONS[action]
    )


def _condition(text: str) -> _Condition:
    name, sign, listed = text.partition("=")
    wanted = "!" not in name
    name = name.strip("!")
    values = tuple(listed.split(","))
    if name == "value":
        return lambda draft, value: (value in values) == wanted
    if name == "written":
        return lambda draft, value: bool(draft.written) == wanted
    if name == "present":
        return lambda draft, value: bool(draft.bits() & OF_NUMBER.get(value, 0)) == wanted
    if sign:
        return lambda draft, value: (draft.registers.get(name, "") in values) == wanted
    return lambda draft, value: bool(draft.registers.get(name)) == wanted


def _step(step: str, word: str, text: str = "") -> _Step:
    """Return one step; a word that begins with $ is what that register holds."""
    if step == "do":
        return lambda draft, value: draft.act(word, value)
    if step == "put":
        if text == "$value":
            return lambda draft, value: draft.registers.__setitem__(word, value)
        return lambda draft, value: draft.registers.__setitem__(word, text)
    do = _STEPS[step]
    if word == "$value":
        return do
    if word.startswith("$"):
        register = word[1:]
        return lambda draft, value: do(draft, draft.registers.get(register, ""))
    return lambda draft, value: do(draft, word)
