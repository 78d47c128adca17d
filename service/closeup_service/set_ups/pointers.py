"""What the physics names, as JSON pointers (RFC 6901) into the request."""

from collections.abc import Callable
from typing import TypeVar

from closeup_service.optics.errors import OpticsError

T = TypeVar("T")


def as_pointer(member: str) -> str:
    """Pointer to a member that is named by itself; a pointer stays."""
    return member if member.startswith("/") else f"/{member}"


def place_refusal(at: str, find: Callable[[], T]) -> T:
    """Let what the physics refuses of a nested object point to where that stands."""
    try:
        return find()
    except OpticsError as error:
        error.members = tuple(at + as_pointer(member) for member in error.members)
        raise
