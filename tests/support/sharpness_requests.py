"""What tests of depth of field, diffraction and best aperture ask."""

from typing import Any

DEPTH, DIFFRACTION, OPTIMUM = "/v1/depth-of-field", "/v1/diffraction", "/v1/optimum-aperture"
LIFE_SIZE: dict[str, Any] = {"magnification": 1, "f_number": 8, "pupil_magnification": 1}
BLUR = {"circle_of_confusion_mm": 0.02}
DEEP: dict[str, Any] = {"magnification": 1, "pupil_magnification": 1.3, "subject_depth_mm": 2}


def depth_of(lens: dict[str, Any], magnification: float, **more: Any) -> dict[str, Any]:
    """Request of the quantity for the lens of a set-up."""
    names = ("focal_length_mm", "f_number", "pupil_magnification")
    mounting = "reversed" if lens.get("reversed") else "normal"
    return {"mounting": mounting, "magnification": magnification} | {name: lens[name] for name in names} | more
