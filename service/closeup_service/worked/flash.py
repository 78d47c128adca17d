"""Flash by guide number."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from closeup_service.optics import disc, flash
from closeup_service.optics.arithmetic import Arithmetic, R
from closeup_service.worked.board import Board, Step
from closeup_service.worked.formula import Calculated, Formula
from closeup_service.worked.lens import LIGHT_LOSS, MARK, MARK_REVERSED, board_of, effective_steps, is_reversed
from closeup_service.worked.sources import ALGEBRA, GUIDE_NUMBERS, WALSH

if TYPE_CHECKING:
    from closeup_service.records import answers, requests


def light_of_head(guide_number: R, distance: R, source_radius: R) -> R:
    """Light of one head."""
    return flash.light_of(flash.Head(guide_number, distance), source_radius)


def light_of_one_more(before: R, guide_number: R, distance: R, source_radius: R) -> R:
    """Light of the heads before and one more: it adds."""
    return before + light_of_head(guide_number, distance, source_radius)


def difference_stops(light: R, gain: R, effective: R, arithmetic: Arithmetic[R]) -> R:
    """Light against the right amount, in stops."""
    return arithmetic.log2(flash.exposure_ratio(light, gain, effective))


def guide_number_of_one_more(before: R, guide_number: R, arithmetic: Arithmetic[R]) -> R:
    """Guide number of the heads before and one more [m]."""
    return flash.guide_number_of_all((before, guide_number), arithmetic)


def power(light: R, effective: R, iso: R, pops: R, transmission: R) -> R:
    """Share of the full power that is right."""
    return flash.required_factor(light, effective, flash.gain(iso, 1.0, pops, transmission))


def pops(light: R, effective: R, iso: R, power_fraction: R, transmission: R) -> R:
    """Flashes that are right."""
    return flash.required_factor(light, effective, flash.gain(iso, power_fraction, 1.0, transmission))


def attainable_gain(iso: R, power_fraction: R, pops: R, transmission: R, arithmetic: Arithmetic[R]) -> R:
    """Light over one full flash at ISO 100, with no more than full power."""
    return flash.gain(iso, arithmetic.least(power_fraction, 1.0), pops, transmission)


RADIUS = Calculated("r_l", disc.radius_of, "d_l", "Radius of the luminous disc", ALGEBRA)
EQUAL_HEADS = Formula("GN_all = GN * sqrt(n_h)", "Guide number of several equal heads", GUIDE_NUMBERS)
ONE_HEAD = Formula("GN_all = GN", "Guide number of one head", GUIDE_NUMBERS)
ONE_MORE_HEAD = Calculated(
    "GN_all", guide_number_of_one_more, "GN_b GN", "Guide number of the heads before and one more", GUIDE_NUMBERS
)
LIGHT = Calculated("Q_l", light_of_head, "GN_all D r_l", "Light of all heads at one distance", WALSH)
LIGHT_OF_POINT = Formula(
    "Q_l = (1000 * GN_all / D) ** 2", "Light of all heads, each small against its distance", GUIDE_NUMBERS
)
LIGHT_OF_ONE_MORE = Calculated(
    "Q_l", light_of_one_more, "Q_b GN D r_l", "Light of the heads before and one more", WALSH
)
GAIN = Calculated("k_g", flash.gain, "S E n_p tau", "Light over one full flash at ISO 100", GUIDE_NUMBERS)
EFFECTIVE = Calculated(
    "N_eff", flash.effective_f_number, "Q_l k_g", "Effective f-number that is right for the light", GUIDE_NUMBERS
)
DISTANCE = Calculated("D", flash.distance, "GN_all k_g N_eff r_l", "Distance that is right", WALSH)
DISTANCE_OF_POINT = Formula(
    "D = 1000 * GN_all / N_eff * sqrt(k_g)", "Distance that is right, the flash small against it", GUIDE_NUMBERS
)
POWER = Calculated("E", power, "Q_l N_eff S n_p tau", "Share of the full power that is right", GUIDE_NUMBERS)
POPS = Calculated("n_px", pops, "Q_l N_eff S E tau", "Flashes with the shutter open", GUIDE_NUMBERS)
WHOLE_POPS = Formula("n_pw = roundup(n_px)", "Whole flashes", GUIDE_NUMBERS)
POWER_STOPS = Calculated("E_s", flash.stops_below_full, "E", "Power in stops below full", GUIDE_NUMBERS)
WHOLE_GAIN = Calculated(
    "k_w",
    attainable_gain,
    "S E n_pw tau",
    "Light with whole flashes and no more than full power",
    GUIDE_NUMBERS,
)
DIFFERENCE = Calculated(
    "n_d", difference_stops, "Q_l k_w N_eff", "Light against the right amount, in stops", GUIDE_NUMBERS
)
AT_ISO = Calculated("GN_S", flash.guide_number_at, "GN_all S", "Guide number at the ISO speed set", GUIDE_NUMBERS)
INVERSE_SQUARE = Formula("k_i = (r_l / D) ** 2", "What the inverse square overstates of a luminous disc", WALSH)
INVERSE_SQUARE_STOPS = Calculated("n_i", flash.excess_stops, "k_i", "The same in stops", WALSH)


def flash_steps(asked: requests.FlashRequest, answer: answers.FlashAnswer) -> list[Step]:
    """The open one of aperture, distance, power and flashes, and how far the exposure is off."""
    usual = {"flash_power_fraction": 1.0, "pops": 1.0}
    board = Board(usual).put(r_l=0.0)
    board.values |= board_of(asked, answer).values
    if "f_number" in asked:
        effective_steps(board, asked, answer["effective_f_number"])
    if "source_diameter_mm" in asked:
        board.work(RADIUS)
    numbers = asked.get("guide_numbers_m") or [asked["guide_number_m"]] * int(board.values["n_h"])
    guide_number_steps(board, asked, numbers)
    solving_steps(board, asked, answer, numbers)
    if "f_number" not in asked:
        board.write(MARK_REVERSED if is_reversed(asked) else MARK, answer["f_number"])
    board.write(LIGHT_LOSS, answer["light_loss_stops"])
    board.write(POWER_STOPS, answer["flash_power_stops"])
    board.write(WHOLE_POPS, float(answer["pops"]), n_px=answer["pops_exact"])
    board.work(WHOLE_GAIN)
    board.write(DIFFERENCE, answer["exposure_difference_stops"])
    board.write(AT_ISO, answer["guide_number_at_iso_m"])
    if "flash_distances_mm" not in asked:
        board.write(INVERSE_SQUARE, answer["inverse_square_error"])
        board.write(INVERSE_SQUARE_STOPS, answer["inverse_square_error_stops"])
    return board.steps


def guide_number_steps(board: Board, asked: requests.FlashRequest, numbers: Sequence[float]) -> None:
    """Guide number of all heads together."""
    if "guide_numbers_m" not in asked:
        board.work(ONE_HEAD if len(numbers) == 1 else EQUAL_HEADS)
        return
    board.put(GN_all=0.0)
    for number in numbers:
        board.work(ONE_MORE_HEAD, GN=number, GN_b=board.values["GN_all"])


def solving_steps(
    board: Board, asked: requests.FlashRequest, answer: answers.FlashAnswer, numbers: Sequence[float]
) -> None:
    """Solve for the open one."""
    if answer["flash_distance_mm"] is not None and "flash_distance_mm" not in asked:
        board.work(GAIN)
        board.write(
            DISTANCE if board.values["r_l"] else DISTANCE_OF_POINT,
            answer["flash_distance_mm"],
            N_eff=answer["effective_f_number"],
        )
    light_steps(board, asked, numbers)
    if not {"f_number", "effective_f_number"} & set(asked):
        board.work(GAIN)
        board.write(EFFECTIVE, answer["effective_f_number"])
    elif {"flash_distance_mm", "flash_distances_mm"} & set(asked):
        board.put(N_eff=answer["effective_f_number"])
        if "flash_power_fraction" not in asked:
            board.write(POWER, answer["flash_power_fraction"])
        elif "pops" not in asked:
            board.write(POPS, answer["pops_exact"])


def light_steps(board: Board, asked: requests.FlashRequest, numbers: Sequence[float]) -> None:
    """Light of all heads: together where they stand at one distance, else one after the other."""
    if "flash_distances_mm" not in asked:
        board.work(LIGHT if board.values["r_l"] else LIGHT_OF_POINT)
        return
    board.put(Q_l=0.0)
    for number, distance in zip(numbers, asked["flash_distances_mm"], strict=True):
        board.work(LIGHT_OF_ONE_MORE, GN=number, D=distance, Q_b=board.values["Q_l"])
