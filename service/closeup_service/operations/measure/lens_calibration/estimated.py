"""A lens of which frames of a ruler leave something open: estimated from published designs of its class.

The frames are readings that narrow the designs. Where they stand at several extensions, and state uncertainties or are enough
to tell their scatter, the lens fitted to them keeps what it determines; where that includes the front principal plane, it
stands for the frames, and only what is left is estimated.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import hypot
from typing import TYPE_CHECKING, TypeAlias, cast

import numpy as np
from msgspec import Struct

from closeup_service.advice import calibration_remarks, cautions
from closeup_service.advice.remark import Remark
from closeup_service.estimates.ensemble import estimate_lens
from closeup_service.estimates.joint import Joint, draw_together
from closeup_service.estimates.known_lens import KnownLens
from closeup_service.estimates.lens_members import ESTIMABLE, read_known_lens, stated_data
from closeup_service.estimates.ranges import COVERAGE, Range, weighted_ranges
from closeup_service.measuring.lens.calibration import QUANTITIES
from closeup_service.operations.estimating import telling
from closeup_service.optics import exposure, formulas
from closeup_service.optics.arithmetic import FloatArray
from closeup_service.optics.errors import OpticsError
from closeup_service.schemas.fields import declared_fields
from closeup_service.schemas.known_lens import KnownLensFields
from closeup_service.set_ups.pointers import as_pointer

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

    Asked: TypeAlias = requests.LensCalibrationRequest

KNOWN_DATA = ("focal_length_mm", "front_principal_plane_mm", "principal_plane_separation_mm")
"""What frames tell of a lens that its element in a train states as data; its pupils it states as they were read."""

LEAST_SCATTER = 3
"""So many frames tell their own scatter."""

DISTANCES = ("working_distance_mm", "subject_to_sensor_mm")


class Fitted(Struct, frozen=True):
    """What frames tell of a lens by themselves: members of the answer, uncertainty of `KNOWN_DATA`, and what goes with them."""

    told: answers.LensMembers
    uncertainty: answers.MeasuredUncertainty | None
    assumed: Mapping[str, float | str]
    remarks: Sequence[Remark]


def tell_apart(asked: Asked) -> bool:
    """Whether frames tell the focal length themselves, and how well: several extensions, uncertainties or a scatter."""
    frames = asked["frames"]
    if len(frames) < LEAST_SCATTER and any("magnification_uncertainty" not in frame for frame in frames):
        return False
    places = [extension_of(frame, reversed_=is_reversed(asked)) for frame in frames]
    return max(places) - min(places) > 1e-9 * max(places)


def is_reversed(asked: Asked) -> bool:
    """Whether the frames were taken with the lens back to front."""
    return asked.get("mounting") == "reversed"


def extension_of(frame: requests.CalibrationFrame, *, reversed_: bool) -> float:
    """Extension of a frame as it counts for the magnification [mm]: a reversed lens's focus ring does not."""
    return frame.get("extension_mm", 0.0) + (0.0 if reversed_ else frame.get("focusing_extension_mm", 0.0))


def answer_estimated(asked: Asked, fitted: Fitted | None) -> answers.LensCalibrationAnswer:
    """Fill in what the frames leave open; `fitted` is what they tell by themselves, if anything.

    Raises
    ------
    Contradiction
        Where frames and what else was measured cannot be of one lens.
    """
    element = known_element(asked, fitted)
    lens = lens_of(element)
    joint = draw_at_frames(lens, asked)
    told = members_of_fit(fitted)
    columns = open_columns(asked, joint, told)
    ranges = dict(zip(columns, weighted_ranges(np.array(list(columns.values())), joint.weights), strict=True))
    filled = cast("answers.LensMembers", {**told, **{name: each.value for name, each in ranges.items()}})
    filled["lens"] = pasted_lens(asked, filled, fitted)
    if filled["f_number_estimate"] is not None:
        element["f_number"] = filled["f_number_estimate"]
    mounting = "reversed" if is_reversed(asked) else "normal"
    return {
        **filled,
        "settings": [],
        "known_lens": element,
        "assumed": list_assumed(asked, lens, fitted),
        "remarks": notes_on_estimate(asked, joint, lens, fitted, list(ranges)),
        "cautions": cautions.sort_cautions(cautions.mounting_cautions(mounting)),
        "coverage": COVERAGE,
        "measure_first": [],
        "estimated": tell_estimated(ranges, lens),
        "ranges": {name: each.ends(whole=False) for name, each in ranges.items() if not each.is_sharp},
    }


def known_element(asked: Asked, fitted: Fitted | None) -> answers.KnownLensElement:
    """What is known of the lens, as an element of a train: its data where frames tell them all, else the frames as readings."""
    data = fitted_data(asked, fitted)
    stands_for_frames = "front_principal_plane_mm" in data
    given = {name: value for name, value in asked.items() if name in declared_fields(KnownLensFields)}
    turned = {"reversed": True} if is_reversed(asked) else {}
    own = {"element": "lens", **turned, **given, **data, **pupil_uncertainty(asked)}
    known: answers.KnownLensElement = cast("answers.KnownLensElement", own)
    if stands_for_frames and fitted is not None and fitted.uncertainty is not None:
        known["uncertainty"] = fitted.uncertainty
    lens = lens_of(known, register_of(asked))
    known["lens_class"] = lens.family.name
    if lens.flange_mm > 0:
        known["register_mm"] = lens.flange_mm
    frames = [] if stands_for_frames else [reading_of(frame, asked, lens, fitted) for frame in asked["frames"]]
    if frames or "measured" in asked:
        known["measured"] = [*frames, *cast("Sequence[answers.KnownFrame]", asked.get("measured", ()))]
    return known


def fitted_data(asked: Asked, fitted: Fitted | None) -> Mapping[str, float]:
    """Data of the lens that frames tell; the engraved focal length where they leave its front principal plane open."""
    values = {} if fitted is None else cast("Mapping[str, float | None]", fitted.told)
    data = {name: value for name in KNOWN_DATA if (value := values.get(name)) is not None}
    return data if "front_principal_plane_mm" in data else {**data, "focal_length_mm": asked["focal_length_mm"]}


def register_of(asked: Asked) -> float | None:
    """Register of the lens [mm]; one on its mount is taken to be made for the camera, unless its class is named."""
    if "lens_register_mm" in asked or is_reversed(asked) or "lens_class" in asked:
        return asked.get("lens_register_mm")
    return asked.get("camera_register_mm")


def pupil_uncertainty(asked: Asked) -> Mapping[str, float]:
    """Relative uncertainty of the ratio of both pupils, by those of their diameters where both are stated."""
    pairs = [("entrance_pupil_diameter_mm", "entrance_pupil_diameter_uncertainty_mm")]
    pairs.append(("exit_pupil_diameter_mm", "exit_pupil_diameter_uncertainty_mm"))
    read = cast("Mapping[str, float]", asked)
    if "pupil_ratio_uncertainty" in asked or not all(name in read for pair in pairs for name in pair):
        return {}
    return {"pupil_ratio_uncertainty": hypot(*(read[error] / read[value] for value, error in pairs))}


def reading_of(
    frame: requests.CalibrationFrame, asked: Asked, lens: KnownLens, fitted: Fitted | None
) -> answers.KnownFrame:
    """One frame as a reading of a lens that is to be estimated; its infinity stop stands where the frames found it."""
    reversed_ = is_reversed(asked)
    extension, register = extension_of(frame, reversed_=reversed_), asked.get("camera_register_mm", lens.flange_mm)
    found = None if fitted is None else fitted.told["extension_at_infinity_mm"]
    if found is not None:
        extension, register = max(extension + found, 0.0), lens.flange_mm
    told: answers.KnownFrame = {
        "mounting": "reversed" if reversed_ else "normal",
        "extension_mm": extension,
        "camera_register_mm": register,
        "magnification": frame["magnification"],
    }
    if "magnification_uncertainty" in frame:
        told["magnification_uncertainty"] = frame["magnification_uncertainty"]
    return told


def lens_of(element: answers.KnownLensElement, register: float | None = None) -> KnownLens:
    """Lens of an element, as a train reads it; `register` counts where the element has none [mm]."""
    members = cast("requests.KnownLensFields", element)
    return read_known_lens(
        members, element["focal_length_mm"], element.get("register_mm", register), stated_data(element)
    )


def draw_at_frames(lens: KnownLens, asked: Asked) -> Joint:
    """Draw the members of a lens; refusals point to what was sent."""
    try:
        estimate_lens(lens)
    except OpticsError as error:
        error.members = tuple(dict.fromkeys(sent_member(member, len(asked["frames"])) for member in error.members))
        raise
    return draw_together([lens])


def sent_member(member: str, frames: int) -> str:
    """Member of the request behind a member of the lens; `frames` come before what else was measured."""
    name, _, index = member.partition("/")
    if name in KNOWN_DATA[1:]:
        return as_pointer("frames")
    if name != "measured":
        return as_pointer(member)
    place = int(index)
    return as_pointer(f"frames/{place}" if place < frames else f"measured/{place - frames}")


def members_of_fit(fitted: Fitted | None) -> answers.LensMembers:
    """What the frames tell by themselves; nothing where they stand at one extension."""
    if fitted is not None:
        return fitted.told
    nothing = dict.fromkeys(QUANTITIES)
    rest = {"uncertainty": nothing, "lower_95": nothing, "upper_95": nothing, "parameters": [], "covariance": []}
    counts = {"degrees_of_freedom": None, "chi_square": None, "repeats_to_halve": None}
    return cast("answers.LensMembers", {**nothing, **rest, **counts, "residuals": [], "frames_to_halve": []})


def open_columns(asked: Asked, joint: Joint, told: answers.LensMembers) -> dict[str, FloatArray]:
    """Quantities that the frames leave open, for every lens that it may be."""
    [drawn] = joint.drawn.values()
    focal_length = drawn.focal_length
    columns: dict[str, FloatArray] = {
        "focal_length_mm": focal_length,
        "front_principal_plane_mm": drawn.front_plane,
        "principal_plane_separation_mm": drawn.separation,
        "pupil_magnification": drawn.pupil_magnification,
    }
    register, diameter = register_of(asked), asked.get("entrance_pupil_diameter_mm")
    if register is not None:
        columns["rear_principal_plane_mm"] = np.asarray(formulas.rear_plane(np.asarray(register), focal_length))
    if diameter is not None:
        columns["f_number_estimate"] = np.asarray(formulas.f_number_by_pupil(focal_length, np.asarray(diameter)))
    if "reference_f_number" in asked and "reference_light_loss_stops" in asked:
        mark = exposure.f_number_for(asked["reference_f_number"], asked["reference_light_loss_stops"])
        columns["f_number_estimate"] = np.full_like(focal_length, mark)
    values = cast("Mapping[str, float | None]", told)
    return {name: column for name, column in columns.items() if values[name] is None}


def pasted_lens(asked: Asked, told: answers.LensMembers, fitted: Fitted | None) -> answers.MeasuredLens:
    """Lens in the middle as an element of a train, which states nothing of its ranges."""
    found = {} if fitted is None else cast("Mapping[str, object]", fitted.told["lens"])
    values = cast("Mapping[str, float | None]", told)
    data = {name: values[name] for name in ("focal_length_mm", *ESTIMABLE)}
    lens: answers.MeasuredLens = cast("answers.MeasuredLens", {"element": "lens", **data, **found})
    if told["f_number_estimate"] is not None:
        lens["f_number"] = told["f_number_estimate"]
    if "lens_register_mm" in asked and "rear_principal_plane_mm" not in lens:
        lens["register_mm"] = asked["lens_register_mm"]
    if is_reversed(asked):
        lens["reversed"] = True
    return lens


def list_assumed(asked: Asked, lens: KnownLens, fitted: Fitted | None) -> dict[str, float | str]:
    """What was taken because it was not given."""
    taken: dict[str, float | str] = {
        "mounting": "normal",
        "lens_class": lens.family.name,
        "lens_register_mm": lens.flange_mm,
        "widest_f_number": lens.f_number,
    }
    missing = {name: value for name, value in taken.items() if name not in asked}
    return missing if fitted is None else {**fitted.assumed, **missing}


def notes_on_estimate(
    asked: Asked, joint: Joint, lens: KnownLens, fitted: Fitted | None, filled: Sequence[str]
) -> list[Remark]:
    """What was measured, what was estimated, and how to go on."""
    notes = [*telling.remarks_on([lens], joint, []), calibration_remarks.estimated_data(filled)]
    if fitted is None and any(name in frame for frame in asked["frames"] for name in DISTANCES):
        notes.append(calibration_remarks.unused_distances())
    if fitted is None:
        return notes
    closed = calibration_remarks.open_quantities(filled)
    return [*notes, *(each for each in fitted.remarks if each not in closed)]


def tell_estimated(ranges: Mapping[str, Range], lens: KnownLens) -> dict[str, answers.EstimatedDatum]:
    """Each datum of the lens that is estimated, by its pointer."""
    return {
        as_pointer(name): telling.tell_datum(each, lens)
        for name, each in ranges.items()
        if name in ("focal_length_mm", *ESTIMABLE) and not each.is_sharp
    }
