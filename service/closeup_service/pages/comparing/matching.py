"""Which figures of two results belong together: those of the same name and words."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from msgspec import Struct

from closeup_service.advice.caution_texts import Caution
from closeup_service.advice.cautions import sort_cautions
from closeup_service.pages.basis import Stand
from closeup_service.pages.comparing.differences import is_shown_alike, tell_difference
from closeup_service.pages.outcome import FIRST_CAUTIONS, VISIBLE, Outcome
from closeup_service.pages.results import Row

Key = tuple[str, str, int]
MOST_NAMED = 2
"""Differing values that a side is named by."""


class Pair(Struct, frozen=True):
    """A figure of both results, and how the second differs from the first."""

    label: str
    first: Row
    second: Row
    difference: str
    is_equal: bool
    """Whether both read the same."""


class Change(Struct, frozen=True):
    """Something that went into the results, and what it is in each; None where it went into one alone."""

    label: str
    first: Stand | None
    second: Stand | None


class Comparison(Struct, frozen=True):
    """Two results side by side."""

    changes: Sequence[Change]
    pairs: Sequence[Pair]
    only_first: Sequence[Row]
    only_second: Sequence[Row]
    cautions: Sequence[Caution]

    @property
    def shown_cautions(self) -> int:
        """Cautions that are never folded away: all that concern people or animals, two at least."""
        return max(FIRST_CAUTIONS, sum(each["concerns"] in VISIBLE for each in self.cautions))

    @property
    def differing(self) -> list[Pair]:
        """Figures that differ, those that a page shows first before the others."""
        found = [each for each in self.pairs if not each.is_equal]
        return sorted(found, key=lambda each: (each.first.place is None, each.first.place or 0))

    @property
    def equal(self) -> list[Pair]:
        """Figures that read the same."""
        return [each for each in self.pairs if each.is_equal]

    def name(self, is_second: bool) -> str:
        """What tells one side from the other: the first values that differ."""
        values = [each.second if is_second else each.first for each in self.changes]
        return ", ".join(each.value for each in values[:MOST_NAMED] if each is not None)


def compare(first: Outcome, second: Outcome) -> Comparison:
    """Lay two results side by side."""
    before, after = index_rows(rows_of(first)), index_rows(rows_of(second))
    return Comparison(
        list(changes(first.stands, second.stands)),
        [pair(row, after[key]) for key, row in before.items() if key in after],
        [row for key, row in before.items() if key not in after],
        [row for key, row in after.items() if key not in before],
        sort_cautions([*first.cautions, *second.cautions]),
    )


def rows_of(outcome: Outcome) -> Iterator[Row]:
    """Every figure of a result."""
    return (row for section in outcome.sections for row in section.rows)


def index_rows(rows: Iterable[Row]) -> Mapping[Key, Row]:
    """Figures by their names and words; one that comes again is told apart by how often it came before."""
    found: dict[Key, Row] = {}
    for row in rows:
        often = sum(known[:2] == (row.name, row.label) for known in found)
        found[row.name, row.label, often] = row
    return found


def pair(first: Row, second: Row) -> Pair:
    """Two figures that belong together."""
    return Pair(first.label, first, second, tell_difference(first, second), is_shown_alike(first, second))


def changes(first: Sequence[Stand], second: Sequence[Stand]) -> Iterator[Change]:
    """What went into the results and is not the same in both."""
    before, after = ({each.place or each.label: each for each in stands} for stands in (first, second))
    for key in dict.fromkeys([*before, *after]):
        one, other = before.get(key), after.get(key)
        if one is None or other is None or (one.value, one.between) != (other.value, other.between):
            yield Change((after | before)[key].label, one, other)
