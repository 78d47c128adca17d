"""An invented lens of which every datum is known."""

from typing import Any

LENS: dict[str, Any] = {
    "element": "lens",
    "focal_length_mm": 50.0,
    "f_number": 4.0,
    "pupil_magnification": 1.25,
    "front_principal_plane_mm": 20.0,
    "principal_plane_separation_mm": 5.0,
    "register_mm": 45.46,
}
