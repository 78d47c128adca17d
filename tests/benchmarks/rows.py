"""Rows of the table of results: two ways measured in turns (A B A B …), compared by the median of their ratios."""

import gc
import time
from collections.abc import Callable
from dataclasses import dataclass
from statistics import median, quantiles

Measure = Callable[[], float]
"""Measures once and returns seconds a call (or whatever the row counts)."""

SCALES = {
    "s": ((1.0, "s"), (1e-3, "ms"), (1e-6, "us")),
    "byte": ((1e6, "MB"), (1e3, "kB"), (1.0, "byte")),
    "per s": ((1e6, "million/s"), (1e3, "thousand/s"), (1.0, "/s")),
}
TITLES = f"{'what':54} {'own':>18}   {'against':26} {'floor':>18}   {'ratio':>7}  {'spread':>6}   goal"


@dataclass(frozen=True)
class Effort:
    """How long to measure: pairs of turns, and the share of the usual calls in a turn."""

    pairs: int
    share: float

    def calls(self, usual: int) -> int:
        """Calls in one turn."""
        return max(1, round(usual * self.share))


FULL, QUICK = Effort(15, 1.0), Effort(5, 0.2)


@dataclass(frozen=True)
class Row:
    """One result: a figure, what it is compared with, and the ratio that is wanted at most, or at least.

    `spread` is half of the distance between the quartiles of the ratios, as a share of their median.
    """

    what: str
    value: float
    unit: str = "s"
    against: str = ""
    against_value: float | None = None
    ratio: float | None = None
    spread: float | None = None
    goal: float | None = None
    more_is_better: bool = False

    @property
    def reached(self) -> bool | None:
        """Whether the goal is reached; None where there is none."""
        if self.goal is None or self.ratio is None:
            return None
        return self.ratio >= self.goal if self.more_is_better else self.ratio <= self.goal

    def line(self) -> str:
        """Line of the table."""
        own, least = scaled(self.value, self.unit), scaled(self.against_value, self.unit)
        ratio = self.told_share() if self.ratio is None else f"{self.ratio:7.3g}"
        spread = "" if self.spread is None else f"{100 * self.spread:4.0f} %"
        return (
            f"{self.what:54} {own:>18}   {self.against:26} {least:>18}   {ratio:>7}  {spread:>6}   {self.told_goal()}"
        )

    def told_share(self) -> str:
        """Share of a whole, for a figure that is part of what it stands against and no ratio that is wanted small."""
        return "" if self.against_value is None else f"{100 * self.value / self.against_value:4.1f} %"

    def told_goal(self) -> str:
        """The goal in words."""
        if self.goal is None:
            return ""
        side = "at least" if self.more_is_better else "at most"
        return f"{side} {self.goal:g}: {'reached' if self.reached else 'MISSED'}"


def scaled(value: float | None, unit: str) -> str:
    """Figure in a unit that suits its size."""
    if value is None:
        return ""
    size, name = next((each for each in SCALES[unit] if abs(value) >= each[0]), SCALES[unit][-1])
    return f"{value / size:.4g} {name}"


def in_turns(
    what: str,
    own: Measure,
    against: str,
    floor: Measure,
    effort: Effort,
    *,
    unit: str = "s",
    goal: float | None = None,
    more_is_better: bool = False,
) -> Row:
    """Measure two ways in turns, after one turn of each that does not count."""
    own()
    floor()
    pairs = [(own(), floor()) for _ in range(effort.pairs)]
    value, least = (median(column) for column in zip(*pairs, strict=True))
    ratios = [a / b for a, b in pairs]
    return Row(what, value, unit, against, least, median(ratios), spread_of(ratios), goal, more_is_better)


def alone(what: str, own: Measure, effort: Effort, *, unit: str = "s") -> Row:
    """Measure one way by itself."""
    own()
    values = [own() for _ in range(effort.pairs)]
    return Row(what, median(values), unit, spread=spread_of(values), more_is_better=unit == "per s")


def spread_of(values: list[float]) -> float:
    """Half of the distance between the quartiles, as a share of the median."""
    lower, middle, upper = quantiles(values, n=4)
    return (upper - lower) / (2 * middle)


def cpu(call: Callable[[], object], calls: int) -> Measure:
    """CPU seconds a call within this process."""

    def measure() -> float:
        started = time.process_time()
        for _ in range(calls):
            call()
        return (time.process_time() - started) / calls

    return measure


def wall(call: Callable[[], object], calls: int) -> Measure:
    """Median of the wall-clock seconds of a call."""

    def measure() -> float:
        times = []
        for _ in range(calls):
            started = time.perf_counter()
            call()
            times.append(time.perf_counter() - started)
        return median(times)

    return measure


def settle() -> None:
    """Leave what has been built so far out of every later collection of garbage, as the service does before it forks."""
    gc.collect()
    gc.freeze()


class NotHere(Exception):
    """Something that a subject needs is not on this machine."""
