"""Photographs to be sent."""

from os import PathLike
from pathlib import Path
from typing import BinaryIO, TypeAlias

Photograph: TypeAlias = str | PathLike[str] | bytes | BinaryIO
"""Path of a file, an open file, or the bytes of one."""


def content_of_photograph(photo: Photograph) -> bytes:
    """Bytes of a photograph; an open file is read from where it stands."""
    if isinstance(photo, bytes):
        return photo
    return Path(photo).read_bytes() if isinstance(photo, str | PathLike) else photo.read()
