"""What is refused of photographs."""

from typing import ClassVar


class PhotographRefused(Exception):
    """A photograph that is not taken; `members` are JSON pointers."""

    slug: ClassVar[str] = "photo-not-readable"

    def __init__(self, code: str | None, message: str, *members: str) -> None:
        super().__init__(message)
        self.code = code
        self.members = members


class PhotographTooLarge(PhotographRefused):
    """More pixels than are decoded."""

    slug = "content-too-large"
