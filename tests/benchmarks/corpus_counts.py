"""Count every measure of every keyboard score of music21's corpus: both hands together, and each hand's own rhythm.

    PYTHONPATH=builder python tests/benchmarks/corpus_counts.py

The scores are those of corpus_scores.py. Every rhythm is counted in 1 e & a and in takadimi. It prints how many
measures were counted, which scores fail and how, and how many places have no word.
"""

from __future__ import annotations

from collections import Counter
from pathlib import Path

from corpus_scores import keyboard_scores

from understave.entries.reading import load_glossary
from understave.entries.values import CountingSystem
from understave.lessons.hands_rhythm import rhythm_of
from understave.lessons.scores import Score, load_score
from understave.theory.counting import System, count

CONTENT = Path(__file__).parents[2] / "content"
HANDS = ("both", "left", "right")
NAMES = ("e-and-a", "takadimi")


def counting_systems() -> dict[str, System]:
    """Return the two systems that everything is counted in."""
    entries = load_glossary(CONTENT).of(CountingSystem)
    return {name: entries[name].system for name in NAMES}


def counted(score: Score, hand: str, systems: dict[str, System]) -> Counter[str]:
    """Count the measures of one hand, or of both, the places that are said in them, and those without a word."""
    rhythm = rhythm_of(score, hand)
    figures: Counter[str] = Counter({f"{hand}: measures": len(rhythm.measures)})
    for name, system in systems.items():
        counts = count(rhythm, system).counts
        figures[f"{name}: places"] += len(counts)
        figures[f"{name}: no word"] += sum(one.says is None for one in counts)
        figures[f"{name}: notes without a word"] += sum(one.says is None and one.sounds for one in counts)
    return figures


def main() -> None:
    """Print the figures."""
    systems = counting_systems()
    figures: Counter[str] = Counter()
    failed = []
    for path in keyboard_scores():
        figures["scores"] += 1
        score = load_score(path, None)
        for hand in HANDS:
            try:
                figures += counted(score, hand, systems)
            except Exception as error:
                failed.append(f"{path.parent.name}/{path.name}, {hand}: {type(error).__name__}: {error}")
    print("\n".join(f"{name}: {figure}" for name, figure in figures.items()))
    print("\n".join([f"failed: {len(failed)}", *failed]))


if __name__ == "__main__":
    main()
