"""Requests which, beside the documented examples, show every formula of the worked sums (all of the invented kit)."""

from typing import Any

SENSOR = {"sensor": "23.5x15.6"}
CAMERA: dict[str, Any] = {"register_mm": 18.0, **SENSOR}
REVERSED = {"mounting": "reversed", "pupil_magnification": 1.3}
NORMAL = {"pupil_magnification": 0.9}
WIDE: dict[str, Any] = {
    "element": "lens",
    "focal_length_mm": 35,
    "f_number": 8,
    "pupil_magnification": 1.3,
    "front_principal_plane_mm": 21.0,
    "register_mm": 45.46,
}
LONG: dict[str, Any] = {
    "element": "lens",
    "focal_length_mm": 105,
    "f_number": 5.6,
    "pupil_magnification": 0.9,
    "front_principal_plane_mm": 30,
    "rear_principal_plane_mm": -40,
}
FINITE = {
    "element": "objective",
    "magnification": 4,
    "numerical_aperture": 0.1,
    "tube_length_mm": 160,
    "working_distance_mm": 17,
}


def spacer(length: float, **more: float) -> dict[str, Any]:
    return {"element": "spacer", "length_mm": length, **more}


def set_up(*train: dict[str, Any], **more: Any) -> tuple[str, dict[str, Any]]:
    return "/v1/set-ups/evaluate", {"camera": CAMERA, "train": list(train), **more}


def motion(**members: Any) -> tuple[str, dict[str, Any]]:
    return "/v1/motion-blur", {"magnification": 2, "exposure_time_s": 0.01, "allowed_blur_um": 60, **members}


SIDEWAYS, VIBRATION = {"sideways_speed_mm_s": 1.0}, {"vibration_amplitude_um": 3, "vibration_frequency_hz": 20}
ROTATION = {"rotation_rad_s": 0.003, "focal_length_mm": 60}
FLASHED = {"f_number": 8, "magnification": 1, "flash_power": 0.125, "flash_distance_mm": 300}

ONE_LENS: list[tuple[str, dict[str, Any]]] = [
    ("/v1/magnification", {"subject_height_mm": 10, **SENSOR, "focal_length_mm": 50}),
    (
        "/v1/magnification",
        {
            "subject_width_mm": 60,
            **SENSOR,
            "focal_length_mm": 50,
            "focusing_extension_mm": 2,
            "lens_register_mm": 45.46,
            "camera_register_mm": 46.5,
        },
    ),
    (
        "/v1/magnification",
        {"extension_mm": 20, "focal_length_mm": 50, "lens_register_mm": 45.46, "camera_register_mm": 46.5},
    ),
    ("/v1/magnification", {"extension_mm": 20, "focal_length_mm": 50, "focusing_extension_mm": 3}),
    ("/v1/magnification", {"working_distance_mm": 90, "focal_length_mm": 50, "front_principal_plane_mm": 15}),
    (
        "/v1/magnification",
        {
            **{"mounting": "reversed", "working_distance_mm": 80, "focal_length_mm": 35, "lens_register_mm": 45.46},
            **{"camera_register_mm": 18, "front_principal_plane_mm": 21, "focusing_extension_mm": 1.5},
        },
    ),
    (
        "/v1/working-distance",
        {
            "focal_length_mm": 50,
            "magnification": 0.5,
            "front_principal_plane_mm": 15,
            "principal_plane_separation_mm": -3,
        },
    ),
    ("/v1/depth-of-field", {"f_number": 8, "magnification": 1, "model": "wave", **NORMAL}),
    (
        "/v1/depth-of-field",
        {"f_number": 8, "magnification": 1, "model": "geometric", **SENSOR, "print_width_mm": 300, **NORMAL},
    ),
    (
        "/v1/diffraction",
        {
            **{
                "f_number": 8,
                "magnification": 1,
                "light": "white",
                "pixel_pitch_um": 3.9,
                "circle_of_confusion_mm": 0.02,
            },
            "sensor_details_lp_per_mm": [40, 140],
        },
    ),
    ("/v1/diffraction", {"f_number": 4, "magnification": 1, "pixel_pitch_um": 3.9, "sensor_details_lp_per_mm": [140]}),
    (
        "/v1/optimum-aperture",
        {"magnification": 2, "subject_depth_mm": 1, "focal_length_mm": 35, "subject_detail_lp_per_mm": 30, **REVERSED},
    ),
    ("/v1/optimum-aperture", {"magnification": 2, "subject_depth_mm": 1, **SENSOR, "focal_length_mm": 35, **REVERSED}),
    ("/v1/optimum-aperture", {"magnification": 1, "subject_depth_mm": 2, "model": "geometric", **SENSOR, **NORMAL}),
    ("/v1/optimum-aperture", {"magnification": 1, "subject_depth_mm": 2, "model": "wave", **NORMAL}),
    (
        "/v1/format-equivalence",
        {
            **{"magnification": 0.5, "f_number": 11, **NORMAL, **SENSOR, "other_sensor": "56x56"},
            **{"framing_by": "diagonal", "focal_length_mm": 50, "other_focal_length_mm": 105},
            **{"other_lens_register_mm": 45.46, "other_camera_register_mm": 46.5, "other_focusing_extension_mm": 3},
        },
    ),
]
LIGHT: list[tuple[str, dict[str, Any]]] = [
    (
        "/v1/exposure",
        {
            "reference": {"f_number": 8, "magnification": 1, "iso": 100, "exposure_time_s": 0.01, "filter_stops": 1},
            "planned": {"exposure_time_s": 0.02, "filter_stops": 3, "iso": 200},
            "unknown": "f_number",
        },
    ),
    (
        "/v1/exposure",
        {
            "reference": {"f_number": 8, "magnification": 1, "iso": 100, "exposure_time_s": 0.01, **REVERSED},
            "planned": {"magnification": 2, "exposure_time_s": 0.05},
            "unknown": "f_number",
        },
    ),
    (
        "/v1/exposure",
        {
            "reference": {"f_number": 8, "magnification": 1, "iso": 100, "exposure_time_s": 0.01},
            "planned": {"magnification": 2, "exposure_time_s": 0.05},
            "unknown": "iso",
        },
    ),
    (
        "/v1/exposure",
        {
            "reference": {**FLASHED, "source_diameter_mm": 60, "transmission": 0.5, "pops": 1},
            "planned": {"flash_power": 0.25, "transmission": 0.8, "flash_transmission": 0.5, "pops": 2},
            "unknown": "flash_distance_mm",
        },
    ),
    (
        "/v1/exposure",
        {
            "reference": {**FLASHED, "flash_power": 5},
            "planned": {"flash_power": 6.5},
            "unknown": "flash_distance_mm",
            "flash_scale": {"kind": "dial", "least": 2, "greatest": 9, "unit_stops": 1},
        },
    ),
    (
        "/v1/exposure",
        {
            "reference": {**FLASHED, "flash_power": 3},
            "planned": {"flash_power": 2},
            "unknown": "flash_distance_mm",
            "flash_scale": {"kind": "stops-below-full"},
        },
    ),
    (
        "/v1/exposure",
        {
            "reference": {**FLASHED, "flash_power": 3, "iso": 100, "exposure_time_s": 0.01},
            "planned": {"magnification": 2},
            "unknown": "flash_power",
            "flash_scale": {"kind": "stops-below-full"},
            "ambient": {"below_mid_grey_stops": 4},
        },
    ),
    (
        "/v1/exposure",
        {
            "reference": {"effective_f_number": 16, "exposure_time_s": 0.5},
            "planned": {"exposure_time_s": 1},
            "planned_set_up": {"camera": CAMERA, "train": [{**WIDE, "reversed": True}, spacer(31)]},
            "unknown": "f_number",
        },
    ),
    (
        "/v1/flash",
        {"guide_number_m": 20, "heads": 2, "f_number": 8, "magnification": 1, "flash_power_fraction": 0.25, "pops": 1},
    ),
    (
        "/v1/flash",
        {
            **{"guide_number_m": 20, "f_number": 8, "magnification": 1, "flash_power_fraction": 0.25, "pops": 1},
            "source_diameter_mm": 60,
        },
    ),
    (
        "/v1/clear-opening",
        {
            **{"f_number": 8, "magnification": 1, "focal_length_mm": 50, "front_principal_plane_mm": 15, **SENSOR},
            **{"distance_from_subject_mm": 40, "opening_diameter_mm": 1.5},
        },
    ),
]
FRAMES: list[tuple[str, dict[str, Any]]] = [
    motion(**ROTATION, **REVERSED),
    motion(**SIDEWAYS, **VIBRATION),
    motion(**ROTATION, **VIBRATION),
    motion(**SIDEWAYS, **ROTATION, **VIBRATION),
    motion(**SIDEWAYS, vibration_amplitude_um=3, vibration_frequency_hz=100),
    (
        "/v1/focus-stack",
        {"f_number": 8, "magnification": 1, "circle_of_confusion_mm": 0.02, "subject_depth_mm": 9, "clearance_mm": 50},
    ),
    (
        "/v1/focus-stack",
        {
            "f_number": 8,
            "magnification": 1,
            "circle_of_confusion_mm": 0.02,
            "subject_depth_mm": 0.2,
            "clearance_mm": 50,
        },
    ),
    (
        "/v1/focus-stack",
        {
            **{"f_number": 8, "magnification": 2, "focal_length_mm": 60, **NORMAL, "circle_of_confusion_mm": 0.02},
            **{"subject_depth_mm": 3, "method": "ring", "clearance_mm": 50},
        },
    ),
    (
        "/v1/focus-stack",
        {
            **{"f_number": 8, "magnification": 2, "focal_length_mm": 35, "circle_of_confusion_mm": 0.02},
            **{"mounting": "reversed", "pupil_magnification": 1.6, "subject_depth_mm": 3, "method": "ring"},
        },
    ),
]
MEASURED: list[tuple[str, dict[str, Any]]] = [
    ("/v1/scale-reading", {"first_mark_mm": 2, "last_mark_mm": 17, "pixel_pitch_um": 3.9, "image_width_px": 6000}),
    (
        "/v1/scale-reading",
        {"first_mark_mm": 2, "last_mark_mm": 17, **SENSOR, "crop_factor": 1.5, "tilt_deg": 3, "tilt_error_deg": 1},
    ),
    (
        "/v1/scale-reading",
        {
            "first_mark_mm": 2,
            "last_mark_mm": 7,
            **SENSOR,
            "distance_px": 1500,
            "pixel_pitch_um": 3.9,
            "pitch_error": 0.001,
        },
    ),
    (
        "/v1/lens-calibration",
        {
            "camera_register_mm": 18,
            "frames": [
                {
                    "extension_mm": 12,
                    "magnification": 0.2068,
                    "subject_to_sensor_mm": 424,
                    "subject_to_sensor_uncertainty_mm": 0.5,
                },
                {
                    "extension_mm": 32,
                    "magnification": 0.5394,
                    "subject_to_sensor_mm": 265.6,
                    "subject_to_sensor_uncertainty_mm": 0.5,
                },
                {
                    "extension_mm": 56,
                    "magnification": 0.9391,
                    "subject_to_sensor_mm": 242.2,
                    "subject_to_sensor_uncertainty_mm": 0.5,
                },
            ],
            "reference_f_number": 4,
            "reference_light_loss_stops": 1.9,
        },
    ),
    (
        "/v1/lens-calibration",
        {
            "camera_register_mm": 44,
            "lens_register_mm": 44,
            "frames": [{"extension_mm": e, "magnification": m} for e, m in ((10, 0.2026), (30, 0.6013), (50, 0.9975))],
        },
    ),
    (
        "/v1/lens-calibration",
        {
            "mounting": "reversed",
            "camera_register_mm": 18,
            "lens_register_mm": 45.46,
            "infinity_stop_play_mm": 0.1,
            "frames": [
                {
                    "extension_mm": e,
                    "magnification": m,
                    "magnification_uncertainty": 0.003,
                    "working_distance_mm": w,
                    "working_distance_uncertainty_mm": 0.5,
                }
                for e, m, w in ((31, 1.001, 80.2), (60, 1.831, 64.4), (80, 2.398, 60.3))
            ],
        },
    ),
]
SET_UPS: list[tuple[str, dict[str, Any]]] = [
    set_up(
        LONG,
        spacer(60),
        subject_depth_mm=60,
        exposure={"reference": {"effective_f_number": 8, "exposure_time_s": 0.01}, "unknown": "exposure_time_s"},
        clear_opening={"distance_mm": 10, "opening_diameter_mm": 30},
    ),
    set_up({**LONG, "reversed": True}, spacer(60)),
    set_up({"element": "close-up-lens", "power_dpt": 4}, spacer(5), LONG, spacer(58)),
    set_up({"element": "close-up-lens", "focal_length_mm": 250}, LONG, spacer(58)),
    set_up(spacer(8), {**WIDE, "register_mm": 45.46}, spacer(45)),
    set_up(
        {**WIDE, "register_mm": 45.46}, spacer(40), {"element": "teleconverter", "factor": 2, "added_length_mm": 48}
    ),
    set_up(FINITE, spacer(132)),
    set_up(LONG, spacer(60, clear_diameter_mm=4)),
    set_up(spacer(10, clear_diameter_mm=3), WIDE, spacer(45)),
    set_up({**WIDE, "reversed": True}, LONG, spacer(62)),
    set_up(
        {**WIDE, "register_mm": 45.46},
        spacer(40),
        solve={"unknown": "/train/0/focusing_extension_mm", "target": {"magnification": 0.5}},
    ),
    set_up(
        {"element": "objective", "magnification": 5, "numerical_aperture": 0.14, "tube_lens_focal_length_mm": 200},
        {"element": "lens", "focal_length_mm": 200, "f_number": 4, "register_mm": 18.0},
        clear_opening={"distance_mm": 5},
    ),
    set_up(
        {
            "element": "objective",
            "magnification": 5,
            "numerical_aperture": 0.14,
            "tube_lens_focal_length_mm": 200,
            "working_distance_mm": 34,
        },
        {"element": "lens", "focal_length_mm": 200, "f_number": 4, "register_mm": 18.0},
        clear_opening={"distance_mm": 5, "opening_diameter_mm": 20},
    ),
]
REQUESTS = [*ONE_LENS, *LIGHT, *FRAMES, *MEASURED, *SET_UPS]
