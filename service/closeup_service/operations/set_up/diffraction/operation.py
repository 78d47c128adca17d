"""`/v1/diffraction`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closeup_service.advice import cautions, sharpness_remarks
from closeup_service.advice.remark import Remark, not_determined
from closeup_service.operations.one_lens import (
    as_mounted,
    effective_f_number,
    mounting_and_pupils,
    pupil_remarks,
)
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.set_up.diffraction.schemas import DiffractionAnswer, DiffractionRequest
from closeup_service.optics import formulas
from closeup_service.optics.diffraction import (
    effective_where_airy_fills,
    filled_share,
    nyquist_frequency,
    sampling,
    sensor_resolution_um,
)
from closeup_service.optics.sharpness import ROUNDING, Criterion, criterion_of
from closeup_service.optics.wave import cutoff_frequency
from closeup_service.worked.sharpness import diffraction_steps

if TYPE_CHECKING:
    from closeup_service.records import answers, requests


def answer(asked: requests.DiffractionRequest) -> answers.DiffractionAnswer:
    """What diffraction leaves in the plane of focus."""
    assumed = mounting_and_pupils(asked)
    criterion = criterion_of(asked, "geometric", assumed)
    effective, m = effective_f_number(asked), asked["magnification"]
    members = diffraction_members(criterion, effective, m)
    details = detail_rows(asked, criterion, effective)
    return {
        **members,
        "effective_f_number": effective,
        "numerical_aperture": formulas.numerical_aperture(m, effective),
        "details": details,
        "filled_megapixels": filled_megapixels(asked, members["filled_share"]),
        "largest_useful_f_number": largest_useful_f_number(asked, criterion),
        "assumed": assumed,
        "remarks": [
            *pupil_remarks(asked, effective),
            *open_members(asked, criterion),
            *beyond_pixels(details, members["nyquist_lp_per_mm"]),
        ],
        "cautions": cautions.in_order(cautions.for_one_lens(asked)),
    }


def diffraction_members(criterion: Criterion, effective: float, magnification: float) -> answers.DiffractionMembers:
    """Resolution, cut-off and sampling, for this answer and for that of a set-up."""
    wavelength, pitch = criterion.wavelength_nm, criterion.pixel_pitch_um
    resolution = sensor_resolution_um(effective, wavelength)
    cutoff = float(cutoff_frequency(effective, wavelength))
    airy = formulas.airy_diameter_um(effective, wavelength)
    nyquist = None if pitch is None else nyquist_frequency(pitch)
    return {
        "wavelength_nm": wavelength,
        "airy_diameter_um": airy,
        "subject_airy_diameter_um": airy / magnification,
        "sensor_resolution_um": resolution,
        "subject_resolution_um": formulas.subject_resolution_um(
            formulas.numerical_aperture(magnification, effective), wavelength
        ),
        "sensor_cutoff_lp_per_mm": cutoff,
        "subject_cutoff_lp_per_mm": cutoff * magnification,
        "nyquist_lp_per_mm": nyquist,
        "nyquist_contrast": None if nyquist is None else contrast_in_focus(criterion, nyquist, effective),
        "filled_share": None if pitch is None else filled_share(resolution, pitch),
        "sampling": None if pitch is None else sampling(cutoff, resolution, pitch),
    }


def contrast_in_focus(criterion: Criterion, frequency: float, effective: float) -> float:
    """Contrast that diffraction alone leaves of a detail on the sensor, in the criterion's light."""
    return float(criterion.optics_contrast(frequency, 0.0, effective))


def detail_rows(
    asked: requests.DiffractionRequest, criterion: Criterion, effective: float
) -> list[answers.DetailContrast]:
    """Contrast of each detail asked for, coarsest first."""
    m = asked["magnification"]
    on_sensor = [*asked.get("sensor_details_lp_per_mm", ())]
    on_sensor += [detail / m for detail in asked.get("subject_details_lp_per_mm", ())]
    return [
        {
            "sensor_detail_lp_per_mm": detail,
            "subject_detail_lp_per_mm": detail * m,
            "contrast": contrast_in_focus(criterion, detail, effective),
            "contrast_with_pixels": None
            if criterion.pixel_pitch_um is None
            else float(criterion.contrast_at(detail, 0.0, effective)),
        }
        for detail in sorted(on_sensor)
    ]


def filled_megapixels(asked: requests.DiffractionRequest, share: float | None) -> float | None:
    """Pixels that the image really fills, in millions."""
    if share is None or "sensor_width_mm" not in asked:
        return None
    area = asked["sensor_width_mm"] * asked["sensor_height_mm"]
    pitch = asked["pixel_pitch_um"]
    return float(share * area / (pitch * pitch))


def largest_useful_f_number(asked: requests.DiffractionRequest, criterion: Criterion) -> float | None:
    """Marked f-number at which the Airy disk is as wide as the blur criterion."""
    if criterion.blur_mm is None:
        return None
    f_number, pupil_magnification = as_mounted(asked)
    per_mark = formulas.effective_f_number(f_number, asked["magnification"], pupil_magnification) / asked["f_number"]
    return float(effective_where_airy_fills(criterion.blur_mm, criterion.wavelength_nm) / per_mark)


def beyond_pixels(details: list[answers.DetailContrast], nyquist: float | None) -> list[Remark]:
    """Say which details the pixels cannot carry."""
    beyond = [
        row for row in details if nyquist is not None and row["sensor_detail_lp_per_mm"] > nyquist * (1 + ROUNDING)
    ]
    return [sharpness_remarks.beyond_pixels(len(beyond))] if beyond else []


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
    return not_determined(needs)


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
    answer_schema=DiffractionAnswer(),
    request_schema=DiffractionRequest(),
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
