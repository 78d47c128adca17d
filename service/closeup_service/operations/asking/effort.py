"""How much the request in hand may calculate: a little at once, more in its turn, and no more than a stated end.

Long work asks `go_on` between two parts of it, and says with `expect` beforehand where much is to come. Who calculates within
their own process is not bounded; every request over HTTP sets an effort of its own.
"""

from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager, nullcontext
from contextvars import ContextVar
from math import inf
from time import thread_time

from msgspec import Struct

from closeup_service.gear.errors import NobodyWaits
from closeup_service.language import tr
from closeup_service.operations.asking.turns import Busy, one_at_a_time
from closeup_service.schemas.upload import Patience

FREE_S = 0.05
"""Seconds of the processor that every request has; more wants the turn."""
MOST_S = 15.0
"""Seconds of the processor after which a calculation is ended."""

Waiting = Callable[[], bool]
"""Tells whether somebody still waits."""


def always() -> bool:
    """Who asks in this process waits."""
    return True


class Effort(Struct):
    """What one request has calculated so far, in one thread.

    Parameters
    ----------
    make_waiting : makes the question whether its client still waits
    patience : how it waits for its turn
    begun : seconds of the processor that its thread had taken when it came
    """

    make_waiting: Callable[[], Waiting]
    patience: Patience
    begun: float
    waiting: Waiting | None = None
    turn: ExitStack | None = None
    at_end: Callable[[], None] | None = None

    @property
    def has_turn(self) -> bool:
        """Whether the turn has come."""
        return self.turn is not None

    def expect(self, seconds: float) -> None:
        """Wait for the turn before so much work is begun, unless it is little.

        Raises
        ------
        Busy
            Where the turn does not come.
        """
        if seconds > FREE_S and not self.has_turn:
            turn = ExitStack()
            turn.enter_context(one_at_a_time(self.patience))
            self.turn = turn

    def go_on(self) -> None:
        """Go on only while somebody waits, in turn, and not for ever.

        Raises
        ------
        NobodyWaits, Busy
        """
        if self.waiting is None:
            self.waiting = self.make_waiting()
        if not self.waiting():
            raise NobodyWaits
        spent = thread_time() - self.begun
        if spent > MOST_S:
            text = tr(
                "This calculation was ended after {most_s:g} s: ask for less at once, such as fewer rows, a simpler model or "
                "fewer parts.",
                most_s=MOST_S,
            )
            raise Busy(text)
        self.expect(spent)

    def release(self) -> None:
        """Do what is left for the end, and let the next one have the turn."""
        with self.turn or nullcontext():
            if self.at_end is not None:
                self.at_end()
        self.at_end = self.turn = None


EFFORT: ContextVar[Effort | None] = ContextVar("EFFORT", default=None)
"""Of the request in hand."""


@contextmanager
def in_turn(patience: Patience) -> Iterator[None]:
    """Work alone in this process; a request over HTTP keeps its turn until it has been answered.

    Raises
    ------
    Busy
        Where others work and wait for too long.
    """
    effort = EFFORT.get()
    if effort is None:
        with one_at_a_time(patience):
            yield
    else:
        effort.expect(inf)
        yield


def at_end(work: Callable[[], None]) -> None:
    """Do something when the request in hand has been answered."""
    effort = EFFORT.get()
    if effort is not None:
        effort.at_end = work


def expect(seconds: float) -> None:
    """Say that the request in hand is about to take so many seconds of the processor, roughly."""
    effort = EFFORT.get()
    if effort is not None:
        effort.expect(seconds)


def go_on() -> None:
    """Let the request in hand go on with long work, or end it."""
    effort = EFFORT.get()
    if effort is not None:
        effort.go_on()
