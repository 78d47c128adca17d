"""Movement blur."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from closeup_service.optics import formulas, motion
from closeup_service.optics.arithmetic import Arithmetic, R
from closeup_service.worked.board import Board, Step
from closeup_service.worked.formula import Calculated, Formula, Found
from closeup_service.worked.lens import assumed_number, board_of, is_reversed
from closeup_service.worked.sharpness import blur_steps
from closeup_service.worked.sources import ALGEBRA, DEFINITION, FLASH_TIMES

if TYPE_CHECKING:
    from closeup_service.records import answers, requests


def exponential_time(half_time: R, arithmetic: Arithmetic[R]) -> R:
    """t0.1 of a flash that dies away [s]."""
    return motion.flash_tenth_time(half_time, True, arithmetic)


def cut_time(half_time: R, arithmetic: Arithmetic[R]) -> R:
    """t0.1 of a flash that is cut short [s]."""
    return motion.flash_tenth_time(half_time, False, arithmetic)


def sideways_blur(magnification: R, speed: R, time: R) -> R:
    """Blur by steady movement across the axis [um]."""
    return motion.image_speed(magnification, speed) * time


def vibration_blur(magnification: R, amplitude: R, frequency: R, time: R, arithmetic: Arithmetic[R]) -> R:
    """Blur by vibration [um]."""
    return motion.image_stroke(magnification, amplitude) * motion.stroke_share(frequency, time, arithmetic)


def blur_by_all(sideways: R, rotation: R, vibration: R, arithmetic: Arithmetic[R]) -> R:
    """Blur by all motions together [um]."""
    return motion.total_blur(motion.Blurs(sideways, rotation, vibration), arithmetic)


def longest_time(allowed: R, magnification: R, speed: R, arithmetic: Arithmetic[R]) -> R:
    """Longest time of one steady motion [s]."""
    return motion.time_of_path(allowed, motion.image_speed(magnification, speed), arithmetic)


def largest_speed(left: R, magnification: R, path_of_one: R, arithmetic: Arithmetic[R]) -> R:
    """Largest speed, one unit of which carries the subject so far [mm]."""
    return motion.largest_motion(left, motion.image_speed(magnification, path_of_one), arithmetic)


def largest_amplitude(left: R, magnification: R, frequency: R, time: R, arithmetic: Arithmetic[R]) -> R:
    """Largest amplitude of a vibration [um]."""
    share = motion.stroke_share(frequency, time, arithmetic)
    return motion.largest_motion(left, motion.image_stroke(magnification, share), arithmetic)


def largest_stroke(left: R, magnification: R, arithmetic: Arithmetic[R]) -> R:
    """Largest amplitude of a vibration [um] that shows its whole stroke."""
    return motion.largest_motion(left, motion.image_stroke(magnification, 1.0), arithmetic)


HALF_A_PERIOD = 0.5

EXPONENTIAL = Calculated("t_01", exponential_time, "t_05", "t0.1 of a flash that dies away", FLASH_TIMES)
CUT = Calculated("t_01", cut_time, "t_05", "t0.1 of a flash that is cut short", FLASH_TIMES)
BY_FLASH = Formula("t_b = t_01", "Time in which the flash draws", FLASH_TIMES)
BY_FLASH_AND_SHUTTER = Calculated(
    "t_b", motion.blurring_time, "t_01 t_e", "Time in which flash and shutter draw", FLASH_TIMES
)
BY_SHUTTER = Formula("t_b = t_e", "Time in which the shutter draws", DEFINITION)
SIDEWAYS = Calculated("b_s", sideways_blur, "m v_s t_b", "Blur by sideways movement", ALGEBRA)
LEVER = Calculated("l", motion.turning_lever, "f m p D_r", "Lever of a rotation, lens mounted normally", ALGEBRA)
LEVER_REVERSED = Calculated("l", motion.turning_lever, "f m 1/p D_r", "Lever of a rotation, lens reversed", ALGEBRA)
ROTATION = Calculated("b_r", sideways_blur, "m l*omega t_b", "Blur by rotation of the camera", ALGEBRA)
VIBRATION = Calculated(
    "b_v",
    vibration_blur,
    "m A_v f_v t_b",
    "Blur by vibration at its worst phase, in less than half a period",
    ALGEBRA,
)
WHOLE_STROKE = Calculated(
    "b_v", motion.image_stroke, "m A_v", "Blur by vibration, its whole stroke, from half a period on", ALGEBRA
)
BY_SIDEWAYS = Formula("B = b_s", "Blur by the sideways movement alone", ALGEBRA)
BY_ROTATION = Formula("B = b_r", "Blur by the rotation alone", ALGEBRA)
BY_VIBRATION = Formula("B = b_v", "Blur by the vibration alone", ALGEBRA)
BY_SIDEWAYS_ROTATION = Calculated("B", motion.add_in_quadrature, "b_s b_r", "Blur by two motions", ALGEBRA)
BY_SIDEWAYS_VIBRATION = Calculated("B", motion.add_in_quadrature, "b_s b_v", "Blur by two motions", ALGEBRA)
BY_ROTATION_VIBRATION = Calculated("B", motion.add_in_quadrature, "b_r b_v", "Blur by two motions", ALGEBRA)
BY_ALL = Calculated("B", blur_by_all, "b_s b_r b_v", "Blur by all motions together", ALGEBRA)
ON_SUBJECT = Calculated("B_o", formulas.subject_size, "B m", "The same on the subject", ALGEBRA)
IN_PIXELS = Calculated("B_p", motion.blur_in_pixels, "B g", "The same in pixels", ALGEBRA)
BY_AMBIENT = Found(
    "b_a", "the same formulas with the exposure time in place of the flash's", "Blur by ambient light", ALGEBRA
)
AXIAL = Calculated("x_a", sideways_blur, "1 v_a t_b", "Movement along the axis", ALGEBRA)
LONGEST_AXIAL = Calculated("t_am", motion.longest_axial_time, "T_a v_a", "Longest time within the depth", ALGEBRA)
LARGEST_AXIAL = Calculated(
    "v_am", motion.largest_axial_speed, "T_a t_b", "Largest speed along the axis within the depth", ALGEBRA
)
ALLOWED_PIXELS = Calculated("B_max", motion.blur_of_pixels, "B_pm g", "Blur allowed on the sensor, by pixels", ALGEBRA)
ALLOWED = Calculated(
    "B_max", motion.blur_of_criterion, "c", "Blur allowed on the sensor, by the blur criterion", ALGEBRA
)
LONGEST_SIDEWAYS = Calculated("t_max", longest_time, "B_max m v_s", "Longest time, sideways movement alone", ALGEBRA)
LONGEST_ROTATION = Calculated("t_max", longest_time, "B_max m l*omega", "Longest time, rotation alone", ALGEBRA)
LONGEST = Formula(
    "t_max = B_max / (1000 * m * sqrt(v_s ** 2 + (l * omega) ** 2))",
    "Longest time, sideways movement and rotation",
    ALGEBRA,
)
LONGEST_WITH_VIBRATION = Found(
    "t_max",
    "time at which all motions together draw the allowed blur; found by halving an interval, since the vibration's sine "
    "cannot be undone beside the others",
    "Longest time with a vibration",
    ALGEBRA,
)
BESIDE_SIDEWAYS = Formula("b_2 = b_s", "Blur beside the one motion: the sideways movement's", ALGEBRA)
BESIDE_ROTATION = Formula("b_2 = b_r", "Blur beside the one motion: the rotation's", ALGEBRA)
BESIDE_VIBRATION = Formula("b_2 = b_v", "Blur beside the one motion: the vibration's", ALGEBRA)
BESIDE_SIDEWAYS_ROTATION = Calculated(
    "b_2", motion.add_in_quadrature, "b_s b_r", "Blur beside the one motion: of two others", ALGEBRA
)
BESIDE_SIDEWAYS_VIBRATION = Calculated(
    "b_2", motion.add_in_quadrature, "b_s b_v", "Blur beside the one motion: of two others", ALGEBRA
)
BESIDE_ROTATION_VIBRATION = Calculated(
    "b_2", motion.add_in_quadrature, "b_r b_v", "Blur beside the one motion: of two others", ALGEBRA
)
LEFT = Calculated("b_1", motion.remaining_blur, "B_max b_2", "Blur left for one motion", ALGEBRA)
ALL_LEFT = Formula("b_1 = B_max", "Blur left for the only motion", ALGEBRA)
LARGEST_SIDEWAYS = Calculated("v_sm", largest_speed, "b_1 m t_b", "Largest sideways speed", ALGEBRA)
LARGEST_ROTATION = Calculated("omega_m", largest_speed, "b_1 m l*t_b", "Largest rotation", ALGEBRA)
LARGEST_AMPLITUDE = Calculated(
    "A_vm",
    largest_amplitude,
    "b_1 m f_v t_b",
    "Largest amplitude of a vibration, in less than half a period",
    ALGEBRA,
)
LARGEST_STROKE = Calculated(
    "A_vm", largest_stroke, "b_1 m", "Largest amplitude of a vibration, from half a period on", ALGEBRA
)

KINDS = {"s": "sideways_blur_um", "r": "rotation_blur_um", "v": "vibration_blur_um"}
TOGETHER = {
    "s": BY_SIDEWAYS,
    "r": BY_ROTATION,
    "v": BY_VIBRATION,
    "sr": BY_SIDEWAYS_ROTATION,
    "sv": BY_SIDEWAYS_VIBRATION,
    "rv": BY_ROTATION_VIBRATION,
    "srv": BY_ALL,
}
BESIDE = {
    "s": BESIDE_SIDEWAYS,
    "r": BESIDE_ROTATION,
    "v": BESIDE_VIBRATION,
    "sr": BESIDE_SIDEWAYS_ROTATION,
    "sv": BESIDE_SIDEWAYS_VIBRATION,
    "rv": BESIDE_ROTATION_VIBRATION,
}
LONGEST_OF = {"s": LONGEST_SIDEWAYS, "r": LONGEST_ROTATION, "sr": LONGEST}


def motion_blur_steps(asked: requests.MotionBlurRequest, answer: answers.MotionBlurAnswer) -> list[Step]:
    """Blur by each motion and together, and what stays within the allowed blur."""
    board = board_of(asked, answer)
    told: Mapping[str, object] = answer
    kinds = "".join(kind for kind, name in KINDS.items() if told[name] is not None)
    time_steps(board, asked, answer)
    board.write(SIDEWAYS, answer["sideways_blur_um"])
    if answer["rotation_blur_um"] is not None:
        board.work(LEVER_REVERSED if is_reversed(asked) else LEVER)
    board.write(ROTATION, answer["rotation_blur_um"])
    brief = board.values.get("f_v", 0.0) * answer["blur_time_s"] < HALF_A_PERIOD
    board.write(VIBRATION if brief else WHOLE_STROKE, answer["vibration_blur_um"])
    if kinds:
        board.write(TOGETHER[kinds], answer["sensor_blur_um"])
    board.put(B=answer["sensor_blur_um"])
    board.write(ON_SUBJECT, answer["subject_blur_um"])
    board.write(IN_PIXELS, answer["sensor_blur_px"])
    if {"flash_t05_s", "flash_t01_s"} & set(asked):
        board.write(BY_AMBIENT, answer["ambient_blur_um"])
    board.write(AXIAL, answer["axial_movement_um"])
    board.write(LONGEST_AXIAL, answer["longest_axial_time_s"])
    board.write(LARGEST_AXIAL, answer["largest_axial_speed_mm_s"])
    if answer["allowed_blur_um"] is not None:
        allowed_steps(board, asked, answer)
        largest_steps(board, kinds, brief, answer)
    return board.steps


def time_steps(board: Board, asked: requests.MotionBlurRequest, answer: answers.MotionBlurAnswer) -> None:
    """How long the light that draws falls."""
    if "flash_t05_s" in asked:
        board.work(CUT if asked.get("flash_shape") == "cut" else EXPONENTIAL)
    if not {"flash_t05_s", "flash_t01_s"} & set(asked):
        board.write(BY_SHUTTER, answer["blur_time_s"])
    else:
        board.write(BY_FLASH_AND_SHUTTER if "exposure_time_s" in asked else BY_FLASH, answer["blur_time_s"])


def allowed_steps(board: Board, asked: requests.MotionBlurRequest, answer: answers.MotionBlurAnswer) -> None:
    """Blur that is allowed, where it was not stated in itself."""
    if "allowed_blur_px" in asked:
        board.write(ALLOWED_PIXELS, answer["allowed_blur_um"])
    elif "allowed_blur_um" not in asked:
        blur_steps(board, asked, assumed_number(answer, "circle_of_confusion_mm"))
        board.write(ALLOWED, answer["allowed_blur_um"])


def largest_steps(board: Board, kinds: str, brief: bool, answer: answers.MotionBlurAnswer) -> None:
    """Longest time, and the largest of each motion beside the others."""
    if kinds:
        board.write(LONGEST_OF.get(kinds, LONGEST_WITH_VIBRATION), answer["longest_time_s"])
    largest = {
        "s": (LARGEST_SIDEWAYS, answer["largest_sideways_speed_mm_s"]),
        "r": (LARGEST_ROTATION, answer["largest_rotation_rad_s"]),
        "v": (LARGEST_AMPLITUDE if brief else LARGEST_STROKE, answer["largest_amplitude_um"]),
    }
    for kind in kinds:
        formula, result = largest[kind]
        if result is None:
            continue
        others = kinds.replace(kind, "")
        if others:
            board.work(BESIDE[others])
        board.work(LEFT if others else ALL_LEFT)
        board.write(formula, result)
