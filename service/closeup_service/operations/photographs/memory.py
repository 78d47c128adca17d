"""Memory that a photograph took, given back to the system as soon as it has been answered.

The allocator keeps what it was given for the next request, in as many places as there are threads; a decoder's pictures may lie
in circles that the collector of garbage finds late. Either way a process would keep hundreds of MB for as long as it lives.
"""

import ctypes
import gc

MOST_ARENAS = 2
LARGE_BYTES = 4 * 1024 * 1024
"""From this size on memory is asked of the system for one use, and given back after it."""
ARENA_MAX, MMAP_THRESHOLD = -8, -3
"""Numbers of the options in glibc's malloc.h."""


def keep_little() -> None:
    """Have the allocator of this process, and of those that it forks, keep little; where it knows how to."""
    library = ctypes.CDLL(None)
    if hasattr(library, "mallopt"):
        library.mallopt(ARENA_MAX, MOST_ARENAS)
        library.mallopt(MMAP_THRESHOLD, LARGE_BYTES)


def give_back() -> None:
    """Give back what is not used any more."""
    gc.collect()
    library = ctypes.CDLL(None)
    if hasattr(library, "malloc_trim"):
        library.malloc_trim(0)
