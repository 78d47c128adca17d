"""Remarks on an exposure."""

from math import log2
from typing import NamedTuple

from closeup_service.advice import exposure_remarks, lens_remarks
from closeup_service.advice.remark import Remark
from closeup_service.operations.light.exposure.case import Asked, Case, Solution
from closeup_service.optics.exposure import CONTINUOUS, FLASH
from closeup_service.optics.nominal_series import MARKS
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.set_ups.lens_light import LensLight, OneLens

NO_CHANGE_STOPS = 1e-9


class Told(NamedTuple):
    """What the answer says of the new setting that remarks look at."""

    nominal_value: float | None
    light_loss_stops: float | None
    within_sync_time: bool | None


def within_sync_time(asked: Asked, case: Case) -> bool | None:
    """Whether the planned shutter is open long enough for a flash; None without a flash, or where it is not known."""
    time, sync = case.settings.get("exposure_time_s"), asked.get("sync_time_s")
    return None if case.light != FLASH or time is None or sync is None else bool(time >= sync)


def remarks_on(asked: Asked, case: Case, solution: Solution, told: Told, lens: LensLight) -> list[Remark]:
    """Everything worth saying about the new setting."""
    notes = [exposure_remarks.metering_through_lens(told.light_loss_stops)]
    if solution.difference is not None and abs(solution.difference) < NO_CHANGE_STOPS:
        notes.append(exposure_remarks.unchanged_frames())
    if isinstance(lens, OneLens) and solution.mark is not None:
        notes += pupil_notes(asked, lens, solution)
    time = case.settings.get("exposure_time_s")
    notes += exposure_remarks.shutter_and_sync(told.within_sync_time, time, asked.get("sync_time_s"))
    if case.unknown == "exposure_time_s":
        notes += exposure_remarks.long_time(solution.value)
    if (case.unknown in MARKS and told.nominal_value is None) or not VOCABULARY[case.unknown].holds(solution.value):
        notes.append(exposure_remarks.value_beyond_series(case.unknown, solution.value))
    return notes if case.light == CONTINUOUS else notes + distance_notes(case, solution)


def pupil_notes(asked: Asked, lens: OneLens, solution: Solution) -> list[Remark]:
    """What the pupils change for the planned lens, or that they were assumed."""
    given = "pupil_magnification" in asked["reference"] or "pupil_magnification" in asked.get("planned", {})
    mounting = "reversed" if lens.reversed else "normal"
    assert solution.mark is not None
    return lens_remarks.pupils(solution.mark, lens.magnification, solution.planned.effective_f_number, given, mounting)


def distance_notes(case: Case, solution: Solution) -> list[Remark]:
    """Where the inverse square of the distance fails for this change, or was assumed."""
    before, after = case.reference, solution.planned
    gained = solution.stops.get("flash_distance_stops")
    if gained is None or before.flash_distance_mm is None or after.flash_distance_mm is None:
        return []
    plain_stops = 2 * log2(before.flash_distance_mm / after.flash_distance_mm)
    if gained == 0 and plain_stops == 0:
        return []
    return exposure_remarks.change_of_distance(case.settings.get("source_diameter_mm"), gained, plain_stops)
