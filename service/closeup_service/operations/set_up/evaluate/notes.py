"""Remarks and cautions on a set-up."""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING

from closeup_service.advice import cautions, lens_remarks, sharpness_remarks
from closeup_service.advice.caution_texts import Caution
from closeup_service.advice.remark import Remark, undetermined_results
from closeup_service.optics.arithmetic import R
from closeup_service.set_ups.set_up import SetUp

if TYPE_CHECKING:
    from closeup_service.records import requests

LEAST_MARK, GREATEST_MARK = 0.7, 64.0
"""Between these lie the marks of the aperture rings in use (common practice, no source)."""


def remarks_on(document: requests.SetUpRequest, set_up: SetUp, optimum_f_number: float | None) -> list[Remark]:
    """Everything worth saying about this set-up."""
    notes = undetermined_results({**set_up.needs, **open_members(document, set_up)})
    if set_up.erect:
        notes.append(lens_remarks.erect_image())
    if set_up.aperture_stop is not None and set_up.light_loss_stops is None:
        notes.append(lens_remarks.missing_marked_f_number())
    notes += remarks_on_optimum(document, set_up, optimum_f_number)
    notes += depth_at_glass(set_up)
    notes += remarks_on_objectives(document)
    notes += lens_remarks.perspective(set_up.inverse_pupil_distance)
    if set_up.effective_f_number is not None:
        notes += sharpness_remarks.sharpness(set_up.criterion, set_up.effective_f_number, set_up.magnification)
    notes += lens_remarks.objective_focus(set_up.focus_error_mm)
    notes += remarks_on_lenses(document, set_up)
    return notes + remarks_on_field(document, set_up)


def remarks_on_optimum(document: requests.SetUpRequest, set_up: SetUp, optimum_f_number: float | None) -> list[Remark]:
    """Whether the best aperture for the subject's depth can be set, and whether one frame is enough."""
    depth = document.get("subject_depth_mm")
    if depth is None:
        return []
    if depth == 0:
        return [sharpness_remarks.flat_subject()]
    notes = []
    if set_up.optimum_f_number is not None and optimum_f_number is None:
        notes.append(sharpness_remarks.unattainable_optimum(set_up.optimum_f_number))
    elif optimum_f_number is not None and not LEAST_MARK <= optimum_f_number <= GREATEST_MARK:
        notes.append(sharpness_remarks.optimum_beyond_rings(optimum_f_number))
    if set_up.depth is not None and set_up.depth.total >= depth:
        notes.append(sharpness_remarks.sufficient_single_frame())
    return notes


def depth_at_glass(set_up: SetUp) -> list[Remark]:
    """Say where the depth before the subject ends at the glass."""
    if set_up.depth is None or set_up.clearance_mm is None or not set_up.depth.front >= set_up.clearance_mm > 0:
        return []
    return [sharpness_remarks.depth_limit_at_glass(set_up.clearance_mm)]


def remarks_on_objectives(document: requests.SetUpRequest) -> list[Remark]:
    """Say when an infinity-corrected objective has no lens behind it."""
    if objective_alone(document):
        return [lens_remarks.single_objective()]
    return []


def objective_alone(document: requests.SetUpRequest) -> bool:
    """Whether the last part that is not a mere tube is an infinity-corrected objective."""
    powered = [element for element in document["train"] if element["element"] != "spacer"]
    return powered[-1]["element"] == "objective" and "tube_lens_focal_length_mm" in powered[-1]


def open_members(document: requests.SetUpRequest, set_up: SetUp[R]) -> dict[str, tuple[str, ...]]:
    """What the document leaves open beside the train itself."""
    needs: dict[str, tuple[str, ...]] = {}
    if "subject_depth_mm" not in document:
        needs |= dict.fromkeys(
            ("optimum_effective_f_number", "optimum_f_number", "stack_frames", "stack_step_mm"), ("/subject_depth_mm",)
        )
    elif "depth_of_field" in set_up.needs:
        needs |= dict.fromkeys(("stack_frames", "stack_step_mm"), set_up.needs["depth_of_field"])
    if set_up.criterion.blur_mm is None:
        needs["allowed_movement_um"] = ("/camera/circle_of_confusion_mm",)
    if "pixel_pitch_um" not in document["camera"]:
        names = ("nyquist_lp_per_mm", "nyquist_contrast", "filled_share", "sampling")
        needs |= dict.fromkeys((f"diffraction.{name}" for name in names), ("/camera/pixel_pitch_um",))
    return needs


def remarks_on_lenses(document: requests.SetUpRequest, set_up: SetUp) -> list[Remark]:
    """Shortcuts of the trade measured against a train with one lens, and contradictions in a lens's data."""
    train, notes = document["train"], []
    lenses = [element for element in train if element["element"] == "lens"]
    for lens in lenses:
        if "front_diameter_mm" in lens and "f_number" in lens:
            notes += lens_remarks.narrow_front(lens["front_diameter_mm"], lens["focal_length_mm"] / lens["f_number"])
    if len(lenses) != 1 or any(element["element"] not in ("lens", "spacer") for element in train):
        return notes
    lens, place = lenses[0], train.index(lenses[0])
    if set_up.effective_f_number is not None and "f_number" in lens:
        notes += remarks_on_aperture(set_up, lens, place, set_up.effective_f_number)
    if lens.get("reversed"):
        outside = document["camera"]["register_mm"] + sum(
            part["length_mm"] for part in train[place + 1 :] if part["element"] == "spacer"
        )
        notes += lens_remarks.reversed_register(outside / lens["focal_length_mm"] - 1, set_up.magnification)
    return notes


def remarks_on_aperture(set_up: SetUp, lens: requests.Lens, place: int, effective: float) -> list[Remark]:
    """What the pupils of the one lens change, or that a tube's opening stops down further than the iris."""
    if set_up.aperture_stop != place:
        return [lens_remarks.tube_as_aperture_stop(effective)]
    mounting = "reversed" if lens.get("reversed") else "normal"
    given = "pupil_magnification" in lens
    return lens_remarks.pupils(lens["f_number"], set_up.magnification, effective, given, mounting)


def remarks_on_field(document: requests.SetUpRequest, set_up: SetUp) -> list[Remark]:
    """Whether the image reaches the corners of the sensor."""
    camera, train = document["camera"], document["train"]
    if "sensor_width_mm" not in camera:
        return []
    diagonal = hypot(camera["sensor_width_mm"], camera["sensor_height_mm"])
    notes: list[Remark] = []
    powered = [element for element in train if element["element"] != "spacer"]
    lens = powered[0]
    if len(powered) == 1 and lens["element"] == "lens" and "image_circle_mm" in lens and not lens.get("reversed"):
        grown = 1 + set_up.magnification / lens.get("pupil_magnification", 1.0)
        notes += lens_remarks.corners(lens["image_circle_mm"] * grown, diagonal)
    for element in powered:
        if element["element"] == "objective" and "field_number_mm" in element:
            notes += lens_remarks.objective_field(
                element["field_number_mm"], element["magnification"], set_up.magnification, diagonal
            )
    return notes


def cautions_on(document: requests.SetUpRequest, set_up: SetUp) -> list[Caution]:
    """Cautions that apply to this set-up, people first."""
    return cautions.sort_cautions(
        [
            *cautions.near_glass_cautions(set_up.clearance_mm, document.get("subject_depth_mm")),
            *cautions.objective_cautions(objective_alone(document), set_up.focus_error_mm),
            *cautions.train_cautions(document["train"], document["camera"]["register_mm"]),
            *cautions.light_cautions(document, wavelength_nm=document.get("wavelength_nm")),
        ]
    )
