"""One record per operation: the route, the published document and the client's tests all read it."""

from collections.abc import Callable, Mapping
from datetime import datetime
from email.utils import format_datetime
from functools import cached_property
from typing import TYPE_CHECKING, Any

from marshmallow import Schema, fields
from msgspec import Struct, field

from closeup_service.operations.asking.limits import BYTES_PER_MIB
from closeup_service.operations.asking.media_types import JSON
from closeup_service.schemas.estimated import telling_estimates
from closeup_service.schemas.fields import declared_fields
from closeup_service.schemas.known_lens import ESTIMATE_UNKNOWN, EstimatedLensFields
from closeup_service.schemas.quick_acceptance import Held
from closeup_service.schemas.upload import PhotographFile
from closeup_service.schemas.worked_steps import taking_steps, telling_steps

if TYPE_CHECKING:
    from closeup_service.worked.board import Step

Answer = Callable[[Any], Mapping[str, object]]
"""Turns a loaded request into its answer; each operation states both by types of its own, of `records`."""

Steps = Callable[[Any, Any], "list[Step]"]
"""Works out the steps from the loaded request and its answer."""

Words = Callable[[Any], Mapping[str, object]]
"""Members of an answer that say its figures in words."""

Renderer = Callable[[Any, Any], bytes]
"""Turns the loaded request and its answer into the body of another media type than JSON."""

MOST_CONTENT_BYTES = BYTES_PER_MIB


class Example(Struct, frozen=True):
    """A request that really runs, from the invented seed-and-lichen kit."""

    name: str
    summary: str
    request: Mapping[str, Any]
    photographs: tuple[str, ...] = ()
    """Names of the invented photographs sent with it."""
    answer: Mapping[str, Any] | None = None
    """The answer as it once was, of a request that is not run when the document is made: it needs its photographs."""


class Operation(Struct, frozen=True, dict=True):
    """What one operation is called, takes, gives and does.

    `answer` turns the loaded request into the answer. `by_query` says how GET takes the request: "fields" as one query
    parameter each, "document" as URL-encoded JSON in one parameter, "none" when there is nothing to ask or POST alone
    asks it. `renderers` gives the other media types that a client may accept in place of JSON, the preferred one first;
    `rendered_with` the members that a request for one of them is understood to hold. An operation that `takes_kit` finds the
    kit under that name among the members of its request. One that has `steps` takes `show_steps`, and then tells them.
    `most_members` bounds how many possible lenses are asked for where its data are estimated; None where each costs little.
    `words` gives the members that say its figures in words, to be said anew where these are medians.
    """

    operation_id: str
    path: str
    tag: str
    summary: str
    description: str
    answer: Answer
    answer_type: type[Schema]
    request_type: type[Schema] | None = None
    by_query: str = "fields"
    examples: tuple[Example, ...] = ()
    renderers: Mapping[str, Renderer] = field(default_factory=dict)
    rendered_with: Mapping[str, Any] = field(default_factory=dict)
    deprecated_on: datetime | None = None
    sunset_on: datetime | None = None
    most_content_bytes: int = MOST_CONTENT_BYTES
    takes_kit: bool = False
    steps: Steps | None = None
    most_members: int | None = None
    words: Words | None = None

    @cached_property
    def request_schema(self) -> Schema | None:
        """Schema of the request, made when it is first asked for; None where there is nothing to ask."""
        if self.request_type is None:
            return None
        return (self.request_type if self.steps is None else taking_steps(self.request_type))()

    @cached_property
    def answer_schema(self) -> Schema:
        """Schema of the answer, made when it is first asked for."""
        told = telling_estimates(self.answer_type) if self.estimates_one_lens else self.answer_type
        return (told if self.steps is None else telling_steps(told))()

    @cached_property
    def estimates_one_lens(self) -> bool:
        """Whether the request has one lens whose unknown data may be estimated."""
        return self.request_type is not None and issubclass(self.request_type, EstimatedLensFields)

    @cached_property
    def methods(self) -> tuple[str, ...]:
        """HTTP methods, HEAD and OPTIONS aside."""
        if self.request_type is None:
            return ("GET",)
        return ("POST",) if self.takes_photographs or self.by_query == "none" else ("GET", "POST")

    @cached_property
    def photographs(self) -> str | None:
        """Name of the part that holds the photographs, where the request is a form with files."""
        known = {} if self.request_type is None else declared_fields(self.request_type)
        return next((name for name, each in known.items() if is_file(each)), None)

    @cached_property
    def takes_photographs(self) -> bool:
        """Whether the request is a form with files."""
        return self.photographs is not None

    @cached_property
    def may_wait(self) -> bool:
        """Whether it may wait for its turn: photographs do, and what is calculated for every possible lens or for many rows."""
        known = {} if self.request_type is None else declared_fields(self.request_type)
        return self.takes_photographs or ESTIMATE_UNKNOWN in known

    @cached_property
    def media_types(self) -> tuple[str, ...]:
        """Media types of the answer; JSON where the client does not care."""
        return (JSON, *self.renderers)

    @property
    def deprecation_headers(self) -> tuple[tuple[str, str], ...]:
        """Deprecation (RFC 9745) and Sunset (RFC 8594) of an operation that is to go; both dates in UTC."""
        headers = []
        if self.deprecated_on is not None:
            headers.append(("Deprecation", f"@{int(self.deprecated_on.timestamp())}"))
        if self.sunset_on is not None:
            headers.append(("Sunset", format_datetime(self.sunset_on, usegmt=True)))
        return tuple(headers)


def is_file(field: fields.Field[Held]) -> bool:
    """Whether a field is a file, or a list of them."""
    return isinstance(field.inner if isinstance(field, fields.List) else field, PhotographFile)
