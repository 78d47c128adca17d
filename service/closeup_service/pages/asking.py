"""What the pages are handed by the layer above: the operations, and a way to ask them in process."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from flask import Request
from marshmallow import Schema
from werkzeug.datastructures import MultiDict

from closeup_service.gear.kit import Kit
from closeup_service.schemas.upload import Upload

Members = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Sum:
    """One operation as pages know it; `by_query` says how GET takes it: "fields", "document" or "none"."""

    operation_id: str
    path: str
    summary: str
    by_query: str
    command: str
    request_schema: Schema | None
    answer_schema: Schema
    takes_photographs: bool


@dataclass(frozen=True, slots=True)
class Refused:
    """What an operation, or the reading of a request, refuses: in all, and fault by fault by JSON pointer."""

    status: int
    detail: str
    faults: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Sent:
    """Parts of a form that was posted."""

    texts: MultiDict[str, str]
    files: Mapping[str, Upload]


@dataclass(frozen=True, slots=True)
class Studio:
    """Everything that the task pages need of the service.

    `ask` answers an operation, by its id, with the answer as JSON gives it; `check` says what it would refuse of a request as
    it stands, before anything is worked out. `read_document` reads a JSON object strictly; `read_form` the parts of a form
    with files.
    """

    sums: Mapping[str, Sum]
    kit: Kit
    ask: Callable[[str, Members], Members | Refused]
    check: Callable[[str, Members], Refused | None]
    read_document: Callable[[str], Members | Refused]
    read_form: Callable[[Request], Sent | Refused]
    most_upload_mb: int
