"""Members of a request that may be null, since answers have null there: it says, as in the answer, that nothing is known.

To every rule of a schema such a member is left out: null is taken away before any of them looks.
"""

from __future__ import annotations

from collections.abc import Mapping

import orjson
from marshmallow import Schema, fields

from closeup_service.schemas.quick_acceptance import Held

NULL_IN_ANSWERS = frozenset(
    (
        "allowed_blur_um",
        "ambient_share",
        "circle_of_confusion_mm",
        "clear_diameter_mm",
        "clearance_mm",
        "distance_mm",
        "effective_f_number",
        "entrance_pupil_diameter_mm",
        "extension_mm",
        "f_number",
        "flash_distance_mm",
        "focal_length_mm",
        "front_principal_plane_mm",
        "least_clearance_mm",
        "length_mm",
        "magnification",
        "magnification_uncertainty",
        "overlap",
        "price",
        "principal_plane_separation_mm",
        "pupil_magnification",
        "rear_principal_plane_mm",
        "scale_px_per_mm",
        "sensor_detail_lp_per_mm",
        "subject_height_mm",
        "subject_to_sensor_mm",
        "subject_width_mm",
        "tilt_deg",
        "working_distance_mm",
    )
)
"""Numbers that requests take, and that some answer leaves null where they are not determined."""
NULL = b"null"


def may_be_null(kind: type[Schema] | type[None], name: str, field: fields.Field[Held]) -> bool:
    """Whether a member of a request may be null; a required one may not, since null is no value."""
    takes_null: bool = getattr(kind, "takes_null", False)
    return takes_null and name in NULL_IN_ANSWERS and not field.required and isinstance(field, fields.Number)


def without_nulls(schema: Schema, data: Mapping[str, object]) -> Mapping[str, object]:
    """Request without the members that are null where null says that they are not known."""
    is_known = isinstance(data, Mapping)  # what else a file may hold, the schema refuses
    return taken_from(schema, data) if is_known and holds_null(data) else data


def holds_null(data: Mapping[str, object]) -> bool:
    """Whether there may be a null in a request: a look at its text, many times as quick as one at each value."""
    try:
        return NULL in orjson.dumps(data, default=without_content)
    except TypeError:  # a whole number too long for the library, which a fault will name
        return True


def without_content(value: object) -> object:
    """Another kind of mapping as a plain one, and nothing of what holds no members, such as a photograph."""
    return dict(value) if isinstance(value, Mapping) else ""


def taken_from(schema: Schema, data: Mapping[str, object]) -> dict[str, object]:
    """Object without such members, in itself and in what it holds."""
    known, kind = schema.fields, type(schema)
    return {
        name: taken_within(known.get(name), value)
        for name, value in data.items()
        if value is not None or name not in known or not may_be_null(kind, name, known[name])
    }


def taken_within(field: fields.Field[Held] | None, value: object) -> object:
    """Value of a member without them."""
    if isinstance(field, fields.List) and isinstance(value, list | tuple):
        return [taken_within(field.inner, each) for each in value]
    schema = schema_of(field, value)
    return taken_from(schema, value) if schema is not None and isinstance(value, Mapping) else value


def schema_of(field: fields.Field[Held] | None, value: object) -> Schema | None:
    """Schema of an object that a field holds: its own, or the one that the object names; None of anything else."""
    if isinstance(field, fields.Nested):
        return field.schema
    named = getattr(field, "schema_named_by", None)
    found: Schema | None = None if named is None else named(value)
    return found
