"""The folder that the counts of all workers lie in while the service runs: in memory where there is some, else on the disk."""

import contextlib
import fcntl
import os
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

VARIABLE = "PROMETHEUS_MULTIPROC_DIR"
"""Names the folder to the metrics library, which reads it once, when it is imported."""
MEMORY = Path("/dev/shm")
PREFIX = "closeup-counts-"
KEPT_BYTES = 8 * 1024 * 1024
"""Room that the counts of two workers may want: a full place would end the workers later, without a word."""


@contextlib.contextmanager
def counts_folder() -> Iterator[str]:
    """Make the folder; a worker that ends passes here too, and leaves it to the others.

    Raises
    ------
    OSError
        Where nothing can be written.
    """
    sweep(MEMORY)
    owner = os.getpid()
    try:
        folder = made_in(MEMORY)
    except OSError:
        folder = made_in(Path(tempfile.gettempdir()))
    try:
        yield str(folder)
    finally:
        if os.getpid() == owner:
            shutil.rmtree(folder, ignore_errors=True)


def made_in(place: Path) -> Path:
    """Make a folder where there is room, and lock it, where locks are known, for this process and all that it forks."""
    with tempfile.TemporaryFile(dir=place) as room:
        room.write(bytes(KEPT_BYTES))
    folder = Path(tempfile.mkdtemp(prefix=f"{PREFIX}{os.getpid()}-", dir=place))
    with contextlib.suppress(OSError):
        fcntl.flock(os.open(folder, os.O_RDONLY), fcntl.LOCK_EX)
    return folder


def sweep(place: Path) -> None:
    """Remove what killed services of this user left, in this container or another: folders that nobody has locked.

    An empty one may have been made a moment ago, and be locked in the next.
    """
    for folder in place.glob(f"{PREFIX}*"):
        with contextlib.suppress(OSError):
            descriptor = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | os.O_NOFOLLOW)
            try:
                fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
                if os.fstat(descriptor).st_uid == os.geteuid() and os.listdir(descriptor):
                    shutil.rmtree(folder)
            finally:
                os.close(descriptor)
