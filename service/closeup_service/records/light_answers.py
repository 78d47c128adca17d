"""Answers of `light`, as they are made.

Written by `python -m closeup_service.published.record_types` from the service's schemas; not to be edited.
"""

from collections.abc import Sequence
from typing import Required

from closeup_service.records.shared_answers import Answer, ExposureMembers, Opening


class ExposureAnswer(ExposureMembers, Answer, total=False):
    """The new setting, with what was assumed and what is worth knowing."""

    kit_revision: str


class FlashAnswer(Answer, total=False):
    """What to set, and how far off the exposure is with it."""

    f_number: Required[float | None]
    nominal_f_number: Required[float | None]
    effective_f_number: Required[float]
    light_loss_stops: Required[float | None]
    flash_distance_mm: Required[float | None]
    flash_power_fraction: Required[float]
    flash_power_stops: Required[float]
    pops: Required[int]
    pops_exact: Required[float]
    exposure_difference_stops: Required[float]
    guide_number_at_iso_m: Required[float]
    inverse_square_error: Required[float | None]
    inverse_square_error_stops: Required[float | None]


class ClearOpeningAnswer(Answer, total=False):
    """The openings, and the field and the pupil that they stand between."""

    subject_diagonal_mm: Required[float]
    working_distance_mm: Required[float | None]
    entrance_pupil_distance_mm: Required[float]
    entrance_pupil_diameter_mm: Required[float]
    effective_f_number: Required[float]
    numerical_aperture: Required[float]
    openings: Required[Sequence[Opening]]
