"""Remarks on the same picture on another sensor: what of it is not the same, and how far the crop-factor shortcuts are off."""

from math import isinf

from closeup_service.advice.figures import decimal, percent
from closeup_service.advice.remark import WORTH_SAYING, Remark, error_of, remark
from closeup_service.language import mark, tr
from closeup_service.optics.depth import Depth
from closeup_service.optics.equivalence import Size

ROUNDING = 1e-9
"""Pupils that stand so much alike see the subject alike."""


def frame_difference(size: Size, other: Size, framing_by: str) -> list[Remark]:
    """What the other frame shows more or less of the subject, both sizes being on the subject."""
    changes = [
        tr(
            "{there} mm of the subject's {side} instead of {here} mm ({change})",
            there=decimal(there),
            side=tr(side),
            here=decimal(here),
            change=change(here, there),
        )
        for side, here, there in zip((mark("width"), mark("height")), size, other, strict=True)
        if abs(there / here - 1) >= WORTH_SAYING
    ]
    if not changes:
        return []
    return [
        remark(
            "aspect-differs",
            tr(
                "The two frames differ in shape: framed by {framing_by}, the other one shows {changes}.",
                framing_by=tr(framing_by),
                changes=tr(" and ").join(changes),
            ),
        )
    ]


def change(here: float, there: float) -> str:
    """Share that the other frame adds, or cuts off."""
    share = there / here - 1
    return tr("{share:.0%} added", share=share) if share > 0 else tr("{share:.0%} cut off", share=-share)


def f_number_shortcut(shortcut: float, marked: float) -> list[Remark]:
    """The marked f-number times the crop factor, which holds for distant subjects only."""
    if abs(shortcut / marked - 1) < WORTH_SAYING:
        return []
    return [
        remark(
            "shortcut-crop-factor",
            tr(
                "The shortcut f-number x format ratio would set f/{shortcut} instead of f/{marked}: {off}. It holds "
                "for the effective f-number, and for the mark only of distant subjects.",
                shortcut=decimal(shortcut),
                marked=decimal(marked),
                off=error_of(shortcut, marked),
            ),
        )
    ]


def focal_length_shortcut(shortcut: float, focal_length: float) -> list[Remark]:
    """The focal length times the crop factor, which holds for distant subjects only."""
    if abs(shortcut / focal_length - 1) < WORTH_SAYING:
        return []
    return [
        remark(
            "shortcut-equivalent-focal-length",
            tr(
                "The shortcut focal length x format ratio would give {shortcut} mm for the same perspective: {off}. "
                "It holds for distant subjects.",
                shortcut=decimal(shortcut),
                off=error_of(shortcut, focal_length),
            ),
        )
    ]


def unknown_pupil() -> Remark:
    """Say that the division of the depth is left open."""
    return remark(
        "total-depth-alone",
        tr(
            "Only the depth in all is known to be the same, to first order: how it divides before and behind, "
            "and the perspective, follow from where the entrance pupils stand. Give focal_length_mm for that.",
        ),
    )


def perspective_difference(distance: float, other_distance: float, depth: Depth, other: Depth) -> list[Remark]:
    """Say what another distance of the entrance pupil changes, the depths being geometric."""
    if abs(other_distance / distance - 1) < ROUNDING:
        return []
    return [
        remark(
            "total-depth-alone",
            tr(
                "The entrance pupil stands {other_distance} mm from the subject instead of {distance} mm: the "
                "perspective differs, and only the depth in all is the same, to first order. {depth} "
                "same_perspective_focal_length_mm keeps both.",
                other_distance=decimal(other_distance),
                distance=decimal(distance),
                depth=describe_depths(depth, other),
            ),
        )
    ]


def describe_depths(depth: Depth, other: Depth) -> str:
    """Say how the geometric depths compare exactly."""
    if is_alike(depth.front, other.front) and is_alike(depth.rear, other.rear):
        return tr(
            "By the geometric model the depths before and behind change by less than {worth_saying:.0%} here.",
            worth_saying=WORTH_SAYING,
        )
    before = tr("{there} mm before instead of {here} mm", there=decimal(other.front), here=decimal(depth.front))
    behind = tr("{there} behind instead of {here}", there=extent(other.rear), here=extent(depth.rear))
    return tr(
        "By the geometric model it is {before}, and {behind}{off}.",
        before=before,
        behind=behind,
        off=total_error(depth, other),
    )


def is_alike(here: float, there: float) -> bool:
    """Whether two depths differ too little to say so."""
    return here == there or abs(there / here - 1) < WORTH_SAYING


def extent(depth: float) -> str:
    """Depth in words."""
    return tr("unlimited") if isinf(depth) else f"{decimal(depth)} mm"


def total_error(depth: Depth, other: Depth) -> str:
    """How far the total is off, where both are finite."""
    here, there = depth.total, other.total
    if isinf(here) or isinf(there):
        return ""
    share = abs(there / here - 1)
    return tr("; in all it differs by {share}%", share=percent(share))


def f_number_beyond_rings(f_number: float) -> Remark:
    """Say that no aperture ring has the f-number."""
    way = tr("a wider aperture") if f_number < 1 else tr("a smaller aperture")
    return remark(
        "beyond-every-ring",
        tr(
            "other_nominal_f_number is null: f/{f_number} is {way} than any ring has, so this depth cannot be "
            "had there.",
            f_number=decimal(f_number),
            way=way,
        ),
    )
