"""A turn in a process: who comes while it is taken waits in a line, bounded in time and in number.

A threaded worker takes connections by itself, so a request that it has taken cannot be handed to another process: it waits.
"""

import threading
from collections import deque
from collections.abc import Iterator
from contextlib import contextmanager

from closeup_service.schemas.upload import Patience


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
