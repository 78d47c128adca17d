"""A turn in a process: who comes while it is taken waits in a line, bounded in time and in number.

Photographs and heavy calculations share one, so that small requests find a free thread and some of the processor whatever
others ask. A threaded worker takes connections by itself, so a request that it has taken cannot be handed to another process:
it waits.
"""

import threading
from collections import deque
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager

from closeup_service.language import tr
from closeup_service.schemas.upload import AT_ONCE, Patience

RETRY_AFTER_S = 2


class Busy(Exception):
    """Other heavy work is done by this process, and the turn did not come; or this work was ended since it took too long."""


class LineFull(Exception):
    """As many wait for the turn already as may."""


class WaitedInVain(Exception):
    """The turn did not come in time."""


class Turn:
    """One at a time; the others wait, first come, first served."""

    def __init__(self) -> None:
        self._changed = threading.Condition()
        self._line: deque[object] = deque()
        self._taken = False

    @property
    def waiting(self) -> int:
        """How many wait."""
        return len(self._line)

    @contextmanager
    def taken(self, patience: Patience) -> Iterator[None]:
        """Hold the turn, after waiting for it where that is allowed.

        Raises
        ------
        LineFull, WaitedInVain
            Where it cannot be had.
        """
        with self._changed:
            self._wait(patience)
        try:
            yield
        finally:
            with self._changed:
                self._taken = False
                self._changed.notify_all()

    def _wait(self, patience: Patience) -> None:
        """Take the turn at once, or when it comes."""
        if self._taken or self._line:
            self._stand_in_line(patience)
        self._taken = True

    def _stand_in_line(self, patience: Patience) -> None:
        """Wait until all who came before had their turn."""
        if len(self._line) >= patience.most_waiting:
            raise LineFull
        place = object()
        self._line.append(place)
        try:
            if not self._changed.wait_for(lambda: not self._taken and self._line[0] is place, patience.longest_s):
                raise WaitedInVain
        finally:
            self._line.remove(place)
            self._changed.notify_all()


TURN = Turn()
"""Of this process; each has its own."""


@contextmanager
def one_at_a_time(patience: Patience = AT_ONCE) -> Iterator[None]:
    """Work alone in this process: whoever comes meanwhile waits, and is asked to come again after that.

    Raises
    ------
    Busy
        Where others work and wait for too long.
    """
    with ExitStack() as held:
        try:
            held.enter_context(TURN.taken(patience))
        except LineFull:
            text = tr("Other heavy requests are being answered and waiting just now: send this one again in a moment.")
            raise Busy(text) from None
        except WaitedInVain:
            text = tr(
                "Other heavy requests were answered here for {longest_s:g} s: send this one again in a moment.",
                longest_s=patience.longest_s,
            )
            raise Busy(text) from None
        yield
