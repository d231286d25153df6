"""How viewers ask: words that carry no music, words for numbers and for inversions, in the languages they write."""

from __future__ import annotations

_FILLERS = """
    left right hand hands lh rh tiny little small next beside near after before s t l ll ve qu est ce together
    best good nice wrong right correct come comes next bit ok okay appear appears printed work works
    a an the this that these those it its it's is are was be am do does did done doing have has had i i'm im me my
    we you your he she they one's to of in on at for from with by as if so and or but not no than then there here
    when where what what's whats which who why why's how how's hows can could would should will may might must tell
    explain explained explanation mean means meaning meant define definition stand stands standing call called calls
    name names named say said saying read reading write written writing play played playing plays piano keyboard
    pianist please pls plz help hi hello hey thanks thank sir know knowing understand confused question difference
    differences different between versus vs same about again use used using get got make made find look see show
    sign symbol symbols chord chords note notes letter thing things stuff mark marks music musical theory lesson
    video teacher learn beginner really just also too very any some all more need want like exactly actually que é o
    os um uma uns umas como se de da dos das na nos nas em por para qual quais significa tocar toca acorde acordes
    cifra nota notas teclado sinal simbolo quer dizer e ou favor el la los las un una unos unas del al en es cómo
    qué cual cuál cuales toco y quiere decir símbolo qu'est-ce c'est quoi le les des une comment jouer joue dans et
    l'accord accord accords signifie veut dire pour au aux du signe che cosa cos'è è il lo gli uno come si suona
    suonare accordo accordi di della vuol segno ist sind ein eine der die den dem wie spielt spielen man bedeutet
    heißt heisst akkord akkorde und oder auf klavier ich zeichen bitte
"""

FILLERS = frozenset(_FILLERS.split())
"""Words that are left aside when a question is read."""

NUMBERS = {
    "one": "1", "two": "2", "three": "3", "four": "4", "five": "5", "six": "6", "seven": "7", "eight": "8",
    "um": "1", "dois": "2", "três": "3", "quatro": "4", "uno": "1", "dos": "2", "tres": "3", "cuatro": "4",
    "eins": "1", "zwei": "2", "drei": "3", "vier": "4", "un": "1", "deux": "2", "trois": "3", "quatre": "4",
    "due": "2", "tre": "3", "quattro": "4",
}  # fmt: skip
"""Numbers that beats are counted with."""

BETWEEN_NUMBERS = {
    "and": "&", "+": "&", "n": "&", "an": "&", "und": "&", "et": "&", "y": "&", "ee": "e", "eee": "e", "i": "e",
    "uh": "a", "ah": "a", "da": "a", "er": "a",
}  # fmt: skip
"""Spellings of what is said between the numbers."""

INVERSIONS = {
    "root position": 0, "first inversion": 1, "1st inversion": 1, "inversion 1": 1, "second inversion": 2,
    "2nd inversion": 2, "inversion 2": 2, "third inversion": 3, "3rd inversion": 3, "inversion 3": 3,
    "primeira inversão": 1, "segunda inversão": 2, "terceira inversão": 3, "primera inversión": 1,
    "segunda inversión": 2, "tercera inversión": 3, "premier renversement": 1, "deuxième renversement": 2,
    "primo rivolto": 1, "secondo rivolto": 2, "terzo rivolto": 3, "erste umkehrung": 1, "zweite umkehrung": 2,
    "dritte umkehrung": 3,
}  # fmt: skip
"""Words for which chord tone lies lowest."""

ORDINALS = {
    "1st": "first", "2nd": "second", "3rd": "third", "4th": "fourth", "5th": "fifth", "6th": "sixth", "7th": "seventh",
    "9th": "ninth", "11th": "eleventh", "13th": "thirteenth", "8th": "eighth", "16th": "sixteenth",
}  # fmt: skip
"""Short forms of the words that names are made of."""

FOREIGN_CHORD_WORDS = ("acorde", "acordes", "accord", "accordo", "akkord", "cifra")
"""Words beside which do, la and si are notes, not small words."""

GERMAN_HINT_LETTERS = "abcdefgh"
"""Small letters that stand for a minor chord in German songbooks."""
