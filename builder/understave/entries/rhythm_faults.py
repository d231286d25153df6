"""What is wrong with a rhythm, a meter or a count, in words for whoever wrote it."""

from __future__ import annotations

from understave.entries.faults import shown
from understave.theory.rhythms import BEATS, RhythmError


def rhythm_problem(error: RhythmError) -> tuple[str, str]:
    """Return what is wrong with a rhythm and what was expected, in words."""
    details = tuple(shown(detail) for detail in error.details)
    match error.problem:
        case "measure-short" | "measure-long":
            number, difference, meter = error.details
            way = "short" if error.problem == "measure-short" else "long"
            return f"measure {number} is {difference} of a whole note too {way}", f"a measure of {meter}"
        case "unknown-token":
            found = f"the token {details[0]}, number {error.details[1]} in the rhythm"
            return found, "recip tokens such as 4 8. 12 4r, ties [ _ ], bar lines |"
        case "too-fine":
            return f"tuplets within tuplets at {details[0]}, token {error.details[1]}", "lengths that share a measure"
        case "tuplet-open":
            number, missing, tuplet, _, word = error.details
            found = f"measure {number}: a tuplet of {tuplet} left open at {details[3]}, token {word}"
            return found, f"{missing} of a whole note more in it"
        case "tie-open":
            return f"a tie left open at {details[0]}, token {error.details[1]}", "each tie closed by ] on the next note"
        case "tie-to-nothing":
            return f"a tie to nothing at {details[0]}, token {error.details[1]}", "[ on the note before"
        case "no-meter":
            return f"the meter {details[0]}", "a meter such as 4/4 or 2+3/8"
        case "no-beat":
            return f"the beat {details[0]}", f"one of {', '.join((*BEATS, 'measure'))}"
        case "beat-does-not-fit":
            beat, meter = error.details
            return f"a beat of {beat} of a whole note in {meter}", "a beat that divides the measure"
        case "hands-differ":
            return f"hands that differ in measure {error.details[0]}", "the same measures in both"
        case "no-words":
            return "a count without words", "one such as '1 & 2 e & a'"
        case "line-too-long":
            return f"a count of {error.details[0]} words", f"at most {error.details[1]}"
        case "brackets":
            return f"brackets that don't close in {details[0]}", "( before and ) after what is not played"
        case "unknown-word":
            return f"the word {details[0]}, number {error.details[1]} in the count", "a word of the counting system"
        case "no-reading":
            return f"a count that says no rhythm, {details[0]}", "words in an order that the counting system has"
        case "words-do-not-fit":
            word, place, meter = error.details
            return f"{shown(word)}, word {place} of the count, in {meter}", "words that the beats of the meter have"
    return "an empty rhythm", "at least one note"
