"""The next exposure from a frame that was right."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, cast

from msgspec import Struct

from closeup_service.optics import exposure, formulas
from closeup_service.optics.arithmetic import Arithmetic, R
from closeup_service.optics.exposure import CONTINUOUS, Frame, finder_loss, gain_stops
from closeup_service.optics.flash_power import DIAL, STOPS_BELOW_FULL, Scale
from closeup_service.set_ups.lens_light import LensLight, OneLens, WholeSetUp
from closeup_service.worked.board import Board, Step
from closeup_service.worked.formula import Calculated, Formula, Found
from closeup_service.worked.lens import mark_of, mark_of_reversed
from closeup_service.worked.sources import ALGEBRA, APEX, KINGSLAKE, RAY, TURNED, WALSH

if TYPE_CHECKING:
    from closeup_service.records import answers, requests


def stops_under_flash(
    effective: R, transmission: R, time: R, iso: R, exposure_value: R, missing: R, arithmetic: Arithmetic[R]
) -> R:
    """Ambient light under the flash [stops], whose range may miss some light."""
    return exposure.setting_exposure_value(effective, transmission, time, iso, arithmetic) - exposure_value - missing


KNOWN = Calculated(
    "N_1",
    formulas.effective_f_number,
    "N m p",
    "Effective f-number of the known frame, lens mounted normally",
    KINGSLAKE,
)
KNOWN_REVERSED = Calculated(
    "N_1",
    formulas.effective_f_number_of_reversed_lens,
    "N m p",
    "Effective f-number of the known frame, lens reversed",
    TURNED,
)
PLANNED = Calculated(
    "N_2",
    formulas.effective_f_number,
    "N m p",
    "Effective f-number of the planned frame, lens mounted normally",
    KINGSLAKE,
)
PLANNED_REVERSED = Calculated(
    "N_2",
    formulas.effective_f_number_of_reversed_lens,
    "N m p",
    "Effective f-number of the planned frame, lens reversed",
    TURNED,
)
FILTERS_KNOWN = Calculated(
    "tau_1", exposure.filter_transmission, "F_1", "Transmission of the known frame's filters", APEX
)
FILTERS_PLANNED = Calculated(
    "tau_2", exposure.filter_transmission, "F_2", "Transmission of the planned frame's filters", APEX
)
APERTURE = Calculated("G_a", formulas.light_loss_stops, "N_1 N_2", "What the aperture gives more, in stops", APEX)
TRANSMISSION = Calculated("G_T", gain_stops, "tau_2 tau_1", "What the filters give more, in stops", APEX)
TRANSMISSION_OF_FLASH = Calculated(
    "G_T", gain_stops, "tau_2*tau_f2 tau_1*tau_f1", "What the filters and diffusers give more, in stops", APEX
)
ISO = Calculated("G_S", gain_stops, "S_2 S_1", "What the ISO speed gives more, in stops", APEX)
TIME = Calculated("G_t", gain_stops, "t_2 t_1", "What the exposure time gives more, in stops", APEX)
POWER = Formula("G_E = log2(E_2 / E_1)", "What the flash's power gives more, in stops", RAY)
POWER_OF_DIAL = Formula("G_E = (E_2 - E_1) * k_E", "What the flash's power gives more, by its dial", ALGEBRA)
POWER_BELOW = Formula("G_E = E_1 - E_2", "What the flash's power gives more, in stops below full", ALGEBRA)
DISTANCE = Calculated("G_D", exposure.distance_gain_stops, "D_1 r_1 D_2 r_2", "What the distance gives more", WALSH)
POPS = Calculated("G_n", gain_stops, "n_2 n_1", "What the number of flashes gives more, in stops", RAY)
ALL = Formula("G = G_a + G_T + G_S + G_t", "What all changes but the open one give; it counts 0 here", APEX)
ALL_OF_FLASH = Formula(
    "G = G_a + G_T + G_S + G_E + G_D + G_n", "What all changes but the open one give; it counts 0 here", APEX
)
OPEN_TIME = Calculated("t_2", exposure.setting_for, "t_1 G", "New exposure time", APEX)
OPEN_ISO = Calculated("S_2", exposure.setting_for, "S_1 G", "New ISO speed", APEX)
OPEN_POWER = Formula("E_2 = E_1 * 2 ** (-G)", "New power of the flash", RAY)
OPEN_DIAL = Formula("E_2 = E_1 - G / k_E", "New setting of the flash's dial", ALGEBRA)
OPEN_BELOW = Formula("E_2 = E_1 + G", "New power in stops below full", ALGEBRA)
OPEN_DISTANCE = Calculated("D_2", exposure.distance_for, "D_1 r_1 G r_2", "New distance of the flash", WALSH)
OPEN_APERTURE = Calculated("N_2", exposure.f_number_for, "N_1 G", "New effective f-number", APEX)
MARK = Calculated("N", mark_of, "N_2 m p", "New mark, lens mounted normally", KINGSLAKE)
MARK_REVERSED = Calculated("N", mark_of_reversed, "N_2 m p", "New mark, lens reversed", TURNED)
MARK_OF_SET_UP = Calculated(
    "N", formulas.mark_in_proportion, "N_2 N_m N_n", "New mark in a set-up: both are in proportion", ALGEBRA
)
LOSS = Calculated("n_s2", formulas.light_loss_stops, "N_2 N", "Light lost against the mark in the planned frame", RAY)
UNDER_FLASH = Calculated(
    "n_u", stops_under_flash, "N_2 tau_2 t_2 S_2 E_v n_m", "Ambient light under the flash, in stops", APEX
)
UNDER_FLASH_BY_TEST = Found(
    "n_u",
    "as far as the test frame was below mid-grey, and what the settings changed since",
    "The same by a test frame",
    APEX,
)
AMBIENT_SHARE = Calculated("F_a", exposure.ambient_share, "n_u", "Share of ambient light", ALGEBRA)
TAKING = Calculated("n_vt", finder_loss, "N_2 N_w tau_2", "Finder's light lost at the taking aperture", RAY)
FOCUSING = Calculated("n_vs", finder_loss, "N_v N_w tau_2", "Finder's light lost while focusing", RAY)
MODELLING = Calculated("k_v", exposure.factor_of, "n_vs", "Factor on the modelling light", ALGEBRA)

FLASH_TERMS = (
    ("G_a", APERTURE, "aperture_stops"),
    ("G_T", TRANSMISSION_OF_FLASH, "transmission_stops"),
    ("G_S", ISO, "iso_stops"),
    ("G_E", POWER, "power_stops"),
    ("G_D", DISTANCE, "flash_distance_stops"),
    ("G_n", POPS, "pops_stops"),
)
CONTINUOUS_TERMS = (
    ("G_a", APERTURE, "aperture_stops"),
    ("G_T", TRANSMISSION, "transmission_stops"),
    ("G_S", ISO, "iso_stops"),
    ("G_t", TIME, "exposure_time_stops"),
)
OPEN = {"exposure_time_s": OPEN_TIME, "iso": OPEN_ISO, "flash_distance_mm": OPEN_DISTANCE}
OWN = {"exposure_time_s": "G_t", "iso": "G_S", "flash_power": "G_E", "flash_distance_mm": "G_D", "f_number": "G_a"}


class Pair(Struct, frozen=True):
    """The known and the planned frame: their settings as given, as the sums took them, and their apertures."""

    settings: tuple[requests.SettingsFields, requests.SettingsFields]
    frames: tuple[Frame, Frame]
    lenses: tuple[LensLight, LensLight]
    unknown: str
    light: str
    scale: Scale | None


def exposure_steps(pair: Pair, asked: requests.ExposureFields, members: answers.ExposureMembers) -> list[Step]:
    """What each change gives, the open setting, and what was asked for beside it."""
    board = board_of(pair)
    aperture_steps(board, pair, members)
    filter_steps(board, pair)
    gains = cast("Mapping[str, float]", members["stops"])
    terms = CONTINUOUS_TERMS if pair.light == CONTINUOUS else FLASH_TERMS
    for symbol, formula, name in terms:
        board.put(**{symbol: 0.0})
        gain = gains.get(name)
        if symbol != OWN[pair.unknown] and gain:
            board.write(
                power_formula(pair.scale, POWER, POWER_OF_DIAL, POWER_BELOW) if formula is POWER else formula, gain
            )
    board.work(ALL if pair.light == CONTINUOUS else ALL_OF_FLASH)
    open_steps(board, pair, members["value"])
    board.put(N_2=pair.frames[1].effective_f_number)
    board.write(LOSS, members["planned"]["light_loss_stops"])
    ambient_steps(board, asked, members)
    finder_steps(board, asked, members, pair)
    return board.steps


def board_of(pair: Pair) -> Board:
    """Board with the settings of both frames; what is open stands as in the known frame, and is not read."""
    board = Board()
    for index, frame in enumerate(pair.frames, 1):
        power = frame.flash_power_stops
        known = {
            "N": frame.effective_f_number,
            "tau": frame.transmission,
            "tau_f": frame.flash_transmission,
            "S": frame.iso,
            "t": frame.exposure_time_s,
            "D": frame.flash_distance_mm,
            "r": frame.source_radius_mm,
            "n": frame.pops,
            "E": None if power is None or pair.scale is None else pair.scale.setting(power),
        }
        names = {name: f"{name}{index}" if name == "tau_f" else f"{name}_{index}" for name in known}
        board.put(**{names[name]: value for name, value in known.items() if value is not None})
    return board.put(k_E=1.0 if pair.scale is None else pair.scale.unit_stops)


def aperture_steps(board: Board, pair: Pair, members: answers.ExposureMembers) -> None:
    """Effective f-number of each frame, where it follows from one lens by its mark."""
    choices = ((KNOWN, KNOWN_REVERSED), (PLANNED, PLANNED_REVERSED))
    for index, (lens, frame, choice) in enumerate(zip(pair.lenses, pair.frames, choices, strict=True)):
        if isinstance(lens, OneLens) and lens.f_number is not None and not (index and pair.unknown == "f_number"):
            give_lens(board, lens)
            board.put(N=lens.f_number)
            board.write(choice[lens.reversed], frame.effective_f_number)
        if lens.f_number is not None:
            board.put(N=lens.f_number)


def give_lens(board: Board, lens: OneLens) -> None:
    """Put magnification and pupils of a lens on the board."""
    board.put(m=lens.magnification, p=lens.pupil_magnification)


def filter_steps(board: Board, pair: Pair) -> None:
    """Transmission of filters that are given in stops."""
    for settings, frame, formula, symbol in zip(
        pair.settings, pair.frames, (FILTERS_KNOWN, FILTERS_PLANNED), ("F_1", "F_2"), strict=True
    ):
        if settings.get("filter_stops"):
            board.write(formula, frame.transmission, **{symbol: settings["filter_stops"]})


def power_formula(scale: Scale | None, by_energy: Formula, by_dial: Formula, below: Formula) -> Formula:
    """Formula of the power in the scale of its head."""
    kind = None if scale is None else scale.kind
    return {DIAL: by_dial, STOPS_BELOW_FULL: below}.get(str(kind), by_energy)


def open_steps(board: Board, pair: Pair, value: float) -> None:
    """Write the open setting."""
    if pair.unknown == "f_number":
        mark_steps(board, pair, value)
    elif pair.unknown == "flash_power":
        board.write(power_formula(pair.scale, OPEN_POWER, OPEN_DIAL, OPEN_BELOW), value)
    else:
        board.write(OPEN[pair.unknown], value)


def mark_steps(board: Board, pair: Pair, value: float) -> None:
    """New effective f-number, and the mark that gives it."""
    lens = pair.lenses[1]
    board.write(OPEN_APERTURE, pair.frames[1].effective_f_number)
    if isinstance(lens, OneLens):
        give_lens(board, lens)
        board.write(MARK_REVERSED if lens.reversed else MARK, value)
    elif isinstance(lens, WholeSetUp) and lens.f_number is not None:
        board.write(MARK_OF_SET_UP, value, N_m=lens.f_number, N_n=lens.effective_f_number)


def ambient_steps(board: Board, asked: requests.ExposureFields, members: answers.ExposureMembers) -> None:
    """Ambient light under the flash."""
    ambient = members.get("ambient")
    if ambient is None or ambient["ambient_share"] is None:
        return
    lacking = members.get("flash_power", {}).get("missing_stops", 0.0)
    board.put(n_m=lacking, E_v=asked["ambient"].get("exposure_value", 0.0))
    by_value = "exposure_value" in asked["ambient"]
    board.write(UNDER_FLASH if by_value else UNDER_FLASH_BY_TEST, ambient["under_flash_stops"])
    board.write(AMBIENT_SHARE, ambient["ambient_share"])


def finder_steps(board: Board, asked: requests.ExposureFields, members: answers.ExposureMembers, pair: Pair) -> None:
    """How much dimmer the finder is."""
    finder = members.get("finder")
    if finder is None:
        return
    widest = asked["finder"]["least_f_number"]
    board.write(TAKING, finder["taking_loss_stops"], N_w=widest)
    focusing = pair.lenses[1].effective_f_number_at(asked["finder"].get("focusing_f_number", widest))
    if focusing is not None:
        board.write(FOCUSING, finder["focusing_loss_stops"], N_v=focusing)
        board.write(MODELLING, finder["modelling_light_factor"])
