"""`/v1/diffraction`."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from closeup_service.advice import cautions, sharpness_remarks
from closeup_service.advice.remark import Remark, undetermined_results
from closeup_service.operations.one_lens import (
    effective_f_number,
    effective_per_mark,
    mounting_and_pupils,
    pupil_remarks,
)
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.set_up.diffraction.members import Diffraction
from closeup_service.operations.set_up.diffraction.schemas import DiffractionAnswer, DiffractionRequest
from closeup_service.optics import diffraction, formulas
from closeup_service.optics.sharpness import ROUNDING, Criterion
from closeup_service.set_ups.criterion import criterion_of
from closeup_service.worked.sharpness import diffraction_steps

if TYPE_CHECKING:
    from closeup_service.records import answers, requests


def answer(asked: requests.DiffractionRequest) -> answers.DiffractionAnswer:
    """What diffraction leaves in the plane of focus."""
    assumed = mounting_and_pupils(asked)
    criterion = criterion_of(cast("requests.SharpnessFields", asked), "geometric", assumed)
    f_number, m = asked["f_number"], asked["magnification"]
    effective = effective_f_number(asked, f_number, m)
    left = Diffraction(criterion, effective, m)
    members = left.members()
    details = detail_rows(asked, left)
    return {
        **members,
        "effective_f_number": effective,
        "numerical_aperture": formulas.numerical_aperture(m, effective),
        "details": details,
        "filled_megapixels": filled_megapixels(asked, members["filled_share"]),
        "largest_useful_f_number": largest_useful_f_number(asked, criterion),
        "assumed": assumed,
        "remarks": [
            *pupil_remarks(asked, f_number, m, effective),
            *open_members(asked, criterion),
            *beyond_pixels(details, members["nyquist_lp_per_mm"]),
        ],
        "cautions": cautions.sort_cautions(
            cautions.one_lens_cautions(asked.get("mounting", "normal"), asked.get("wavelength_nm"))
        ),
    }


def detail_rows(asked: requests.DiffractionRequest, left: Diffraction) -> list[answers.DetailContrast]:
    """Contrast of each detail asked for, coarsest first."""
    criterion, m = left.criterion, left.magnification
    on_sensor = [*asked.get("sensor_details_lp_per_mm", ())]
    on_sensor += [detail / m for detail in asked.get("subject_details_lp_per_mm", ())]
    return [
        {
            "sensor_detail_lp_per_mm": detail,
            "subject_detail_lp_per_mm": formulas.subject_frequency(detail, m),
            "contrast": left.contrast(detail),
            "contrast_with_pixels": None
            if criterion.pixel_pitch_um is None
            else float(criterion.contrast_at(detail, 0.0, left.effective)),
        }
        for detail in sorted(on_sensor)
    ]


def filled_megapixels(asked: requests.DiffractionRequest, share: float | None) -> float | None:
    """Pixels that the image really fills, in millions."""
    if share is None or "sensor_width_mm" not in asked:
        return None
    size = asked["sensor_width_mm"], asked["sensor_height_mm"]
    return float(diffraction.filled_megapixels(share, *size, asked["pixel_pitch_um"]))


def largest_useful_f_number(asked: requests.DiffractionRequest, criterion: Criterion) -> float | None:
    """Marked f-number at which the Airy disk is as wide as the blur criterion."""
    if criterion.blur_mm is None:
        return None
    effective = diffraction.airy_limited_f_number(criterion.blur_mm, criterion.wavelength_nm)
    return float(effective / effective_per_mark(asked, asked["magnification"]))


def beyond_pixels(details: list[answers.DetailContrast], nyquist: float | None) -> list[Remark]:
    """Say which details the pixels cannot carry."""
    beyond = [
        row for row in details if nyquist is not None and row["sensor_detail_lp_per_mm"] > nyquist * (1 + ROUNDING)
    ]
    return [sharpness_remarks.detail_beyond_pixels(len(beyond))] if beyond else []


def open_members(asked: requests.DiffractionRequest, criterion: Criterion) -> list[Remark]:
    """What the request leaves open."""
    needs: dict[str, tuple[str, ...]] = {}
    if criterion.pixel_pitch_um is None:
        for name in ("nyquist_lp_per_mm", "nyquist_contrast", "filled_share", "sampling"):
            needs[name] = ("/pixel_pitch_um",)
    if criterion.blur_mm is None:
        needs["largest_useful_f_number"] = ("/circle_of_confusion_mm",)
    missing = [
        name
        for name, given in (("/pixel_pitch_um", "pixel_pitch_um"), ("/sensor", "sensor_width_mm"))
        if given not in asked
    ]
    if missing:
        needs["filled_megapixels"] = tuple(missing)
    return undetermined_results(needs)


OPERATION = Operation(
    operation_id="findDiffraction",
    path="/v1/diffraction",
    tag="set up",
    summary="What diffraction costs on the sensor and on the subject",
    description=(
        "In the plane of focus, for a circular pupil without aberrations: Airy disk, resolution by Rayleigh's criterion, "
        "cut-off, contrast of chosen details, and how much of the sensor's pixels the image really fills. "
        "All by the effective f-number, which is what the sensor sees, not by the marked one."
    ),
    answer=answer,
    answer_type=DiffractionAnswer,
    request_type=DiffractionRequest,
    steps=diffraction_steps,
    examples=(
        Example(
            "seed-at-two-to-one",
            "A seed at 2:1 on pixels of 3.9 um, reversed 35 mm lens marked f/8 (invented kit)",
            {
                "mounting": "reversed",
                "f_number": 8,
                "pupil_magnification": 1.3,
                "magnification": 2,
                "sensor": "23.5x15.6",
                "pixel_pitch_um": 3.9,
                "sensor_details_lp_per_mm": [20, 40],
            },
        ),
    ),
)
