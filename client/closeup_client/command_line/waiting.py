"""A line on the terminal while an answer takes long, with the seconds so far."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Event, Thread

CLEARED = "\r\033[K"
"""Back to the beginning of the line, and clear it (ECMA-48, CR and EL)."""
EVERY_S = 1.0


@contextmanager
def waiting(what: str) -> Iterator[None]:
    """Show, on a terminal alone, for how long an answer has been waited for; nothing where it comes at once."""
    if not sys.stderr.isatty():
        yield
        return
    is_answered = Event()
    shown = Thread(target=show_until, args=(is_answered, what), daemon=True)
    shown.start()
    try:
        yield
    finally:
        is_answered.set()
        shown.join()


def show_until(is_answered: Event, what: str) -> None:
    """Show the seconds until the answer is there, then clear the line."""
    seconds = 0
    while not is_answered.wait(EVERY_S):
        seconds += 1
        show(f"{CLEARED}{what}: {seconds} s")
    if seconds:
        show(CLEARED)


def show(text: str) -> None:
    """Write to the terminal at once."""
    sys.stderr.write(text)
    sys.stderr.flush()
