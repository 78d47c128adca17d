"""The aperture whose depth of field is as deep as the subject, by a named model."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypedDict

from closeup_service.advice import sharpness_remarks
from closeup_service.advice.remark import Remark
from closeup_service.operations.one_lens import effective_per_mark, inverse_pupil_distance
from closeup_service.operations.set_up.optimum_aperture.schemas import DEPTH_MODELS
from closeup_service.optics.aperture_series import Mark
from closeup_service.optics.depth import combined_cover, geometric_cover, wave_cover
from closeup_service.optics.diffraction import end_half_depth
from closeup_service.optics.sharpness import Criterion

if TYPE_CHECKING:
    from closeup_service.records import requests


class Cover(TypedDict, total=False):
    """The aperture that covers the depth, where the blur is known."""

    covering_f_number: float


def cover_members(
    asked: requests.OptimumApertureRequest,
    criterion: Criterion,
    marks: tuple[Mark, ...],
    assumed: dict[str, float | str],
) -> tuple[Cover, list[Remark]]:
    """Aperture that covers the subject's depth, and what limits it; nothing where the blur is not known."""
    model = asked.get("model", DEPTH_MODELS[0])
    if criterion.blur_mm is None and model != "wave":
        return {}, []
    if "model" not in asked:
        assumed["model"] = model
    effective = covering_effective(asked, criterion, model)
    f_number = effective / effective_per_mark(asked, asked["magnification"])
    notes = beyond_ring(f_number, marks)
    if criterion.blur_mm is not None:
        notes += sharpness_remarks.cover_diffracts(criterion.blur_mm, criterion.wavelength_nm, effective)
    return {"covering_f_number": f_number}, notes


def beyond_ring(f_number: float, marks: tuple[Mark, ...]) -> list[Remark]:
    """Say that the ring does not go so far, where it does not."""
    if marks[0].exact <= f_number <= marks[-1].exact:
        return []
    return [sharpness_remarks.cover_beyond_ring(f_number, marks[0].nominal, marks[-1].nominal)]


def covering_effective(asked: requests.OptimumApertureRequest, criterion: Criterion, model: str) -> float:
    """Effective f-number by the model asked for."""
    m, inverse = (
        asked["magnification"],
        inverse_pupil_distance(asked, asked.get("focal_length_mm"), asked["magnification"]),
    )
    half_depth = end_half_depth(asked["subject_depth_mm"], inverse)
    if model == "wave" or criterion.blur_mm is None:
        return wave_cover(half_depth, m, criterion.wavelength_nm)
    if model == "geometric":
        return geometric_cover(half_depth, m, criterion.blur_mm)
    return combined_cover(half_depth, m, criterion.blur_mm, criterion.wavelength_nm)
