"""What the published document need not say: what OpenAPI assumes anyway, and units that end the names already."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import TYPE_CHECKING

from closeup_service.advice.figures import capitalize
from closeup_service.schemas.describing import label

if TYPE_CHECKING:
    from closeup_service.published.document_types import Document, JsonSchema, Parameter

UNIT = re.compile(r" \[[^][]+\]$")
"""Unit at the end of a description."""


def terse(document: Document) -> Document:
    """Return the document without what goes without saying."""
    result: Document = json.loads(json.dumps(document))
    for name, schema in all_members(result["components"]["schemas"]):
        say_unit_once(name, schema)
    for item in result["paths"].values():
        for operation in item.values():
            for parameter in operation.get("parameters", ()):
                say_parameter_once(parameter)
    return result


def all_members(schemas: Mapping[str, JsonSchema]) -> list[tuple[str, JsonSchema]]:
    """Name and schema of every member."""
    return [member for schema in schemas.values() for member in schema.get("properties", {}).items()]


def say_parameter_once(parameter: Parameter) -> None:
    """A parameter is optional unless it says that it is required; what it means in full its schema says, as in a body."""
    if not parameter["required"]:
        del parameter["required"]
    if "schema" in parameter:
        parameter["description"] = capitalize(label(parameter["name"]))
        say_unit_once(parameter["name"], parameter["schema"])


def say_unit_once(name: str, described: JsonSchema) -> None:
    """Leave a unit out of a description where it ends the name, or where there is none: `x-unit` is 1 then."""
    unit = described.get("x-unit")
    if unit is not None and (unit == "1" or ends_with(name, unit)):
        described["description"] = UNIT.sub("", described["description"])


def ends_with(name: str, unit: str) -> bool:
    """Whether a name ends with a unit, as names write it."""
    written = unit.lower()
    return name.endswith((f"_{written.replace('/', '_per_')}", f"_{written.replace('/', '_')}"))
