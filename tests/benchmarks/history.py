"""Comparing the results of two releases: what got slower by more than noise explains."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

NOISE = 0.10
"""Change that two runs of the same code may show; the spread of either run is added to it."""

Results = Mapping[str, Any]
Key = tuple[str, str, str]


@dataclass(frozen=True)
class Change:
    """How one figure changed: above 1 is worse, whichever way the figure counts; `band` is what noise explains."""

    subject: str
    what: str
    against: str
    old: float
    new: float
    worse: float
    band: float

    @property
    def verdict(self) -> str:
        """Slower, faster, or the same within noise."""
        if self.worse > 1 + self.band:
            return "slower"
        return "faster" if self.worse < 1 / (1 + self.band) else "same"

    def line(self) -> str:
        """One line for people."""
        beside = f" against {self.against}" if self.against else ""
        return (
            f"{self.verdict}: {self.subject}: {self.what}{beside}: {self.old:.4g} -> {self.new:.4g} "
            f"(x {self.worse:.2f}, noise up to x {1 + self.band:.2f})"
        )


def changes(old: Results, new: Results) -> list[Change]:
    """Every figure that both have: ratios, and where there are none plain figures if the machine is the same."""
    before, after, same_machine = rows_of(old), rows_of(new), old["machine"] == new["machine"]
    both = [(key, before[key], after[key]) for key in before if key in after]
    return [change for key, a, b in both for change in change_of(key, a, b, same_machine)]


def change_of(key: Key, old: Mapping[str, Any], new: Mapping[str, Any], same_machine: bool) -> Iterator[Change]:
    """Yield the change of one figure, where it can be compared."""
    member = "ratio" if old["ratio"] is not None and new["ratio"] is not None else "value"
    if member == "value" and not same_machine:
        return
    was, now = old[member], new[member]
    worse = was / now if new["more_is_better"] else now / was
    spreads = [each["spread"] or 0.0 for each in (old, new)]
    yield Change(*key, was, now, worse, NOISE + sum(spreads))


def rows_of(results: Results) -> dict[Key, Mapping[str, Any]]:
    """Rows by what they measure."""
    subjects = results["subjects"].items()
    return {(name, row["what"], row["against"]): row for name, rows in subjects for row in rows}


def only_in(one: Results, other: Results) -> list[str]:
    """What one has and the other lacks."""
    return [f"{name}: {what}" for name, what, _ in sorted(rows_of(one).keys() - rows_of(other).keys())]
