"""Counts in files whose room is reserved before it is written to.

The metrics library maps its files into memory. A mapped page for which no room is left ends the process without a word (SIGBUS)
when it is first written to, so the room is asked for beforehand, where its want is an ordinary error.
"""

import contextlib
import os
from typing import Any

from prometheus_client import values
from prometheus_client.mmap_dict import MmapedDict

BEGUN_BYTES = 1 << 16
"""What the library begins a file with; it doubles that as often as need be."""


class ReservedCounts(MmapedDict):
    """The library's file of counts, on reserved room."""

    def __init__(self, filename: str, read_mode: bool = False) -> None:
        if not read_mode:
            reserve(filename)
        super().__init__(filename, read_mode)  # type: ignore[no-untyped-call]

    def _init_value(self, key: str) -> None:
        """Reserve twice the room where this count might not fit in any more."""
        most = len(key.encode()) + 32
        if self._used + most > self._capacity:
            os.posix_fallocate(self._f.fileno(), 0, 2 * self._capacity)
        super()._init_value(key)  # type: ignore[no-untyped-call]


def reserve(filename: str) -> None:
    """Reserve the room that a file of counts begins with; leave no file where there is none.

    Raises
    ------
    OSError
        Where there is no room.
    """
    descriptor = os.open(filename, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)
    try:
        os.posix_fallocate(descriptor, 0, max(BEGUN_BYTES, os.fstat(descriptor).st_size))
    except OSError:
        with contextlib.suppress(OSError):
            os.unlink(filename)
        raise
    finally:
        os.close(descriptor)


def use_reserved_counts() -> None:
    """Have the library keep its counts so, from the next metric on."""
    library: Any = values
    library.MmapedDict = ReservedCounts
