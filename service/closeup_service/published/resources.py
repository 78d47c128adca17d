"""What `/v1` and `/v1/` answer: every resource of the API, from the operations' records."""

from __future__ import annotations

from marshmallow import fields, validate

from closeup_service.operations.registry import command_name, operations
from closeup_service.schemas.answers import TEXT, OpenSchema

PATH = "/v1"
"""Without a slash at its end, as every address of the document; with one it is the same."""
MOST_RESOURCES = 500


class Resource(OpenSchema):
    """One resource of the API."""

    name = fields.String(
        required=True,
        validate=[validate.Length(1, 64), validate.Regexp("^[a-z]+([ -][a-z]+)*$")],
        metadata={"description": "Its name: the command of the command line."},
    )
    address = fields.String(
        required=True,
        validate=[validate.Length(1, 2000), validate.Regexp("^/[!-~]*$")],
        metadata={"description": "Where it is, from the root of the host."},
    )
    methods = fields.List(
        fields.String(validate=[validate.Length(3, 7), validate.Regexp("^[A-Z]+$")]),
        required=True,
        validate=validate.Length(1, 2),
        metadata={"description": "Methods that are offered there, beside HEAD where there is GET, and OPTIONS."},
    )
    summary = fields.String(required=True, validate=TEXT, metadata={"description": "What it answers, in English."})


class Resources(OpenSchema):
    """Every resource of the API, in the order of the documentation."""

    records = fields.List(
        fields.Nested(Resource),
        required=True,
        validate=validate.Length(1, MOST_RESOURCES),
        metadata={"description": "The resources; the OpenAPI document at /openapi.json describes them in full."},
    )


def resources(root: str = "") -> dict[str, object]:
    """List the resources of a service that stands at a root."""
    records = [
        {
            "name": command_name(operation.path),
            "address": f"{root}{operation.path}",
            "methods": list(operation.methods),
            "summary": operation.summary,
        }
        for operation in operations()
    ]
    return {"records": records}
