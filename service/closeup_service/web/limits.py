"""How much of a photograph is taken."""

from dataclasses import dataclass

MEGABYTE = 1_000_000
MEGAPIXEL = 1_000_000


@dataclass(frozen=True, slots=True)
class Limits:
    """Bytes of a request with photographs, and pixels of one of them."""

    most_bytes: int
    most_pixels: int
