"""One lens: magnification, distances, effective aperture."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from closeup_service.optics import formulas
from closeup_service.optics.arithmetic import R
from closeup_service.worked.board import Board, Step
from closeup_service.worked.formula import Calculated
from closeup_service.worked.sources import DEFINITION, HECHT, KINGSLAKE, RAY, TURNED

if TYPE_CHECKING:
    from closeup_service.records import answers, requests


def mark_of(effective: R, magnification: R, pupil_magnification: R) -> R:
    """Marked f-number that gives an effective one: in proportion to what a mark of 1 gives."""
    return effective / formulas.effective_f_number(1.0, magnification, pupil_magnification)


def mark_of_reversed(effective: R, magnification: R, pupil_magnification: R) -> R:
    """Marked f-number of a reversed lens that gives an effective one."""
    return effective / formulas.effective_f_number_of_reversed_lens(1.0, magnification, pupil_magnification)


def pupil_distance(focal_length: R, magnification: R, pupil_magnification: R) -> R:
    """Subject to entrance pupil [mm], p as the lens stands."""
    return 1 / formulas.inverse_entrance_pupil_distance(focal_length, magnification, pupil_magnification)


BY_WIDTH = Calculated(
    "m", formulas.magnification_by_framing, "w_s w", "Magnification that fills the frame's width", DEFINITION
)
BY_HEIGHT = Calculated(
    "m", formulas.magnification_by_framing, "h_s h", "Magnification that fills the frame's height", DEFINITION
)
WHOLE_EXTENSION = Calculated(
    "d", formulas.whole_extension, "e e_f R_c-R_l", "Extension beyond infinity focus, on another camera", HECHT
)
OWN_EXTENSION = Calculated(
    "d", formulas.whole_extension, "e e_f 0", "Extension beyond infinity focus, on the lens's own mount", HECHT
)
BY_EXTENSION = Calculated(
    "m", formulas.magnification_by_extension, "f d", "Magnification by extension, lens mounted normally", HECHT
)
TO_SENSOR = Calculated(
    "Q", formulas.sensor_to_plane, "R_c e a", "Sensor to the principal plane of a reversed lens", HECHT
)
BY_EXTENSION_REVERSED = Calculated(
    "m", formulas.magnification_reversed, "f Q", "Magnification by extension, lens reversed", HECHT
)
TO_PLANE = Calculated(
    "s",
    formulas.subject_distance_by_front,
    "WD a",
    "Subject distance from the working distance, lens mounted normally",
    HECHT,
)
TO_PLANE_REVERSED = Calculated(
    "s",
    formulas.subject_distance_of_reversed_lens,
    "WD R_l e_f f",
    "Subject distance from the working distance, lens reversed",
    HECHT,
)
BY_SUBJECT_DISTANCE = Calculated(
    "m", formulas.magnification_by_subject_distance, "f s", "Magnification by the subject's distance", HECHT
)
EXTENSION = Calculated(
    "e",
    formulas.extension_for_magnification,
    "f m e_f R_c-R_l",
    "Extension for a magnification, on another camera",
    HECHT,
)
EXTENSION_OWN = Calculated(
    "e",
    formulas.extension_for_magnification,
    "f m e_f 0",
    "Extension for a magnification, on the lens's own mount",
    HECHT,
)
EXTENSION_REVERSED = Calculated(
    "e", formulas.extension_of_reversed_lens, "f m R_c a", "Extension for a magnification, lens reversed", HECHT
)
WIDTH = Calculated("w", formulas.subject_size, "w_s m", "Width of what fills the frame", DEFINITION)
HEIGHT = Calculated("h", formulas.subject_size, "h_s m", "Height of what fills the frame", DEFINITION)

SUBJECT_DISTANCE = Calculated("s", formulas.subject_distance, "f m", "Subject to first principal plane", HECHT)
WORKING_DISTANCE = Calculated("WD", formulas.working_distance, "s a", "Working distance, lens mounted normally", HECHT)
WORKING_DISTANCE_REVERSED = Calculated(
    "WD", formulas.working_distance_reversed, "f m R_l e_f", "Working distance, lens reversed", HECHT
)
TOTAL = Calculated("L", formulas.subject_to_sensor, "f m i", "Subject to sensor", HECHT)

EFFECTIVE = Calculated(
    "N_eff", formulas.effective_f_number, "N m p", "Effective f-number, lens mounted normally", KINGSLAKE
)
EFFECTIVE_REVERSED = Calculated(
    "N_eff", formulas.effective_f_number_of_reversed_lens, "N m p", "Effective f-number, lens reversed", TURNED
)
MARK = Calculated("N", mark_of, "N_eff m p", "Marked f-number for an effective one, lens mounted normally", KINGSLAKE)
MARK_REVERSED = Calculated(
    "N", mark_of_reversed, "N_eff m p", "Marked f-number for an effective one, lens reversed", TURNED
)
LIGHT_LOSS = Calculated("n_s", formulas.light_loss_stops, "N_eff N", "Light lost against the mark, in stops", RAY)
EXPOSURE_FACTOR = Calculated("k_t", formulas.exposure_factor, "N_eff N", "Factor on the exposure time", RAY)
NUMERICAL_APERTURE = Calculated(
    "NA", formulas.numerical_aperture, "m N_eff", "Numerical aperture on the subject's side", HECHT
)
PUPIL = Calculated("z", pupil_distance, "f m p", "Subject to entrance pupil, lens mounted normally", HECHT)
PUPIL_REVERSED = Calculated("z", pupil_distance, "f m 1/p", "Subject to entrance pupil, lens reversed", HECHT)


def board_of(asked: Mapping[str, object], answer: answers.Answer) -> Board:
    """Board with what was given and assumed; the usual lens where nothing is said."""
    return Board({"pupil_magnification": 1.0, "focusing_extension_mm": 0.0}, answer["assumed"], asked)


def is_reversed(asked: requests.MountingField) -> bool:
    """Whether the lens stands back to front."""
    return asked.get("mounting") == "reversed"


def magnification_steps(asked: requests.MagnificationRequest, answer: answers.MagnificationAnswer) -> list[Step]:
    """Magnification by the route given, the extension that it takes, and what fills the frame."""
    board = board_of(asked, answer)
    own_mount = "lens_register_mm" not in asked
    m = answer["magnification"]
    if "subject_width_mm" in asked:
        board.write(BY_WIDTH, m)
    elif "subject_height_mm" in asked:
        board.write(BY_HEIGHT, m)
    elif "working_distance_mm" in asked:
        board.work(TO_PLANE_REVERSED if is_reversed(asked) else TO_PLANE)
        board.write(BY_SUBJECT_DISTANCE, m)
    elif is_reversed(asked):
        board.work(TO_SENSOR)
        board.write(BY_EXTENSION_REVERSED, m)
    else:
        board.work(OWN_EXTENSION if own_mount else WHOLE_EXTENSION)
        board.write(BY_EXTENSION, m)
    if "extension_mm" not in asked and answer["extension_mm"] is not None:
        normal = EXTENSION_OWN if "camera_register_mm" not in asked else EXTENSION
        board.write(EXTENSION_REVERSED if is_reversed(asked) else normal, answer["extension_mm"])
    frame_steps(
        board,
        None if "subject_width_mm" in asked else answer["subject_width_mm"],
        None if "subject_height_mm" in asked else answer["subject_height_mm"],
    )
    return board.steps


def frame_steps(board: Board, width: float | None, height: float | None) -> None:
    """What fills the frame."""
    board.write(WIDTH, width)
    board.write(HEIGHT, height)


def assumed_number(answer: answers.Answer, name: str) -> float | None:
    """Number that was assumed; None where none was."""
    value = answer["assumed"].get(name)
    return None if isinstance(value, str) else value


def working_distance_steps(asked: requests.WorkingDistanceRequest, answer: answers.WorkingDistanceAnswer) -> list[Step]:
    """Distances of the subject."""
    board = board_of(asked, answer)
    board.write(SUBJECT_DISTANCE, answer["subject_distance_mm"])
    board.write(WORKING_DISTANCE_REVERSED if is_reversed(asked) else WORKING_DISTANCE, answer["working_distance_mm"])
    board.write(TOTAL, answer["subject_to_sensor_mm"])
    return board.steps


def effective_steps(board: Board, asked: requests.MountingField, effective: float) -> None:
    """Effective f-number of the lens as it is mounted."""
    board.write(EFFECTIVE_REVERSED if is_reversed(asked) else EFFECTIVE, effective)


def effective_f_number_steps(
    asked: requests.EffectiveFNumberRequest, answer: answers.EffectiveFNumberAnswer
) -> list[Step]:
    """Effective f-number, and the light it costs."""
    board = board_of(asked, answer)
    effective_steps(board, asked, answer["effective_f_number"])
    board.write(LIGHT_LOSS, answer["light_loss_stops"])
    board.write(EXPOSURE_FACTOR, answer["exposure_factor"])
    board.write(NUMERICAL_APERTURE, answer["numerical_aperture"])
    return board.steps
