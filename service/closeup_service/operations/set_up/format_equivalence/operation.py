"""`/v1/format-equivalence`."""

from collections.abc import Mapping
from typing import Any

from closeup_service.advice import cautions, equivalence_remarks
from closeup_service.advice.remark import Remark, undetermined_results
from closeup_service.operations.light.flash.operation import engraved
from closeup_service.operations.one_lens import (
    USUAL_LENS,
    as_mounted,
    effective_f_number,
    mounting_and_pupils,
    pupil_remarks,
    stops,
)
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.plan.magnification.operation import extension_for
from closeup_service.operations.set_up.depth_of_field.operation import inverse_pupil_distance
from closeup_service.operations.set_up.format_equivalence.schemas import (
    OTHER,
    FormatEquivalenceAnswer,
    FormatEquivalenceRequest,
)
from closeup_service.operations.set_up.optimum_aperture.operation import effective_per_mark
from closeup_service.optics import equivalence, formulas
from closeup_service.optics.aperture import refuse_wide
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.depth import Depth, depth_limits, geometric_half_depth
from closeup_service.optics.equivalence import FRAMING_BY, Size, format_ratio, same_perspective_focal_length
from closeup_service.optics.sharpness import blur_of
from closeup_service.worked.equivalence import format_equivalence_steps

Asked = Mapping[str, Any]

OF_THE_LENS = ("focal_length_mm", "lens_register_mm", "front_principal_plane_mm")
"""Data of a lens that belong together: with another focal length none of them is that of the same lens."""
OF_THE_OTHER = ("mounting", "pupil_magnification", *OF_THE_LENS, "focusing_extension_mm", "camera_register_mm")


def answer(asked: Asked) -> dict[str, Any]:
    """What to set on the other camera, what stays the same, and what does not."""
    assumed = mounting_and_pupils(asked)
    framing_by = asked.get("framing_by")
    if framing_by is None:
        framing_by = assumed["framing_by"] = FRAMING_BY[0]
    k = format_ratio(size_of(asked), size_of(asked, OTHER), framing_by)
    effective, m, blur = effective_f_number(asked), asked["magnification"], blur_of(asked, assumed)
    assert blur is not None
    refuse_wide(k * effective, k * m, "On so small a sensor, use a larger f_number.", "/f_number")
    other = other_lens(asked, assumed) | {"magnification": k * m}
    other["f_number"] = k * effective / effective_per_mark(other)
    extension, extension_notes, needs = extension_for(
        other, other["mounting"], other["magnification"], lambda name: name_of(name, asked)
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
        "other_effective_f_number": k * effective,
        "numerical_aperture": formulas.numerical_aperture(m, effective),
        "circle_of_confusion_mm": blur,
        "other_circle_of_confusion_mm": k * blur,
        "other_exposure_factor": equivalence.exposure_factor(k),
        "other_exposure_stops": stops(POINT.log2(equivalence.exposure_factor(k))),
        "assumed": assumed,
        "remarks": pupil_remarks(asked, effective) + notes + extension_notes + undetermined_results(needs),
        "cautions": cautions.sort_cautions(cautions.one_lens_cautions(asked) + cautions.one_lens_cautions(other)),
    }


def size_of(asked: Asked, of: str = "") -> Size:
    """Width and height of a sensor, mm."""
    return asked[f"{of}sensor_width_mm"], asked[f"{of}sensor_height_mm"]


def other_lens(asked: Asked, assumed: dict[str, Any]) -> dict[str, Any]:
    """The lens on the other camera, under the names of this one's data; the same as mounted here where nothing is said."""
    given = {name: asked[OTHER + name] for name in OF_THE_OTHER if OTHER + name in asked}
    kept = () if "focal_length_mm" in given else OF_THE_LENS
    same = {**USUAL_LENS, **{name: asked[name] for name in (*USUAL_LENS, *kept) if name in asked}}
    assumed |= {OTHER + name: value for name, value in same.items() if name not in given}
    return same | given


def name_of(name: str, asked: Asked) -> str:
    """Member that states a datum of the other camera or its lens: this lens's own where it is the same."""
    same_lens = name in OF_THE_LENS and "other_focal_length_mm" not in asked
    return name if same_lens else OTHER + name


def same_perspective(asked: Asked, other: Asked) -> float | None:
    """Focal length that sees the subject from as far as here, mm; None where this lens's is not known."""
    if "focal_length_mm" not in asked:
        return None
    _, pupil_magnification = as_mounted(other)
    return float(
        same_perspective_focal_length(inverse_pupil_distance(asked), other["magnification"], pupil_magnification)
    )


def remarks_on(asked: Asked, other: Asked, k: float, framing_by: str, focal_length: float | None) -> list[Remark]:
    """What the frames and the trade's shortcuts differ by, and an aperture that cannot be had."""
    here, there = (
        (width / each["magnification"], height / each["magnification"])
        for each, (width, height) in ((asked, size_of(asked)), (other, size_of(asked, OTHER)))
    )
    notes = equivalence_remarks.frame_difference(here, there, framing_by)
    notes += equivalence_remarks.f_number_shortcut(k * asked["f_number"], other["f_number"])
    if focal_length is not None:
        notes += equivalence_remarks.focal_length_shortcut(k * asked["focal_length_mm"], focal_length)
    if engraved(other["f_number"]) is None:
        notes.append(equivalence_remarks.f_number_beyond_rings(other["f_number"]))
    return notes


def depth_remarks(asked: Asked, other: Asked, half_depth: float) -> list[Remark]:
    """How the depth divides before and behind on either camera, its half being the same."""
    if "focal_length_mm" not in asked or "focal_length_mm" not in other:
        return [equivalence_remarks.unknown_pupil()]
    here, there = inverse_pupil_distance(asked), inverse_pupil_distance(other)
    return equivalence_remarks.perspective_difference(
        1 / here, 1 / there, limits(half_depth, asked, here), limits(half_depth, other, there)
    )


def limits(half_depth: float, lens: Asked, inverse_distance: float) -> Depth:
    """Depth before and behind the subject plane."""
    return depth_limits(half_depth, lens["magnification"], inverse_distance, POINT)


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
    answer_schema=FormatEquivalenceAnswer(),
    request_schema=FormatEquivalenceRequest(),
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
