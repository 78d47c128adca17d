"""Usual names of mounts and sensors, which stand for a register or for a format of the catalogue."""

from collections.abc import Mapping
from typing import TypeVar

from closeup_client.command_line.table import table

T = TypeVar("T")


class Unclear(ValueError):
    """A name that several things have, and these."""


def register_named(text: str) -> float | None:
    """Register of a mount [mm], such as that of M42; None where no mount is called so.

    Raises
    ------
    Unclear
        Where mounts of different registers begin so.
    """
    return find(text, table().registers, " mm")


def sensor_named(text: str) -> str | None:
    """Sensor format by its usual name, such as full frame; None where none is called so.

    Raises
    ------
    Unclear
        Where several begin so.
    """
    return find(text, table().sensors)


def find(text: str, known: Mapping[str, T], unit: str = "") -> T | None:
    """What a name stands for, whole or by its beginning up to a size."""
    wanted = plainly(text)
    named = {plainly(name): meant for name, meant in known.items()}
    if wanted in named:
        return named[wanted]
    begun = {name: meant for name, meant in known.items() if begins(plainly(name), wanted)}
    if len(set(begun.values())) > 1:
        told = " or ".join(f"{name} ({meant}{unit})" for name, meant in begun.items())
        raise Unclear(f"{text} can be {told}: write one of them.")
    return next(iter(begun.values()), None)


def plainly(name: str) -> str:
    """Name in small letters, its words apart by single spaces."""
    return " ".join(name.lower().replace("-", " ").replace("_", " ").split())


def begins(name: str, wanted: str) -> bool:
    """Whether a name goes on after what was written with a size or with what tells it from others, as M39x1 does."""
    return bool(wanted) and name.startswith((f"{wanted}x", f"{wanted},"))
