"""How wide an opening before the lens must be."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closeup_service.optics.arithmetic import Arithmetic, R
from closeup_service.optics.clear_opening import (
    Opening,
    axial_loss_stops,
    clear_opening,
    lit_field_share,
    pupil_diameter,
    remaining_distance,
)
from closeup_service.optics.formulas import subject_diagonal
from closeup_service.set_ups.set_up import SetUp
from closeup_service.worked.board import Board, Step
from closeup_service.worked.formula import Calculated, Formula
from closeup_service.worked.lens import (
    NUMERICAL_APERTURE,
    PUPIL,
    PUPIL_REVERSED,
    SUBJECT_DISTANCE,
    WORKING_DISTANCE,
    WORKING_DISTANCE_REVERSED,
    board_of,
    effective_steps,
    is_reversed,
)
from closeup_service.worked.sharpness import finite_pupil_distance
from closeup_service.worked.sources import SIMILAR

if TYPE_CHECKING:
    from closeup_service.records import answers, requests


def chief_opening(field_diagonal: R, from_subject: R, inverse_pupil_distance: R) -> R:
    """Opening for the middle ray of every point [mm]."""
    return clear_opening(field_diagonal, 0.0, inverse_pupil_distance, from_subject).chief


def axial_opening(numerical_aperture: R, from_subject: R) -> R:
    """Opening for the middle of the frame [mm]."""
    return clear_opening(0.0, numerical_aperture, 0.0, from_subject).axial


def full_opening(axial: R, chief: R) -> R:
    """Opening for every ray [mm]."""
    return Opening(axial, chief).full


def clipped_loss(axial: R, diameter: R, arithmetic: Arithmetic[R]) -> R:
    """Light lost in the middle of the frame, in stops."""
    return axial_loss_stops(Opening(axial, 0.0), diameter, arithmetic)


def lit_share(diameter: R, axial: R, chief: R, arithmetic: Arithmetic[R]) -> R:
    """Share of the diagonal that loses no light."""
    return lit_field_share(Opening(axial, chief), diameter, arithmetic)


DIAGONAL = Calculated("d_o", subject_diagonal, "w_s h_s m", "Diagonal of what the frame shows", SIMILAR)
PUPIL_DIAMETER = Calculated("d_e", pupil_diameter, "NA 1/z", "Diameter of the entrance pupil", SIMILAR)
FROM_SUBJECT = Calculated("x", remaining_distance, "WD x_f", "Opening from the subject", SIMILAR)
FROM_FRONT = Calculated("x_f", remaining_distance, "WD x", "Opening before the front of the lens", SIMILAR)
CHIEF = Calculated("d_c", chief_opening, "d_o x 1/z", "Opening for the middle ray of every point", SIMILAR)
CHIEF_TELECENTRIC = Formula("d_c = d_o", "Opening for the middle ray of every point, entrance pupil far away", SIMILAR)
AXIAL = Calculated("d_x", axial_opening, "NA x", "Opening for the middle of the frame", SIMILAR)
FULL = Calculated("d_a", full_opening, "d_x d_c", "Opening for every ray of the picture", SIMILAR)
SHARE = Calculated("F_l", lit_share, "d_h d_x d_c", "Share of the diagonal that loses no light", SIMILAR)
LOSS = Calculated("n_x", clipped_loss, "d_x d_h", "Light lost in the middle of the frame", SIMILAR)


def clear_opening_steps(asked: requests.ClearOpeningRequest, answer: answers.ClearOpeningAnswer) -> list[Step]:
    """The field, the pupil, and the openings that stand between them."""
    board = board_of(asked, answer)
    effective_steps(board, asked, answer["effective_f_number"])
    board.write(NUMERICAL_APERTURE, answer["numerical_aperture"])
    if "subject_diagonal_mm" not in asked:
        board.write(DIAGONAL, answer["subject_diagonal_mm"])
    board.write(PUPIL_REVERSED if is_reversed(asked) else PUPIL, answer["entrance_pupil_distance_mm"])
    board.write(PUPIL_DIAMETER, answer["entrance_pupil_diameter_mm"])
    if answer["working_distance_mm"] is not None and not is_reversed(asked):
        board.work(SUBJECT_DISTANCE)
    board.write(WORKING_DISTANCE_REVERSED if is_reversed(asked) else WORKING_DISTANCE, answer["working_distance_mm"])
    for row in answer["openings"]:
        opening_steps(board, row, "distance_from_subject_mm" in asked)
    return board.steps


def opening_of_set_up_steps(set_up: SetUp, document: requests.SetUpRequest, row: answers.Opening) -> list[Step]:
    """The opening before a whole set-up."""
    board = Board(document["camera"], document["clear_opening"]).put(
        m=set_up.magnification, NA=set_up.numerical_aperture or 0.0, WD=set_up.working_distance_mm or 0.0
    )
    board.work(DIAGONAL)
    distance = finite_pupil_distance(set_up.inverse_pupil_distance)
    if distance is not None:
        board.put(z=distance)
    opening_steps(board, row, from_subject=False, telecentric=distance is None)
    return board.steps


def opening_steps(board: Board, row: answers.Opening, from_subject: bool, telecentric: bool = False) -> None:
    """One opening, and what the one given takes."""
    board.give({name: row[name] for name in ("distance_mm", "distance_from_subject_mm") if row[name] is not None})
    board.write(
        *((FROM_FRONT, row["distance_mm"]) if from_subject else (FROM_SUBJECT, row["distance_from_subject_mm"]))
    )
    board.write(CHIEF_TELECENTRIC if telecentric else CHIEF, row["chief_diameter_mm"])
    board.write(AXIAL, row["axial_diameter_mm"])
    board.write(FULL, row["full_diameter_mm"])
    if row["clips"] in ("corners", "axis") and row["chief_diameter_mm"] > 0:
        board.write(SHARE, row["lit_field_share"])
    if row["clips"] == "axis":
        board.write(LOSS, row["axial_loss_stops"])
