"""`/v1/exposure`."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypedDict, cast

from closeup_service.advice import cautions, exposure_remarks
from closeup_service.advice.caution_texts import Caution
from closeup_service.advice.kit_remarks import demo_kit, parts_not_at_hand
from closeup_service.advice.remark import Remark
from closeup_service.estimates.joint import FEW_DRAWS
from closeup_service.gear.kit_parts import missing_parts, uses_kit
from closeup_service.language import tr
from closeup_service.operations.light.exposure import same_mark
from closeup_service.operations.light.exposure.case import Asked, Case, Solution, case_of, settings_of, solved
from closeup_service.operations.light.exposure.frame_schemas import SETTINGS
from closeup_service.operations.light.exposure.lenses import planned_lens_of, reference_lens_of
from closeup_service.operations.light.exposure.light import ambient_members, finder_members
from closeup_service.operations.light.exposure.notes import Told, remarks_on, within_sync_time
from closeup_service.operations.light.exposure.power import Marked, marked_power, power_members
from closeup_service.operations.light.exposure.request_schemas import ExposureRequest
from closeup_service.operations.light.exposure.schemas import ExposureAnswer, light_of
from closeup_service.operations.one_lens import stops
from closeup_service.operations.operation import Example, Operation
from closeup_service.optics import formulas
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.errors import NoSolution, OpticsError
from closeup_service.optics.exposure import FLASH
from closeup_service.optics.flash_power import JOULES
from closeup_service.optics.nominal_series import nominal_mark
from closeup_service.set_ups.lens_light import LensLight, OneLens, WholeSetUp
from closeup_service.worked.board import Step
from closeup_service.worked.exposure import Pair, exposure_steps

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

Notes = list[Remark]


class Beside(TypedDict, total=False):
    """What is told beside the setting where it is asked for, or is known."""

    within_sync_time: bool
    flash_power: answers.FlashPower
    ambient: answers.AmbientLight
    finder: answers.FinderLight


def answer(asked: requests.ExposureRequest) -> answers.ExposureAnswer:
    """Solve the open setting, and say what each change does."""
    assumed: dict[str, float | str] = {}
    noted = same_mark.note_on_mark(asked, assumed)
    asked = same_mark.assume_mark(asked)
    reference_lens = reference_lens_of(asked, assumed)
    lens = planned_lens_of(asked, reference_lens, assumed)
    lens = same_mark.drop_mark(lens) if noted else lens
    members, remarks = exposure_members(asked, reference_lens, lens, assumed, most_pops=asked.get("duty_limit_pops"))
    notes = cautions.sort_cautions([*light_cautions(asked, asked), *lens_cautions(lens)])
    members = same_mark.drop_planned_mark(members) if noted else members
    whole = {**members, "assumed": assumed, "remarks": [*noted, *remarks], "cautions": notes}
    answered = cast("answers.ExposureAnswer", whole)
    kit, set_ups = asked["kit"], (asked.get("reference_set_up"), asked.get("planned_set_up"))
    used = [document for document in set_ups if document is not None and uses_kit(document)]
    if not used:
        return answered
    missing = list(dict.fromkeys(part for document in used for part in missing_parts(document, kit)))
    remarks = [*remarks, *demo_kit(kit.origin), *parts_not_at_hand(missing)]
    return {**answered, "remarks": remarks, "kit_revision": kit.revision}


def light_cautions(
    exposure: Asked, surroundings: requests.SurroundingsFields, wavelength_nm: float | None = None
) -> list[Caution]:
    """Cautions of the light of an exposure, and of what surrounds it."""
    if light_of(exposure, exposure) != FLASH:
        return cautions.light_cautions(surroundings, wavelength_nm=wavelength_nm)
    pops = settings_of(exposure).get("pops", 1.0)
    in_joules = exposure.get("flash_scale", {}).get("kind") == JOULES
    return cautions.flash_cautions(surroundings, pops, wavelength_nm, in_joules=in_joules)


def lens_cautions(lens: LensLight) -> list[Caution]:
    """Cautions of the planned lens or set-up."""
    if isinstance(lens, WholeSetUp):
        return cautions.train_cautions(lens.document["train"], lens.document["camera"]["register_mm"])
    return cautions.mounting_cautions("reversed" if isinstance(lens, OneLens) and lens.reversed else "normal")


def exposure_members(
    asked: Asked,
    reference_lens: LensLight,
    lens: LensLight,
    assumed: dict[str, float | str],
    at: str = "",
    most_pops: float | None = None,
) -> tuple[answers.ExposureMembers, Notes]:
    """Members of the answer and its remarks; `at` is the pointer of the object that asks."""
    case = case_of(asked, reference_lens, assumed, at)
    solution = solved(case, lens)
    if solution is None:
        raise NoSolution(tr(exposure_remarks.MARK_NOT_ATTAINABLE), "/unknown")
    mark, planned, sync = marked(case, solution), planned_members(case, solution), within_sync_time(asked, case)
    told = Told(mark["nominal_value"], planned["light_loss_stops"], sync)
    beside, notes = parts(asked, case, solution, lens, assumed, at, most_pops)
    known: Beside = {} if sync is None else {"within_sync_time": sync}
    members: answers.ExposureMembers = {
        "unknown": case.unknown,
        "value": solution.value,
        **mark,
        "difference_stops": cleaned(solution.difference),
        "light": case.light,
        "stops": stops_of(solution),
        "reference": frame_light(case.reference.effective_f_number, reference_lens.f_number),
        "planned": planned,
        **known,
        **beside,
        "rows": [row_at(case, lens, magnification) for magnification in asked.get("magnifications", ())],
    }
    return members, remarks_on(asked, case, solution, told, lens) + notes


def stops_of(solution: Solution) -> answers.Stops:
    """Light gained by each setting that both frames state."""
    gains = {name: stops(gain) for name, gain in solution.stops.items() if gain is not None}
    return cast("answers.Stops", gains)


def cleaned(value: float | None) -> float | None:
    """Return stops without the trace of rounding, where there are any."""
    return None if value is None else stops(value)


def frame_light(effective: float, mark: float | None) -> answers.FrameLight:
    """Aperture of a frame, and the light it costs against the mark."""
    loss = None if mark is None else stops(formulas.light_loss_stops(effective, mark, POINT))
    return {"effective_f_number": effective, "light_loss_stops": loss}


def planned_members(case: Case, solution: Solution) -> answers.PlannedFrame:
    """The planned frame with the setting that was solved: its aperture, and every setting that is known."""
    settings = {**case.settings, case.unknown: solution.value}
    told = {name: settings[name] for name in SETTINGS if name in settings}
    light = frame_light(solution.planned.effective_f_number, solution.mark)
    mark = {} if solution.mark is None else {"f_number": solution.mark}
    return cast("answers.PlannedFrame", {**light, **mark, **told})


def marked(case: Case, solution: Solution) -> Marked:
    """Nearest marked value, how it is written, and how far it is off."""
    if case.unknown == "flash_power":
        assert case.scale is not None
        assert solution.planned.flash_power_stops is not None
        return marked_power(case.scale, solution.planned.flash_power_stops)
    found = nominal_mark(case.unknown, solution.value)
    if found is None:
        return {"nominal_value": None, "marked_as": None, "nominal_difference_stops": None}
    mark, text = found
    gain = POINT.log2(mark.exact / solution.value) * (-2 if case.unknown == "f_number" else 1)
    return {"nominal_value": mark.nominal, "marked_as": text, "nominal_difference_stops": stops(gain)}


def parts(
    asked: Asked,
    case: Case,
    solution: Solution,
    lens: LensLight,
    assumed: dict[str, float | str],
    at: str,
    most_pops: float | None,
) -> tuple[Beside, Notes]:
    """What is asked for beside the setting: the head's range, ambient light, the finder."""
    found: Beside = {}
    notes: Notes = []
    if case.unknown == "flash_power" and case.scale is not None:
        found["flash_power"], said = power_members(case.scale, solution.planned, lens, most_pops)
        notes += said
    if "ambient" in asked:
        magnification, lacking = magnification_of(lens), missing_stops(case, solution) or 0.0
        found["ambient"], said = ambient_members(
            asked["ambient"], solution.planned, lacking, magnification, assumed, at
        )
        notes += said
    if "finder" in asked:
        found["finder"], said = finder_members(asked["finder"], lens, solution.planned, assumed, at)
        notes += said
    return found, notes


def magnification_of(lens: LensLight) -> float | None:
    """Magnification, where the frame states it."""
    if isinstance(lens, WholeSetUp):
        return float(lens.set_up.magnification)
    return lens.magnification if isinstance(lens, OneLens) else None


def missing_stops(case: Case, solution: Solution) -> float | None:
    """Light that the head's range misses, where power is what was solved."""
    if case.unknown != "flash_power" or case.scale is None or solution.planned.flash_power_stops is None:
        return None
    return stops(case.scale.shortfall(solution.planned.flash_power_stops))


def row_at(case: Case, lens: LensLight, magnification: float) -> answers.ExposureRow:
    """One row of the table: the planned frame at another magnification, or why there is none."""
    try:
        there, length = lens.refocus(magnification)
        solution = solved(case, there)
        if solution is None:
            raise NoSolution(tr(exposure_remarks.MARK_NOT_ATTAINABLE))
    except OpticsError as error:
        return impossible_row(magnification, error.code)
    return {
        "magnification": magnification,
        "length_mm": length,
        **frame_light(solution.planned.effective_f_number, solution.mark),
        "difference_stops": cleaned(solution.difference),
        "value": solution.value,
        "nominal_value": marked(case, solution)["nominal_value"],
        "missing_stops": missing_stops(case, solution),
        "problem": None,
    }


def impossible_row(magnification: float, problem: str) -> answers.ExposureRow:
    """One row of the table without a frame."""
    return {
        "magnification": magnification,
        "length_mm": None,
        "effective_f_number": None,
        "light_loss_stops": None,
        "difference_stops": None,
        "value": None,
        "nominal_value": None,
        "missing_stops": None,
        "problem": problem,
    }


def steps(asked: requests.ExposureRequest, answer: answers.ExposureAnswer) -> list[Step]:
    """Steps of the new setting."""
    asked = same_mark.assume_mark(asked)
    reference_lens = reference_lens_of(asked, {})
    return steps_of(asked, answer, reference_lens, planned_lens_of(asked, reference_lens, {}))


def steps_of(asked: Asked, members: answers.ExposureMembers, reference_lens: LensLight, lens: LensLight) -> list[Step]:
    """Steps of an exposure, whichever object asks for it."""
    case = case_of(asked, reference_lens, {})
    solution = solved(case, lens)
    assert solution is not None
    pair = Pair(
        settings=(asked["reference"], case.settings),
        frames=(case.reference, solution.planned),
        lenses=(reference_lens, lens),
        unknown=case.unknown,
        light=case.light,
        scale=case.scale,
    )
    return exposure_steps(pair, asked, members)


OPERATION = Operation(
    operation_id="findExposure",
    path="/v1/exposure",
    tag="light",
    summary="The next exposure from a frame that was right",
    description=(
        "One frame is known to be right; the planned one differs by what is given for it, and the one setting named as unknown "
        "is solved so that it is as bright. Each aperture is that of one lens, an effective f-number, or a whole set-up. Light "
        "goes as 1 / N_eff^2, as transmission, ISO speed and exposure time; that of a flash as its energy and number, and as "
        "1 / (D^2 + r^2). Differences are in stops, negative where the planned frame is darker. Where neither frame states an "
        "aperture, both are taken at the same mark, which cancels."
    ),
    answer=answer,
    answer_type=ExposureAnswer,
    request_type=ExposureRequest,
    by_query="document",
    takes_kit=True,
    most_members=FEW_DRAWS,
    steps=steps,
    examples=(
        Example(
            "zoom-turned-to-three",
            "A reversed zoom from 1:1 to 3:1: which power of the flash (invented kit)",
            {
                "reference": {
                    "mounting": "reversed",
                    "f_number": 8,
                    "magnification": 1,
                    "pupil_magnification": 1.6,
                    "iso": 100,
                    "flash_power": 0.015625,
                },
                "planned": {"magnification": 3},
                "unknown": "flash_power",
                "flash_scale": {"kind": "fraction", "least": 0.0078125},
                "magnifications": [1, 1.5, 2, 3],
            },
        ),
        Example(
            "bellows-by-daylight",
            "From a hand meter's exposure at infinity to 1:1 on bellows (invented kit)",
            {
                "reference": {"effective_f_number": 11, "exposure_time_s": 0.0625, "iso": 100},
                "planned": {"f_number": 11, "magnification": 1, "pupil_magnification": 0.9},
                "unknown": "exposure_time_s",
                "finder": {"least_f_number": 4},
            },
        ),
        Example(
            "studio-head-with-ambient",
            "A dial of tenths, a diffuser moved nearer, and the room's light beside it (invented kit)",
            {
                "reference": {
                    "f_number": 8,
                    "magnification": 2,
                    "iso": 100,
                    "exposure_time_s": 0.008,
                    "flash_power": 6,
                    "flash_distance_mm": 300,
                    "source_diameter_mm": 120,
                },
                "planned": {"magnification": 4, "flash_distance_mm": 200},
                "unknown": "flash_power",
                "flash_scale": {"kind": "dial", "least": 2, "greatest": 8, "unit_stops": 1, "step_stops": 0.1},
                "sync_time_s": 0.004,
                "ambient": {"exposure_value": 9, "sideways_speed_mm_s": 0.5},
            },
        ),
    ),
)
