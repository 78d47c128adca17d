"""The scripts for foreign pages: the current ones, and every released one as it was."""

import base64
import hashlib
from collections.abc import Mapping
from functools import cache
from importlib.metadata import version
from importlib.resources import files
from importlib.resources.abc import Traversable

NAMES = ("closeup-sum.js", "closeup-frame.js")


def current_version() -> str:
    """Version of the current scripts: that of the service."""
    return version("closeup-optics")


def folder() -> Traversable:
    """Folder of the scripts, with those released below `released`."""
    return files("closeup_service.pages").joinpath("static", "embed")


@cache
def script(name: str, of_version: str | None = None) -> bytes | None:
    """Bytes of a script; of a version, its released copy where there is one; None where there is no such script."""
    versions = released_versions()
    if name not in NAMES or of_version not in (None, current_version(), *versions):
        return None
    return (versions.get(of_version or "") or folder()).joinpath(name).read_bytes()


@cache
def released_versions() -> Mapping[str, Traversable]:
    """Folder of each released version."""
    above = folder().joinpath("released")
    return {each.name: each for each in above.iterdir() if each.is_dir()} if above.is_dir() else {}


def integrity(content: bytes) -> str:
    """Value of the attribute `integrity` (Subresource Integrity)."""
    return f"sha384-{base64.b64encode(hashlib.sha384(content).digest()).decode()}"
