"""Published lens prescriptions, as printed: what the exact ray tracer of `real_rays` is fed with.

A transcription counts as proved because the traced focal length, back focus, length and f-number come out as printed
beside it (test_real_lens.py, first tests).
"""

import math
from dataclasses import dataclass

MM_PER_INCH = 25.4


@dataclass(frozen=True, slots=True)
class Row:
    """One surface: radius of curvature, gap to the next surface, index behind it, half its clear diameter."""

    radius: float
    gap: float
    index: float
    semi_aperture: float


@dataclass(frozen=True, slots=True)
class Prescription:
    """A lens in mm, subject side first. `stop` is the row that is the iris; `published` as printed, in mm."""

    name: str
    source: str
    rows: tuple[Row, ...]
    stop: int
    published_focal_length: float
    published_back_focus: float
    published_length: float
    published_f_number: float
    back_focus_tolerance: float


AIR = 1.0


def in_mm(rows: tuple[Row, ...], mm_per_unit: float) -> tuple[Row, ...]:
    """Scale printed lengths to mm."""
    return tuple(Row(r.radius * mm_per_unit, r.gap * mm_per_unit, r.index, r.semi_aperture * mm_per_unit) for r in rows)


# Indices at 587.6 nm of the glasses printed there: N-PK51, SF1, LF5, N-LAK21 (glass catalogue).
# Printed in inches. The printed gap to the image, 2.2253, is the best focus in white light: 0.2 % short of the paraxial one.
RETROFOCUS = Prescription(
    name="inverted telephoto f/3.5",
    source="M. Laikin, Lens Design, 4th ed., CRC Press 2007, ch. 8, table 8.1 "
    "(read in the publisher's abstract of the chapter)",
    rows=in_mm(
        (
            Row(4.5569, 0.1000, 1.52855, 0.470),
            Row(0.7040, 0.8254, AIR, 0.430),
            Row(0.5900, 0.1200, 1.71736, 0.470),
            Row(0.5329, 0.5916, AIR, 0.410),
            Row(3.8106, 0.3022, 1.58144, 0.470),
            Row(-2.4206, 0.4382, AIR, 0.470),
            Row(math.inf, 0.0150, AIR, 0.3235),
            Row(5.0596, 0.0695, 1.71736, 0.470),
            Row(0.7648, 0.2412, 1.64049, 0.410),
            Row(-1.6496, 2.2253, AIR, 0.410),
        ),
        MM_PER_INCH,
    ),
    stop=6,
    published_focal_length=1.181 * MM_PER_INCH,
    published_back_focus=2.2253 * MM_PER_INCH,
    published_length=4.928 * MM_PER_INCH,
    published_f_number=3.5,
    back_focus_tolerance=2e-3,
)

# The book prints the indices to three decimals (1.620, 1.621, 1.689); here the five of the glasses it names
# (SK55, FN11, SF8 of the old catalogue, from memory), with which its focal length and back focus come out to all digits.
DOUBLE_GAUSS = Prescription(
    name="double Gauss f/1.35",
    source="W. J. Smith, Modern Lens Design, McGraw-Hill 1992, p. 305, after US patent 2,601,805 "
    "(read in a public transcription of the page)",
    rows=(
        Row(85.500, 11.600, 1.74400, 38.0),
        Row(408.330, 1.500, AIR, 38.0),
        Row(40.350, 17.000, 1.62041, 33.0),
        Row(156.050, 3.500, 1.62096, 33.0),
        Row(25.050, 13.700, AIR, 22.0),
        Row(math.inf, 8.300, AIR, 21.3),
        Row(-36.800, 3.500, 1.68893, 22.0),
        Row(55.000, 23.000, 1.74400, 26.0),
        Row(-51.500, 1.000, AIR, 26.0),
        Row(123.500, 17.000, 1.74400, 26.0),
        Row(-204.960, 55.066, AIR, 26.0),
    ),
    stop=5,
    published_focal_length=100.4,
    published_back_focus=55.07,
    published_length=100.10 + 55.066,
    published_f_number=1.35,
    back_focus_tolerance=1e-4,
)
