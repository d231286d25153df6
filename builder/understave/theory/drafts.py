"""A chord while its symbol is being read: what each token of the grammar does to it."""

from __future__ import annotations

from dataclasses import dataclass, field

from understave.theory.chords import in_order
from understave.theory.grammar import ALTERED, QUALITIES, STACKS
from understave.theory.tones import DEGREES, Degree, parse_degree


class Refused(ValueError):
    """A token may not do here what it does elsewhere; the argument is the id of what was wanted instead."""


@dataclass
class Draft:
    """What has been read so far. Each public method is an action of the grammar and takes the token's value."""

    quality: str = "major"
    implied: set[Degree] = field(default_factory=set)
    """Degrees that a number stacks up without naming them."""
    written: set[Degree] = field(default_factory=set)
    """Degrees that stand in the symbol."""
    left_out: set[int] = field(default_factory=set)
    suspensions: set[str] = field(default_factory=set)
    suspended: bool = False
    major_seventh: bool = False
    has_seventh: bool = False
    power: bool = False
    number: str = ""
    """The last number read."""
    held: int = 0
    """The size of a sign that waits for its number."""
    loose: bool = False
    """Whether a gap has been read: a plain number may follow."""
    depth: int = 0
    bare_five: bool = False
    """Whether a 5 has been read that says nothing unless a sign follows: C7(5+)."""
    remark: str = ""
    """The id of a reason that the reading gives."""

    def degrees(self) -> tuple[Degree, ...]:
        """Return the degrees of what has been read, from the root upwards.

        A written degree takes the place of an implied one of its number.
        """
        quality = QUALITIES[self.quality]
        implied = {parse_degree("1"), parse_degree(quality.fifth), *self.implied}
        if not (self.suspended or self.power):
            implied.add(parse_degree(quality.third))
        written = set(self.written)
        if self.suspended:
            implied = {degree for degree in implied if degree.number != 11}
            written |= {parse_degree(text) for text in self.suspensions or {"4"}}
            if parse_degree("2") in written:  # the ninth of 9sus2 is the suspended second
                written.discard(parse_degree("9"))
        if self.has_seventh or quality.sounds:
            written.add(parse_degree("7" if self.major_seventh else quality.seventh))
        numbers = {degree.number for degree in written}
        degrees = written | {degree for degree in implied if degree.number not in numbers}
        return in_order({degree for degree in degrees if degree.number not in self.left_out})

    def write(self, degree: Degree) -> None:
        """Put a degree that stands in the symbol.

        Raises Refused for a degree that doesn't exist and where the symbol states its number in two sizes; only a
        lowered and a raised fifth or ninth may stand together.
        """
        if str(degree) not in DEGREES:
            raise Refused("degree")
        if degree.number in self.left_out:
            raise Refused("clash")
        others = {other for other in self.written if other.number == degree.number and other != degree}
        both_altered = degree.alteration and all(other.alteration for other in others)
        if others and not (both_altered and degree.number in (5, 9)):
            raise Refused("clash")
        self.written.add(degree)

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
            self.write(parse_degree(QUALITIES[value].fifth))

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
            self.implied |= {parse_degree(text) for text in STACKS[value]}
            if value != "7":
                self.write(parse_degree(value))
        elif value in ("69", "24"):
            for digit in value:
                self.write(parse_degree(digit))
        elif value == "5" and self.quality == "major" and not self.major_seventh:
            self.power = True
        elif value == "4" and self.quality == "major" and not self.major_seventh:
            self.suspended = True
            self.suspensions.add("4")
        elif value in ("2", "4", "6"):
            self.write(parse_degree(value))
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
            self.write(parse_degree(value))

    def add_after_slash(self, value: str) -> None:
        """A number after a slash adds that degree; a 4 over a seventh suspends."""
        self.loose = True
        if value == "4" and self.has_seventh:
            self.suspended = True
            self.suspensions.add("4")
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
        self.held = 1 if value == "#" else -1

    def _release(self) -> int:
        held, self.held = self.held, 0
        return held

    def alter(self, value: str) -> None:
        """A number after its sign."""
        self.number, self.loose = value, False
        held = self._release()
        if value == "7":
            self._take_seventh()
            self.major_seventh = held > 0
        elif value in ("3", "69", "24"):
            raise Refused("degree")
        else:
            self.write(Degree(int(value), held))

    def alter_last(self, value: str = "") -> None:
        """A sign with no number after it alters the number before: C5+, Am7/5-, C9-."""
        if self.number not in ("5", "9", "11", "13"):
            raise Refused("number")
        number = int(self.number)
        self.power = self.bare_five = False
        self.written = {degree for degree in self.written if degree.number != number}
        self.write(Degree(number, self._release()))

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
            degree = self._degree(int(number), held)
            if degree.number == 3 and not (self.suspended or self.power):
                raise Refused("clash")
            self.write(degree)
        self.number = value

    def _degree(self, number: int, alteration: int) -> Degree:
        degree = Degree(number, alteration)
        if number == 7:
            self._take_seventh()
            return parse_degree("7" if self.major_seventh else QUALITIES[self.quality].seventh)
        return degree

    def leave_out(self, value: str) -> None:
        """A number after no or omit."""
        numbers = {degree.number for degree in self.degrees()} | ({3} if self.suspended or self.power else set())
        if value == "1" or int(value) not in numbers:
            raise Refused("degree-present")
        self.left_out.add(int(value))

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
            self.suspensions |= set(value)
            self.number = value
        elif value in STACKS and not self.has_seventh:
            self.suspensions.add("4")
            self.extend(value)
        else:
            raise Refused("two-or-four")

    def alter_freely(self, value: str) -> None:
        """alt: the altered dominant."""
        if self.quality != "major" or self.major_seventh or self.written:
            raise Refused("no-alteration")
        self.has_seventh = True
        self.left_out.add(5)
        self.written |= {parse_degree(text) for text in ALTERED}

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
