"""Magnification read from a ruler, scale bars, and the lens measured from frames."""

from __future__ import annotations

from collections.abc import Mapping
from math import isclose
from typing import TYPE_CHECKING

from closeup_service.measuring import scale_bar, scale_reading
from closeup_service.measuring.scale_bar import finished_scale
from closeup_service.measuring.scale_reading import (
    division_uncertainty,
    length_of_pixels,
    picture_scale,
    ruler_length,
    standard_uncertainty,
    two_mark_uncertainty,
)
from closeup_service.optics import exposure, formulas
from closeup_service.optics.arithmetic import R
from closeup_service.worked.board import Board, Step
from closeup_service.worked.formula import Calculated, Formula, Found
from closeup_service.worked.lens import assumed_number
from closeup_service.worked.sources import ALGEBRA, DEFINITION, GUM, HECHT, PRACTICE

if TYPE_CHECKING:
    from closeup_service.records import answers, requests


def combine_four(reading: R, ruler: R, sensor: R, tilt: R) -> R:
    """Relative uncertainty by four parts."""
    return scale_reading.combined_uncertainty((reading, ruler, sensor, tilt))


def combine_three(reading: R, ruler: R, tilt: R) -> R:
    """Relative uncertainty by three parts."""
    return scale_reading.combined_uncertainty((reading, ruler, tilt))


def low_end(value: R, relative: R) -> R:
    """Low end of the interval of 95 %."""
    return scale_reading.interval_ends(value, relative)[0]


def high_end(value: R, relative: R) -> R:
    """High end of the interval of 95 %."""
    return scale_reading.interval_ends(value, relative)[1]


RULER = Calculated("Y", ruler_length, "Y_1 Y_2", "Length on the ruler", DEFINITION)
USED_WIDTH = Calculated("w_u", formulas.cropped_size, "w_s k_c", "Used width of a cropped sensor", DEFINITION)
WHOLE_WIDTH = Formula("w_u = w_s", "Used width of the whole sensor", DEFINITION)
PIXEL_BY_WIDTH = Calculated(
    "d_p", scale_reading.pixel_by_width, "w_u n_w", "Pixel of the picture on the sensor", DEFINITION
)
PIXEL_BY_PITCH = Calculated(
    "d_p", scale_reading.pixel_by_pitch, "g", "Pixel of a picture in full resolution", DEFINITION
)
WIDTH_BY_PIXELS = Calculated("w_u", length_of_pixels, "n_w d_p", "Used width by the picture's pixels", DEFINITION)
BETWEEN_PLACES = Calculated(
    "n_Y", scale_reading.distance_between, "X_1 Z_1 X_2 Z_2", "Distance of the marks in the picture", DEFINITION
)
ON_SENSOR = Calculated("d_i", length_of_pixels, "n_Y d_p", "Distance of the marks on the sensor", DEFINITION)
ACROSS_FRAME = Formula("d_i = w_u", "The marks stand at both edges of the frame", DEFINITION)
MAGNIFICATION = Calculated("m", scale_reading.magnification, "d_i Y theta", "Magnification by the ruler", DEFINITION)
MAGNIFICATION_SQUARE = Calculated(
    "m", formulas.magnification_by_framing, "d_i Y", "Magnification by a ruler that lies square", DEFINITION
)
HALF_DIVISION = Calculated(
    "u_Y", division_uncertainty, "d_Y", "Standard uncertainty of a reading to the nearest division", GUM
)
READING = Calculated("u_1", two_mark_uncertainty, "u_Y Y", "Part of the reading, of two marks on the ruler", GUM)
READING_PX = Calculated(
    "u_1", two_mark_uncertainty, "u_Yp n_Y", "Part of the reading, of two places in the picture", GUM
)
TILT = Formula(
    "u_2 = sqrt(tan(theta * pi / 180) ** 2 * (u_theta * pi / 180) ** 2 + (1 + tan(theta * pi / 180) ** 2) * "
    "(0.75 + 2.75 * tan(theta * pi / 180) ** 2) * (u_theta * pi / 180) ** 4)",
    "Part of the tilt",
    GUM,
)
TILT_SQUARE = Formula(
    "u_2 = sqrt(3) / 2 * (u_theta * pi / 180) ** 2", "Part of the tilt of a ruler meant to lie square", GUM
)
TOGETHER = Calculated("u_r", combine_four, "u_1 u_l u_g u_2", "Relative uncertainty", GUM)
UNCERTAINTY = Calculated("u_m", standard_uncertainty, "m u_r", "Standard uncertainty of the magnification", GUM)
LOW = Calculated("m_l", low_end, "m u_r", "Low end of the interval of 95 %", GUM)
HIGH = Calculated("m_h", high_end, "m u_r", "High end of the interval of 95 %", GUM)
SCALE = Calculated("k_p", picture_scale, "m d_p", "Pixels of the picture for one millimetre of the subject", DEFINITION)
FRAME_BY_PIXELS = Calculated(
    "w_f", length_of_pixels, "n_w d_p", "Width of the frame by the picture's pixels", DEFINITION
)
FRAME_BY_SENSOR = Formula("w_f = w_u", "Width of the frame by the used width of the sensor", DEFINITION)
FRAME_HEIGHT_BY_PIXELS = Calculated(
    "h_f", length_of_pixels, "n_hp d_p", "Height of the frame by the picture's pixels", DEFINITION
)
FRAME_HEIGHT = Formula("h_f = h_s", "Height of the frame by that of the whole sensor", DEFINITION)
FRAME_HEIGHT_CROPPED = Calculated(
    "h_f", formulas.cropped_size, "h_s k_c", "Height of the frame by that of a cropped sensor", DEFINITION
)
SUBJECT_WIDTH = Calculated("w", formulas.subject_size, "w_f m", "Width of what fills the frame", DEFINITION)
SUBJECT_HEIGHT = Calculated("h", formulas.subject_size, "h_f m", "Height of what fills the frame", DEFINITION)
WITHOUT_SENSOR = Calculated("u_0", combine_three, "u_1 u_l u_2", "Relative uncertainty where the sensor cancels", GUM)
WIDTH_UNCERTAINTY = Calculated(
    "u_w", standard_uncertainty, "w u_0", "Standard uncertainty of that width, the sensor cancelling", GUM
)
WIDTH_UNCERTAINTY_ALL = Calculated("u_w", standard_uncertainty, "w u_r", "Standard uncertainty of that width", GUM)

SCALE_BY_WIDTH = Calculated(
    "k_0", scale_bar.scale_by_width, "n_w w", "Scale of the picture as taken, by the width it shows", DEFINITION
)
SCALE_BY_MAGNIFICATION = Calculated(
    "k_0", picture_scale, "m d_p", "Scale of the picture as taken, by the magnification", DEFINITION
)
FINISHED_SCALE = Calculated("k_p", finished_scale, "k_0 n_c n_fw", "Scale of the finished picture", DEFINITION)
SHOWN_WIDTH = Calculated("w", scale_bar.shown_width, "n_fw k_p", "Width that the finished picture shows", DEFINITION)
ROUND_LENGTH = Found(
    "l_b",
    "longest of 1, 2, 5, 10, ... um that is no longer than the share of the width asked for",
    "Round length",
    PRACTICE,
)
BAR = Calculated("n_b", scale_bar.drawn_length, "l_b k_p", "Length of the bar in pixels", DEFINITION)
BAR_SHARE = Calculated("F_bw", scale_bar.width_share, "n_b n_fw", "Share of the width that the bar takes", DEFINITION)
BAR_UNCERTAINTY = Calculated("u_b", standard_uncertainty, "l_b u_r", "Standard uncertainty of the bar", GUM)
DEPTH_CHANGE = Calculated(
    "k_d", scale_bar.depth_change, "z_p T", "Growth of the scale towards the nearest point", ALGEBRA
)
PRINT = Calculated("m_p", scale_bar.print_magnification, "w_p k_p n_fw", "Magnification of the print", DEFINITION)
PRINT_BAR = Calculated("b_p", scale_bar.drawn_length, "l_b m_p", "Length of the bar on the print", DEFINITION)

FOCAL_LENGTH = Found(
    "f",
    "one over the slope of the straight line of magnification against extension, by weighted least squares",
    "Focal length by the frames",
    GUM,
)
AT_INFINITY = Found("e_0", "where that line crosses magnification 0, with the sign turned", "Remaining extension", GUM)
FITTED_FRONT = Found(
    "a",
    "by the working distances, or with the lens reversed by where that line begins, by weighted least squares",
    "Front principal plane by the frames",
    GUM,
)
FITTED = Formula("m_f = (e + e_f + e_0) / f", "Magnification by the fitted lens, mounted normally", HECHT)
FITTED_REVERSED = Formula("m_f = (R_c + e + a) / f - 1", "Magnification by the fitted lens, reversed", HECHT)
RESIDUAL = Formula("m_d = m - m_f", "What the frame's magnification differs by", DEFINITION)
REAR_BY_REGISTER = Calculated("a_r", formulas.rear_plane, "R_l f", "Rear principal plane by the lens's register", HECHT)
REAR_BY_FRAMES = Calculated(
    "a_r", formulas.rear_plane, "R_c-e_0 f", "Rear principal plane by where the frames were sharp", HECHT
)
REAR_BY_DISTANCES = Found(
    "a_r", "by the working distances of the reversed lens", "Rear principal plane by the frames", GUM
)
REAR_BY_BOTH = Found(
    "a_r",
    "by the working distances of the reversed lens and by its register less f, by weighted least squares",
    "Rear principal plane by the frames and the lens's register",
    GUM,
)
AT_INFINITY_BY_BOTH = Found(
    "e_0",
    "where the line of magnification crosses 0, with the sign turned, and by the registers of camera and lens, by weighted "
    "least squares",
    "Remaining extension",
    GUM,
)
SEPARATION = Found("i", "mean of subject to sensor less f (2 + m + 1/m), weighted", "Separation of the planes", HECHT)
PUPILS = Calculated("p", formulas.pupil_ratio, "d_xp d_e", "Pupil magnification by both pupils' diameters", DEFINITION)
F_NUMBER = Calculated("N_est", formulas.f_number_by_pupil, "f d_e", "f-number by the entrance pupil", DEFINITION)
F_NUMBER_BY_LIGHT = Calculated(
    "N_est", exposure.f_number_for, "N_k n_k", "f-number by the light lost against a known one", DEFINITION
)


def used_width_steps(board: Board, asked: Mapping[str, object]) -> None:
    """Used width of the sensor, where it is stated."""
    if "used_width_mm" in asked or "sensor_width_mm" not in asked:
        return
    board.work(USED_WIDTH if "crop_factor" in asked else WHOLE_WIDTH)


def pixel_steps(
    board: Board, asked: requests.ScaleReadingRequest | requests.ScaleBarRequest, pixel_mm: float | None
) -> None:
    """One pixel of the picture on the sensor, by the route that was taken."""
    if pixel_mm is None:
        return
    by_pitch = "pixel_pitch_um" in asked and isclose(pixel_mm * 1000, asked["pixel_pitch_um"], rel_tol=1e-12)
    board.write(PIXEL_BY_PITCH if by_pitch else PIXEL_BY_WIDTH, pixel_mm)


def scale_reading_steps(
    asked: requests.ScaleReadingRequest, answer: answers.ScaleReadingAnswer, pixel_mm: float | None, by_places: bool
) -> list[Step]:
    """Magnification by the ruler, the parts of its uncertainty, and what fills the frame."""
    board = Board({"finest_division_mm": 1.0}, answer["assumed"], asked)
    used_width_steps(board, asked)
    pixel_steps(board, asked, pixel_mm)
    board.write(RULER, answer["ruler_length_mm"])
    if by_places:
        if "distance_px" not in asked:
            board.work(BETWEEN_PLACES)
        board.work(ON_SENSOR)
    else:
        if "w_u" not in board.values:
            board.work(WIDTH_BY_PIXELS)
        board.work(ACROSS_FRAME)
    tilted = board.values["theta"] > 0
    board.write(MAGNIFICATION if tilted else MAGNIFICATION_SQUARE, answer["magnification"])
    uncertainty_steps(board, answer)
    board.write(SCALE, answer["scale_px_per_mm"])
    frame_steps(board, asked, answer, by_places)
    return board.steps


def uncertainty_steps(board: Board, answer: answers.ScaleReadingAnswer) -> None:
    """Parts of the uncertainty, and what they make together."""
    parts = {each["source"]: each["relative_uncertainty"] for each in answer["contributions"]}
    if "reading_error_mm" in answer["assumed"]:
        board.write(HALF_DIVISION, assumed_number(answer, "reading_error_mm"))
    board.write(READING_PX if "u_Yp" in board.values else READING, parts["reading"])
    board.put(u_2=0.0)
    if parts["tilt"]:
        board.write(TILT if board.values["theta"] > 0 else TILT_SQUARE, parts["tilt"])
    board.write(TOGETHER, answer["relative_uncertainty"])
    board.write(UNCERTAINTY, answer["magnification_uncertainty"])
    board.write(LOW, answer["magnification_low"])
    board.write(HIGH, answer["magnification_high"])


def frame_steps(
    board: Board, asked: requests.ScaleReadingRequest, answer: answers.ScaleReadingAnswer, by_places: bool
) -> None:
    """What of the subject fills the frame."""
    if answer["subject_width_mm"] is not None:
        board.work(FRAME_BY_PIXELS if by_places and "image_width_px" in asked else FRAME_BY_SENSOR)
        board.write(SUBJECT_WIDTH, answer["subject_width_mm"])
    if answer["subject_height_mm"] is not None:
        by_pixels = "image_height_px" in asked
        by_sensor = FRAME_HEIGHT_CROPPED if "crop_factor" in asked else FRAME_HEIGHT
        board.work(FRAME_HEIGHT_BY_PIXELS if by_pixels else by_sensor)
        board.write(SUBJECT_HEIGHT, answer["subject_height_mm"])
    if answer["subject_width_uncertainty_mm"] is None:
        return
    cancels = not by_places or "image_width_px" in asked
    if cancels:
        board.work(WITHOUT_SENSOR)
    board.write(WIDTH_UNCERTAINTY if cancels else WIDTH_UNCERTAINTY_ALL, answer["subject_width_uncertainty_mm"])


def scale_bar_steps(
    asked: requests.ScaleBarRequest, answer: answers.ScaleBarAnswer, pixel_mm: float | None
) -> list[Step]:
    """Scale of the finished picture, and the bar in it and on the print."""
    board = Board(answer["assumed"], asked)
    if "scale_px_per_mm" in asked:
        board.put(k_0=asked["scale_px_per_mm"])
    elif "subject_width_mm" in asked:
        board.work(SCALE_BY_WIDTH)
    else:
        used_width_steps(board, asked)
        pixel_steps(board, asked, pixel_mm)
        board.work(SCALE_BY_MAGNIFICATION)
    board.write(FINISHED_SCALE, answer["scale_px_per_mm"])
    board.write(SHOWN_WIDTH, answer["subject_width_mm"])
    if "bar_length_um" not in asked:
        board.write(ROUND_LENGTH, answer["bar_length_um"])
    board.write(BAR, answer["bar_px"])
    board.write(BAR_SHARE, answer["bar_share"])
    board.write(BAR_UNCERTAINTY, answer["bar_uncertainty_um"])
    board.write(DEPTH_CHANGE, answer["depth_scale_change"])
    board.write(PRINT, answer["print_magnification"])
    board.write(PRINT_BAR, answer["print_bar_mm"])
    return board.steps


def lens_calibration_steps(asked: requests.CalibrationFields, answer: answers.LensCalibrationAnswer) -> list[Step]:
    """Main relations of the fitted lens, each frame against it, and its pupils; a zoom at each of its settings."""
    if "settings" not in asked:
        return lens_steps(asked, asked, answer)
    pairs = zip(asked["settings"], answer["settings"], strict=True)
    return [step for given, told in pairs for step in lens_steps(asked, given, told)]


def lens_steps(
    asked: requests.CalibrationFields,
    lens: requests.CalibrationFields | requests.ZoomSetting,
    told: answers.LensMembers,
) -> list[Step]:
    """Relations of one fitted lens."""
    board = Board(lens, asked).put(e_f=0.0)
    turned = asked.get("mounting") == "reversed"
    board.write(FOCAL_LENGTH, told["focal_length_mm"])
    board.write(
        AT_INFINITY_BY_BOTH if {"R_l", "R_c"} <= board.values.keys() else AT_INFINITY, told["extension_at_infinity_mm"]
    )
    board.write(FITTED_FRONT, told["front_principal_plane_mm"])
    for frame, row in zip(lens["frames"], told["residuals"], strict=True):
        board.give({"extension_mm": 0.0, "focusing_extension_mm": 0.0, **frame})
        board.work(FITTED_REVERSED if turned else FITTED)
        board.write(RESIDUAL, row["magnification_residual"])
    measured = any("working_distance_mm" in frame for frame in lens["frames"])
    rear_step(board, turned, measured, told["rear_principal_plane_mm"])
    board.write(SEPARATION, told["principal_plane_separation_mm"])
    board.write(PUPILS, told["pupil_magnification"])
    by_light = "reference_f_number" in lens and "reference_light_loss_stops" in lens
    board.write(F_NUMBER_BY_LIGHT if by_light else F_NUMBER, told["f_number_estimate"])
    return board.steps


def rear_step(board: Board, turned: bool, measured: bool, rear: float | None) -> None:
    """Rear principal plane by the route that was taken; `measured` says whether there are working distances."""
    register = "R_l" in board.values
    if turned and measured:
        board.write(REAR_BY_BOTH if register else REAR_BY_DISTANCES, rear)
    elif register and (turned or "R_c" not in board.values):
        board.write(REAR_BY_REGISTER, rear)
    else:
        board.write(REAR_BY_DISTANCES if turned else REAR_BY_FRAMES, rear)
