"""Focus stacks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closeup_service.optics import formulas, stack
from closeup_service.optics.arithmetic import Arithmetic, R
from closeup_service.optics.focus_ring import (
    excess_above_life_size,
    image_travel,
    larger_magnification,
    magnification_by_rear_standard,
)
from closeup_service.optics.stack import OVERLAP, allowed_step, count_steps
from closeup_service.worked.board import Board, Step
from closeup_service.worked.formula import Calculated, Formula, Found
from closeup_service.worked.lens import board_of, effective_steps, is_reversed, pupil_distance
from closeup_service.worked.sharpness import blur_steps, depth_steps, pupil_steps
from closeup_service.worked.sources import ALGEBRA, HECHT, PRACTICE

if TYPE_CHECKING:
    from closeup_service.records import answers, requests


def frames_over(length: R, step: R, arithmetic: Arithmetic[R]) -> R:
    """Frames that reach over a length in steps [mm]."""
    return count_steps(length, step, arithmetic) + 1


def smaller_magnification(above_two: R, arithmetic: Arithmetic[R]) -> R:
    """Smaller of the two magnifications whose m + 1/m exceeds 2 by so much."""
    return 1 / larger_magnification(above_two, arithmetic)


def spare_depth(frames: R, step: R, total: R, subject_depth: R, arithmetic: Arithmetic[R]) -> R:
    """Depth that the frames cover beyond the subject [mm]."""
    return stack.spare_depth(stack.travel_over(frames, step), total, subject_depth, arithmetic)


def perspective_by_ring(focal_length: R, farthest: R, nearest: R, inverse_pupil_distance: R) -> R:
    """Change of perspective along a stack by the focus ring."""
    approach = formulas.image_extension(focal_length, farthest - nearest)
    return stack.perspective_change(approach, inverse_pupil_distance)


ALLOWED_STEP = Calculated("d_d", allowed_step, "t o", "Step that the overlap allows", PRACTICE)
RAIL_STEP = Formula("d_f = d_d", "Step of the rail", PRACTICE)
WHOLE_RAIL_STEP = Formula(
    "d_f = max(1, rounddown(d_d / (d_r / 1000))) * d_r / 1000", "Step in whole steps of the rail", PRACTICE
)
FRAMES = Calculated("n_f", frames_over, "T-t d_f", "Frames that cover the subject on a rail", PRACTICE)
ONE_FRAME = Found("n_f", "one frame, since its depth covers the subject", "Frames where one is deep enough", PRACTICE)
FRAMES_BY_RING = Found(
    "n_f",
    "fewest frames in equal steps of the ring or standard whose depths, which change with the magnification, overlap as "
    "asked; found by trial",
    "Frames by the focus ring or the rear standard",
    PRACTICE,
)
END_TO_END = Calculated("n_e", frames_over, "T d_f", "Frames with planes of focus on both ends", PRACTICE)
END_TO_END_OF_ONE = Calculated("n_e", frames_over, "T d_d", "The same where one frame is deep enough", PRACTICE)
TRAVEL = Calculated("T_f", stack.travel_over, "n_f d_f", "Travel from the first frame to the last", ALGEBRA)
TRAVEL_BY_RING = Found(
    "T_f",
    "f times the difference of the magnifications of the outermost frames",
    "Travel of the ring or standard",
    ALGEBRA,
)
STEP_BY_RING = Calculated("d_f", stack.step_over, "T_f n_f", "Step of the ring or the standard", ALGEBRA)
REACHED_OVERLAP = Calculated("o_r", stack.reached_overlap, "d_f t", "Overlap that is reached on a rail", ALGEBRA)
ABOVE_LIFE_SIZE = Calculated(
    "k_2", excess_above_life_size, "m_1 T/f", "m + 1/m - 2 at the farthest plane, whole lens moving", HECHT
)
FARTHEST_ABOVE = Calculated(
    "m_2", larger_magnification, "k_2", "Magnification of the farthest plane, from above 1:1", HECHT
)
FARTHEST_BELOW = Calculated(
    "m_2", smaller_magnification, "k_2", "Magnification of the farthest plane, up to 1:1", HECHT
)
FARTHEST_BY_STANDARD = Calculated(
    "m_2", magnification_by_rear_standard, "m_1 T/f", "Magnification of the farthest plane, rear standard moving", HECHT
)
CHANGE = Calculated(
    "M_c", stack.magnification_change, "m_2 m_1", "Change of the magnification along the stack", ALGEBRA
)
IMAGE_TRAVEL = Calculated("T_i", image_travel, "f m_1 m_2", "Travel of the image", ALGEBRA)
PERSPECTIVE = Calculated("P_c", stack.perspective_change, "T 1/z", "Change of perspective on a rail", ALGEBRA)
FARTHEST_PUPIL = Calculated("z", pupil_distance, "f m_2 p", "Entrance pupil at the farthest plane", HECHT)
FARTHEST_PUPIL_REVERSED = Calculated(
    "z", pupil_distance, "f m_2 1/p", "Entrance pupil at the farthest plane, lens reversed", HECHT
)
PERSPECTIVE_BY_RING = Calculated(
    "P_c", perspective_by_ring, "f m_2 m_1 1/z", "Change of perspective by the focus ring", ALGEBRA
)
SPARE = Calculated("x_sp", spare_depth, "n_f d_f t T", "What the frames cover beyond the subject", ALGEBRA)
FIRST_PLANE = Calculated(
    "x_1", stack.first_plane, "t_f x_sp t", "First plane of focus behind the subject's nearest point", ALGEBRA
)
ONLY_PLANE = Calculated("x_l", stack.single_plane, "t_f T t", "Plane of focus of a single frame", ALGEBRA)
LAST_PLANE = Formula("x_l = x_1 + T_f", "Last plane of focus behind the subject's nearest point", ALGEBRA)
CLEARANCE = Calculated("C_l", stack.remaining_clearance, "C x_l", "Least clearance on a rail", ALGEBRA)
CLEARANCE_BY_RING = Found(
    "C_l", "the clearance less how far the lens is carried out along the stack", "Least clearance by the ring", ALGEBRA
)
TIME = Calculated("t_a", stack.total_time, "n_f t_st+t_e+t_fr", "Time of the whole stack", ALGEBRA)


def focus_stack_steps(asked: requests.FocusStackRequest, answer: answers.FocusStackAnswer) -> list[Step]:
    """Depth of a frame, step and frames, and what changes along the stack."""
    board = Board({"overlap": OVERLAP}).put(t_st=0.0, t_e=0.0, t_fr=0.0)
    board.values |= board_of(asked, answer).values
    depth = answer["depth_of_field"]
    effective_steps(board, asked, answer["effective_f_number"])
    if depth["model"] in ("geometric", "combined"):
        blur_steps(board, asked, answer["circle_of_confusion_mm"])
    pupil_steps(board, asked)
    depth_steps(board, depth, depth["model"], "focal_length_mm" in asked)
    board.put(m_1=answer["magnification_nearest"])
    if asked.get("method", "rail") == "rail":
        rail_steps(board, asked, answer, depth)
    else:
        ring_steps(board, asked, answer)
    board.write(TIME, answer["total_time_s"])
    return board.steps


def rail_steps(
    board: Board, asked: requests.FocusStackRequest, answer: answers.FocusStackAnswer, depth: answers.Depth
) -> None:
    """Frames and step on a rail."""
    limited = depth["total_mm"] is not None
    if limited:
        board.work(ALLOWED_STEP)
    if answer["step_mm"] is None:
        board.write(ONE_FRAME, float(answer["frames"]))
        if limited:
            board.write(END_TO_END_OF_ONE, float(answer["frames_end_to_end"]))
            board.write(ONLY_PLANE, answer["positions_mm"][0])
    else:
        board.write(WHOLE_RAIL_STEP if "rail_step_um" in asked else RAIL_STEP, answer["step_mm"])
        board.write(FRAMES, float(answer["frames"]))
        board.write(END_TO_END, float(answer["frames_end_to_end"]))
        board.write(TRAVEL, answer["travel_mm"])
        board.write(REACHED_OVERLAP, answer["overlap"])
        board.work(SPARE)
        board.write(FIRST_PLANE, answer["positions_mm"][0])
        board.write(LAST_PLANE, answer["positions_mm"][-1])
    if "z" in board.values:
        board.write(PERSPECTIVE, answer["perspective_change"])
    if "x_l" in board.values:
        board.write(CLEARANCE, answer["least_clearance_mm"])


def ring_steps(board: Board, asked: requests.FocusStackRequest, answer: answers.FocusStackAnswer) -> None:
    """Frames and step by the focus ring or the rear standard."""
    whole_lens = asked.get("ring_moves", "lens") == "lens"
    if whole_lens:
        board.work(ABOVE_LIFE_SIZE)
        farthest = FARTHEST_ABOVE if answer["magnification_nearest"] > 1 else FARTHEST_BELOW
        board.write(farthest, answer["magnification_farthest"])
    else:
        board.write(FARTHEST_BY_STANDARD, answer["magnification_farthest"])
    board.write(CHANGE, answer["magnification_change"])
    board.write(IMAGE_TRAVEL, answer["image_travel_mm"])
    board.write(FRAMES_BY_RING, float(answer["frames"]))
    board.write(TRAVEL_BY_RING, answer["travel_mm"])
    board.write(STEP_BY_RING, answer["step_mm"])
    if whole_lens:
        board.work(FARTHEST_PUPIL_REVERSED if is_reversed(asked) else FARTHEST_PUPIL)
        board.write(PERSPECTIVE_BY_RING, answer["perspective_change"])
    board.write(CLEARANCE_BY_RING, answer["least_clearance_mm"])
