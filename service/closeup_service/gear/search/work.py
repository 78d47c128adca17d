"""What one search may cost, counted before it is done, and whether it may go on."""

from collections.abc import Callable

from msgspec import Struct

from closeup_service.language import mark, tr
from closeup_service.optics.errors import OpticsError

MOST_WORK = 12_000_000
"""Units of work of one search, some seconds: a unit is one set-up at one mark."""
SECONDS_PER_UNIT = 0.33e-6
WORK_PER_FRONT = 100
"""Units that a front part costs by itself, before anything stands behind it."""
MOST_FRONTS = 40_000
MOST_RING_STEPS = 1_000_000
"""Rings tried while the chains between the kit's faces are sought."""

ADVICE = mark("Allow fewer arrangements, or mark parts that need not be tried as not available.")


class TooManyCandidates(OpticsError):
    """A kit with more arrangements than one search can go through."""

    code = "too-many-candidates"


def refusal_of_size(what: str) -> TooManyCandidates:
    """Refusal of a kit that is too large."""
    return TooManyCandidates(f"{what} {tr(ADVICE)}", "/arrangements")


def do_nothing(*_: object) -> None:
    """Let a search within one's own process go on for as long as it takes."""


class Work(Struct):
    """What a search may still do.

    `expect` is told how many seconds are to come before work begins; `go_on` is asked between two blocks of it. Either may end
    the search by an exception.
    """

    left: int = MOST_WORK
    go_on: Callable[[], None] = do_nothing
    expect: Callable[[float], None] = do_nothing

    def covers(self, units: int) -> bool:
        """Whether so much is left."""
        return units <= self.left

    def take(self, units: int) -> None:
        """Take what a plan costs, which `covers` has allowed."""
        self.left -= units
        self.begin(units)

    def begin(self, units: int) -> None:
        """Say that so much work begins, without taking it."""
        self.expect(units * SECONDS_PER_UNIT)
