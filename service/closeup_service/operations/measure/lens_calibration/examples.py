"""Examples of `/v1/lens-calibration`: the invented kit of the Saltmarsh Seed and Lichen Recording Group."""

from typing import Any


def frame(extension: float, magnification: float, **more: float) -> dict[str, float]:
    """One frame of a ruler."""
    return {"extension_mm": extension, "magnification": magnification, **more}


def setting(mark: float, *frames: tuple[float, float]) -> dict[str, object]:
    """One setting of a zoom, its frames as (extension, magnification), each read to 0.3 %."""
    return {
        "setting": mark,
        "frames": [frame(*each, magnification_uncertainty=round(0.003 * each[1], 5)) for each in frames],
    }


EXAMPLES: tuple[tuple[str, str, dict[str, Any]], ...] = (
    (
        "reversed-on-rings",
        "A 35 mm lens reversed on rings, four frames and two working distances (invented kit)",
        {
            "mounting": "reversed",
            "camera_register_mm": 18,
            "frames": [
                frame(31, 1.001, magnification_uncertainty=0.003),
                frame(45, 1.397, magnification_uncertainty=0.004),
                frame(
                    60,
                    1.831,
                    magnification_uncertainty=0.005,
                    working_distance_mm=64.4,
                    working_distance_uncertainty_mm=0.5,
                ),
                frame(
                    80,
                    2.398,
                    magnification_uncertainty=0.007,
                    working_distance_mm=60.3,
                    working_distance_uncertainty_mm=0.5,
                ),
            ],
            "entrance_pupil_diameter_mm": 4.4,
            "entrance_pupil_diameter_uncertainty_mm": 0.05,
            "exit_pupil_diameter_mm": 5.7,
            "exit_pupil_diameter_uncertainty_mm": 0.05,
        },
    ),
    (
        "normal-by-scatter",
        "A 60 mm lens on rings, its uncertainty from the scatter of five frames (invented kit)",
        {
            "camera_register_mm": 18,
            "error_model": "relative",
            "frames": [frame(12, 0.2068), frame(20, 0.3409), frame(32, 0.5394), frame(44, 0.7415), frame(56, 0.9391)],
            "least_extension_mm": 12,
            "greatest_extension_mm": 90,
        },
    ),
    (
        "one-frame-reversed",
        "The front principal plane of a 35 mm lens, from one frame reversed (invented kit)",
        {
            "mounting": "reversed",
            "camera_register_mm": 18,
            "lens_register_mm": 45.46,
            "focal_length_mm": 35,
            "focal_length_uncertainty_mm": 0.3,
            "frames": [frame(45, 1.397, magnification_uncertainty=0.004)],
        },
    ),
    (
        "one-frame-and-engravings",
        "A 28 mm lens reversed, from one frame and what stands on its barrel (invented kit)",
        {
            "mounting": "reversed",
            "camera_register_mm": 44,
            "lens_register_mm": 45.46,
            "focal_length_mm": 28,
            "widest_f_number": 2.8,
            "frames": [frame(7, 2.15)],
            "estimate_unknown": True,
        },
    ),
    (
        "zoom-between-settings",
        "A zoom on rings at three marks, and its lens between them (invented kit)",
        {
            "camera_register_mm": 18,
            "settings": [
                setting(24, (12, 0.5021), (20, 0.8302), (31, 1.2877)),
                setting(35, (12, 0.3495), (20, 0.5752), (31, 0.8866)),
                setting(50, (12, 0.2478), (20, 0.4056), (31, 0.6259)),
            ],
            "interpolate_at": 28,
        },
    ),
)
