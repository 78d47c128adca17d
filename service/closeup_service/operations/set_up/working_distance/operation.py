"""`/v1/working-distance`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Required, TypedDict

from closeup_service.advice import cautions
from closeup_service.advice.remark import undetermined_results
from closeup_service.language import tr
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.set_up.working_distance.schemas import WorkingDistanceAnswer, WorkingDistanceRequest
from closeup_service.optics import formulas
from closeup_service.optics.errors import Contradiction, SubjectInsideLens
from closeup_service.worked.lens import working_distance_steps

if TYPE_CHECKING:
    from closeup_service.records import answers, requests


class PlacedLens(TypedDict, total=False):
    """One lens at a magnification, and where its front stands."""

    focal_length_mm: Required[float]
    magnification: Required[float]
    front_principal_plane_mm: float
    lens_register_mm: float
    focusing_extension_mm: float


def answer(asked: requests.WorkingDistanceRequest) -> answers.WorkingDistanceAnswer:
    """Distances of the subject from the lens's front, its principal plane, and the sensor."""
    f, m = asked["focal_length_mm"], asked["magnification"]
    mounting = asked.get("mounting", "normal")
    assumed: dict[str, float | str] = {} if "mounting" in asked else {"mounting": mounting}
    separation = asked.get("principal_plane_separation_mm")
    distance = formulas.subject_distance(f, m)
    if mounting == "reversed" and "focusing_extension_mm" not in asked:
        assumed["focusing_extension_mm"] = 0.0
    working = working_distance(asked, mounting, distance)
    total = None if separation is None else formulas.subject_to_sensor(f, m, separation)
    refuse_short_total(total, working)
    needs = {
        "working_distance_mm": () if working is not None else ("/front_principal_plane_mm",),
        "subject_to_sensor_mm": () if separation is not None else ("/principal_plane_separation_mm",),
    }
    return {
        "working_distance_mm": working,
        "subject_distance_mm": distance,
        "subject_to_sensor_mm": total,
        "assumed": assumed,
        "remarks": undetermined_results({name: members for name, members in needs.items() if members}),
        "cautions": cautions.sort_cautions(cautions.mounting_cautions(mounting)),
    }


def working_distance(asked: PlacedLens, mounting: str, distance: float) -> float | None:
    """Front of the lens as it stands to the subject, mm; None where its plane is unknown."""
    if mounting == "reversed":
        working: float = formulas.working_distance_reversed(
            asked["focal_length_mm"],
            asked["magnification"],
            asked["lens_register_mm"],
            asked.get("focusing_extension_mm", 0.0),
        )
        refuse_inside(working, "/focusing_extension_mm", "/magnification")
        return working
    plane = asked.get("front_principal_plane_mm")
    if plane is None:
        return None
    found = formulas.working_distance(distance, plane)
    refuse_inside(found, "/magnification", "/front_principal_plane_mm")
    return found


def refuse_inside(working: float, *members: str) -> None:
    """Refuse a subject behind the front of the lens as it stands."""
    if working <= 0:
        raise SubjectInsideLens(
            tr(
                "The subject would have to lie {working:z.4g} mm behind the front of the lens. Use less "
                "magnification, a longer focal length, or turn the lens round.",
                working=-working,
            ),
            *members,
        )


def refuse_short_total(total: float | None, working: float | None) -> None:
    """Refuse a separation of the planes that puts the sensor before the lens."""
    if total is not None and total <= (working or 0.0):
        raise Contradiction(
            tr(
                "With this separation of the principal planes the sensor would stand {total:.4g} mm from the "
                "subject, before the lens itself: the separation is wrong.",
                total=total,
            ),
            "/principal_plane_separation_mm",
        )


OPERATION = Operation(
    operation_id="findWorkingDistance",
    path="/v1/working-distance",
    tag="set up",
    summary="Where the subject stands and how long the whole is",
    description=(
        "working_distance_mm runs from the front joining face as the lens stands: the front rim of a normal lens, the mount "
        "flange of a reversed one at its infinity stop, where it is never less than the lens's own register."
    ),
    answer=answer,
    answer_type=WorkingDistanceAnswer,
    request_type=WorkingDistanceRequest,
    steps=working_distance_steps,
    examples=(
        Example(
            "reversed-seed",
            "A reversed 35 mm lens at 1:1 over a seed (invented kit)",
            {"mounting": "reversed", "focal_length_mm": 35, "magnification": 1, "lens_register_mm": 45.46},
        ),
    ),
)
