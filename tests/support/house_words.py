"""Words by which names of functions are told apart."""

from pathlib import Path

LISTS = Path(__file__).parent / "word_lists"


def words(name: str) -> frozenset[str]:
    """Return the words of a list."""
    return frozenset((LISTS / f"{name}.txt").read_text(encoding="utf-8").split())


VERBS = words("verbs")
"""First words of names that say what is done, or what holds."""

OPENERS = words("openers")
"""First words that make of a name neither a verb nor a thing: prepositions, articles, pronouns, adverbs."""

QUALITIES = words("qualities")
"""Participles and adjectives, beside those that end in -ed, which need a noun behind them."""

JOINTS = words("joints")
"""Words before which the noun stands that a name is about: `number` in `number_of_frames`."""

NOUNS_IN_ED = frozenset({"bed", "feed", "seed", "speed"})
"""Nouns that end as participles do."""
