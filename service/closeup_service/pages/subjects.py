"""What is folded away of a result, by its subject, so that a page leads with the answer."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct

from closeup_service.language import mark, tr
from closeup_service.pages.answer_tables import Grid
from closeup_service.pages.results import Row

FRAMING, SHARPNESS, LIGHT = mark("Framing"), mark("Sharpness and depth of field"), mark("Light")
ROOM, STACK, MEASUREMENT, MORE = mark("Room and size"), mark("Focus stack"), mark("Measurement"), mark("More figures")
ORDER = (FRAMING, SHARPNESS, LIGHT, ROOM, STACK, MEASUREMENT, MORE)
NAMES: Mapping[str, tuple[str, ...]] = {
    FRAMING: ("magnification", "subject_width_mm", "subject_height_mm", "framed", "meeting", "arrangements"),
    SHARPNESS: (
        *(
            "total_mm",
            "front_depth_mm",
            "rear_depth_mm",
            "depth_of_focus_mm",
            "subject_resolution_um",
            "airy_diameter_um",
        ),
        *("optimum_f_number", "allowed_movement_um", "circle_of_confusion_mm", "sampling", "largest_useful_f_number"),
    ),
    LIGHT: ("effective_f_number", "light_loss_stops", "exposure_factor", "numerical_aperture", "fall_off_stops"),
    ROOM: (
        *("working_distance_mm", "clearance_mm", "subject_distance_mm", "subject_to_sensor_mm", "rig_length_mm"),
        *("value", "extension_mm", "flange_mm", "sensor_mm"),
    ),
    STACK: ("stack_frames", "stack_step_mm", "frames", "step_mm"),
    MEASUREMENT: (
        *("magnification_low", "magnification_high", "relative_uncertainty", "scale_px_per_mm", "ruler_length_mm"),
        *("marks_used", "tilt_deg", "distortion", "lateral_colour_um"),
    ),
}
SUBJECT_OF: Mapping[str, str] = {name: subject for subject, names in NAMES.items() for name in names}


class Fold(Struct, frozen=True):
    """Results that are folded away under one title."""

    title: str
    rows: Sequence[Row] = ()
    grids: Sequence[Grid] = ()


def fold_rows(rows: Iterable[Row]) -> list[Fold]:
    """Rows by their subjects, in a fixed order."""
    by_subject: dict[str, list[Row]] = {}
    for each in rows:
        by_subject.setdefault(SUBJECT_OF.get(each.name, MORE), []).append(each)
    return [Fold(tr(subject), by_subject[subject]) for subject in ORDER if subject in by_subject]
