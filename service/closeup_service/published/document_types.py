"""The published document as pages and the short form of it read it: types of what is looked up in it, and of no more."""

from collections.abc import Mapping, Sequence
from typing import NotRequired, TypedDict

OddNames = TypedDict("OddNames", {"$ref": str, "x-unit": str}, total=False)
"""Members whose names are none of Python's."""


class JsonSchema(OddNames, TypedDict, total=False):
    """Schema of an object, of a member, or of an entry."""

    description: str
    type: str | list[str]
    properties: Mapping[str, "JsonSchema"]
    required: Sequence[str]
    additionalProperties: bool
    items: "JsonSchema"
    minItems: int
    enum: Sequence[object]
    minimum: float
    maximum: float
    oneOf: Sequence["JsonSchema"]
    allOf: Sequence["JsonSchema"]


class DocumentExample(TypedDict):
    """Example of a request or of an answer."""

    summary: NotRequired[str]
    description: NotRequired[str]
    value: object


class Content(TypedDict):
    """One media type of a request or of an answer."""

    schema: JsonSchema
    examples: NotRequired[Mapping[str, DocumentExample]]


class Parameter(TypedDict):
    """One parameter of a query: of a schema, or the whole request in one."""

    name: str
    required: NotRequired[bool]
    description: str
    schema: NotRequired[JsonSchema]
    content: NotRequired[Mapping[str, Content]]


class RequestBody(TypedDict):
    """What is sent by POST."""

    content: Mapping[str, Content]


class DocumentResponse(TypedDict):
    """What is answered with one status."""

    description: str
    content: NotRequired[Mapping[str, Content]]


class DocumentOperation(TypedDict):
    """One method of one address."""

    operationId: str
    summary: str
    description: str
    tags: Sequence[str]
    parameters: NotRequired[Sequence[Parameter]]
    requestBody: NotRequired[RequestBody]
    responses: Mapping[str, DocumentResponse]


PathItem = Mapping[str, DocumentOperation]
"""Methods of one address."""


class Tag(TypedDict):
    """A group of operations."""

    name: str
    description: str


class Components(TypedDict):
    """What is said once and referred to."""

    schemas: Mapping[str, JsonSchema]


class Document(TypedDict):
    """The whole document."""

    tags: Sequence[Tag]
    paths: Mapping[str, PathItem]
    components: Components
