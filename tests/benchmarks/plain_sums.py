"""Fourteen figures of a reversed lens on an extension, in plain floats, by the core's formulas, and as a document.

`fourteen` is what someone would write without this project, and what the peer's rows are worked out by; `agree` checks that
all say the same before anything is timed.
"""

from collections.abc import Sequence
from math import isclose, log2
from typing import Any

from closeup_service.operations.set_up.evaluate.operation import CAMERA, REVERSED_35
from closeup_service.optics import depth, formulas
from closeup_service.optics.arithmetic import POINT

FIELDS = (
    "magnification", "subject_width_mm", "subject_height_mm", "working_distance_mm", "clearance_mm", "subject_to_sensor_mm",
    "rig_length_mm", "effective_f_number", "numerical_aperture", "light_loss_stops", "depth_of_field.front_depth_mm",
    "depth_of_field.rear_depth_mm", "depth_of_field.total_mm", "diffraction.subject_resolution_um",
)  # fmt: skip
LENS: dict[str, Any] = dict(REVERSED_35)
WIDTH_MM, HEIGHT_MM, BLUR_MM, WAVELENGTH_NM = 23.5, 15.6, 0.019, 550.0
DOCUMENT: Any = {
    "camera": {"register_mm": 18.0, "sensor_width_mm": WIDTH_MM, "sensor_height_mm": HEIGHT_MM,
               "circle_of_confusion_mm": BLUR_MM},
    "train": [LENS, {"element": "spacer", "length_mm": 31.0}],
}  # fmt: skip
POINT_MEMBERS = {
    "n": 8.0, "tube": 31.0, "f": 35.0, "p": 1.3, "plane": 21.0, "separation": 9.0, "register": 45.46, "camera": 18.0,
    "width": WIDTH_MM, "height": HEIGHT_MM, "blur": BLUR_MM, "wavelength": WAVELENGTH_NM,
}  # fmt: skip


def fourteen(
    n: float, tube: float, f: float, p: float, plane: float, separation: float, register: float, camera: float,
    width: float, height: float, blur: float, wavelength: float,
) -> tuple[float, ...]:  # fmt: skip
    """Every figure written out, in the order of FIELDS."""
    m = (camera + tube + plane) / f - 1
    working = register + f / m
    to_sensor = f * (2 + m + 1 / m) + separation
    effective = n / p * (1 + m * p)
    na = m / (2 * effective)
    half = (blur * effective + 2e-6 * wavelength * effective * effective) / (m * m)
    pupil = 1 / (f * (1 / m + p))
    front, rear = 1 / (1 / half + pupil), 1 / (1 / half - pupil)
    return (
        m, width / m, height / m, working, working, to_sensor, to_sensor - working, effective, na,
        2 * log2(effective / n), front, rear, front + rear, 0.6098349 * wavelength * 1e-3 / na,
    )  # fmt: skip


def by_formulas(
    n: float, tube: float, f: float, p: float, plane: float, separation: float, register: float, camera: float,
    width: float, height: float, blur: float, wavelength: float,
) -> tuple[float, ...]:  # fmt: skip
    """The same by the core's closed formulas of one thick lens, at one point."""
    m = formulas.magnification_reversed(f, camera + tube + plane)
    working = formulas.working_distance_reversed(f, m, register)
    to_sensor = formulas.subject_to_sensor(f, m, separation)
    as_mounted, pupils = formulas.marked_as_mounted(n, p, True)
    effective = formulas.effective_f_number(as_mounted, m, pupils)
    na = formulas.numerical_aperture(m, effective)
    half = depth.combined_half_depth(effective, m, blur, wavelength)
    pupil = formulas.inverse_entrance_pupil_distance(f, m, pupils)
    sharp = depth.depth_limits(half, m, pupil, POINT)
    return (
        m, width / m, height / m, working, working, to_sensor, to_sensor - working, effective, na,
        formulas.light_loss_stops(effective, n, POINT), sharp.front, sharp.rear, sharp.front + sharp.rear,
        formulas.subject_resolution_um(na, wavelength),
    )  # fmt: skip


def table_document(
    f_numbers: Sequence[float], lengths: Sequence[float], fields: Sequence[str] = FIELDS
) -> dict[str, Any]:
    """The same as a table over f-numbers and lengths of the extension."""
    columns = {"/train/0/f_number": f_numbers, "/train/1/length_mm": lengths}
    return {"camera": CAMERA, "train": [LENS, {"element": "spacer"}], "columns": columns, "fields": list(fields)}


def agree(one: Sequence[float], other: Sequence[float]) -> None:
    """Refuse to time two ways that do not say the same."""
    if not all(isclose(a, b, rel_tol=1e-6) for a, b in zip(one, other, strict=True)):
        raise AssertionError(f"The two ways do not agree:\n{one}\n{other}")
