"""From the parsed arguments to the members of the request."""

import argparse
import json
import sys
from collections.abc import Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import Any

from closeup_client.command_line.files import STANDARD_INPUT, why
from closeup_client.command_line.operation import Field, Operation, destination
from closeup_client.command_line.parsing import UsageError
from closeup_client.command_line.short_form.reading import BadWords, Train, group_of, train_of, words_of
from closeup_client.command_line.table import Table
from closeup_client.command_line.wording import Wording
from closeup_client.messages import refuse_constant

ESTIMATE_UNKNOWN = "estimate_unknown"
CALIBRATION = "lens-calibration"
"""Command that measures a lens: it estimates only what it is told to."""

SEARCH = "search"
"""Command whose lenses are those of a kit."""

TELLING_OF_A_LENS = ("focal_length_mm", "train", "reference_set_up", "planned_set_up")
"""Members of which one tells enough of a lens to estimate the rest."""


def request_of(given: argparse.Namespace, operation: Operation, table: Table) -> tuple[dict[str, Any], Wording]:
    """Members of the request, and how to speak of them.

    Raises
    ------
    UsageError
        Where the arguments do not make a request.
    """
    path = getattr(given, "document", None)
    members = document_from(path) if path is not None else {}
    train = Train((), (), ())
    for field in operation.options:
        value = getattr(given, destination(field))
        if value is None:
            continue
        if field.is_train:
            train = in_option(field, lambda text: train_of(text, table.parts), value, " + ")
            value = list(train.elements)
        members[field.name] = value_of(field, value)
    if operation.takes_kit and given.kit is not None:
        members["kit"] = document_from(given.kit, "--kit")
    if operation.takes_document and path is None:
        refuse_missing(operation, members)
    if operation.solve:
        members |= solving(given, operation, train)
    if path is None and wants_estimates(members, operation):
        members[ESTIMATE_UNKNOWN] = True
    return members, wording_of(members, operation, table, path, train)


def value_of(field: Field, value: Any) -> Any:
    """Value of a member, from what its option was given."""
    if field.is_picture:
        return True
    if field.is_flat_group:
        return in_option(field, partial(group_of, field=field), value, " ")
    if field.is_group_list:
        return [in_option(field, partial(group_of, field=field), [words], " ") for words in value]
    return value


def wants_estimates(members: Mapping[str, Any], operation: Operation) -> bool:
    """Whether unknown lens data are to be estimated: unless told not to, where the request tells of a lens."""
    takes = operation.name != CALIBRATION and any(field.name == ESTIMATE_UNKNOWN for field in operation.fields)
    tells = operation.name == SEARCH or any(name in members for name in TELLING_OF_A_LENS)
    return takes and tells and ESTIMATE_UNKNOWN not in members


def files_of(given: argparse.Namespace, operation: Operation) -> list[tuple[str, bytes]]:
    """Files to be sent, each with the name of its field.

    Raises
    ------
    UsageError
        Where one cannot be read.
    """
    if operation.files is None:
        return []
    return [(operation.files.name, content_of_file(path)) for path in getattr(given, destination(operation.files))]


def content_of_file(path: str) -> bytes:
    """Bytes of a file."""
    try:
        return Path(path).read_bytes()
    except (OSError, ValueError) as error:
        raise UsageError(f"{path} cannot be read: {why(error)}.") from None


def in_option(field: Field, read: Any, value: Sequence[Sequence[str]], between: str) -> Any:
    """Read the words of an option, given once or several times."""
    try:
        return read(between.join(" ".join(words) for words in value))
    except BadWords as error:
        raise UsageError(f"{field.option}: {error}") from None


def refuse_missing(operation: Operation, members: Mapping[str, Any]) -> None:
    """Refuse a request without its needed options, since no document gives them."""
    needed = [field.option for field in operation.options if field.required]
    missing = [field.option for field in operation.options if field.required and field.name not in members]
    if missing or (not members and any(field.required for field in operation.fields)):
        way = f"{' and '.join(needed)}, or " if needed else ""
        raise UsageError(f"Give {way}--document." + (f" Missing: {' and '.join(missing)}." if missing else ""))


def wording_of(
    members: Mapping[str, Any], operation: Operation, table: Table, path: str | None, train: Train
) -> Wording:
    """How to speak of this request: in its own words, or by pointer where a document gave it."""
    spoken = [(str(each["element"]), briefly(text)) for each, text in zip(train.elements, train.texts, strict=True)]
    if not spoken and isinstance(members.get("train"), list):
        kinds = [str(each.get("element")) if isinstance(each, dict) else "?" for each in members["train"]]
        spoken = list(zip(kinds, kinds, strict=True))
    return Wording(table, operation, path is not None, spoken)


def briefly(text: str) -> str:
    """Name a part by its bare words, such as `reversed 35mm f/8`; by its first datum where it has none."""
    words = words_of(text)
    return " ".join([word for word in words if "=" not in word] or words[:1])


def solving(given: argparse.Namespace, operation: Operation, train: Train) -> dict[str, Any]:
    """Return the member that asks for the open length, where one is left open."""
    if not train.open:
        if given.target is None and given.between is None:
            return {}
        raise UsageError("--target and --between: leave a length of the train open with ?, such as 'tube ?'.")
    if len(train.open) > 1:
        raise UsageError("--train: only one length can be left open.")
    if given.target is None:
        raise UsageError("--train leaves a length open: say with --target what it is to reach, such as --target 2:1.")
    asked: dict[str, Any] = {"unknown": train.open[0], "target": target_of(given.target, operation)}
    if given.between is not None:
        asked["minimum"], asked["maximum"] = given.between
    return {"solve": asked}


def target_of(text: str, operation: Operation) -> Mapping[str, Any]:
    """What the open length is to reach."""
    try:
        return group_of(text, Field("target", "group", "target", fields=operation.targets))
    except BadWords as error:
        raise UsageError(f"--target: {error}") from None


def document_from(path: str, option: str = "--document") -> dict[str, Any]:
    """Object that an option names, from a file in strict JSON, or from standard input."""
    name = "standard input" if path == STANDARD_INPUT else path
    try:
        text = sys.stdin.read() if path == STANDARD_INPUT else Path(path).read_text(encoding="utf-8")
        document = json.loads(text, object_pairs_hook=without_doubles, parse_constant=refuse_constant)
    except (OSError, ValueError, RecursionError) as error:
        raise UsageError(f"{option}: {name} cannot be read: {why(error)}.") from None
    if not isinstance(document, dict):
        raise UsageError(f"{option}: {name} holds no JSON object.")
    return document


def without_doubles(pairs: Sequence[tuple[str, Any]]) -> dict[str, Any]:
    """Object whose names are each given once."""
    members = dict(pairs)
    if len(members) < len(pairs):
        raise ValueError("a name is given twice in one object")
    return members
