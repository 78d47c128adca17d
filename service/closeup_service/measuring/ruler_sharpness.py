"""Sharpness over the frame, from the flanks of the marks."""

import numpy as np

from closeup_service.measuring.ruler_marks import Marks, Scale
from closeup_service.measuring.ruler_picture import Floats, Pyramid
from closeup_service.measuring.ruler_profiles import mean_profile, points_of, window_of
from closeup_service.measuring.ruler_records import ZoneSharpness

ZONES = 3
FEWEST_POINTS = 6
UM_PER_MM = 1000.0


def nine_zones(picture: Pyramid, scale: Scale, marks: Marks, pitch_mm: float) -> tuple[ZoneSharpness | None, ...]:
    """Edge widths in three by three zones of the frame, row by row; None where too few marks are seen."""
    x, y, _, period = points_of(scale, marks)
    width, height = picture.size
    column = np.clip((x * ZONES / width).astype(int), 0, ZONES - 1)
    row = np.clip((y * ZONES / height).astype(int), 0, ZONES - 1)
    zones: list[ZoneSharpness | None] = []
    for zone in range(ZONES * ZONES):
        here = np.nonzero(row * ZONES + column == zone)[0]
        zones.append(
            sharpness(picture, scale, x[here], y[here], period[here], pitch_mm) if len(here) >= FEWEST_POINTS else None
        )
    return tuple(zones)


def sharpness(
    picture: Pyramid, scale: Scale, x: Floats, y: Floats, period: Floats, pitch_mm: float
) -> ZoneSharpness | None:
    """Edge width of the mean mark of some points."""
    local = float(np.median(period))
    window = window_of(local)
    profile = mean_profile(picture.levels[0].plane, scale, x, y, window)
    width = edge_width(profile, window)
    return None if width is None else ZoneSharpness(width, width * UM_PER_MM * pitch_mm / local, 2 * len(x))


def edge_width(profile: Floats, window: Floats) -> float | None:
    """Distance in which the flanks of a mark rise from 10 to 90 % of its height, the mean of both [px].

    A mark narrower than the blur does not reach its full height: its flanks are then those of the blurred line.
    """
    middle = len(profile) // 2
    reach = max(len(profile) // 4, 1)
    top = middle - reach + int(np.argmax(profile[middle - reach : middle + reach + 1]))
    height = profile[top]
    if height <= 0:
        return None
    widths = [flank(profile[top:], height), flank(profile[top::-1], height)]
    known = [width for width in widths if width is not None]
    return float(np.mean(known) * (window[1] - window[0])) if known else None


def flank(falling: Floats, height: float) -> float | None:
    """Samples between the last point above 90 % and the first below 10 % of a height, between samples by straight lines."""
    low = np.nonzero(falling < 0.1 * height)[0]
    if not len(low) or low[0] == 0:
        return None
    end = int(low[0])
    high = int(np.nonzero(falling[:end] > 0.9 * height)[0][-1])
    upper = high + (falling[high] - 0.9 * height) / max(falling[high] - falling[high + 1], 1e-12)
    lower = end - 1 + (falling[end - 1] - 0.1 * height) / max(falling[end - 1] - falling[end], 1e-12)
    return float(max(lower - upper, 0.0))
