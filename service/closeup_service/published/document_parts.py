"""The parts of the OpenAPI document that do not depend on the operations."""

from collections.abc import Mapping

from marshmallow import fields, validate

from closeup_service.operations.asking.media_types import CSV, HTML, JSON, PNG, PROBLEM_JSON, SVG
from closeup_service.operations.asking.problem_types import PROBLEM_TYPES
from closeup_service.operations.asking.refusals import MOST_DETAIL
from closeup_service.operations.set_up.evaluate.schemas import MOST_ELEMENTS
from closeup_service.operations.set_up.table.schemas import FIELDS, MOST_COLUMNS, MOST_ROWS
from closeup_service.published.problem_examples import examples_of
from closeup_service.published.resources import PATH as RESOURCES
from closeup_service.published.resources import Resources, resources
from closeup_service.schemas.answers import CODE_PATTERN, OpenSchema
from closeup_service.schemas.fields import ID_PATTERN
from closeup_service.schemas.items import MOST_FAULTS
from closeup_service.schemas.upload import MOST_FILE_BYTES

ONE_LINE = "^[^\\x00-\\x1f]*$"
MOST_POINTER = 2000
MOST_FILE = 64 * 1024 * 1024

TAGS = {
    "plan": "Before the shot: what fills the frame, with which parts.",
    "set up": "One set-up: distances, true aperture, depth.",
    "light": "Light: exposure from a known frame, flash, openings.",
    "shoot": "During the shot: how still, how short a flash, which frames of a stack.",
    "measure": "After the shot: what a ruler tells of magnification and lens.",
    "chart": "Curves and frames as drawings, with the rows that they are drawn from.",
    "refer": "Formats, mounts and threads, each with its source; the usual cautions; this studio's own kit.",
    "operate": "Whether the service is alive, and this document.",
}
DESCRIPTION = (
    "The sums of close-up photography for lenses mounted normally or reversed, tubes, bellows, close-up lenses, "
    "converters, coupled lenses and microscope objectives, by Gaussian optics of thick lenses with pupils. Units end "
    "the names (mm, m, um, nm, g, s, mm_s, rad_s, hz, v, dpt, arcmin, deg, lp_per_mm, px_per_mm, stops, pixels, px); names "
    "without one are ratios or counts. Every answer says what it assumed. Some schema-valid requests describe what cannot "
    "be, or give one thing twice or not at all: those get 422, with every fault by JSON pointer. Examples of answers here are "
    "short: of most lists they have the first entries alone, and no remarks or cautions."
)


def _text(description: str, longest: int, shortest: int = 1, pattern: str = ONE_LINE) -> dict[str, object]:
    return {
        "type": "string",
        "description": description,
        "minLength": shortest,
        "maxLength": longest,
        "pattern": pattern,
    }


RENDERED: dict[str, dict[str, object]] = {
    SVG: _text("A drawing, as SVG.", 1_000_000, pattern=r"^<svg [\s\S]*</svg>$"),
    PNG: {
        "type": "string",
        "format": "binary",
        "description": "A picture, as PNG.",
        "minLength": 1,
        "maxLength": 40_000_000,
    },
    HTML: _text("A page that prints on one side of A4.", 500_000, pattern=r"^<!doctype html>[\s\S]*$"),
    CSV: _text("A table, as CSV.", MOST_FILE, pattern=r"^[\s\S]*$"),
}
"""Schemas of the answers that are not JSON, by media type."""
PHOTOGRAPHS = "image/jpeg, image/png, image/tiff"
FILE: dict[str, object] = {
    "type": "string",
    "format": "binary",
    "contentMediaType": "application/octet-stream",
    "minLength": 1,
    "maxLength": MOST_FILE_BYTES,
}
"""Schema of a file in a form."""
ENCODED_PICTURE: dict[str, object] = {"contentEncoding": "base64", "contentMediaType": PNG}
FAULT: dict[str, object] = {
    "type": "object",
    "description": "One member at fault.",
    "required": ["pointer", "detail"],
    "properties": {
        "pointer": {
            "type": "string",
            "description": "JSON pointer (RFC 6901) of the member; /name of a query parameter; empty for the whole.",
            "minLength": 0,
            "maxLength": MOST_POINTER,
            "pattern": "^(/([^/~]|~[01])*)*$",
        },
        "detail": _text("What would be right.", MOST_DETAIL),
    },
}
PROBLEM: dict[str, object] = {
    "type": "object",
    "description": "Problem details (RFC 9457).",
    "required": ["type", "title", "status", "detail", "errors"],
    "properties": {
        "type": _text("Stable address of the kind of problem, a page.", 200, pattern="^/problems/[a-z-]+$"),
        "title": _text("Constant title of the kind.", 200),
        "status": {
            "type": "integer",
            "format": "int32",
            "description": "HTTP status.",
            "minimum": 400,
            "maximum": 599,
        },
        "detail": _text("What happened and what would mend it.", MOST_DETAIL),
        "code": _text(
            "Kind of impossibility, where optics refuses, or what is wrong with a photograph.", 64, pattern="^[a-z-]+$"
        ),
        "request_id": _text(
            "Id of the request, as in the header X-Request-Id; problems that a proxy makes may have none.",
            64,
            pattern="^[A-Za-z0-9][A-Za-z0-9._-]{0,63}$",
        ),
        "errors": {
            "type": "array",
            "description": f"Every member at fault, of more than {MOST_FAULTS} the first found; empty when none is.",
            "minItems": 0,
            "maxItems": MOST_FAULTS,
            "items": {"$ref": "#/components/schemas/Fault"},
        },
    },
}
OPENAPI_DOCUMENT: dict[str, object] = {
    "type": "object",
    "description": "An OpenAPI 3.1 document.",
    "required": ["openapi"],
    "properties": {
        "openapi": _text("Version of OpenAPI.", 20, pattern=r"^3\.1\.[0-9]+$"),
    },
}
ASSUMED_VALUE: dict[str, object] = {
    "description": "A number, or a word where the assumption is a choice.",
    "oneOf": [
        {"type": "number", "format": "double"},
        {"type": "string", "minLength": 1, "maxLength": 64, "pattern": ONE_LINE},
    ],
}
ASSUMED: dict[str, object] = {
    "type": "object",
    "description": "Value used for each datum that was not given: by name, in a set-up by JSON pointer.",
    "maxProperties": 500,
    "additionalProperties": {"$ref": "#/components/schemas/AssumedValue"},
}
COLUMNS: dict[str, object] = {
    "type": "object",
    "description": "Values of numbers of the set-up, and settings of lenses of the kit, row by row, each by its JSON pointer "
    "such as /train/0/f_number; all as long as each other, each value within the bounds of its member.",
    "minProperties": 1,
    "maxProperties": MOST_COLUMNS,
    "additionalProperties": {"$ref": "#/components/schemas/Column"},
}
COLUMN: dict[str, object] = {
    "type": "array",
    "description": "One value for each row.",
    "minItems": 1,
    "maxItems": MOST_ROWS,
    "items": {"$ref": "#/components/schemas/ColumnValue"},
}
COLUMN_VALUE: dict[str, object] = {
    "description": "A number, or the id of a setting.",
    "oneOf": [
        {"type": "number", "format": "double", "minimum": -5000.0, "maximum": 1000000.0},
        {"type": "string", "minLength": 1, "maxLength": 64, "pattern": ID_PATTERN},
    ],
}
RESULT_COLUMNS: dict[str, object] = {
    "type": "object",
    "description": "What was asked, row by row, by the names asked for.",
    "minProperties": 1,
    "maxProperties": len(FIELDS),
    "additionalProperties": {"$ref": "#/components/schemas/ResultColumn"},
}
RESULT_COLUMN: dict[str, object] = {
    "type": "array",
    "description": "One cell for each row.",
    "minItems": 1,
    "maxItems": MOST_ROWS,
    "items": {"$ref": "#/components/schemas/Cell"},
}
CELL: dict[str, object] = {
    "description": "A number, or a word where the result is a choice; null where the row is impossible, or the set-up does "
    "not determine it.",
    "oneOf": [
        {"type": ["number", "null"], "format": "double"},
        {"type": "string", "minLength": 1, "maxLength": 64, "pattern": ONE_LINE},
    ],
}
PROBLEMS: dict[str, object] = {
    "type": "array",
    "description": "Code of what makes each row impossible; null where it is possible.",
    "minItems": 1,
    "maxItems": MOST_ROWS,
    "items": {"type": ["string", "null"], "minLength": 1, "maxLength": 64, "pattern": CODE_PATTERN},
}
SET_UP_DOCUMENT: dict[str, object] = {
    "type": "object",
    "description": "A complete set-up document: the request body of /v1/set-ups/evaluate, to be sent as it is. Under "
    "kit_document its parts stand by their ids in the kit that was searched, which has to be known there or sent along; that "
    "member is present where all of them are in that kit.",
    "required": ["camera", "train"],
    "additionalProperties": True,
    "properties": {
        "camera": {"type": "object", "description": "The camera.", "additionalProperties": True},
        "train": {
            "type": "array",
            "description": "What light passes, subject first.",
            "minItems": 1,
            "maxItems": MOST_ELEMENTS,
            "items": {"type": "object", "description": "One part of the train.", "additionalProperties": True},
        },
    },
}
SCHEMAS = {
    "Fault": FAULT,
    "Problem": PROBLEM,
    "OpenApiDocument": OPENAPI_DOCUMENT,
    "AssumedValue": ASSUMED_VALUE,
    "Assumed": ASSUMED,
    "Columns": COLUMNS,
    "Column": COLUMN,
    "ColumnValue": COLUMN_VALUE,
    "ResultColumns": RESULT_COLUMNS,
    "ResultColumn": RESULT_COLUMN,
    "Cell": CELL,
    "Problems": PROBLEMS,
    "SetUpDocument": SET_UP_DOCUMENT,
}
HEADERS: dict[str, dict[str, object]] = {
    "Access-Control-Allow-Origin": {
        "description": "Which pages may read the answer; any, unless the operator lists them.",
        "schema": _text("An origin, or * for any.", 300),
    },
    "RateLimit": {
        "description": "What is left of the quota; sent by a proxy that limits (draft-ietf-httpapi-ratelimit-headers).",
        "schema": _text("Quota left.", 200),
    },
    "Policy": {
        "description": "The quota; sent by a proxy that limits (draft-ietf-httpapi-ratelimit-headers).",
        "schema": _text("Quota.", 200),
    },
    "Retry-After": {
        "description": "Seconds to wait before asking again.",
        "schema": {"type": "integer", "format": "int32", "minimum": 0, "maximum": 86400},
    },
}
SENT = {
    name: {"$ref": f"#/components/headers/{component}"}
    for name, component in (
        ("Access-Control-Allow-Origin", "Access-Control-Allow-Origin"),
        ("RateLimit", "RateLimit"),
        ("RateLimit-Policy", "Policy"),
    )
}

RETRY = {"Retry-After": {"$ref": "#/components/headers/Retry-After"}}


class HealthAnswer(OpenSchema):
    """The process is alive and ready."""

    status = fields.String(required=True, validate=validate.OneOf(("pass",)), metadata={"description": "Always pass."})


EVERYWHERE = (400, 406, 421, 429, 500)
"""Statuses that any operation can have. HTTP itself refuses with more, such as 405, 408, 412, 417, 501 and 505."""

_TITLES = {kind.status: kind.title for kind in reversed(PROBLEM_TYPES.values())}


def problem_responses(statuses: tuple[int, ...], photographs: bool = False) -> dict[str, object]:
    """Describe the answers that refuse, by status."""
    return {str(status): problem_response(status, photographs) for status in sorted(statuses)}


def problem_response(status: int, photographs: bool = False) -> dict[str, object]:
    """Describe an answer that refuses; requests with photographs are refused for more."""
    problem = {"schema": {"$ref": "#/components/schemas/Problem"}, "examples": examples_of(status, photographs)}
    response: dict[str, object] = {"description": f"{_TITLES[status]}.", "content": {PROBLEM_JSON: problem}}
    if status < 500:
        response["headers"] = SENT | (RETRY if status == 429 else {})
    if status == 503:
        response["headers"] = SENT | RETRY
    return response


def address_too_long() -> dict[str, object]:
    """Describe the refusal that never reaches the application."""
    response = problem_response(414)
    own, content = response["description"], response["content"]
    assert isinstance(content, dict)
    how = "Send the request by POST. The HTTP server or the proxy answers this, as a problem; once the server did as a page."
    page = {"schema": _text("A page that says so.", 5000, pattern="^[\\s\\S]*$")}
    return {**response, "description": f"{own} {how}", "content": {**content, HTML: page}}


def operating_paths() -> dict[str, dict[str, object]]:
    """Describe the addresses that are not sums."""
    health = {"schema": HealthAnswer(), "examples": {"alive": {"summary": "Alive", "value": {"status": "pass"}}}}
    document = {"schema": {"$ref": "#/components/schemas/OpenApiDocument"}, "example": {"openapi": "3.1.0"}}
    listed = {"schema": Resources(), "examples": {"resources": {"summary": "The resources", "value": resources()}}}
    listing = "Every resource of the API, with its address and methods"
    return {
        RESOURCES: {"get": operating("listResources", listing, listed, (406, 422))},
        "/healthz": {"get": operating("isAlive", "Whether the process is alive", health)},
        "/readyz": {"get": operating("isReady", "Whether the process is ready for requests", health)},
        "/openapi.json": {"get": operating("readDocument", "This document", document)},
    }


def operating(
    operation_id: str, summary: str, content: Mapping[str, object], statuses: tuple[int, ...] = ()
) -> dict[str, object]:
    """Describe one address that is not a sum."""
    return {
        "operationId": operation_id,
        "summary": summary,
        "description": f"{summary}.",
        "tags": ["operate"],
        "responses": {
            "200": {"description": f"{summary}.", "content": {JSON: content}, "headers": SENT},
            **problem_responses((400, 421, 429, 500, *statuses)),
        },
    }
