"""The same picture on a sensor of another size; an index x is that of the other camera."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closeup_service.optics import formulas
from closeup_service.optics.equivalence import (
    exposure_factor,
    exposure_stops,
    format_ratio,
    same_perspective_focal_length,
    scale_to_format,
)
from closeup_service.worked.board import Board, Step
from closeup_service.worked.formula import Calculated
from closeup_service.worked.lens import NUMERICAL_APERTURE, board_of, effective_steps, mark_of, mark_of_reversed
from closeup_service.worked.sharpness import blur_steps, pupil_steps
from closeup_service.worked.sources import ALGEBRA, DEFINITION, HECHT, KINGSLAKE, RAY, TURNED

if TYPE_CHECKING:
    from closeup_service.records import answers, requests


def ratio_by_width(here: float, there: float) -> float:
    """Other sensor over this one, by their widths."""
    return format_ratio((here, 1.0), (there, 1.0), "width")


def ratio_by_height(here: float, there: float) -> float:
    """Other sensor over this one, by their heights."""
    return format_ratio((1.0, here), (1.0, there), "height")


def ratio_by_diagonal(width: float, height: float, other_width: float, other_height: float) -> float:
    """Other sensor over this one, by their diagonals."""
    return format_ratio((width, height), (other_width, other_height), "diagonal")


RATIO_BY_WIDTH = Calculated("k_s", ratio_by_width, "w_s w_x", "Other sensor over this one, framed by width", DEFINITION)
RATIO_BY_HEIGHT = Calculated(
    "k_s", ratio_by_height, "h_s h_x", "Other sensor over this one, framed by height", DEFINITION
)
RATIO_BY_DIAGONAL = Calculated(
    "k_s",
    ratio_by_diagonal,
    "w_s h_s w_x h_x",
    "Other sensor over this one, framed by the diagonal",
    DEFINITION,
)
RATIOS = {"width": RATIO_BY_WIDTH, "height": RATIO_BY_HEIGHT, "diagonal": RATIO_BY_DIAGONAL}
OTHER_MAGNIFICATION = Calculated("m_x", scale_to_format, "k_s m", "Magnification for the same framing", DEFINITION)
OTHER_BLUR = Calculated("c_x", scale_to_format, "k_s c", "Blur that looks the same in the finished picture", ALGEBRA)
OTHER_EFFECTIVE = Calculated(
    "N_ex",
    scale_to_format,
    "k_s N_eff",
    "Effective f-number for the same depth 2 c N_eff / m², and the same numerical aperture",
    ALGEBRA,
)
OTHER_MARK = Calculated("N_x", mark_of, "N_ex m_x p_x", "Mark on the other camera, lens mounted normally", KINGSLAKE)
OTHER_MARK_REVERSED = Calculated(
    "N_x", mark_of_reversed, "N_ex m_x p_x", "Mark on the other camera, lens reversed", TURNED
)
OTHER_EXTENSION = Calculated(
    "e_x",
    formulas.extension_for_magnification,
    "f_x m_x e_fx R_cx-R_lx",
    "Extension on the other camera, of another register",
    HECHT,
)
OTHER_EXTENSION_OWN = Calculated(
    "e_x",
    formulas.extension_for_magnification,
    "f_x m_x e_fx 0",
    "Extension on the other camera, on the lens's own mount",
    HECHT,
)
OTHER_EXTENSION_REVERSED = Calculated(
    "e_x",
    formulas.extension_of_reversed_lens,
    "f_x m_x R_cx a_x",
    "Extension on the other camera, lens reversed",
    HECHT,
)
SAME_PERSPECTIVE = Calculated(
    "f_p",
    same_perspective_focal_length,
    "1/z m_x p_x",
    "Focal length that sees the subject from the same distance, mounted normally",
    HECHT,
)
SAME_PERSPECTIVE_REVERSED = Calculated(
    "f_p",
    same_perspective_focal_length,
    "1/z m_x 1/p_x",
    "Focal length that sees the subject from the same distance, lens reversed",
    HECHT,
)
OTHER_EXPOSURE_FACTOR = Calculated("k_x", exposure_factor, "k_s", "Factor on exposure time or ISO speed", RAY)
OTHER_EXPOSURE_STOPS = Calculated("n_sx", exposure_stops, "k_s", "The same in stops", RAY)


def format_equivalence_steps(
    asked: requests.FormatEquivalenceRequest, answer: answers.FormatEquivalenceAnswer
) -> list[Step]:
    """Ratio of the sensors, framing, aperture, blur and light there, and where the lens stands."""
    board = board_of(asked, answer)
    board.write(RATIOS[asked.get("framing_by", "width")], answer["format_ratio"])
    board.write(OTHER_MAGNIFICATION, answer["other_magnification"])
    effective_steps(board, asked, answer["effective_f_number"])
    board.write(NUMERICAL_APERTURE, answer["numerical_aperture"])
    board.write(OTHER_EFFECTIVE, answer["other_effective_f_number"])
    turned = {**answer["assumed"], **asked}["other_mounting"] == "reversed"
    board.write(OTHER_MARK_REVERSED if turned else OTHER_MARK, answer["other_f_number"])
    blur_steps(board, asked, answer["circle_of_confusion_mm"])
    board.write(OTHER_BLUR, answer["other_circle_of_confusion_mm"])
    board.write(OTHER_EXPOSURE_FACTOR, answer["other_exposure_factor"])
    board.write(OTHER_EXPOSURE_STOPS, answer["other_exposure_stops"])
    other_lens_steps(board, asked, answer, turned)
    return board.steps


def other_lens_steps(
    board: Board, asked: requests.FormatEquivalenceRequest, answer: answers.FormatEquivalenceAnswer, turned: bool
) -> None:
    """Extension on the other camera, and the focal length that keeps the perspective."""
    board.put(e_fx=asked.get("other_focusing_extension_mm", 0.0))
    if answer["other_extension_mm"] is not None:
        normal = OTHER_EXTENSION if "other_camera_register_mm" in asked else OTHER_EXTENSION_OWN
        board.write(OTHER_EXTENSION_REVERSED if turned else normal, answer["other_extension_mm"])
    pupil_steps(board, asked)
    board.write(SAME_PERSPECTIVE_REVERSED if turned else SAME_PERSPECTIVE, answer["same_perspective_focal_length_mm"])
