"""Depth of field by the named models, and what diffraction leaves."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, cast

from closeup_service.optics import formulas
from closeup_service.optics.aperture import TELECENTRIC
from closeup_service.optics.arithmetic import Arithmetic, R
from closeup_service.optics.depth import (
    Depth,
    combined_cover,
    depth_limits,
    geometric_cover,
    geometric_half_depth,
    half_depth_defocus,
    wave_cover,
    wave_half_depth,
)
from closeup_service.optics.diffraction import (
    airy_limited_f_number,
    end_half_depth,
    fill_fraction,
    filled_megapixels,
    nyquist_frequency,
    optimum_effective_f_number,
    sensor_resolution_um,
)
from closeup_service.optics.formulas import FIRST_ZERO
from closeup_service.optics.sharpness import ROUNDING, WAVELENGTH_NM, blur_of_sensor, noticed_blur
from closeup_service.set_ups.criterion import blur_of
from closeup_service.worked.board import Board, Step
from closeup_service.worked.formula import Calculated, Formula, Found
from closeup_service.worked.lens import (
    MARK,
    MARK_REVERSED,
    NUMERICAL_APERTURE,
    PUPIL,
    PUPIL_REVERSED,
    assumed_number,
    board_of,
    effective_steps,
    is_reversed,
    mark_of,
    mark_of_reversed,
)
from closeup_service.worked.sources import (
    AIRY,
    ALGEBRA,
    BOREMAN,
    BORN_WOLF,
    GOODMAN,
    HANSMA,
    HOPKINS,
    KINGSLAKE,
    MICROSCOPY,
    NYQUIST,
    PRACTICE,
    RAY,
    TURNED,
)

if TYPE_CHECKING:
    from closeup_service.records import answers, requests


def front_depth(half_depth: R, inverse_pupil_distance: R, arithmetic: Arithmetic[R]) -> R:
    """Depth before the subject plane [mm]."""
    return depth_limits(half_depth, 1.0, inverse_pupil_distance, arithmetic).front


def rear_depth(half_depth: R, inverse_pupil_distance: R, arithmetic: Arithmetic[R]) -> R:
    """Depth behind the subject plane [mm]."""
    return depth_limits(half_depth, 1.0, inverse_pupil_distance, arithmetic).rear


def whole_depth(front: R, rear: R) -> R:
    """Depth of field [mm]."""
    return Depth(front, rear, 0.0).total


def depth_of_focus(half_depth: R, magnification: R, arithmetic: Arithmetic[R]) -> R:
    """Depth of focus [mm]; the position of the pupil does not matter for it."""
    return depth_limits(half_depth, magnification, 0.0, arithmetic).depth_of_focus


BLUR_OF_SENSOR = Calculated("c", blur_of_sensor, "w_s h_s", "Blur accepted on the sensor, by its diagonal", PRACTICE)
BLUR_OF_PRINT = Calculated(
    "c", noticed_blur, "v_p alpha w_s w_p", "Blur accepted on the sensor, by the finished print", RAY
)
GEOMETRIC = Calculated("x_g", geometric_half_depth, "N_eff m c", "Half depth by geometric blur", RAY)
WAVE = Calculated("x_w", wave_half_depth, "N_eff m lam", "Half depth to a quarter wave of defocus", BORN_WOLF)
COMBINED = Formula("x_0 = x_g + x_w", "Half depth by both together", MICROSCOPY)
GEOMETRIC_ALONE = Formula("x_0 = x_g", "Half depth by geometric blur alone", RAY)
WAVE_ALONE = Formula("x_0 = x_w", "Half depth by the quarter wave alone", BORN_WOLF)
CONTRAST = Found(
    "x_0",
    "greatest defocus up to which the detail keeps the contrast asked for, divided by m²; found by halving an interval of "
    "the wave sums",
    "Half depth by the contrast of a detail",
    HOPKINS,
)
FRONT = Calculated("t_f", front_depth, "x_0 1/z", "Depth before the subject plane", RAY)
REAR = Calculated("t_r", rear_depth, "x_0 1/z", "Depth behind the subject plane", RAY)
FRONT_SYMMETRIC = Calculated(
    "t_f", front_depth, "x_0 0", "Depth before the subject plane, entrance pupil far away or not known", RAY
)
REAR_SYMMETRIC = Calculated(
    "t_r", rear_depth, "x_0 0", "Depth behind the subject plane, entrance pupil far away or not known", RAY
)
WHOLE_DEPTH = Calculated("t", whole_depth, "t_f t_r", "Depth of field", RAY)
DEPTH_OF_FOCUS = Calculated("b", depth_of_focus, "x_0 m", "Depth of focus on the sensor", RAY)

AIRY_DISK = Calculated("d_A", formulas.airy_diameter_um, "N_eff lam", "Diameter of the Airy disk on the sensor", AIRY)
AIRY_ON_SUBJECT = Calculated(
    "d_Ao", formulas.subject_size, "d_A m", "Diameter of the Airy disk on the subject", ALGEBRA
)
RESOLUTION = Calculated(
    "r_s", sensor_resolution_um, "N_eff lam", "Least distance resolved on the sensor (Rayleigh)", AIRY
)
RESOLUTION_ON_SUBJECT = Calculated(
    "r_o", formulas.subject_resolution_um, "NA lam", "Least distance resolved on the subject (Rayleigh)", AIRY
)
CUTOFF = Calculated("q_c", formulas.cutoff_lp_per_mm, "N_eff lam", "Cut-off on the sensor", GOODMAN)
CUTOFF_ON_SUBJECT = Calculated("q_co", formulas.subject_frequency, "q_c m", "Cut-off on the subject", ALGEBRA)
NYQUIST_FREQUENCY = Calculated("q_N", nyquist_frequency, "g", "Finest detail that the pixels carry", NYQUIST)
NYQUIST_PLACE = Formula("v = min(q_N / q_c, 1)", "Frequency of the pixels over the cut-off", GOODMAN)
NYQUIST_CONTRAST = Formula(
    "K_N = 2 / pi * (acos(v) - v * sqrt(1 - v ** 2))",
    "Contrast in focus of the finest detail that the pixels carry",
    GOODMAN,
)
NYQUIST_WHITE = Found(
    "K_N",
    "sum of that formula over five wavelengths, weighted as the eye weighs daylight",
    "The same in white light",
    GOODMAN,
)
FILLED = Calculated("F", fill_fraction, "r_s g", "Share of the pixels that the image fills", NYQUIST)
SUBJECT_DETAIL = Calculated("q_o", formulas.subject_frequency, "q m", "Detail on the subject", ALGEBRA)
DETAIL_PLACE = Formula("v = min(q / q_c, 1)", "Frequency of the detail over the cut-off", GOODMAN)
DETAIL_CONTRAST = Formula(
    "K = 2 / pi * (acos(v) - v * sqrt(1 - v ** 2))", "Contrast in focus of a detail, by diffraction alone", GOODMAN
)
DETAIL_WHITE = Found(
    "K",
    "sum of that formula over five wavelengths, weighted as the eye weighs daylight",
    "The same in white light",
    GOODMAN,
)
WITH_PIXELS = Formula(
    "K_p = K * abs(sin(pi * g * u * q / 1000) / (pi * g * u * q / 1000))",
    "Contrast of a detail with the pixels",
    BOREMAN,
)
BEYOND_PIXELS = Found(
    "K_p", "none, since the detail is finer than the pixels carry", "Detail beyond the pixels", NYQUIST
)
MEGAPIXELS = Calculated("P_f", filled_megapixels, "F w_s h_s g", "Pixels that the image fills, in millions", ALGEBRA)
AIRY_FILLS = Calculated(
    "N_eff", airy_limited_f_number, "c lam", "Effective f-number at which the Airy disk fills the blur", AIRY
)
USEFUL_MARK = Calculated("N_max", mark_of, "N_eff m p", "Largest useful mark, lens mounted normally", ALGEBRA)
USEFUL_MARK_REVERSED = Calculated("N_max", mark_of_reversed, "N_eff m p", "Largest useful mark, lens reversed", ALGEBRA)
OPTIMUM = Calculated(
    "N_eff", optimum_effective_f_number, "T m lam", "Effective f-number of least blur at both ends", HANSMA
)
END_DEPTH_KNOWN_PUPIL = Calculated(
    "x_0", end_half_depth, "T 1/z", "Half depth that reaches both ends of the subject", ALGEBRA
)
END_DEPTH = Formula("x_0 = T / 2", "Half depth that reaches both ends, entrance pupil not known", ALGEBRA)
COVER_GEOMETRIC = Calculated(
    "N_c", geometric_cover, "x_0 m c", "Effective f-number of that half depth by blur", ALGEBRA
)
COVER_WAVE = Calculated(
    "N_c", wave_cover, "x_0 m lam", "Effective f-number of that half depth by a quarter wave", ALGEBRA
)
COVER = Calculated("N_c", combined_cover, "x_0 m c lam", "Effective f-number of that half depth by both", ALGEBRA)
COVERING_MARK = Calculated("N_d", mark_of, "N_c m p", "Mark that covers the depth, lens mounted normally", KINGSLAKE)
COVERING_MARK_REVERSED = Calculated(
    "N_d", mark_of_reversed, "N_c m p", "Mark that covers the depth, lens reversed", TURNED
)
COVERS = {"geometric": COVER_GEOMETRIC, "wave": COVER_WAVE, "combined": COVER}
END_DEFOCUS = Calculated("y", half_depth_defocus, "x_0 m", "Defocus on the sensor at both ends", ALGEBRA)
END_CONTRAST = Found(
    "K_e",
    "contrast of the detail with that defocus at each mark of the ring, by the wave sums; the greatest of them",
    "Greatest contrast of the detail at both ends",
    HOPKINS,
)


def finite_pupil_distance(inverse: float | None) -> float | None:
    """Subject to the entrance pupil, mm; None where it is not known, or so far away that rounding alone places it."""
    return None if inverse is None or abs(inverse) < TELECENTRIC else 1 / inverse


def pupil_steps(board: Board, asked: requests.MountingField) -> None:
    """Where the entrance pupil stands, where the focal length is known."""
    if "focal_length_mm" in asked:
        board.work(PUPIL_REVERSED if is_reversed(asked) else PUPIL)


def blur_steps(board: Board, asked: Mapping[str, object], blur: float | None) -> None:
    """Blur accepted on the sensor, where it was not stated."""
    if "circle_of_confusion_mm" not in asked:
        board.write(BLUR_OF_PRINT if "print_width_mm" in asked else BLUR_OF_SENSOR, blur)


def depth_steps(board: Board, depth: answers.Depth, model: str, with_pupil: bool) -> None:
    """Depth by a model; the half depth is the core's by way of the depth of focus, which is exact for it."""
    if depth["depth_of_focus_mm"] is None:
        return
    m = board.values["m"]
    half_depth = depth["depth_of_focus_mm"] / (2 * m * m)
    if model in ("geometric", "combined"):
        board.work(GEOMETRIC)
    if model in ("wave", "combined"):
        board.work(WAVE)
    board.write(
        {"geometric": GEOMETRIC_ALONE, "wave": WAVE_ALONE, "combined": COMBINED, "contrast": CONTRAST}[model],
        half_depth,
    )
    board.write(FRONT if with_pupil else FRONT_SYMMETRIC, depth["front_depth_mm"])
    board.write(REAR if with_pupil else REAR_SYMMETRIC, depth["rear_depth_mm"])
    board.write(WHOLE_DEPTH, depth["total_mm"])
    board.write(DEPTH_OF_FOCUS, depth["depth_of_focus_mm"])


def depth_of_field_steps(asked: requests.DepthOfFieldRequest, answer: answers.DepthOfFieldAnswer) -> list[Step]:
    """Effective f-number, blur, half depth by the model, and the limits."""
    board = board_of(asked, answer)
    effective_steps(board, asked, answer["effective_f_number"])
    if answer["model"] in ("geometric", "combined"):
        blur_steps(board, asked, answer["circle_of_confusion_mm"])
    pupil_steps(board, asked)
    depth_steps(board, answer, answer["model"], "focal_length_mm" in asked)
    return board.steps


def diffraction_steps(asked: requests.DiffractionRequest, answer: answers.DiffractionAnswer) -> list[Step]:
    """Airy disk, resolution, cut-off, sampling, the contrast of each detail, and the largest useful mark."""
    board = board_of(asked, answer).put(u=asked.get("pixel_fill", 1.0))
    effective_steps(board, asked, answer["effective_f_number"])
    diffraction_of(board, answer, asked.get("light") == "white")
    for row in answer["details"]:
        detail_steps(board, row, asked)
    board.write(MEGAPIXELS, answer["filled_megapixels"])
    if answer["largest_useful_f_number"] is not None:
        assumed = assumed_number(answer, "circle_of_confusion_mm")
        blur_steps(board, asked, blur_on_print(asked) if assumed is None else assumed)
        board.work(AIRY_FILLS)
        board.write(USEFUL_MARK_REVERSED if is_reversed(asked) else USEFUL_MARK, answer["largest_useful_f_number"])
    return board.steps


def blur_on_print(asked: requests.DiffractionRequest) -> float | None:
    """Blur by the finished print, which the answer does not state; None without a print."""
    return blur_of(cast("requests.SharpnessFields", asked), {})


def diffraction_of(board: Board, answer: answers.DiffractionMembers, white: bool) -> None:
    """Airy disk, resolution, cut-off and what the pixels carry; also of a whole set-up."""
    board.put(j_1=FIRST_ZERO, lam=answer.get("wavelength_nm", WAVELENGTH_NM))
    if "NA" not in board.values:
        board.write(NUMERICAL_APERTURE, board.values["m"] / (2 * board.values["N_eff"]))
    board.write(AIRY_DISK, answer["airy_diameter_um"])
    board.write(AIRY_ON_SUBJECT, answer["subject_airy_diameter_um"])
    board.write(RESOLUTION, answer["sensor_resolution_um"])
    board.write(RESOLUTION_ON_SUBJECT, answer["subject_resolution_um"])
    board.write(CUTOFF, answer["sensor_cutoff_lp_per_mm"])
    board.write(CUTOFF_ON_SUBJECT, answer["subject_cutoff_lp_per_mm"])
    if answer["nyquist_lp_per_mm"] is None:
        return
    board.write(NYQUIST_FREQUENCY, answer["nyquist_lp_per_mm"])
    if not white:
        board.work(NYQUIST_PLACE)
    board.write(NYQUIST_WHITE if white else NYQUIST_CONTRAST, answer["nyquist_contrast"])
    board.write(FILLED, answer["filled_share"])


def detail_steps(board: Board, row: answers.DetailContrast, asked: requests.LightFields) -> None:
    """Contrast of one detail."""
    board.put(q=row["sensor_detail_lp_per_mm"])
    board.write(SUBJECT_DETAIL, row["subject_detail_lp_per_mm"])
    if asked.get("light") == "white":
        board.write(DETAIL_WHITE, row["contrast"])
    else:
        board.work(DETAIL_PLACE)
        board.write(DETAIL_CONTRAST, row["contrast"])
    carried = "q_N" not in board.values or row["sensor_detail_lp_per_mm"] <= board.values["q_N"] * (1 + ROUNDING)
    board.write(WITH_PIXELS if carried else BEYOND_PIXELS, row["contrast_with_pixels"])


def optimum_aperture_steps(asked: requests.OptimumApertureRequest, answer: answers.OptimumApertureAnswer) -> list[Step]:
    """Closed form of the best aperture, its mark, and how the ring's best for a detail is found."""
    board = board_of(asked, answer).put(j_1=FIRST_ZERO)
    board.write(OPTIMUM, answer["effective_f_number"])
    board.write(MARK_REVERSED if is_reversed(asked) else MARK, answer["f_number"])
    if "best" not in answer and "covering_f_number" not in answer:
        return board.steps
    pupil_steps(board, asked)
    board.work(END_DEPTH_KNOWN_PUPIL if "focal_length_mm" in asked else END_DEPTH)
    if "best" in answer:
        board.work(END_DEFOCUS)
        board.write(END_CONTRAST, answer["best"]["end_contrast"])
    if "covering_f_number" in answer:
        cover_steps(board, asked, answer)
    return board.steps


def cover_steps(board: Board, asked: requests.OptimumApertureRequest, answer: answers.OptimumApertureAnswer) -> None:
    """Aperture that covers the depth, by the model."""
    model = str(asked.get("model", answer["assumed"].get("model")))
    if model != "wave":
        blur_steps(board, asked, blur_of(cast("requests.SharpnessFields", asked), {}))
    board.work(COVERS[model])
    board.write(COVERING_MARK_REVERSED if is_reversed(asked) else COVERING_MARK, answer["covering_f_number"])
