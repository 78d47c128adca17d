"""A small kit to search: one lens of 50 mm, one tube, and a subject that they show at half size (invented)."""

from typing import Any

SEARCH = "/v1/set-ups/search"
BODY = {"mount": "bayonet-18.0", "side": "body"}
LENS_SIDE = {"mount": "bayonet-18.0", "side": "lens"}
FIFTY: dict[str, Any] = {
    "id": "fifty",
    "name": "Fifty",
    "mount": "bayonet-18.0",
    "front_thread": "M52x0.75",
    "f_numbers": [2, 2.8, 4, 5.6, 8, 11, 16],
    "settings": [
        {"id": "only", "focal_length_mm": 50, "front_principal_plane_mm": 20, "principal_plane_separation_mm": 2}
    ],
}


def tube(part_id: str, length: float, **more: Any) -> dict[str, Any]:
    return {"id": part_id, "name": part_id, "front": BODY, "rear": LENS_SIDE, "length_mm": length, **more}


def kit(**more: Any) -> dict[str, Any]:
    camera = {"id": "camera", "name": "Camera", "mount": "bayonet-18.0", "sensor": "23.5x15.6"}
    return {"name": "test", "cameras": [camera], "lenses": [FIFTY], "tubes": [tube("tube-25", 25)], **more}


def own(**more: Any) -> dict[str, Any]:
    """A subject 47 mm wide: half size, which 25 mm of extension give a 50 mm lens (m = d / f)."""
    return {"subject_width_mm": 47.0, "camera": {"use": "camera"}, "kit": kit(), **more}
