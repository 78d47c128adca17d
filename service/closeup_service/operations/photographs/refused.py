"""What is refused of photographs."""

from typing import ClassVar

RETRY_AFTER_S = 2


class PhotographRefused(Exception):
    """A photograph that is not taken; `members` are JSON pointers."""

    slug: ClassVar[str] = "photo-not-readable"
    retry_after_s: ClassVar[int | None] = None

    def __init__(self, code: str | None, message: str, *members: str) -> None:
        super().__init__(message)
        self.code = code
        self.members = members


class PhotographTooLarge(PhotographRefused):
    """More pixels than are decoded."""

    slug = "content-too-large"


class Busy(PhotographRefused):
    """Other photographs are being read by this process, and the turn did not come."""

    slug = "busy"
    retry_after_s = RETRY_AFTER_S
