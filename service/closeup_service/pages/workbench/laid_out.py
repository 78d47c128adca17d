"""The parts of a set-up as a form lays them out: cards with their fields and sliders, and shelves to choose from."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from closeup_service.pages.task import Choice, Input


class Slide(Struct, frozen=True):
    """A slider beside a number: over a range, or over the marks of a ring."""

    low: float = 0.0
    high: float = 0.0
    marks: tuple[float, ...] = ()


class Card(Struct, frozen=True):
    """One part of a set-up: what it is, what is asked of it first and folded away, and what of it has no field."""

    number: int
    title: str
    chosen: str
    chooser: Input
    asked: tuple[Input, ...]
    folded: tuple[Input, ...]
    kept: tuple[Input, ...]
    slides: Mapping[str, Slide]
    turns: bool
    is_reversed: bool

    @property
    def inputs(self) -> tuple[Input, ...]:
        """Every field of the part."""
        return (self.chooser, *self.asked, *self.folded, *self.kept)


class Shelf(Struct, frozen=True):
    """Parts of one sort that can be put on the bench."""

    title: str
    choices: tuple[Choice, ...]


class Bench(Struct, frozen=True):
    """The parts of a set-up as cards along the light path, and all that can be added."""

    cards: tuple[Card, ...]
    shelves: tuple[Shelf, ...]
    kept: tuple[Input, ...] = ()
    """What of the whole set-up has no field."""

    @property
    def inputs(self) -> tuple[Input, ...]:
        """Every field of the parts, and what is kept."""
        return (*(each for card in self.cards for each in card.inputs), *self.kept)
