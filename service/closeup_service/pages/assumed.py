"""Which results an assumed value makes a difference to.

What is not listed, such as the pupils of a lens, is known to reach into most results: the page says that once.
"""

from __future__ import annotations

from collections.abc import Mapping

from closeup_service.pages.task import Members, value_at

DEPTH = frozenset(("total_mm", "front_depth_mm", "rear_depth_mm", "depth_of_focus_mm"))
STACK = frozenset(("stack_frames", "stack_step_mm", "frames", "step_mm"))
DIFFRACTION = frozenset(
    ("airy_diameter_um", "sensor_resolution_um", "subject_resolution_um", "largest_useful_f_number")
)
BEST = frozenset(("best/nominal_f_number", "best/end_contrast", "advice"))
RING = BEST | {"nominal_f_number"}
READING = frozenset(("magnification_low", "magnification_high", "relative_uncertainty"))
OPTIMUM = frozenset(("optimum_f_number", "optimum_effective_f_number"))
OF_THE_BLUR = frozenset(("allowed_movement_um", "largest_useful_f_number", "circle_of_confusion_mm"))
BY_BLUR, BY_WAVELENGTH = ("combined", "geometric"), ("combined", "wave", "contrast")
"""Models of the depth of field that ask for a circle of confusion, and for a wavelength."""
TOUCHED: Mapping[str, frozenset[str]] = {
    "wavelength_nm": DIFFRACTION | OPTIMUM | RING | {"f_number"},
    "circle_of_confusion_mm": OF_THE_BLUR,
    "depth_of_field_model": DEPTH | STACK,
    "model": DEPTH | STACK,
    "overlap": STACK,
    "contrast": frozenset(("advice",)),
    "aperture_series": RING,
    "least_f_number": RING,
    "greatest_f_number": RING,
    "reading_error_mm": READING,
    "reading_error_px": READING,
    "finest_division_mm": READING,
    "scale_error": READING,
    "pitch_error": READING,
    "tilt_error_deg": READING,
}
MODELS_FOR: Mapping[str, tuple[str, ...]] = {
    "circle_of_confusion_mm": BY_BLUR,
    "wavelength_nm": BY_WAVELENGTH,
    "contrast": ("contrast",),
}


def is_touched(path: str, assumed: str, answer: Members) -> bool:
    """Whether the result at a path is known to depend on what was assumed under this name or JSON pointer."""
    member, name = assumed.rpartition("/")[2], path.rpartition("/")[2]
    known = TOUCHED.get(member, frozenset[str]())
    if name in DEPTH | STACK and model_of(answer) in MODELS_FOR.get(member, ()):
        return True
    return path in known or name in known


def model_of(answer: Members) -> object:
    """Model of the depth of field that an answer used."""
    return answer.get("model") or value_at(answer, "depth_of_field/model")
