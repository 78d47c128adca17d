"""Members that many answers have in common, written once: the answers' schemas take them over by `allOf`."""

from __future__ import annotations

import json
from collections import Counter
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from closeup_service.published.document_types import JsonSchema

GROUPS = {
    "Notes": (("assumed", "remarks", "cautions"), "What an answer assumed, and what is worth knowing about it."),
    "Estimates": (
        ("coverage", "estimated", "ranges", "measure_first"),
        "What was estimated of a lens, and the ranges that follow; present where something was.",
    ),
    "Rig": (
        (
            *("subject_width_mm", "subject_height_mm", "working_distance_mm", "clearance_mm", "subject_to_sensor_mm"),
            *("rig_length_mm", "effective_f_number", "light_loss_stops"),
        ),
        "What a set-up is as a whole; null where the document does not determine it.",
    ),
    "Depths": (
        ("front_depth_mm", "rear_depth_mm", "total_mm", "depth_of_focus_mm"),
        "How deep the sharp zone is, and how far the sensor may be off.",
    ),
}
"""Name of a schema of its own, its members, and what they are together."""


def group_members(schemas: dict[str, JsonSchema]) -> None:
    """Move each group out of the open objects that have all of it alike."""
    for name, (members, description) in GROUPS.items():
        holders = [
            schema for schema in schemas.values() if is_open(schema) and set(members) <= set(schema["properties"])
        ]
        kinds = Counter(json.dumps(part(schema, members)) for schema in holders)
        if not kinds or kinds.most_common(1)[0][1] < 2:
            continue
        common = kinds.most_common(1)[0][0]
        for schema in holders:
            if json.dumps(part(schema, members)) == common:
                take_over(schema, name, members)
        shared: JsonSchema = json.loads(common)
        schemas[name] = {"type": "object", **shared, "description": description}


def is_open(schema: JsonSchema) -> bool:
    """Whether a schema is of an object that may have further members; a closed one cannot take any over."""
    return "properties" in schema and "additionalProperties" not in schema


def part(schema: JsonSchema, members: tuple[str, ...]) -> JsonSchema:
    """Return what a schema says of some members."""
    required = sorted(set(members) & set(schema.get("required", ())))
    told: JsonSchema = {"properties": {name: schema["properties"][name] for name in members}}
    if required:
        told["required"] = required
    return told


def take_over(schema: JsonSchema, name: str, members: tuple[str, ...]) -> None:
    """Let a schema refer to a group in place of the members."""
    schema["properties"] = {member: told for member, told in schema["properties"].items() if member not in members}
    left = [member for member in schema.get("required", ()) if member not in members]
    schema.pop("required", None)
    if left:
        schema["required"] = left
    schema["allOf"] = [*schema.get("allOf", ()), {"$ref": f"#/components/schemas/{name}"}]
