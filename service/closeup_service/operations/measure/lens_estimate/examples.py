"""Examples of `/v1/lens-estimate`: the invented kit of the Saltmarsh Seed and Lichen Recording Group."""

from typing import Any

EXAMPLES: tuple[tuple[str, str, dict[str, Any]], ...] = (
    (
        "engravings-alone",
        "A 28 mm lens by what stands on its barrel, reversed with 7 mm of rings (invented kit)",
        {"focal_length_mm": 28, "widest_f_number": 2.8, "lens_register_mm": 45.46, "extension_mm": 7},
    ),
    (
        "with-a-rule",
        "The same lens after two minutes with a rule, for its effective f-number (invented kit)",
        {
            "focal_length_mm": 28,
            "widest_f_number": 2.8,
            "lens_register_mm": 45.46,
            "entrance_pupil_depth_mm": 22,
            "entrance_pupil_diameter_mm": 3.5,
            "exit_pupil_diameter_mm": 6.6,
            "camera_register_mm": 44,
            "extension_mm": 7,
            "f_number": 8,
            "figure": "effective_f_number",
        },
    ),
)
