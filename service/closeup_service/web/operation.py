"""One record per operation: the route, the published document and the client's tests all read it."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from email.utils import format_datetime
from typing import Any

from marshmallow import Schema

Answer = Callable[[Mapping[str, Any]], Mapping[str, Any]]


@dataclass(frozen=True, slots=True)
class Example:
    """A request that really runs, from the invented seed-and-lichen kit."""

    name: str
    summary: str
    request: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Operation:
    """What one operation is called, takes, gives and does.

    `answer` turns the loaded request into the answer. `by_query` says how GET takes the request: "fields" as one query
    parameter each, "document" as URL-encoded JSON in one parameter, "none" when there is nothing to ask.
    """

    operation_id: str
    path: str
    tag: str
    summary: str
    description: str
    answer: Answer
    answer_schema: Schema
    request_schema: Schema | None = None
    by_query: str = "fields"
    examples: tuple[Example, ...] = ()
    deprecated_on: datetime | None = None
    sunset_on: datetime | None = None

    @property
    def methods(self) -> tuple[str, ...]:
        """HTTP methods, HEAD and OPTIONS aside."""
        return ("GET",) if self.request_schema is None else ("GET", "POST")

    @property
    def deprecation_headers(self) -> tuple[tuple[str, str], ...]:
        """Deprecation (RFC 9745) and Sunset (RFC 8594) of an operation that is to go; both dates in UTC."""
        headers = []
        if self.deprecated_on is not None:
            headers.append(("Deprecation", f"@{int(self.deprecated_on.timestamp())}"))
        if self.sunset_on is not None:
            headers.append(("Sunset", format_datetime(self.sunset_on, usegmt=True)))
        return tuple(headers)
