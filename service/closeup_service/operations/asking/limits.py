"""How much of a request is taken."""

from msgspec import Struct

from closeup_service.schemas.upload import Patience

MEGABYTE = 1_000_000
BYTES_PER_MIB = 1024 * 1024
MEGAPIXEL = 1_000_000
MOST_KIT_BYTES = 2 * BYTES_PER_MIB
"""Size of a kit, as a file or sent."""
SLOW_START_S = 10
LEAST_BYTES_PER_S = 50_000
"""A body must come at this rate, after some seconds that each has."""
LONGEST_LINE = 8190
"""Bytes of a request line: the maximum of the server."""


class Limits(Struct, frozen=True):
    """Bytes of a request with photographs, pixels of one of them, and how they wait for their turn."""

    most_bytes: int
    most_pixels: int
    patience: Patience
