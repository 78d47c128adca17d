"""Whether who asked still waits for the answer, for work that takes long: each face of the operations says how to tell."""

from collections.abc import Callable
from contextvars import ContextVar

Waiting = Callable[[], bool]
"""Tells whether somebody still waits."""


def always() -> bool:
    """Who asks in this process waits."""
    return True


def in_this_process() -> Waiting:
    """Make the question for who asks in this process."""
    return always


CLIENT: ContextVar[Callable[[], Waiting]] = ContextVar("CLIENT", default=in_this_process)
"""Makes the question for the request in hand; every request over HTTP sets it anew, since threads serve many of them."""


def is_waited_for() -> Waiting:
    """Make the question for the request in hand."""
    return CLIENT.get()()
