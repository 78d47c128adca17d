"""Every formula of the worked sums, by subject, as data for pages and tests."""

from collections.abc import Mapping
from types import ModuleType

from msgspec import Struct

from closeup_service.worked import (
    equivalence,
    exposure,
    flash,
    lens,
    measuring,
    motion,
    opening,
    sharpness,
    stack,
    train,
)
from closeup_service.worked.formula import Formula
from closeup_service.worked.notation import shown_symbol
from closeup_service.worked.symbols import SYMBOLS

SUBJECTS: Mapping[str, ModuleType] = {
    "One lens": lens,
    "Whole set-ups": train,
    "Depth and diffraction": sharpness,
    "Another size of sensor": equivalence,
    "Exposure": exposure,
    "Flash": flash,
    "Openings before the lens": opening,
    "Movement": motion,
    "Focus stacks": stack,
    "Measuring": measuring,
}


class Explained(Struct, frozen=True):
    """A symbol of a formula, what it stands for, and its unit ("" for a ratio)."""

    symbol: str
    quantity: str
    label: str
    unit: str


class Entry(Struct, frozen=True):
    """One formula for a page: what it says, how it is written, its symbols (the result first), where it is from.

    `in_words` where nothing but words says how it is found.
    """

    meaning: str
    formula: str
    symbols: tuple[Explained, ...]
    source: str
    in_words: bool


def formulas() -> dict[str, list[Formula]]:
    """Every formula once, under the subject that it is first of."""
    seen: set[Formula] = set()
    told: dict[str, list[Formula]] = {}
    for subject, module in SUBJECTS.items():
        own = [each for each in vars(module).values() if isinstance(each, Formula) and each not in seen]
        seen.update(own)
        told[subject] = own
    return told


def published() -> dict[str, list[Entry]]:
    """Every formula as pages list it, by subject."""
    return {subject: [entry(each) for each in own] for subject, own in formulas().items()}


def entry(formula: Formula) -> Entry:
    """One formula for a page."""
    names = dict.fromkeys((formula.symbol, *formula.inputs))
    return Entry(formula.meaning, formula.shown, tuple(map(explained, names)), formula.source, formula.in_words)


def explained(name: str) -> Explained:
    """One symbol for a page."""
    symbol = SYMBOLS[name]
    return Explained(shown_symbol(name), symbol.quantity, symbol.label, symbol.unit)
