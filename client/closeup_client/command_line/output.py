"""Drawings and tables written to a file; its ending says in which form."""

from argparse import Namespace
from base64 import b64decode
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from closeup_client.command_line.files import why
from closeup_client.command_line.operation import Operation, destination

PICTURE = ".png"
ENDINGS: Mapping[str, str] = {"image/svg+xml": ".svg", "image/png": ".png", "text/csv": ".csv", "text/html": ".html"}


def endings(media_types: Sequence[str]) -> dict[str, str]:
    """Media type of each ending that an operation knows."""
    return {ENDINGS[media_type]: media_type for media_type in media_types if media_type in ENDINGS}


def output_help(media_types: Sequence[str]) -> str:
    """Say what --output does."""
    return f"Write the drawing or table itself to this file, by its ending: {', '.join(endings(media_types))}."


def media_type_of(path: str, operation: Operation) -> str:
    """Media type of a file, by its ending.

    Raises
    ------
    ValueError
        Where the operation does not write such files.
    """
    known = endings(operation.media_types)
    ending = Path(path).suffix.lower()
    if ending not in known:
        raise ValueError(f"--output: {path} should end in {' or '.join(known)}.")
    return known[ending]


def write(path: str, content: bytes, option: str = "--output") -> None:
    """Write a file.

    Raises
    ------
    ValueError
        Where it cannot be written.
    """
    try:
        Path(path).write_bytes(content)
    except OSError as error:
        raise ValueError(f"{option}: {path} cannot be written: {why(error)}.") from None


def pictures_wanted(given: Namespace, operation: Operation) -> dict[str, str]:
    """Path for each picture of the answer that is to be written.

    Raises
    ------
    ValueError
        Where a path does not end as the picture's form does.
    """
    wanted = {field: getattr(given, destination(field)) for field in operation.options if field.is_picture}
    for field, path in wanted.items():
        if path is not None and Path(path).suffix.lower() != PICTURE:
            raise ValueError(f"{field.option}: {path} should end in {PICTURE}.")
    return {field.name: path for field, path in wanted.items() if path is not None}


def write_pictures(wanted: Mapping[str, str], operation: Operation, answer: Mapping[str, Any]) -> None:
    """Write the pictures of an answer; raises what `write` does."""
    options = {field.name: field.option for field in operation.options}
    for name, path in wanted.items():
        write(path, b64decode(answer[name]), options[name])
