"""The light of a set-up, where it is asked for: the exposure with it, and the opening that something before it must leave."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closeup_service.advice import opening_remarks
from closeup_service.advice.cautions import sort_cautions
from closeup_service.advice.remark import Remark, undetermined_results
from closeup_service.operations.light.clear_opening.operation import opening_row, refuse_beyond_the_subject
from closeup_service.operations.light.exposure.lenses import by_members, within
from closeup_service.operations.light.exposure.operation import exposure_members, light_cautions, steps_of
from closeup_service.optics import formulas
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.clear_opening import clear_opening, remaining_distance
from closeup_service.set_ups.lens_light import WholeSetUp
from closeup_service.set_ups.set_up import SetUp, evaluate
from closeup_service.worked.board import Step
from closeup_service.worked.opening import opening_of_set_up_steps

if TYPE_CHECKING:
    from closeup_service.records import answers, requests


def with_light(
    asked: requests.SetUpRequest, document: requests.SetUpRequest, set_up: SetUp, found: answers.SetUpAnswer
) -> answers.SetUpAnswer:
    """Add what is asked of the light; what it assumes and says stands beside the rest."""
    if "exposure" in asked:
        found = with_exposure(asked["exposure"], asked, document, set_up, found)
    if "clear_opening" in asked:
        found = with_opening(asked["clear_opening"], set_up, found)
    return found


def with_exposure(
    exposure: requests.ExposureOfSetUp,
    asked: requests.SetUpRequest,
    document: requests.SetUpRequest,
    set_up: SetUp,
    found: answers.SetUpAnswer,
) -> answers.SetUpAnswer:
    """Add the exposure with this set-up."""
    assumed: dict[str, float | str] = {}
    reference = by_members(exposure["reference"], assumed, "/exposure/reference")
    lens = WholeSetUp(document, set_up)
    refuse_without_aperture(lens)
    members, remarks = within("/exposure", lambda: exposure_members(exposure, reference, lens, assumed, "/exposure"))
    return {
        **found,
        "exposure": members,
        "assumed": {**found["assumed"], **assumed},
        "remarks": [*found["remarks"], *remarks],
        "cautions": sort_cautions([*found["cautions"], *light_cautions(exposure, asked, asked.get("wavelength_nm"))]),
    }


def refuse_without_aperture(lens: WholeSetUp) -> None:
    """An exposure needs the aperture, whose members stand in the set-up itself."""
    _ = lens.effective_f_number


def with_opening(opening: requests.OpeningOfSetUp, set_up: SetUp, found: answers.SetUpAnswer) -> answers.SetUpAnswer:
    """Add the opening that is needed, and what a given one takes; a remark names what is missing to know it."""
    needs = opening_needs(set_up)
    if needs:
        return {**found, "remarks": [*found["remarks"], *undetermined_results({"clear_opening": needs})]}
    distance, working = opening["distance_mm"], float(set_up.working_distance_mm)  # type: ignore[arg-type]
    within("/clear_opening", lambda: refuse_beyond_the_subject([distance], working, True))
    from_subject = remaining_distance(working, distance, POINT)
    width, height = set_up.subject_width_mm, set_up.subject_height_mm
    aperture, inverse = set_up.numerical_aperture, set_up.inverse_pupil_distance
    assert width is not None
    assert height is not None
    assert aperture is not None
    assert inverse is not None
    needed = clear_opening(formulas.diagonal(width, height), aperture, inverse, from_subject)
    row = opening_row(opening.get("opening_diameter_mm"), distance, from_subject, needed)
    return {**found, "clear_opening": row, "remarks": [*found["remarks"], *opening_notes(row, set_up)]}


def opening_needs(set_up: SetUp) -> tuple[str, ...]:
    """Members that would determine the opening; none where it is."""
    wanted = ["working_distance_mm", "subject_width_mm"]
    if set_up.inverse_pupil_distance is None or set_up.numerical_aperture is None:
        wanted.append("depth_of_field")
    return tuple(dict.fromkeys(member for name in wanted for member in set_up.needs.get(name, ())))


def opening_notes(row: answers.Opening, set_up: SetUp) -> list[Remark]:
    """What the opening given takes, and what the sum leaves out."""
    notes = [opening_remarks.uncounted_effects(), *opening_remarks.steep_cone(float(set_up.numerical_aperture or 0.0))]
    clips, share, loss = row["clips"], row["lit_field_share"], row["axial_loss_stops"]
    if clips is None or share is None or loss is None:
        return notes
    effective = float(set_up.effective_f_number or 0.0) * 2 ** (loss / 2)
    return [*opening_remarks.clipped_light(clips, share, loss, effective), *notes]


def light_steps(document: requests.SetUpRequest, answer: answers.SetUpAnswer) -> list[Step]:
    """Steps of the exposure and of the opening, where they were asked for."""
    if "exposure" not in answer and "clear_opening" not in answer:
        return []
    set_up = evaluate(document)
    found: list[Step] = []
    if "exposure" in answer:
        reference = by_members(document["exposure"]["reference"], {}, "")
        found += steps_of(document["exposure"], answer["exposure"], reference, WholeSetUp(document, set_up))
    if "clear_opening" in answer:
        found += opening_of_set_up_steps(set_up, document, answer["clear_opening"])
    return found
