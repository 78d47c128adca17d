"""Whether who asked still waits for the answer, for work that takes long: each face of the operations says how to tell."""

from collections.abc import Callable
from contextvars import ContextVar


def always() -> bool:
    """Someone who asks in this process waits."""
    return True


WAITING: ContextVar[Callable[[], bool]] = ContextVar("WAITING", default=always)
"""The question for the request in hand."""
