"""`/v1/format-equivalence`."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Required, cast

from closeup_service.advice import cautions, equivalence_remarks
from closeup_service.advice.remark import Remark, undetermined_results
from closeup_service.language import tr
from closeup_service.operations.light.flash.operation import engraved
from closeup_service.operations.one_lens import (
    USUAL_LENS,
    as_mounted,
    effective_f_number,
    effective_per_mark,
    inverse_pupil_distance,
    mounting_and_pupils,
    pupil_remarks,
    stops,
)
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.plan.magnification.operation import extension_for
from closeup_service.operations.set_up.format_equivalence.schemas import (
    OTHER,
    FormatEquivalenceAnswer,
    FormatEquivalenceRequest,
)
from closeup_service.optics import equivalence, formulas
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.depth import depth_limits, geometric_half_depth
from closeup_service.optics.equivalence import FRAMING_BY, Size, format_ratio, same_perspective_focal_length
from closeup_service.optics.formulas import refuse_wide
from closeup_service.set_ups.criterion import blur_of
from closeup_service.worked.equivalence import format_equivalence_steps

if TYPE_CHECKING:
    from closeup_service.operations.one_lens import MountedLens
    from closeup_service.records import answers, requests

    class OtherLens(MountedLens, total=False):
        """The lens on the other camera, under the names of this one's data."""

        magnification: Required[float]
        f_number: Required[float]
        focal_length_mm: float
        lens_register_mm: float
        front_principal_plane_mm: float
        focusing_extension_mm: float
        camera_register_mm: float


OF_THE_LENS = ("focal_length_mm", "lens_register_mm", "front_principal_plane_mm")
"""Data of a lens that belong together: with another focal length none of them is that of the same lens."""
OF_THE_OTHER = ("mounting", "pupil_magnification", *OF_THE_LENS, "focusing_extension_mm", "camera_register_mm")


def answer(asked: requests.FormatEquivalenceRequest) -> answers.FormatEquivalenceAnswer:
    """What to set on the other camera, what stays the same, and what does not."""
    assumed = mounting_and_pupils(asked)
    framing_by: str | None = asked.get("framing_by")
    if framing_by is None:
        framing_by = assumed["framing_by"] = FRAMING_BY[0]
    k = format_ratio(size_of(asked), other_size_of(asked), framing_by)
    f_number, m, blur = (
        asked["f_number"],
        asked["magnification"],
        blur_of(cast("requests.SharpnessFields", asked), assumed),
    )
    assert blur is not None
    effective = effective_f_number(asked, f_number, m)
    other_m, other_effective = (equivalence.scale_to_format(k, value) for value in (m, effective))
    refuse_wide(other_effective, other_m, tr("On so small a sensor, use a larger f_number."), "/f_number")
    other = other_lens(asked, assumed, other_m, other_effective)
    mounting = other.get("mounting", "normal")
    extension, extension_notes, needs = extension_for(
        other, mounting, other["magnification"], lambda name: name_of(name, asked)
    )
    focal_length = same_perspective(asked, other)
    needs |= {} if focal_length else {"same_perspective_focal_length_mm": ("/focal_length_mm",)}
    notes = remarks_on(asked, other, k, framing_by, focal_length)
    notes += depth_remarks(asked, other, geometric_half_depth(effective, m, blur))
    return {
        "format_ratio": k,
        "other_magnification": other["magnification"],
        "other_f_number": other["f_number"],
        "other_nominal_f_number": engraved(other["f_number"]),
        "other_extension_mm": extension,
        "same_perspective_focal_length_mm": focal_length,
        "effective_f_number": effective,
        "other_effective_f_number": other_effective,
        "numerical_aperture": formulas.numerical_aperture(m, effective),
        "circle_of_confusion_mm": blur,
        "other_circle_of_confusion_mm": equivalence.scale_to_format(k, blur),
        "other_exposure_factor": equivalence.exposure_factor(k),
        "other_exposure_stops": stops(equivalence.exposure_stops(k, POINT)),
        "assumed": assumed,
        "remarks": pupil_remarks(asked, f_number, m, effective) + notes + extension_notes + undetermined_results(needs),
        "cautions": cautions.sort_cautions(
            cautions.mounting_cautions(asked.get("mounting", "normal")) + cautions.mounting_cautions(mounting)
        ),
    }


def size_of(asked: requests.FormatEquivalenceRequest) -> Size:
    """Width and height of this sensor, mm."""
    return asked["sensor_width_mm"], asked["sensor_height_mm"]


def other_size_of(asked: requests.FormatEquivalenceRequest) -> Size:
    """Width and height of the other sensor, mm."""
    return asked["other_sensor_width_mm"], asked["other_sensor_height_mm"]


def other_lens(
    asked: requests.FormatEquivalenceRequest, assumed: dict[str, float | str], magnification: float, effective: float
) -> OtherLens:
    """The lens on the other camera, at an effective f-number; the same as mounted here where nothing is said."""
    members = cast("Mapping[str, float | str]", asked)
    given = {name: members[OTHER + name] for name in OF_THE_OTHER if OTHER + name in members}
    kept = () if "focal_length_mm" in given else OF_THE_LENS
    same = {**USUAL_LENS, **{name: members[name] for name in (*USUAL_LENS, *kept) if name in members}}
    assumed |= {OTHER + name: value for name, value in same.items() if name not in given}
    lens = cast("OtherLens", {**same, **given, "magnification": magnification})
    lens["f_number"] = effective / effective_per_mark(lens, magnification)
    return lens


def name_of(name: str, asked: requests.FormatEquivalenceRequest) -> str:
    """Member that states a datum of the other camera or its lens: this lens's own where it is the same."""
    same_lens = name in OF_THE_LENS and "other_focal_length_mm" not in asked
    return name if same_lens else OTHER + name


def same_perspective(asked: requests.FormatEquivalenceRequest, other: OtherLens) -> float | None:
    """Focal length that sees the subject from as far as here, mm; None where this lens's is not known."""
    if "focal_length_mm" not in asked:
        return None
    _, pupil_magnification = as_mounted(other, other["f_number"])
    inverse = inverse_pupil_distance(asked, asked["focal_length_mm"], asked["magnification"])
    return float(same_perspective_focal_length(inverse, other["magnification"], pupil_magnification))


def remarks_on(
    asked: requests.FormatEquivalenceRequest, other: OtherLens, k: float, framing_by: str, focal_length: float | None
) -> list[Remark]:
    """What the frames and the trade's shortcuts differ by, and an aperture that cannot be had."""
    here, there = (
        (width / m, height / m)
        for m, (width, height) in (
            (asked["magnification"], size_of(asked)),
            (other["magnification"], other_size_of(asked)),
        )
    )
    notes = equivalence_remarks.frame_difference(here, there, framing_by)
    notes += equivalence_remarks.f_number_shortcut(k * asked["f_number"], other["f_number"])
    if focal_length is not None:
        notes += equivalence_remarks.focal_length_shortcut(k * asked["focal_length_mm"], focal_length)
    if engraved(other["f_number"]) is None:
        notes.append(equivalence_remarks.f_number_beyond_rings(other["f_number"]))
    return notes


def depth_remarks(asked: requests.FormatEquivalenceRequest, other: OtherLens, half_depth: float) -> list[Remark]:
    """How the depth divides before and behind on either camera, its half being the same."""
    if "focal_length_mm" not in asked or "focal_length_mm" not in other:
        return [equivalence_remarks.unknown_pupil()]
    here = inverse_pupil_distance(asked, asked["focal_length_mm"], asked["magnification"])
    there = inverse_pupil_distance(other, other["focal_length_mm"], other["magnification"])
    return equivalence_remarks.perspective_difference(
        1 / here,
        1 / there,
        depth_limits(half_depth, asked["magnification"], here, POINT),
        depth_limits(half_depth, other["magnification"], there, POINT),
    )


OPERATION = Operation(
    operation_id="findFormatEquivalence",
    path="/v1/format-equivalence",
    tag="set up",
    summary="Magnification, aperture and extension for the same picture on another sensor",
    description=(
        "Same framing and same depth on a sensor k times the size: m' = k m, N_eff' = k N_eff, c' = k c. The numerical "
        "aperture stays, so depth by every model, detail on the subject and the light from it in a given time stay too; each "
        "mm^2 of the sensor gets 1/k^2 of the light. The mark follows from the lens there, assumed the same as mounted here."
    ),
    answer=answer,
    answer_type=FormatEquivalenceAnswer,
    request_type=FormatEquivalenceRequest,
    steps=format_equivalence_steps,
    examples=(
        Example(
            "lichen-on-a-larger-sensor",
            "A lichen at 1:1 on 23.5 x 15.6 mm, to be photographed with the same 60 mm lens on 36 x 24 mm (invented kit)",
            {
                "magnification": 1,
                "f_number": 8,
                "pupil_magnification": 0.8,
                "focal_length_mm": 60,
                "sensor": "23.5x15.6",
                "other_sensor": "36x24",
            },
        ),
        Example(
            "seed-reversed-on-a-smaller-sensor",
            "A seed by a reversed 35 mm lens, from 36 x 24 mm to a square frame 13 mm wide, framed by height (invented kit)",
            {
                "mounting": "reversed",
                "magnification": 2.5,
                "f_number": 11,
                "pupil_magnification": 1.3,
                "focal_length_mm": 35,
                "front_principal_plane_mm": 21,
                "sensor": "36x24",
                "framing_by": "height",
                "other_sensor_width_mm": 13,
                "other_sensor_height_mm": 13,
                "other_camera_register_mm": 18,
                "circle_of_confusion_mm": 0.03,
            },
        ),
    ),
)
