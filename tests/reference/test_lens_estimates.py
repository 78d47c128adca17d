"""Estimated lenses against the table of their statistics, published prescriptions, and a ruler in the frame.

The table is that of the documentation of the statistics ("Typical lenses", 2026-11-28): ranges of 505 records from 314
patents, calculated there by another program.
"""

from typing import NamedTuple

import numpy as np
import pytest
from msgspec.structs import replace

from closeup_service.estimates.ensemble import estimate_lens
from closeup_service.estimates.known_lens import Frame, KnownLens
from closeup_service.estimates.ranges import Range, weighted_ranges
from closeup_service.optics.arithmetic import FloatArray
from prescriptions import DOUBLE_GAUSS, RETROFOCUS, Prescription
from real_rays import system_of

BODY_MM = 44.0
BACK_FOCUS_MM = 38.0
"""Last glass to sensor of a wide lens for such a body: as far as the mirror needs (common practice, no source)."""

RIM_MM = 4.0
"""Front rim before the first glass: 0 to 8 mm on primes (common practice, no source)."""


class Row(NamedTuple):
    """A typical lens, and its 95 % ranges of m reversed at extensions 0, 25 and 50 mm, and of N_eff marked f/8."""

    lens: KnownLens
    at_0: tuple[float, float]
    at_25: tuple[float, float]
    at_50: tuple[float, float]
    n_eff: tuple[float, float]


def prime(focal_length: float, f_number: float, lens_class: str, register: float) -> KnownLens:
    return KnownLens(
        focal_length_mm=focal_length, widest_f_number=f_number, lens_class=lens_class, register_mm=register
    )


def zoom(
    focal_length: float, f_number: float, ends: tuple[float, float], lens_class: str, register: float
) -> KnownLens:
    """Zoom set to a focal length."""
    lens = prime(focal_length, f_number, lens_class, register)
    return replace(lens, zoom_from_mm=ends[0], zoom_to_mm=ends[1])


TABLE = (
    Row(prime(24, 2.8, "slr-prime", 45.5), (1.89, 2.77), (2.91, 3.81), (3.96, 4.86), (18.5, 26.0)),
    Row(prime(28, 2.8, "slr-prime", 45.5), (1.48, 2.23), (2.35, 3.13), (3.25, 4.02), (15.9, 22.3)),
    Row(prime(35, 2.8, "slr-prime", 45.5), (0.98, 1.59), (1.68, 2.30), (2.40, 3.02), (12.7, 17.8)),
    Row(prime(50, 1.8, "slr-prime", 45.5), (0.31, 1.14), (0.81, 1.64), (1.31, 2.14), (9.7, 15.8)),
    Row(prime(85, 1.8, "slr-prime", 45.5), (-0.56, 1.18), (-0.27, 1.48), (0.02, 1.77), (10.9, 22.9)),
    Row(prime(135, 2.8, "slr-prime", 45.5), (-1.28, 0.46), (-1.10, 0.65), (-0.91, 0.83), (6.3, 18.4)),
    Row(prime(24, 1.8, "mirrorless-prime", 18), (1.42, 3.01), (2.44, 4.07), (3.45, 5.13), (17.5, 27.0)),
    Row(prime(50, 1.8, "mirrorless-prime", 18), (-0.17, 1.05), (0.34, 1.57), (0.86, 2.08), (8.6, 19.9)),
    Row(zoom(28, 3.5, (28, 70), "slr-zoom", 45.5), (1.93, 3.35), (2.80, 4.23), (3.67, 5.12), (19.1, 29.1)),
    Row(zoom(50, 3.5, (28, 70), "slr-zoom", 45.5), (0.45, 2.43), (0.93, 2.92), (1.42, 3.41), (9.5, 22.6)),
    Row(zoom(70, 3.5, (28, 70), "slr-zoom", 45.5), (-0.19, 2.08), (0.16, 2.45), (0.50, 2.82), (12.1, 26.7)),
    Row(zoom(24, 2.8, (24, 70), "mirrorless-zoom", 18), (1.67, 4.07), (2.68, 5.12), (3.69, 6.16), (18.9, 36.8)),
    Row(prime(35, 2, "rangefinder", 27.8), (0.35, 1.38), (1.05, 2.14), (1.75, 2.89), (11.9, 24.3)),
    Row(prime(60, 2.8, "macro", 44), (-0.03, 1.21), (0.39, 1.63), (0.81, 2.05), (14.5, 26.5)),
    Row(prime(100, 2.8, "macro", 46), (-0.62, 0.60), (-0.36, 0.86), (-0.11, 1.11), (9.2, 21.1)),
    Row(prime(80, 2.8, "medium-slr", 70), (-0.24, 0.75), (0.08, 1.06), (0.39, 1.38), (10.1, 17.7)),
    Row(prime(50, 2.8, "view-enlarging", 0), (-0.10, 1.09), (0.40, 1.59), (0.90, 2.09), (8.8, 14.8)),
)


def magnification(lens: KnownLens, extension: float) -> FloatArray:
    members = estimate_lens(lens)
    return (BODY_MM + extension + members.front_plane) / members.focal_length - 1


def ranges_of(lens: KnownLens, *columns: FloatArray) -> list[Range]:
    return weighted_ranges(np.array(columns), estimate_lens(lens).weights)


def rounding(ends: tuple[float, float], half_a_digit: float) -> float:
    """How far an end may be off: the table's last digit, its zoom positions in tenths, and a hundredth of the range."""
    return half_a_digit + 0.01 * (ends[1] - ends[0])


@pytest.mark.parametrize("row", TABLE, ids=lambda row: f"{row.lens.lens_class} {row.lens.focal_length_mm:g}")
def test_ranges_are_those_of_the_table(row: Row) -> None:
    found = ranges_of(row.lens, *(magnification(row.lens, extension) for extension in (0, 25, 50)))
    for each, expected in zip(found, (row.at_0, row.at_25, row.at_50), strict=True):
        assert (each.low, each.high) == pytest.approx(expected, abs=rounding(expected, 0.005))


@pytest.mark.parametrize("row", TABLE, ids=lambda row: f"{row.lens.lens_class} {row.lens.focal_length_mm:g}")
def test_effective_f_numbers_are_those_of_the_table(row: Row) -> None:
    """The table gives them at no extension below 60 mm of focal length, else at 50 mm."""
    members = estimate_lens(row.lens)
    extension = 0 if row.lens.focal_length_mm < 60 else 50
    n_eff = 8 * (magnification(row.lens, extension) + 1 / members.pupil_magnification)
    [found] = ranges_of(row.lens, n_eff)
    assert (found.low, found.high) == pytest.approx(row.n_eff, abs=rounding(row.n_eff, 0.05))


@pytest.mark.parametrize(
    ("focal_length", "shown_mm"), [(70, 37.5), (50, 24.5), (28, 11.0)], ids=["70 mm", "50 mm", "28 mm"]
)
def test_a_zoom_in_the_hand_lies_inside_its_ranges(focal_length: float, shown_mm: float) -> None:
    """Reversed on a register of 44 mm it showed so much of a ruler on a frame 36 mm wide (common practice, no source)."""
    lens = KnownLens(focal_length_mm=focal_length, register_mm=45.5, zoom_from_mm=28, zoom_to_mm=70)
    [found] = ranges_of(lens, magnification(lens, 0))
    assert found.low <= 36 / shown_mm <= found.high


def test_a_frame_at_one_setting_of_that_zoom_leaves_it_inside() -> None:
    lens = KnownLens(focal_length_mm=28, register_mm=45.5, zoom_from_mm=28, zoom_to_mm=70)
    known = replace(lens, frames=(Frame(36 / 11.0, reversed=True, extension_mm=0, camera_register_mm=BODY_MM),))
    [found] = ranges_of(known, magnification(known, 0))
    assert found.low <= 36 / 11.0 <= found.high
    assert found.high / found.low < 1.15


@pytest.mark.parametrize("prescription", [RETROFOCUS, DOUBLE_GAUSS], ids=lambda lens: lens.name)
@pytest.mark.parametrize("extension", [0, 25, 50])
def test_published_prescriptions_lie_inside_the_ranges(prescription: Prescription, extension: float) -> None:
    """Traced by exact rays; m reversed and the effective f-number marked f/8 are held to the ranges.

    Each is scaled down to the back focus that a body with a mirror leaves: as printed they serve longer registers.
    """
    traced = system_of(prescription)
    (iris,) = traced.irises
    turned = traced.turned()
    scale = min(1.0, BACK_FOCUS_MM / (traced.rear_focus() - traced.last))
    focal_length = scale * traced.focal_length()
    front_plane = RIM_MM + scale * (traced.last - (turned.rear_focus() - turned.focal_length()))
    pupil_depth = RIM_MM + scale * traced.entrance_pupil(iris)
    lens = KnownLens(focal_length_mm=focal_length, register_mm=45.5, widest_f_number=prescription.published_f_number)
    members = estimate_lens(lens)
    m = magnification(lens, extension)
    found, n_eff = ranges_of(lens, m, 8 * (m + 1 / members.pupil_magnification))
    assert found.low <= (BODY_MM + extension + front_plane) / focal_length - 1 <= found.high
    assert n_eff.low <= 8 * (BODY_MM + extension + pupil_depth) / focal_length <= n_eff.high
