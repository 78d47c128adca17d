"""The machine that was measured on, and which of its cores does what."""

import os
import platform
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

LIBRARIES = (
    "flask",
    "werkzeug",
    "gunicorn",
    "marshmallow",
    "numpy",
    "orjson",
    "requests",
    "fastapi",
    "pydantic",
    "uvicorn",
)
ALLOWED = tuple(sorted(os.sched_getaffinity(0)))
"""Cores that this process may use, noted before it keeps to one of them."""


def cores() -> tuple[int, int]:
    """Core of the server and core of the client; the same one where there is no other."""
    return ALLOWED[0], ALLOWED[-1]


def pin(core: int) -> None:
    """Keep this process on one core."""
    os.sched_setaffinity(0, {core})


def described() -> dict[str, object]:
    """State the machine and the versions of what was measured."""
    return {
        "python": f"{platform.python_implementation()} {platform.python_version()}",
        "architecture": platform.machine(),
        "system": f"{platform.system()} {platform.release().split('-')[0]}",
        "processor": processor(),
        "cores": len(ALLOWED),
        "libraries": {name: found for name in LIBRARIES if (found := version_of(name))},
    }


def processor() -> str:
    """Name of the processor as the system tells it."""
    lines = Path("/proc/cpuinfo").read_text().splitlines()
    return next((line.partition(":")[2].strip() for line in lines if line.startswith("model name")), "unknown")


def version_of(name: str) -> str | None:
    """Version of a library, None where it is not installed."""
    try:
        return version(name)
    except PackageNotFoundError:
        return None


def told(machine: dict[str, object]) -> str:
    """One line of it for people."""
    libraries = machine["libraries"]
    assert isinstance(libraries, dict)
    named = ", ".join(f"{name} {number}" for name, number in libraries.items())
    return (
        f"{machine['python']}, {machine['system']}, {machine['architecture']}, {machine['processor']}, "
        f"{machine['cores']} cores\n{named}"
    )
