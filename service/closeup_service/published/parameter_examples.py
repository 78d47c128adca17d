"""An example for every parameter of a query: a value of the operations' own examples, or else one that is written here.

The same name has the same example at every operation where it is valid, so that the document says it once.
"""

from collections.abc import Iterator, Mapping
from functools import cache

from marshmallow import ValidationError, fields

from closeup_service.operations.registry import operations
from closeup_service.schemas.fields import AnyField
from closeup_service.schemas.quick_acceptance import one_of

NOT_IN_EXAMPLES: Mapping[str, object] = {
    "acuity_arcmin": 1.5,
    "allowed_blur_pixels": 1.5,
    "barrel_length_mm": 52.0,
    "barrel_length_uncertainty_mm": 1.0,
    "camera": "field-camera",
    "duty_limit_pops": 30,
    "entrance_pupil_depth_uncertainty_mm": 2.0,
    "f_numbers": [5.6, 8.0, 11.0],
    "finest_division_mm": 0.5,
    "flash_t01_s": 0.002,
    "focusing_extension_mm": 4.0,
    "from_mount": "M42x1",
    "heads": 2,
    "least_f_number": 2.8,
    "least_lamp_distance_mm": 200.0,
    "modelling_lamp_distance_mm": 300.0,
    "other_focal_length_mm": 60.0,
    "other_focusing_extension_mm": 4.0,
    "other_front_principal_plane_mm": 21.0,
    "other_lens_register_mm": 45.46,
    "other_pupil_magnification": 1.2,
    "pitch_error": 0.002,
    "pixel_fill": 0.9,
    "pops": 4,
    "principal_plane_separation_mm": 9.0,
    "pupil_ratio_uncertainty": 0.05,
    "scale_px_per_mm": 100.0,
    "sensor_detail_lp_per_mm": 40.0,
    "sensor_height_mm": 15.6,
    "sensor_width_mm": 23.5,
    "share": 0.2,
    "subject_details_lp_per_mm": [40.0, 80.0],
    "to_thread": "M52x0.75",
    "trigger_limit_v": 6.0,
    "trigger_voltage_v": 5.0,
    "used_width_mm": 20.0,
    "viewing_distance_mm": 300.0,
    "wavelength_nm": 550.0,
    "working_distance_mm": 60.0,
    "zoom_from_mm": 28.0,
    "zoom_to_mm": 70.0,
}
"""Values of parameters that no example of a request states."""


def example_of(name: str, field: AnyField) -> object:
    """Return a value that a parameter takes."""
    return next(value for value in candidates(name, field) if is_taken(field, value))


def candidates(name: str, field: AnyField) -> Iterator[object]:
    """Yield values for a parameter, the best first."""
    yield from shown().get(name, [])
    if name in NOT_IN_EXAMPLES:
        yield NOT_IN_EXAMPLES[name]
    yield from sorted(one_of(field) or ())
    if isinstance(field, fields.Boolean):
        yield True


@cache
def shown() -> Mapping[str, list[object]]:
    """Values that the examples of requests state, by name, in the order of the documentation."""
    found: dict[str, list[object]] = {}
    for example in (each for operation in operations() for each in operation.examples):
        for name, value in example.request.items():
            found.setdefault(name, []).append(value)
    return found


def is_taken(field: AnyField, value: object) -> bool:
    """Whether a field takes a value."""
    try:
        field.deserialize(value)
    except ValidationError:
        return False
    return True
