"""Invented lenses of which only the engravings are known, in set-ups to be estimated."""

from typing import Any

CAMERA: dict[str, Any] = {"register_mm": 44.0, "sensor": "36x24", "circle_of_confusion_mm": 0.03, "pixel_pitch_um": 4.0}
WIDE: dict[str, Any] = {
    "element": "lens",
    "reversed": True,
    "focal_length_mm": 28,
    "f_number": 8,
    "register_mm": 44.0,
    "widest_f_number": 2.8,
}
TELE: dict[str, Any] = {**WIDE, "focal_length_mm": 85, "widest_f_number": 1.8}
"""Reversed on short rings such lenses differ too much: measure first."""
KNOWN: dict[str, Any] = {
    **WIDE,
    "front_principal_plane_mm": 37.0,
    "principal_plane_separation_mm": 26.0,
    "pupil_magnification": 1.8,
}


def unknown_set_up(lens: dict[str, Any] = WIDE, length_mm: float = 7.0, **more: Any) -> dict[str, Any]:
    train = [lens, {"element": "spacer", "length_mm": length_mm}]
    return {"camera": CAMERA, "train": train, "estimate_unknown": True, **more}
