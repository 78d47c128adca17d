"""`/v1/clear-opening`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from closeup_service.advice import cautions, opening_remarks
from closeup_service.advice.figures import decimal
from closeup_service.advice.remark import Remark, undetermined_results
from closeup_service.language import tr
from closeup_service.operations.light.clear_opening.schemas import CLIPS, ClearOpeningAnswer, ClearOpeningRequest
from closeup_service.operations.one_lens import (
    effective_f_number,
    inverse_pupil_distance,
    mounting_and_pupils,
    pupil_remarks,
)
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.set_up.working_distance.operation import working_distance
from closeup_service.optics import formulas
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.clear_opening import (
    Opening,
    axial_loss_stops,
    clear_opening,
    lit_field_share,
    pupil_diameter,
    remaining_distance,
)
from closeup_service.optics.errors import SubjectInsideLens
from closeup_service.worked.opening import clear_opening_steps

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

OF_THE_OPENING = ("clears", "clips", "lit_field_share", "axial_loss_stops")
ROUNDING = 1e-12


def answer(asked: requests.ClearOpeningRequest) -> answers.ClearOpeningAnswer:
    """What the picture's rays need in each plane, and what a given opening takes."""
    m = asked["magnification"]
    effective = effective_f_number(asked, asked["f_number"], m)
    inverse = inverse_pupil_distance(asked, asked["focal_length_mm"], m)
    aperture = formulas.numerical_aperture(m, effective)
    diagonal = subject_diagonal(asked)
    working, diameter = front_to_subject(asked), asked.get("opening_diameter_mm")
    rows = [
        opening_row(diameter, distance, from_subject, clear_opening(diagonal, aperture, inverse, from_subject))
        for distance, from_subject in planes(asked, working, inverse)
    ]
    return {
        "subject_diagonal_mm": diagonal,
        "working_distance_mm": working,
        "entrance_pupil_distance_mm": 1 / inverse,
        "entrance_pupil_diameter_mm": pupil_diameter(aperture, inverse),
        "effective_f_number": effective,
        "numerical_aperture": aperture,
        "openings": rows,
        "assumed": assumptions(asked),
        "remarks": remarks_on(asked, rows, effective, aperture),
        "cautions": cautions.sort_cautions(cautions.mounting_cautions(asked.get("mounting", "normal"))),
    }


def assumptions(asked: requests.ClearOpeningRequest) -> dict[str, float | str]:
    """What is assumed of the lens where it is not given."""
    assumed = dict(mounting_and_pupils(asked))
    if "lens_register_mm" in asked and asked.get("mounting") == "reversed" and "focusing_extension_mm" not in asked:
        assumed["focusing_extension_mm"] = 0.0
    return assumed


def subject_diagonal(asked: requests.ClearOpeningRequest) -> float:
    """Diagonal of what the frame shows of the subject, mm."""
    if "subject_diagonal_mm" in asked:
        return asked["subject_diagonal_mm"]
    width, height = asked["sensor_width_mm"], asked["sensor_height_mm"]
    return float(formulas.subject_diagonal(width, height, asked["magnification"]))


def front_to_subject(asked: requests.ClearOpeningRequest) -> float | None:
    """Working distance, mm; None where the datum that it needs is not given."""
    mounting = asked.get("mounting", "normal")
    if mounting == "reversed" and "lens_register_mm" not in asked:
        return None
    distance = formulas.subject_distance(asked["focal_length_mm"], asked["magnification"])
    return working_distance(asked, mounting, distance)


def planes(
    asked: requests.ClearOpeningRequest, working: float | None, inverse: float
) -> list[tuple[float | None, float]]:
    """Each plane of the opening by its distance from the front and from the subject, mm."""
    if "distance_from_subject_mm" in asked:
        from_subject = asked["distance_from_subject_mm"]
        if working is None:
            refuse_behind_the_pupil(from_subject, inverse)
            return [(None, from_subject)]
        refuse_behind_the_front(from_subject, working)
        return [(remaining_distance(working, from_subject, POINT), from_subject)]
    assert working is not None
    single = "distance_mm" in asked
    distances = [asked["distance_mm"]] if single else asked["distances_mm"]
    refuse_beyond_the_subject(distances, working, single)
    return [(distance, remaining_distance(working, distance, POINT)) for distance in distances]


def refuse_beyond_the_subject(distances: Sequence[float], working: float, single: bool) -> None:
    """Refuse openings behind the subject, all of them at once."""
    beyond = [index for index, distance in enumerate(distances) if distance > working * (1 + ROUNDING)]
    if beyond:
        raise SubjectInsideLens(
            tr(
                "The subject stands {working} mm before the front of the lens, and this opening would stand beyond "
                "it, where it takes nothing from the picture. Give a shorter distance.",
                working=decimal(working, 4),
            ),
            *(("/distance_mm",) if single else (f"/distances_mm/{index}" for index in beyond)),
        )


def refuse_behind_the_front(from_subject: float, working: float) -> None:
    """Refuse an opening within the lens."""
    if from_subject > working * (1 + ROUNDING):
        raise SubjectInsideLens(
            tr(
                "The front of the lens stands {working} mm from the subject, and this opening would stand behind it, "
                "inside the lens. Give a shorter distance.",
                working=decimal(working, 4),
            ),
            "/distance_from_subject_mm",
        )


def refuse_behind_the_pupil(from_subject: float, inverse: float) -> None:
    """Refuse an opening behind the entrance pupil, which is inside the lens wherever its front is."""
    if from_subject * inverse > 1:
        raise SubjectInsideLens(
            tr(
                "The entrance pupil stands {inverse} mm from the subject, and this opening would stand behind it, "
                "inside the lens. Give a shorter distance.",
                inverse=decimal(1 / inverse, 4),
            ),
            "/distance_from_subject_mm",
        )


def opening_row(
    diameter: float | None, distance: float | None, from_subject: float, needed: Opening
) -> answers.Opening:
    """One plane, with what the opening given takes there."""
    row: answers.Opening = {
        "distance_mm": distance,
        "distance_from_subject_mm": from_subject,
        "full_diameter_mm": needed.full,
        "axial_diameter_mm": needed.axial,
        "chief_diameter_mm": needed.chief,
        "clears": None,
        "clips": None,
        "lit_field_share": None,
        "axial_loss_stops": None,
    }
    if diameter is not None:
        clips = row["clips"] = what_clips(needed, diameter)
        row["clears"] = clips == "nothing"
        row["lit_field_share"] = 1.0 if clips == "nothing" else lit_field_share(needed, diameter, POINT)
        row["axial_loss_stops"] = axial_loss_stops(needed, diameter, POINT) if clips == "axis" else 0.0
    return row


def what_clips(needed: Opening, diameter: float) -> str:
    """What an opening clips first: nothing, the corners, or the axis too."""
    nothing, corners, axis = CLIPS
    if diameter >= needed.full * (1 - ROUNDING):
        return nothing
    return corners if diameter >= needed.axial * (1 - ROUNDING) else axis


def remarks_on(
    asked: requests.ClearOpeningRequest, rows: list[answers.Opening], effective: float, aperture: float
) -> list[Remark]:
    """What the opening given takes, and what the sum leaves out."""
    notes = []
    if "opening_diameter_mm" in asked:
        worst = max((each["clips"] or CLIPS[0] for each in rows), key=CLIPS.index)
        least = min(each["lit_field_share"] or 0.0 for each in rows)
        most_loss = max(each["axial_loss_stops"] or 0.0 for each in rows)
        notes += opening_remarks.clipped_light(worst, least, most_loss, effective * 2 ** (most_loss / 2))
    else:
        notes += undetermined_results({f"openings.{name}": ("/opening_diameter_mm",) for name in OF_THE_OPENING})
    if rows[0]["distance_mm"] is None:
        plane = "/lens_register_mm" if asked.get("mounting") == "reversed" else "/front_principal_plane_mm"
        notes += undetermined_results(dict.fromkeys(("working_distance_mm", "openings.distance_mm"), (plane,)))
    return [
        *notes,
        opening_remarks.uncounted_effects(),
        *opening_remarks.steep_cone(aperture),
        *pupil_remarks(asked, asked["f_number"], asked["magnification"], effective),
    ]


OPERATION = Operation(
    operation_id="findClearOpening",
    path="/v1/clear-opening",
    tag="light",
    summary="How wide a hood, guard, ring light or diffuser hole must be where it stands",
    description=(
        "The picture's rays run from the subject, as wide as the frame shows it, to the entrance pupil: x from the subject "
        "they need d |1 - x/z| + 2 NA x, with d the subject's diagonal and z the distance of the entrance pupil. Too narrow an "
        "opening takes light from the corners first; narrower than the axial_diameter_mm it stops the lens down."
    ),
    answer=answer,
    answer_type=ClearOpeningAnswer,
    request_type=ClearOpeningRequest,
    steps=clear_opening_steps,
    examples=(
        Example(
            "ring-light-before-seed",
            "A ring light with a hole of 25 mm, 20 mm before a reversed 35 mm lens at 1.5:1 (invented kit)",
            {
                "mounting": "reversed",
                "focal_length_mm": 35,
                "f_number": 8,
                "magnification": 1.5,
                "pupil_magnification": 1.3,
                "lens_register_mm": 45.46,
                "sensor": "23.5x15.6",
                "distance_mm": 20,
                "opening_diameter_mm": 25,
            },
        ),
        Example(
            "diffuser-cone",
            "A diffusing cone from the front of a 60 mm lens to a lichen 30 mm across, hole by hole (invented kit)",
            {
                "focal_length_mm": 60,
                "f_number": 5.6,
                "magnification": 0.8,
                "pupil_magnification": 0.9,
                "front_principal_plane_mm": 24,
                "subject_diagonal_mm": 30,
                "distances_mm": [0, 30, 60, 90],
            },
        ),
        Example(
            "plate-near-the-subject",
            "A plate with a hole of 12 mm, 15 mm from a seed (invented kit)",
            {
                "focal_length_mm": 60,
                "f_number": 4,
                "magnification": 2,
                "sensor": "36x24",
                "distance_from_subject_mm": 15,
                "opening_diameter_mm": 12,
            },
        ),
    ),
)
