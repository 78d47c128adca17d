"""What a photograph of a ruler tells, as frozen records.

Places are (x, y) in pixels of the picture as it was given, x to the right, y down, the middle of the first pixel at (0, 0).
Uncertainties are standard uncertainties (one sigma).
"""

from typing import Literal

from msgspec import Struct

Point = tuple[float, float]
Leg = Literal["level", "upright"]


class Wanted(Struct, frozen=True):
    """Which scale is looked for.

    Parameters
    ----------
    pitch_mm : distance between neighbouring marks, the finest on the ruler, or length of a filled block
    accept_plain_marks : whether even marks are read although nothing else shows that they are a scale
    accept_pitch : whether the pitch is right although longer marks speak against it
    filled_blocks : whether the scale is blocks, alternately dark and light, each one pitch long; None where the picture tells
    leg : which leg of an L-shaped scale is read, the one nearer to the picture's rows or to its columns
    """

    pitch_mm: float
    accept_plain_marks: bool = False
    accept_pitch: bool = False
    filled_blocks: bool | None = None
    leg: Leg | None = None

    @property
    def period_mm(self) -> float:
        """From mark to mark of what repeats in the picture: a dark block and a light one, or a line and a gap."""
        return self.pitch_mm * (2 if self.filled_blocks else 1)


WORTH_SAYING_DEG = 5.0


class Measured(Struct, frozen=True):
    """A value with its standard uncertainty, in the same unit."""

    value: float
    uncertainty: float

    @property
    def relative_uncertainty(self) -> float:
        """The uncertainty over the value."""
        return self.uncertainty / self.value


class Tilt(Struct, frozen=True):
    """The tilt of the ruler along itself, and what it leaves uncertain of the scale.

    Parameters
    ----------
    measured : the tilt [deg], where it is known; positive: `line[1]` is nearer
    shortening : relative standard uncertainty of 1 / cos t
    largest_deg : tilts up to it, either way, were taken as possible; None where the picture alone tells the tilt
    least_deg : exceeded along the ruler or along its marks, since these are not seen square to it; 0 where that shows nothing
    contradicted : whether the picture shows more than the largest tilt that was given
    """

    measured: Measured | None
    shortening: float
    largest_deg: float | None
    least_deg: float
    contradicted: bool

    @property
    def shows_two_axes(self) -> bool:
        """Whether the marks are seen so far off square to the ruler that it is certainly tilted about two axes."""
        return self.least_deg > WORTH_SAYING_DEG

    @property
    def assumed_uncertainty(self) -> float:
        """Relative uncertainty that comes from tilts taken as possible; 0 where the picture alone tells the tilt."""
        return 0.0 if self.largest_deg is None else self.shortening


class ZoneSharpness(Struct, frozen=True):
    """Sharpness in one of nine zones of the frame: the width of the edges of the marks between 10 and 90 % of their height.

    Of an edge as the lens blurs it, whatever the width of the marks and of a pixel. Measured across the marks, that is, along
    the ruler. `edge_width_um` is the same on the subject.
    """

    edge_width_px: float
    edge_width_um: float
    edges: int


class EndShift(Struct, frozen=True):
    """Lateral colour at one end of the visible scale, along the ruler [px]; positive away from the middle of the picture."""

    place: Point
    red_minus_green_px: float
    blue_minus_green_px: float


class LateralColour(Struct, frozen=True):
    """How far red and blue are drawn from green at both ends of the scale, and how much larger [%] they are drawn."""

    ends: tuple[EndShift, EndShift]
    red_scale_percent: Measured
    blue_scale_percent: Measured


class PitchCheck(Struct, frozen=True):
    """Whether the longer marks fit the pitch that was asked.

    Parameters
    ----------
    longer_every : after how many marks a longer one comes, ascending, such as (5, 10); empty where all look alike
    fits : False where they speak against the pitch; None where they say nothing
    suggested_pitch_mm : the pitch of the finest marks that would fit, where another one does
    """

    longer_every: tuple[int, ...]
    fits: bool | None
    suggested_pitch_mm: float | None


class OtherLeg(Struct, frozen=True):
    """The leg of an L-shaped ruler at right angles to the one read: its scale there, as seen, direction and marks."""

    pixels_per_mm: Measured
    direction_deg: float
    marks_used: int


class RulerReading(Struct, frozen=True):
    """A sure reading of one ruler.

    Parameters
    ----------
    pixels_per_mm : scale in the middle of the picture, in the direction of the ruler, as seen (not corrected for tilt);
        its uncertainty holds the cosine of a tilt that is not known
    reading_uncertainty : relative, of the reading alone, without any tilt
    square_on_pixels_per_mm : the same freed of the tilt along the ruler, where that is known, with what it leaves uncertain
    mean_pixels_per_mm : over the marks that are seen, from the first to the last
    direction_deg : of the ruler, from the horizontal, anticlockwise as seen, over -90 to 90
    marks_used : how many marks were found
    pitch : whether the longer marks fit the pitch
    keystone_per_mm : relative change of scale per mm along the ruler, in the middle; positive towards `line[1]`
    tilt : of the ruler along itself
    distortion_percent : radial, where the visible scale ends (the end farther from the middle); barrel is negative
    sharpness : nine zones, row by row from the top left; None where a zone holds no marks
    lateral_colour : None for a grey picture
    fall_off_stops : how much darker the ground of the ruler is at the seen scale's farther end than in the middle; positive
        where it falls off; None where the ground does not tell
    dark_marks : dark on light
    marks : middles of the marks found, first to last
    line : ends of the line through them
    centre : middle of the picture
    other_leg : of an L-shaped ruler, the scale that lies across this one
    """

    pixels_per_mm: Measured
    reading_uncertainty: float
    square_on_pixels_per_mm: Measured | None
    mean_pixels_per_mm: Measured
    direction_deg: float
    marks_used: int
    pitch: PitchCheck
    keystone_per_mm: Measured
    tilt: Tilt
    distortion_percent: Measured
    sharpness: tuple[ZoneSharpness | None, ...]
    lateral_colour: LateralColour | None
    fall_off_stops: float | None
    dark_marks: bool
    marks: tuple[Point, ...]
    line: tuple[Point, Point]
    centre: Point
    other_leg: OtherLeg | None = None

    @property
    def tilt_deg(self) -> Measured | None:
        """The tilt, where it is known."""
        return self.tilt.measured
