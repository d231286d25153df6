"""A chord while its symbol is being read: what each token of the grammar does to it."""

from __future__ import annotations

from dataclasses import dataclass

from understave.theory.grammar import ALTERED, QUALITIES, STACKS
from understave.theory.tones import DEGREES, Degree, parse_degree

BITS = {text: 1 << place for place, text in enumerate(DEGREES)}
"""The bit of each degree in a set of degrees; DEGREES stand from the root upwards."""

OF_NUMBER = {
    text: sum(bit for other, bit in BITS.items() if other.strip("#b") == text) for text in DEGREES if text.isdigit()
}
"""By the number of a degree: the bits of all its sizes."""

_DEGREES = tuple((bit, parse_degree(text)) for text, bit in BITS.items())


class Refused(ValueError):
    """A token may not do here what it does elsewhere; the argument is the id of what was wanted instead."""


@dataclass(slots=True)
class Draft:
    """What has been read so far. Each public method is an action of the grammar and takes the token's value.

    Sets of degrees are kept as BITS.
    """

    quality: str = "major"
    implied: int = 0
    """Degrees that a number stacks up without naming them."""
    written: int = 0
    """Degrees that stand in the symbol."""
    left_out: int = 0
    suspensions: int = 0
    suspended: bool = False
    major_seventh: bool = False
    has_seventh: bool = False
    power: bool = False
    number: str = ""
    """The last number read."""
    held: str = ""
    """A sign that waits for its number."""
    loose: bool = False
    """Whether a gap has been read: a plain number may follow."""
    depth: int = 0
    bare_five: bool = False
    """Whether a 5 has been read that says nothing unless a sign follows: C7(5+)."""
    remark: str = ""
    """The id of a reason that the reading gives."""

    def degrees(self) -> tuple[Degree, ...]:
        """Return the degrees of what has been read, from the root upwards."""
        bits = self._bits()
        return tuple([degree for bit, degree in _DEGREES if bits & bit])

    def _bits(self) -> int:
        """Return what has been read; a written degree takes the place of an implied one of its number."""
        quality = QUALITIES[self.quality]
        implied = BITS["1"] | BITS[quality.fifth] | self.implied
        if not (self.suspended or self.power):
            implied |= BITS[quality.third]
        written = self.written
        if self.suspended:
            implied &= ~OF_NUMBER["11"]
            written |= self.suspensions or BITS["4"]
            if written & BITS["2"]:  # the ninth of 9sus2 is the suspended second
                written &= ~BITS["9"]
        if self.has_seventh or quality.sounds:
            written |= BITS["7" if self.major_seventh else quality.seventh]
        for sizes in OF_NUMBER.values():
            if written & sizes:
                implied &= ~sizes
        return (written | implied) & ~self.left_out

    def write(self, text: str) -> None:
        """Put a degree that stands in the symbol.

        Raises Refused for a degree that doesn't exist and where the symbol states its number in two sizes; only a
        lowered and a raised fifth or ninth may stand together.
        """
        if text not in BITS:
            raise Refused("degree")
        bit, number = BITS[text], text.strip("#b")
        if bit & self.left_out:
            raise Refused("clash")
        stated = self.written & OF_NUMBER[number] | bit
        both_altered = number in ("5", "9") and not stated & BITS[number]
        if stated != bit and not both_altered:
            raise Refused("clash")
        self.written |= bit

    def pass_over(self, value: str) -> None:
        """A word or gap that changes nothing."""

    def refuse(self, value: str) -> None:
        """A token that never fits here."""
        raise Refused("quality")

    def take_quality(self, value: str) -> None:
        """m, dim, aug, ø, Δ right after the root."""
        self.quality = value
        self.major_seventh = value == "triangle"
        if QUALITIES[value].fifth != "5":
            self.write(QUALITIES[value].fifth)

    def take_minor(self, value: str) -> None:
        """The m of madd9."""
        self.take_quality("minor")

    def take_mark(self, value: str) -> None:
        """A + or - right after the root."""
        self.take_quality("augmented" if value == "#" else "minor")

    def take_triangle(self, value: str) -> None:
        """The Δ of -Δ7; no other quality may follow a quality."""
        if value != "triangle" or QUALITIES[self.quality].sounds:
            raise Refused("number")
        self.major_seventh = self.has_seventh = True

    def take_major(self, value: str) -> None:
        """Maj after the root or a quality: the seventh to come is major."""
        if QUALITIES[self.quality].sounds or self.major_seventh:
            raise Refused("number")
        self.major_seventh = True

    def raise_seventh(self, value: str) -> None:
        """Maj further on: makes the seventh major, now (7M) or when its number comes (m(maj7))."""
        if QUALITIES[self.quality].sounds:
            raise Refused("clash")
        self.major_seventh = True

    def extend(self, value: str) -> None:
        """The number after the root or its quality: 7 to 13 stack, the others add themselves."""
        self.number = value
        if value in STACKS:
            self.has_seventh = True
            for text in STACKS[value]:
                self.implied |= BITS[text]
            if value != "7":
                self.write(value)
        elif value in ("69", "24"):
            for digit in value:
                self.write(digit)
        elif value == "5" and self.quality == "major" and not self.major_seventh:
            self.power = True
        elif value == "4" and self.quality == "major" and not self.major_seventh:
            self.suspended = True
            self.suspensions |= BITS["4"]
        elif value in ("2", "4", "6"):
            self.write(value)
        elif value != "5":
            raise Refused("number")

    def extend_major(self, value: str) -> None:
        """The number after a late maj: m(maj9) stacks; after 7M it adds only itself."""
        if self.has_seventh:
            self.loose = True
            self.add_plain(value)
        elif value in STACKS:
            self.extend(value)
        else:
            raise Refused("number")

    def add_plain(self, value: str) -> None:
        """A number in brackets or after a gap: it adds only itself."""
        if not (self.loose or self.depth):
            raise Refused("sign-or-word")
        self.loose = False
        self.number = value
        if value == "7":
            self._take_seventh()
        elif value == "5":
            self.bare_five = True
        elif value == "3" or value not in DEGREES:
            raise Refused("number")
        else:
            self.write(value)

    def add_after_slash(self, value: str) -> None:
        """A number after a slash adds that degree; a 4 over a seventh suspends."""
        self.loose = True
        if value == "4" and self.has_seventh:
            self.suspended = True
            self.suspensions |= BITS["4"]
        else:
            self.add_plain(value)

    def _take_seventh(self) -> None:
        if self.has_seventh:
            raise Refused("clash")
        self.has_seventh = True

    def hold(self, value: str) -> None:
        """# or b: waits for its number."""
        if self.held:
            raise Refused("number")
        self.held = value

    def _release(self) -> str:
        held, self.held = self.held, ""
        return held

    def alter(self, value: str) -> None:
        """A number after its sign."""
        self.number, self.loose = value, False
        held = self._release()
        if value == "7":
            self._take_seventh()
            self.major_seventh = held == "#"
        elif value in ("3", "69", "24"):
            raise Refused("degree")
        else:
            self.write(held + value)

    def alter_last(self, value: str = "") -> None:
        """A sign with no number after it alters the number before: C5+, Am7/5-, C9-."""
        if self.number not in ("5", "9", "11", "13"):
            raise Refused("number")
        self.power = self.bare_five = False
        self.written &= ~OF_NUMBER[self.number]
        self.write(self._release() + self.number)

    def alter_last_and_close(self, value: str) -> None:
        """The bracket after such a sign."""
        self.alter_last()
        self.close(value)

    def alter_last_and_open(self, value: str) -> None:
        """A bracket opened after such a sign."""
        self.alter_last()
        self.open(value)

    def add(self, value: str) -> None:
        """A number after add."""
        held = self._release()
        for number in value if value in ("69", "24") else (value,):
            if number == "7":
                self._take_seventh()
                self.write("7" if self.major_seventh else QUALITIES[self.quality].seventh)
            elif number == "3" and not (self.suspended or self.power):
                raise Refused("clash")
            else:
                self.write(held + number)
        self.number = value

    def leave_out(self, value: str) -> None:
        """A number after no or omit."""
        present = self._bits() | (BITS["3"] if self.suspended or self.power else 0)
        if value == "1" or not present & OF_NUMBER.get(value, 0):
            raise Refused("degree-present")
        self.left_out |= OF_NUMBER[value]

    def suspend(self, value: str) -> None:
        """sus: the third gives way, to the fourth unless a 2 follows."""
        if self.quality not in ("major", "minor"):
            raise Refused("no-suspension")
        if self.quality == "minor":
            self.remark = "minor-suspends"
        self.suspended = True

    def suspend_by(self, value: str) -> None:
        """The number after sus: 2, 4 or both; 7 to 13 there extend (sus7 is 7sus4)."""
        if value in ("2", "4", "24"):
            for digit in value:
                self.suspensions |= BITS[digit]
            self.number = value
        elif value in STACKS and not self.has_seventh:
            self.suspensions |= BITS["4"]
            self.extend(value)
        else:
            raise Refused("two-or-four")

    def alter_freely(self, value: str) -> None:
        """alt: the altered dominant."""
        if self.quality != "major" or self.major_seventh or self.written:
            raise Refused("no-alteration")
        self.has_seventh = True
        self.left_out |= OF_NUMBER["5"]
        for text in ALTERED:
            self.written |= BITS[text]

    def loosen(self, value: str) -> None:
        """A gap or comma: a plain number may follow."""
        self.loose = True

    def open(self, value: str) -> None:
        """An opening bracket."""
        self.depth += 1

    def close(self, value: str) -> None:
        """A closing bracket."""
        if not self.depth:
            raise Refused("no-bracket")
        self.depth -= 1
        self.loose = True

    def finish(self, state: str) -> None:
        """The symbol's end: apply a sign that still waits. Raises Refused if it can't end here."""
        if state == "sign":
            self.alter_last()
        if self.bare_five:
            raise Refused("sign-after-five")
        if self.depth:
            raise Refused("closing-bracket")
