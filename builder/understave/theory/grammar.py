"""The grammar of chord symbols, as data: what may be written, in which order, and what it can mean.

`symbols.py` walks these tables; so can any other reader of the same data. Common practice throughout, unless a row
says whose habit it is.
"""

from __future__ import annotations

from typing import NamedTuple

CHARACTERS = {
    "♭": "b", "♯": "#", "♮": "", "𝄫": "bb", "𝄪": "x", "＃": "#",
    "△": "Δ", "∆": "Δ", "Ø": "ø", "∅": "ø", "⌀": "ø", "Φ": "ø", "φ": "ø", "º": "°", "˚": "°", "◦": "°", "○": "°",
    "⁺": "+", "₊": "+", "−": "-", "–": "-", "—": "-", "‐": "-", "‑": "-", "⁻": "-", "₋": "-",
    "\u00ad": "", "\u200b": "", "\u200c": "", "\u200d": "", "\ufeff": "", "\u2060": "", "\ufe0e": "", "\ufe0f": "",
    "⁄": "/", "∕": "/", "\\": "/", "[": "(", "]": ")", "{": "(", "}": ")", ";": ",", "\t": " ", "\n": " ", "\r": " ",
}  # fmt: skip
"""What a typed character stands for; every other one is read in its compatibility form (full-width, superscript)."""


class Token(NamedTuple):
    """A piece of a symbol: its ``kind`` decides where it may stand, its ``value`` what it does there."""

    kind: str
    value: str


def _forms(kind: str, value: str, *forms: str) -> dict[str, Token]:
    return {form: Token(kind, value) for form in forms}


NUMBER_WORDS = {
    "second": "2", "two": "2", "third": "3", "three": "3", "fourth": "4", "four": "4", "fifth": "5", "five": "5",
    "sixth": "6", "six": "6", "seventh": "7", "seven": "7", "ninth": "9", "nine": "9", "eleventh": "11",
    "eleven": "11", "thirteenth": "13", "thirteen": "13",
}  # fmt: skip

ORDINALS = ("2nd", "3rd", "4th", "5th", "6th", "7th", "9th", "11th", "13th")

LETTER_TOKENS: dict[str, Token] = {
    "M": Token("major", ""),
    "m": Token("quality", "minor"),
    "o": Token("quality", "diminished"),
    "°": Token("quality", "diminished"),
    "0": Token("quality", "diminished"),
    "madd": Token("minor-add", ""),
    "miadd": Token("minor-add", ""),
    "Madd": Token("add", ""),
    "ø": Token("quality", "half-diminished"),
    "Δ": Token("quality", "triangle"),
    "#": Token("sign", "#"),
    "b": Token("sign", "b"),
    "+": Token("mark", "#"),
    "-": Token("mark", "b"),
    "(": Token("open", ""),
    ")": Token("close", ""),
    ",": Token("gap", ""),
    " ": Token("gap", ""),
    "/": Token("slash", ""),
    **{n: Token("number", n) for n in ("2", "3", "4", "5", "6", "7", "9", "11", "13")},
    "69": Token("number", "69"),
    "6/9": Token("number", "69"),
    "24": Token("number", "24"),
}
"""Pieces whose case matters: capital M is major, small m is minor."""

WORD_TOKENS: dict[str, Token] = {
    **_forms("major", "", "maj", "ma", "major", "j", "mj"),
    **_forms("quality", "minor", "min", "mi", "minor"),
    **_forms("quality", "diminished", "dim", "diminished", "fully diminished", "full diminished", "fully-diminished"),
    **_forms("quality", "augmented", "aug", "augmented"),
    **_forms(
        "quality",
        "half-diminished",
        "half-diminished",
        "half diminished",
        "halfdiminished",
        "halfdim",
        "half-dim",
        "half dim",
        "hdim",
    ),
    **_forms("dominant", "", "dom", "dominant"),
    **_forms("suspend", "", "sus", "suspended"),
    **_forms("add", "", "add", "added"),
    **_forms("omit", "", "no", "omit", "without"),
    **_forms("altered", "", "alt", "altered", "altered dominant"),
    **_forms("sign", "#", "sharp"),
    **_forms("sign", "b", "flat"),
    **_forms("number", "5", "power chord", "power"),
    **{word: Token("number", number) for word, number in NUMBER_WORDS.items()},
    **{ordinal: Token("number", ordinal[:-2]) for ordinal in ORDINALS},
    **_forms("gap", "", "with", "and", "an", "the", "chord", "triad", "."),
}
"""Pieces in which case doesn't matter."""

NO_CHORD = frozenset({"n.c.", "nc", "n.c", "(n.c.)", "(nc)", "n. c.", "n/c", "no chord"})
"""What is printed where the harmony rests, in small letters."""

BASS_MARKS = (
    "/", " over ", " on ", " slash ", " with the bass ", " with bass ",
    " with an ", " with a ", " with ",
    " com baixo em ", " con bajo en ", " con basso ", " avec basse ", " mit bass ",
    " com ", " con ", " avec ", " mit ",
)  # fmt: skip
"""What may stand before a bass."""

TAILED_MARKS = (" with ", " with a ", " with an ", " com ", " con ", " avec ", " mit ")
"""Those that start a bass only where one of BASS_TAILS closes it: D with an added second."""

BASS_TAILS = (
    " in the bass", " as the bass", " no baixo", " en el bajo", " al basso", " nel basso", " à la basse",
    " a la basse", " im bass", " bass",
)  # fmt: skip
"""Words that may close a symbol with a bass, longer ones before what they end in."""

ROOT_SIGNS: dict[str, int] = {
    "#": 1, "b": -1, "x": 2, "##": 2, "bb": -2, "flat": -1, "sharp": 1, "double flat": -2,
    "double-flat": -2, "double sharp": 2, "double-sharp": 2,
}  # fmt: skip
"""What may follow the letter of a root or bass (words after a space or hyphen), and its size in semitones."""


class Language(NamedTuple):
    """How a tradition names notes and chords.

    ``notes`` are its own note names (small letters), with letter and alteration; ``signs`` its words for accidentals;
    ``words`` its words for qualities and numbers. ``small_is_minor`` and ``plus_raises_seventh`` are its habits.
    """

    notes: dict[str, tuple[str, int]]
    signs: dict[str, int]
    words: dict[str, Token]
    small_is_minor: bool = False
    plus_raises_seventh: bool = False


def _solfege(**accented: str) -> dict[str, tuple[str, int]]:
    names = {"do": "C", "re": "D", "mi": "E", "fa": "F", "sol": "G", "la": "A", "si": "B"}
    return {name: (letter, 0) for name, letter in {**names, **accented}.items()}


def _german_notes() -> dict[str, tuple[str, int]]:
    """Return the German names: is raises, es lowers; As and Es are short, B is B flat and H is B (common practice)."""
    names: dict[str, tuple[str, int]] = {}
    for letter in "CDEFGAB":
        own = "h" if letter == "B" else letter.lower()
        flat = {"e": "es", "a": "as", "h": "b"}.get(own, own + "es")
        double_flat = {"e": "eses", "a": "asas", "h": "heses"}.get(own, own + "eses")
        names |= {own: (letter, 0), own + "is": (letter, 1), own + "isis": (letter, 2)}
        names |= {flat: (letter, -1), double_flat: (letter, -2)}
    return names


def _words(**words: str) -> dict[str, Token]:
    """Return tokens by word: each keyword is the English word they stand for, its value the words, parted by |."""
    return {word: WORD_TOKENS[english] for english, others in words.items() for word in others.split("|")}


LANGUAGES: dict[str, Language] = {
    "de": Language(
        _german_notes(),
        {},
        _words(
            major="dur|-dur", minor="moll|-moll", diminished="vermindert|verminderter|verm",
            augmented="übermäßig|übermäßiger", halfdiminished="halbvermindert|halbverminderter", **{"and": "und"},
            suspended="vorhalt", seventh="septakkord|septime|sieben", ninth="none|nonakkord|neun",
            sixth="sexte|sechs", fourth="vier", fifth="fünf",
            added="mit",
        ),
        small_is_minor=True,
    ),
    "es": Language(
        _solfege(),
        {"sostenido": 1, "bemol": -1},
        _words(
            major="mayor", minor="menor", diminished="disminuido|disminuida", augmented="aumentado|aumentada",
            halfdiminished="semidisminuido|semidisminuida", **{"and": "y"},
            suspended="suspendido|suspendida", second="segunda", fourth="cuarta|cuatro", fifth="quinta|cinco",
            sixth="sexta|seis",
            seventh="séptima|septima|siete|mayor con séptima|"
            "mayor con septima|mayor con séptima menor|séptima menor|septima menor",
            ninth="novena|nueve", eleventh="oncena", thirteenth="trecena", added="añadida|con",
        ),
        plus_raises_seventh=True,
    ),
    "fr": Language(
        _solfege(**{"ré": "D"}),
        {"dièse": 1, "diese": 1, "bémol": -1, "bemol": -1},
        _words(
            major="majeur|majeure", minor="mineur|mineure",
            diminished="diminué|diminuée", augmented="augmenté|augmentée",
            halfdiminished="demi-diminué|demi-diminuée|demi diminué", **{"and": "et"},
            suspended="suspendu|suspendue", second="seconde", fourth="quarte|quatre", fifth="quinte|cinq",
            sixth="sixte|six",
            seventh="septième|septieme|sept|majeur avec septième|"
            "majeur avec septieme|majeur avec septième mineure|septième mineure|septieme mineure",
            ninth="neuvième|neuf", eleventh="onzième", thirteenth="treizième",
            added="ajoutée|avec",
        ),
    ),
    "it": Language(
        _solfege(),
        {"diesis": 1, "bemolle": -1},
        _words(
            major="maggiore", minor="minore",
            diminished="diminuito|diminuita", augmented="aumentato|aumentata|eccedente",
            halfdiminished="semidiminuito|semidiminuita", **{"and": "e"},
            suspended="sospeso|sospesa", second="seconda", fourth="quarta|quattro", fifth="quinta|cinque",
            sixth="sesta|sei",
            seventh="settima|sette|maggiore con settima|maggiore con settima minore|settima minore",
            ninth="nona|nove", eleventh="undicesima", thirteenth="tredicesima", added="aggiunta|con",
        ),
        plus_raises_seventh=True,
    ),
    "pt": Language(
        _solfege(**{"dó": "C", "ré": "D", "fá": "F", "lá": "A"}),
        {"sustenido": 1, "bemol": -1},
        _words(
            major="maior", minor="menor", diminished="diminuto|diminuta", augmented="aumentado|aumentada",
            halfdiminished="meio diminuto|meio-diminuto|meia diminuta", **{"and": "e"},
            suspended="suspenso|suspensa", second="segunda", fourth="quarta|quatro", fifth="quinta|cinco",
            sixth="sexta|seis",
            seventh="sétima|setima|sete|maior com sétima|"
            "maior com setima|maior com sétima menor|sétima menor|setima menor",
            ninth="nona|nove", eleventh="décima primeira", thirteenth="décima terceira",
            added="adicionada|com",
        ),
        plus_raises_seventh=True,
    ),
}  # fmt: skip
"""Note names and words of other traditions, read when asked; English letters and signs read beside them."""


LONGEST_FORM = max(
    map(len, (*LETTER_TOKENS, *WORD_TOKENS, *ROOT_SIGNS, *(word for one in LANGUAGES.values() for word in one.words)))
)
"""The length of the longest form, in characters."""


class Step(NamedTuple):
    """What a token does in a state: the ``action`` (of `actions.ACTIONS`) and the ``state`` that follows."""

    action: str
    state: str


ANYWHERE = {
    "sign": Step("hold", "sign"),
    "mark": Step("hold", "sign"),
    "suspend": Step("suspend", "suspended"),
    "add": Step("pass_over", "add"),
    "omit": Step("pass_over", "omit"),
    "altered": Step("alter_freely", "tail"),
    "gap": Step("loosen", "tail"),
    "open": Step("open", "tail"),
    "close": Step("close", "tail"),
    "slash": Step("pass_over", "slash"),
    "major": Step("raise_seventh", "major-tail"),
}
"""What may follow at most places once the root is read."""

STATES: dict[str, dict[str, Step]] = {
    # after the root
    "root": {
        **ANYWHERE,
        "quality": Step("take_quality", "quality"),
        "minor-add": Step("take_minor", "add"),
        "mark": Step("take_mark", "quality"),
        "major": Step("take_major", "quality"),
        "dominant": Step("pass_over", "quality"),
        "number": Step("extend", "tail"),
        "gap": Step("pass_over", "root"),
        "close": Step("refuse", "root"),
    },
    # after m, dim, maj …
    "quality": {
        **ANYWHERE,
        "quality": Step("take_triangle", "quality"),
        "number": Step("extend", "tail"),
        "major": Step("take_major", "quality"),
        "gap": Step("pass_over", "quality"),
    },
    # after a number, and from there on
    "tail": {**ANYWHERE, "number": Step("add_plain", "tail"), "dominant": Step("pass_over", "tail")},
    # after a late maj: m(maj7), 7M
    "major-tail": {**ANYWHERE, "number": Step("extend_major", "tail")},
    # after a sign or a mark: it alters the number that follows, or else the one before
    "sign": {
        "number": Step("alter", "tail"),
        "gap": Step("alter_last", "tail"),
        "slash": Step("alter_last", "slash"),
        "close": Step("alter_last_and_close", "tail"),
        "open": Step("alter_last_and_open", "tail"),
    },
    # after add
    "add": {
        "number": Step("add", "tail"),
        "sign": Step("hold", "add"),
        "mark": Step("hold", "add"),
        "open": Step("open", "add"),
        "gap": Step("pass_over", "add"),
    },
    # after no, omit
    "omit": {
        "number": Step("leave_out", "tail"),
        "open": Step("open", "omit"),
        "gap": Step("pass_over", "omit"),
    },
    # after sus
    "suspended": {
        **ANYWHERE,
        "number": Step("suspend_by", "tail"),
        "gap": Step("pass_over", "suspended"),
    },
    # after a slash that starts no bass
    "slash": {
        "number": Step("add_after_slash", "tail"),
        "sign": Step("hold", "sign"),
        "mark": Step("hold", "sign"),
        "major": Step("raise_seventh", "major-tail"),
        "add": Step("pass_over", "add"),
        "omit": Step("pass_over", "omit"),
        "suspend": Step("suspend", "suspended"),
        "gap": Step("pass_over", "slash"),
    },
}
"""Which kind of token may stand after what, and what it does."""

LAST_STATES = {"root", "quality", "tail", "major-tail", "sign", "suspended"}
"""Where a symbol may end."""


class Quality(NamedTuple):
    """The third, fifth and seventh of a quality; ``sounds`` tells whether the seventh needs no number."""

    third: str
    fifth: str
    seventh: str
    sounds: bool = False


QUALITIES: dict[str, Quality] = {
    "major": Quality("3", "5", "b7"),
    "minor": Quality("b3", "5", "b7"),
    "diminished": Quality("b3", "b5", "bb7"),
    "augmented": Quality("3", "#5", "b7"),
    "half-diminished": Quality("b3", "b5", "b7", sounds=True),
    "triangle": Quality("3", "5", "7", sounds=True),
}


class Sense(NamedTuple):
    """One sense of an ambiguous suffix: the ``suffix`` that says it plainly, and the id of the reason."""

    suffix: str
    why: str


AMBIGUOUS: dict[str, tuple[Sense, ...]] = {
    "2": (Sense("add2", "two-adds"), Sense("sus2", "two-suspends")),
    "4": (Sense("sus4", "four-suspends"), Sense("add4", "four-adds")),
    "Δ": (Sense("maj7", "triangle-is-major-seventh"), Sense("", "triangle-is-triad")),
    "°": (Sense("m(b5)", "circle-is-triad"), Sense("°7", "circle-is-seventh")),
    "(4)": (Sense("add4", "bracket-adds"), Sense("sus4", "four-suspends")),
    "7(4)": (Sense("7(add4)", "bracket-adds-four"), Sense("7sus4", "four-suspends")),
    "11": (Sense("9(add11)", "eleven-is-stack"), Sense("9sus4", "eleven-is-suspended")),
    "7+": (Sense("7(#5)", "plus-raises-fifth"), Sense("maj7", "plus-raises-seventh")),
    "7+/9": (Sense("maj9", "plus-raises-seventh"), Sense("9(#5)", "plus-raises-fifth")),
    "7+(9)": (Sense("9(#5)", "plus-raises-fifth"), Sense("maj9", "plus-raises-seventh")),
    "m7+": (Sense("m(maj7)", "plus-raises-seventh"), Sense("m7(#5)", "plus-raises-fifth")),
    "-7+": (Sense("m(maj7)", "plus-raises-seventh"), Sense("m7(#5)", "plus-raises-fifth")),
    "(9)": (Sense("add9", "bracket-adds"), Sense("7(9)", "bracket-is-ninth")),
    "+9": (Sense("9(#5)", "plus-raises-fifth"), Sense("add9", "plus-adds")),
    "-5": (Sense("(b5)", "minus-lowers-fifth"), Sense("m(b5)", "minus-is-minor")),
    "-9": (Sense("m9", "minus-is-minor"), Sense("7(b9)", "minus-lowers-ninth")),
}
"""Suffixes with more than one sense in real use, likeliest first. A key joins what KEYS gives for each token."""

REMARKS: dict[str, str] = {
    "13": "thirteen-stacks", "maj13": "thirteen-stacks", "maj": "maj-is-triad", "sus": "sus-is-four",
    "7sus": "sus-is-four", "9sus": "sus-is-four", "13sus": "sus-is-four", "7-5": "minus-lowers-fifth",
    "7alt": "altered-choice", "alt": "altered-choice", "7(alt)": "altered-choice", "(alt)": "altered-choice",
    "m(#7)": "sharp-seventh-is-major",
    "m#7": "sharp-seventh-is-major", "(b5)": "bracket-alters",
}  # fmt: skip
"""Suffixes of one sense that deserve a word, by the id of the reason."""

KEYS: dict[Token, str] = {
    Token("quality", "minor"): "m",
    Token("quality", "diminished"): "°",
    Token("quality", "augmented"): "aug",
    Token("quality", "half-diminished"): "ø",
    Token("quality", "triangle"): "Δ",
    Token("mark", "#"): "+",
    Token("mark", "b"): "-",
    Token("major", ""): "maj",
    Token("open", ""): "(",
    Token("close", ""): ")",
    Token("slash", ""): "/",
    Token("suspend", ""): "sus",
    Token("altered", ""): "alt",
    Token("add", ""): "add",
    Token("omit", ""): "no",
    Token("minor-add", ""): "madd",
}
"""How a token stands in the keys of AMBIGUOUS and REMARKS; numbers and signs stand as themselves, gaps not at all."""

SIGNED_NUMBERS = ("5", "9", "11", "13")
"""The numbers before which a word ("C flat five") may belong to the root or to the number."""
