"""How a subject fills the frame, with the ranges of what depends on estimated lens data."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, TypedDict

from msgspec import Struct

if TYPE_CHECKING:
    from closeup_service.records import answers

    class Filled(TypedDict):
        """Members of the answer on how the frame is filled; None where the frame is not told."""

        filled_width_share: float | None
        filled_height_share: float | None
        filled_area_share: float | None
        overflows: bool | None


NEARLY = 1 + 1e-9
"""A subject may exceed the frame by rounding, as when the set-up is solved for it."""


class Size(Struct, frozen=True):
    """Width and height of the subject, or of the frame on it [mm]."""

    width: float
    height: float

    @classmethod
    def from_sides(cls, width: float | None, height: float | None) -> Size | None:
        """Size of which both measures are known."""
        return None if width is None or height is None else cls(width, height)

    def shares_of(self, frame: Size) -> tuple[float, float, float]:
        """Shares of the frame's width and height, and of its area at most all."""
        across, high = self.width / frame.width, self.height / frame.height
        return across, high, min(across, 1.0) * min(high, 1.0)

    def overfills(self, frame: Size) -> bool:
        """Whether it covers all of a frame, so that its share of the area is one."""
        return min(self.width / frame.width, self.height / frame.height) >= 1


def filling(subject: Size, frame: Size | None) -> Filled:
    """How the subject fills the frame."""
    if frame is None:
        return {"filled_width_share": None, "filled_height_share": None, "filled_area_share": None, "overflows": None}
    across, high, area = subject.shares_of(frame)
    return {
        "filled_width_share": across,
        "filled_height_share": high,
        "filled_area_share": area,
        "overflows": max(across, high) > NEARLY,
    }


def frame_ends(ranges: Mapping[str, answers.Range]) -> tuple[Size, Size] | None:
    """Least and greatest frame; None where it has no range."""
    width: answers.Range | None = ranges.get("subject_width_mm")
    height: answers.Range | None = ranges.get("subject_height_mm")
    if width is None or height is None:
        return None
    return Size(width["low"], height["low"]), Size(width["high"], height["high"])


def filled_ranges(subject: Size, ends: tuple[Size, Size] | None) -> dict[str, answers.Range]:
    """Ranges of the frame and of what the subject fills of it: a smaller frame is filled more."""
    if ends is None:
        return {}
    least, greatest = ends
    shares = zip(subject.shares_of(greatest), subject.shares_of(least), strict=True)
    width, height, area = (range_between(low, high) for low, high in shares)
    found = {
        "frame_width_mm": range_between(least.width, greatest.width),
        "frame_height_mm": range_between(least.height, greatest.height),
        "filled_width_share": width,
        "filled_height_share": height,
    }
    return found if subject.overfills(least) and subject.overfills(greatest) else {**found, "filled_area_share": area}


def range_between(low: float, high: float) -> answers.Range:
    """Range of these ends."""
    return {"low": low, "high": high}


def sharp_ranges(depth_mm: float | None, ranges: Mapping[str, answers.Range]) -> dict[str, answers.Range]:
    """Range of the share of the subject's depth that is sharp."""
    total: answers.Range | None = ranges.get("depth_of_field.total_mm")
    if total is None or not depth_mm:
        return {}
    return {"sharp_depth_share": range_between(total["low"] / depth_mm, total["high"] / depth_mm)}
