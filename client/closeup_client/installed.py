"""What is said of this library where it is installed, read from its metadata alone.

`importlib.metadata` looks through every distribution and loads a reader of mail for it, which takes longer than most answers;
it is asked where the metadata is no folder on the path.
"""

import os
import sys
from contextlib import suppress
from functools import cache

DISTRIBUTION = "closeup-optics"
FOLDER = "closeup_optics-", ".dist-info"
"""How the folder's name begins and ends (PyPA, Recording installed projects)."""


def read_own_version() -> str | None:
    """Version of this library, where it is installed."""
    head = read_metadata("METADATA").partition("\n\n")[0]
    return next((line.partition(":")[2].strip() for line in head.splitlines() if line.startswith("Version:")), None)


def find_entry_point(group: str, name: str) -> str | None:
    """Return what an entry point of this distribution leads to, as `module:attribute` (PyPA, Entry points)."""
    within = False
    for line in read_metadata("entry_points.txt").splitlines():
        key, _, value = line.partition("=")
        if line.startswith("["):
            within = line.strip() == f"[{group}]"
        elif within and key.strip() == name:
            return value.strip()
    return None


def read_metadata(name: str) -> str:
    """Text of a file of the metadata; empty where there is none."""
    folder = find_metadata()
    if folder is None:
        return read_by_library(name)
    with suppress(FileNotFoundError), open(os.path.join(folder, name), encoding="utf-8") as file:
        return file.read()
    return ""


@cache
def find_metadata() -> str | None:
    """Folder of this library's metadata, the first on the path."""
    for place in sys.path:
        with suppress(OSError):
            for name in os.listdir(place or os.curdir):
                if name.startswith(FOLDER[0]) and name.endswith(FOLDER[1]):
                    return os.path.join(place, name)
    return None


def read_by_library(name: str) -> str:
    """Text of a file of the metadata, wherever the library's finders have it."""
    from importlib.metadata import PackageNotFoundError, distribution  # noqa: PLC0415  # seldom, and dear

    try:
        return distribution(DISTRIBUTION).read_text(name) or ""
    except PackageNotFoundError:
        return ""
