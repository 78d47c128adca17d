"""Whole sentences with places for figures: of several, the first is said whose figures are all known."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from string import Formatter

from closeup_service.advice.figures import capitalize

Words = Mapping[str, str | None]
"""Figures in words by the names of their places; None for what is not known."""


def say(templates: Iterable[str], words: Words) -> str:
    """First sentence whose figures are all known; nothing where there is none."""
    known = {name: text for name, text in words.items() if text}
    fitting = (each for each in templates if places(each) <= known.keys())
    return capitalize(next((each.format(**known) for each in fitting), ""))


def places(template: str) -> set[str]:
    """Names of the figures that a sentence has places for."""
    return {name for _, name, _, _ in Formatter().parse(template) if name}
