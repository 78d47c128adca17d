"""The folder that the counts of all workers lie in while the service runs: in memory where there is some, else on the disk."""

import contextlib
import errno
import fcntl
import os
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

VARIABLE = "PROMETHEUS_MULTIPROC_DIR"
"""Names the folder to the metrics library, which reads it once, when it is imported."""
MEMORY = Path("/dev/shm")
PREFIX = "closeup-metrics-"
LOCK = "lock"
KEPT_BYTES = 8 * 1024 * 1024
"""Room that the counts of two workers may want."""


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
    folder = made_folder(owner)
    with locked(folder):
        try:
            yield str(folder)
        finally:
            if os.getpid() == owner:
                shutil.rmtree(folder, ignore_errors=True)


def places() -> Iterator[str]:
    """Directories that the folder may be made in, the best first."""
    yield str(MEMORY)
    yield tempfile.gettempdir()


def made_folder(owner: int) -> Path:
    """Make the folder in the first place that takes it; a full one would end the workers later, without a word."""
    refused = OSError(errno.ENOENT, "nowhere to write")
    for place in places():
        try:
            folder = tempfile.mkdtemp(prefix=f"{PREFIX}{owner}-", dir=place)
        except OSError as error:
            refused = error
            continue
        try:
            with tempfile.TemporaryFile(dir=folder) as room:
                room.write(bytes(KEPT_BYTES))
                room.flush()
            return Path(folder)
        except OSError as error:
            shutil.rmtree(folder, ignore_errors=True)
            refused = error
    raise refused


def locked(folder: Path) -> BinaryIO:
    """Lock the folder for this process and all that it forks; by its name a lock is found only while or after it was held.

    A file system that knows no locks leaves the folder without one, and so unswept.
    """
    unnamed = folder / f"{LOCK}-to-be"
    file = unnamed.open("wb")
    with contextlib.suppress(OSError):
        fcntl.flock(file, fcntl.LOCK_EX)
        unnamed.rename(folder / LOCK)
    return file


def sweep(place: Path) -> None:
    """Remove what was left by services of this user that were killed: the folders whose lock nobody holds.

    The kernel keeps the lock until the last worker is gone, and for all containers that share a place in its memory; process
    ids would mean something else in each.
    """
    for folder in place.glob(f"{PREFIX}*"):
        with contextlib.suppress(OSError):
            if folder.lstat().st_uid == os.geteuid():
                with (folder / LOCK).open("rb") as file:
                    fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
                    shutil.rmtree(folder)
