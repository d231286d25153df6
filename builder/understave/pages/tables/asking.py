"""How viewers ask: words that carry no music, words for numbers and for inversions, in the languages they write."""

from __future__ import annotations

from typing import Any
from unicodedata import combining, normalize

Json = dict[str, Any]

_FILLERS = """
    nome nombre nom diferencia diferencias diferenca unterschied unterschiede differenza left right hand hands lh rh
    tiny little small next beside near after before s t l ll ve qu est ce together best good nice wrong correct come
    comes bit ok okay appear appears printed work works a an the this that these those it its it's is are was be am
    do does did done doing have has had i i'm im me my we you your he she they one's to of in on at for from with by
    as if so and or but not no than then there here when where what what's whats which who why why's how how's hows
    can could would should will may might must tell explain explained explanation mean means meaning meant define
    definition stand stands standing call called calls name names named say said saying read reading write written
    writing play played playing plays piano keyboard pianist please pls plz help hi hello hey thanks thank sir know
    knowing understand confused question difference differences different between versus vs same about again use
    used using get got make made find look see show sign symbol symbols chord chords note notes letter thing things
    stuff mark marks music musical theory lesson video teacher learn beginner really just also too very any some all
    more need want like exactly actually que é o os um uma uns umas como se de da dos das na nos nas em por para
    qual quais significa tocar toca acorde acordes cifra nota notas teclado sinal simbolo quer dizer e ou favor el
    la los las un una unos unas del al en es cómo qué cual cuál cuales toco y quiere decir símbolo qu'est-ce c'est
    quoi le les des une comment jouer joue dans et l'accord accord accords signifie veut dire pour au aux du signe
    che cosa cos'è è il lo gli uno si suona suonare accordo accordi di della vuol segno ist sind ein eine der die
    den dem wie spielt spielen man bedeutet heißt heisst akkord akkorde und oder auf klavier ich zeichen bitte dopo
    prima sopra sotto dove quando perché perche sono alla alle dei delle degli quale quali fra tra qui questo questa
    nel nella sul sulla posso vorrei suonano avanti depois antes sobre entre onde porque porquê são está esse essa
    isso este esta meu minha eu fazer faço ler leio ver tem ter mais muito después debajo arriba donde dónde cuando
    cuándo eso mi hago hacer leer tiene tener muy cada más encima après avant dessus dessous où quand pourquoi sont
    cette cet mon ma je peux fait faire lire avoir plus très chaque nach vor über unter wo wann warum dies diese
    dieser dieses mein meine kann machen lesen haben hat sehr zwischen zum bei mir cos long serve serves wrote put
    finde finden puts con com avec mit sin sem sans ohne senza welche welcher welches quelles quels quel quelle ha hay
    tiene contiene
    gehören press presses pressed hit hits hold once listen hear hears sound sounds much built build builds
    enthält follow followed
"""

FILLERS = frozenset(_FILLERS.split())
"""Words that are left aside when a question is read."""

COUNTED = {
    "en": "one two three four and",
    "de": "eins/ein zwei/zwo drei vier und",
    "es": "uno dos tres cuatro y",
    "fr": "un deux trois quatre et",
    "it": "uno due tre quattro e",
    "pt": "um/uma dois/duas três quatro e",
}
"""By language: the words for the numbers of beats, and last what is said halfway (common practice).

Forms of one number are parted by strokes.
"""

BETWEEN_NUMBERS = {
    "+": "&",
    "n": "&",
    "an": "&",
    "ee": "e",
    "eee": "e",
    "i": "e",
    "uh": "a",
    "ah": "a",
    "da": "a",
    "er": "a",
}
"""Spellings of what is said between the numbers; the words for "and" are in COUNTED."""

INVERSIONS = (
    "inversion inversions inv|first 1st 1|second 2nd 2|third 3rd 3",
    "inversão inversao|primeira 1ª 1a|segunda 2ª 2a|terceira 3ª 3a",
    "inversión|primera 1ª 1a|segunda 2ª 2a|tercera 3ª 3a",
    "renversement|premier 1er|deuxième second 2e|troisième 3e",
    "rivolto|primo 1°|secondo 2°|terzo 3°",
    "umkehrung|erste erster 1.|zweite zweiter 2.|dritte dritter 3.",
)
"""By language: the word for an inversion, and those for first, second and third, said in either order."""

ROOT_POSITIONS = ("root position", "grundstellung", "posición fundamental", "posição fundamental")

OVER_NUMBERS = ("por", "over", "by", "sur")
"""What stands between the numbers of a meter when it is said: 6 por 8."""

CHAT = {
    "wat": "what", "wht": "what", "wot": "what", "wut": "what", "wats": "what is", "wuts": "what is", "whts": "what is",
    "u": "you", "ur": "your", "r": "are", "da": "the", "teh": "the", "cord": "chord", "cords": "chords",
    "cuz": "because", "bc": "because", "btw": "between", "btwn": "between", "btween": "between", "diff": "difference",
    "hw": "how", "plz": "please", "pls": "please", "dont": "not", "doesnt": "not", "im": "I", "ppl": "people",
    "k": "ok", "n": "and", "thx": "thanks", "tho": "though", "q": "que", "vs": "versus", "pq": "por que", "cmo": "como",
    "how 2": "how to", "how 2 count": "how to count", "difference of": "difference between",
}  # fmt: skip
"""How hurried writers spell small words."""

ASKED_IN_SMALL_WORDS = dict.fromkeys(
    (
        "which chord is this", "what chord is this", "which chord is that", "what chord is that", "name my chord",
        "name this chord", "what are these notes", "have notes what chord", "chord from notes",
        "what chord am i playing", "que acorde es este", "que acorde e esse", "quel est cet accord",
    ),
    "identify chord",
)  # fmt: skip
"""Questions that no word of theirs would find, as they ask in small words alone, by words that find the page."""

MUSIC_WORDS = {
    "accidental": "acidente alteracion alteracao versetzungszeichen vorzeichen alteration alterazione alterazioni",
    "accompaniment": "acompanamiento acompanhamento begleitung accompagnamento",
    "against": "contra gegen contre contro",
    "arpeggio": "arpejo arpege",
    "bass": "bajo baixo basse basso",
    "beat": "pulso schlag schlage batida tiempos temps",
    "cadence": "cadenza kadenz kadenzen",
    "circle": "cycle ciclo circulo circulito bolinha cerchio cerchietto kreis rond",
    "clef": "clave schlussel notenschlussel chiave",
    "compound": "composto composta compuesto compuesta compose composee zusammengesetzt zusammengesetzte",
    "count": "counting counted contar conto cuento cuenta conta contare contano contamos contando compter compte"
    " comptez comptent zahlen zahle zahlt gezahlt contage conteo",
    "degree": "grado grau stufe stufen gradi",
    "dot": "punkt point punto",
    "dotted": "puntillo ponto punktierte punktiert pointee pointe pontuada pontuado puntata puntato",
    "eighth": "corchea colcheia croche achtel achtelnote achtelnoten croma crome quaver",
    "fingering": "digitacion digitacao dedilhado doigte fingersatz diteggiatura",
    "half": "blanca minima blanche halbe minim meia meio medio",
    "inversion": "inversoes umkehrung umkehrungen renversement rivolto rivolti",
    "key": "tonart tonarten tonalidad tonalidade tonalite tonalita tonality",
    "letter": "letra lettre buchstabe buchstaben",
    "line": "linha trait strich raya risco riga",
    "measure": "mesure compas compases compasso takt takte battuta battute misura",
    "melody": "melodia melodie",
    "meter": "taktart metro metrum",
    "minus": "moins meno",
    "octave": "oitava ottava",
    "pickup": "anacrusa anacruse anacrusi auftakt levare",
    "polyrhythm": "polirritmia polirritmo poliritmia polyrythmie",
    "quarter": "negra seminima semiminima semiminime noire viertel viertelnote viertelnoten crotchet",
    "rest": "silencio pausa pausen soupir",
    "rhythm": "ritmo rythme",
    "root": "fundamental fundamentale grundton",
    "scale": "escala gamme tonleiter tonleitern skala",
    "semitone": "semitom halbton halbtone",
    "sixteenth": "semicorchea semicolcheia sechzehntel semicroma semicrome semiquaver",
    "slash": "barra barre schragstrich",
    "slur": "bindebogen",
    "small": "pequeno pequena petit petite piccolo piccola kleine kleiner klein",
    "staff": "pentagrama pauta portee notensystem notenlinien pentagramma",
    "swing": "swingado swingen",
    "syncopation": "sincopa sincope syncope synkope synkopen sincopado sincopada syncopated",
    "tempo": "velocidad velocidade vitesse geschwindigkeit",
    "tie": "haltebogen legatura",
    "tonic": "tonique tonika",
    "transposition": "transponer transportar transpor transposer transponieren trasporto transposicao",
    "triad": "dreiklang dreiklange",
    "triangle": "dreieck",
    "triplet": "triolet tresillo triole triolen terzina terzine tercina quialtera tresquialtera",
    "whole": "redonda semibreve ronde ganze ganzen entera inteira",
}  # fmt: skip
"""Words of other languages, small, singular and without accents, by the word of ours that stands for them.

Those for chords (menor, Septakkord) are in the grammar; words a letter or two from ours (octava) are taken for slips.
"""

ORDINALS = {
    "1st": "first", "2nd": "second", "3rd": "third", "4th": "fourth", "5th": "fifth", "6th": "sixth", "7th": "seventh",
    "9th": "ninth", "11th": "eleventh", "13th": "thirteenth", "8th": "eighth", "16th": "sixteenth",
}  # fmt: skip
"""Short forms of the words that names are made of."""

DIGITS = {"1": "one", "2": "two", "3": "three", "4": "four"}
"""Digits that stand for words of names: 3 against 2, a 4 note chord."""

COUNTED_THINGS = (
    "note", "beat", "hand", "finger", "octave", "measure", "bar", "time", "against", "part", "clave", "rhythm",
    "pattern", "nota", "noten", "tone", "line",
)  # fmt: skip
"""Beside these a number counts, or tells which, and is no part of a symbol; small and singular."""

KIND_WORDS = ("rhythm", "pattern", "groove", "figure", "feel")
"""Words that say what kind of thing is asked about, singular: they tell little of which."""

ELSEWHERE = """
    tune tuning tuner buy price cost costa app camera headphones bench download pdf subscribe channel course paper
    size vitamin programming composer compositor wrist hurt guitar violin patreon email tutorial age coda
"""
"""Words of what viewers also ask and a theory glossary doesn't answer, singular: they are never taken for slips."""

CHORD_WORDS = ("chord", "chords", "triad", "acorde", "acordes", "accord", "accordo", "akkord", "cifra")
"""Words beside which a note's name alone is a chord."""

BEFORE_O = ("the", "little", "small", "an", "that", "this", "letter", "sign", "symbol", "does", "with")
"""Words after which o is a sign and no article."""

LINKING = (
    "of",
    "in",
    "on",
    "de",
    "di",
    "do",
    "da",
    "du",
    "des",
    "en",
    "em",
    "von",
    "chord",
    "triad",
    *CHORD_WORDS,
)
"""Words that a note's name follows: the minor chord of A."""

JOINS = ("and", "&", "und", "y", "et", "plus", "then")
"""What may stand between notes that are listed: not e, which is a note."""

SAID = {
    "ear": {
        "ay": "a", "bee": "b", "be": "b", "see": "c", "sea": "c", "cee": "c", "dee": "d", "ee": "e", "eff": "f",
        "ef": "f", "gee": "g", "jee": "g",
    },
    "meant": {"töne": "noten"},
    "smallWords": "be see sea",
    "signs": {
        "raised": "sharp", "sharped": "sharp", "sharpened": "sharp", "augmented": "sharp", "lowered": "flat",
        "flattened": "flat", "flatted": "flat",
    },
    "pluses": "plus mas mais più piu",
    "minuses": "minus menos meno moins",
    "bass": "bass bas bassnote bottom lowest low baixo bajo basso basse unten tief",
    "over": "over above sobre su über ueber on slash top",
    "under": "under underneath below unter sotto sous sob debajo",
    "links": "with and chord triad com con avec mit und y et while",
    "beside": "in on at as is be the note tone of no na al nel im en em am il el o der das"
    " plays play holds has = sur than top key",
}  # fmt: skip
"""How symbols are spoken: letters by ear (those that are common words only where they begin a chord), words for raised
and lowered, for the signs, and for a bass below a chord with what stands around them."""

GERMAN_HINT_LETTERS = "abcdefgh"
"""Small letters that stand for a minor chord in German songbooks."""


def _folded(words: frozenset[str]) -> list[str]:
    """Return words without accents, sorted; of a longer one and its plural the plural, which stands for both."""
    plain = {"".join(one for one in normalize("NFD", word) if not combining(one)).replace("ß", "ss") for word in words}
    return sorted(word for word in plain if len(word) < 4 or f"{word}s" not in plain)


def asking_table() -> Json:
    """Return all of it for the browser."""
    return {
        "fillers": " ".join(_folded(FILLERS)),
        "counted": COUNTED,
        "betweenNumbers": BETWEEN_NUMBERS,
        "inversions": INVERSIONS,
        "rootPositions": ROOT_POSITIONS,
        "overNumbers": OVER_NUMBERS,
        "chat": {**CHAT, **ASKED_IN_SMALL_WORDS},
        "words": MUSIC_WORDS,
        "ordinals": ORDINALS,
        "digits": DIGITS,
        "countedThings": COUNTED_THINGS,
        "kindWords": KIND_WORDS,
        "elsewhere": " ".join(ELSEWHERE.split()),
        "chordWords": CHORD_WORDS,
        "linking": LINKING,
        "beforeO": BEFORE_O,
        "germanLetters": GERMAN_HINT_LETTERS,
        "joins": JOINS,
        "said": SAID,
    }
