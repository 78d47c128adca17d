"""What one search may cost, counted before it is done, and whether anybody still waits for it."""

from collections.abc import Callable

from msgspec import Struct

from closeup_service.gear.errors import NobodyWaits
from closeup_service.language import mark, tr
from closeup_service.optics.errors import OpticsError

MOST_WORK = 12_000_000
"""Units of work of one search, some seconds: a unit is one set-up at one mark, about a third of a microsecond."""
WORK_PER_FRONT = 100
"""Units that a front part costs by itself, before anything stands behind it."""
MOST_FRONTS = 40_000
MOST_RING_STEPS = 1_000_000
"""Rings tried while the chains between the kit's faces are sought."""

ADVICE = mark("Allow fewer arrangements, or mark parts that need not be tried as not available.")


class TooManyCandidates(OpticsError):
    """A kit with more arrangements than one search can go through."""

    code = "too-many-candidates"


def assume_client_waits() -> bool:
    """Assume that somebody waits for the result."""
    return True


def refusal_of_size(what: str) -> TooManyCandidates:
    """Refusal of a kit that is too large."""
    return TooManyCandidates(f"{what} {tr(ADVICE)}", "/arrangements")


class Work(Struct):
    """What a search may still do. `waited_for` is asked between two blocks of work, and before each of them."""

    left: int = MOST_WORK
    waited_for: Callable[[], bool] = assume_client_waits

    def covers(self, units: int) -> bool:
        """Whether so much is left."""
        return units <= self.left

    def take(self, units: int) -> None:
        """Take what a plan costs, which `covers` has allowed."""
        self.left -= units

    def go_on(self) -> None:
        """Go on only while somebody waits.

        Raises
        ------
        NobodyWaits
        """
        if not self.waited_for():
            raise NobodyWaits
