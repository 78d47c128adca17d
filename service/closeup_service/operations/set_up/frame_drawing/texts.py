"""What the drawing of a frame says in words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from closeup_service.advice.figures import decimal, percent, with_ends, with_range
from closeup_service.language import mark, tr
from closeup_service.operations.set_up.frame_drawing.filling import NEARLY

if TYPE_CHECKING:
    from closeup_service.records import answers


def frame_texts(told: answers.FrameDrawingAnswer) -> tuple[str, ...]:
    """How the subject fills the frame, in words."""
    subject = tr(
        "Subject: {width} x {height} mm.",
        width=decimal(told["subject_width_mm"]),
        height=decimal(told["subject_height_mm"]),
    )
    across, high = told["filled_width_share"], told["filled_height_share"]
    if across is None or high is None:
        return (tr("Frame: not told."), subject)
    ranges: Mapping[str, answers.Range] = told.get("ranges", {})
    width = with_range(across, ranges.get("filled_width_share"), percent)
    height = with_range(high, ranges.get("filled_height_share"), percent)
    if "filled_width_share" in ranges:
        filled = tr("Of the frame's width it takes {width} %, of its height {height} %.", width=width, height=height)
    else:
        filled = tr("It takes {width} % of the frame's width and {height} % of its height.", width=width, height=height)
    return (frame_text(told), subject, filled, *overflow_texts(told))


def frame_text(told: answers.FrameDrawingAnswer) -> str:
    """Measures of the frame, with those of the least and the greatest where it is estimated."""
    width, height = told["frame_width_mm"], told["frame_height_mm"]
    assert width is not None
    assert height is not None
    ranges: Mapping[str, answers.Range] = told.get("ranges", {})
    across = with_ends(width, ranges.get("frame_width_mm"), decimal)
    high = with_ends(height, ranges.get("frame_height_mm"), decimal)
    text = (
        mark("Frame: {width} x {height} mm; dashed: the least and the greatest of 95 of 100 such lenses.")
        if "frame_width_mm" in ranges
        else mark("Frame: {width} x {height} mm.")
    )
    return tr(text, width=across, height=high)


def overflow_texts(told: answers.FrameDrawingAnswer) -> tuple[str, ...]:
    """By how much the subject is too large for the frame, in words; where the frame is estimated, whether it may be."""
    ranges: Mapping[str, answers.Range] = told.get("ranges", {})
    if "filled_width_share" in ranges:
        most = max(ranges["filled_width_share"]["high"], ranges["filled_height_share"]["high"])
        if told["overflows"]:
            return (tr("It overflows the frame with most such lenses."),)
        return (tr("It overflows the frame with some such lenses."),) if most > NEARLY else ()
    if not told["overflows"]:
        return ()
    sides = (
        (told["subject_width_mm"], told["frame_width_mm"], told["filled_width_share"], tr("wide")),
        (told["subject_height_mm"], told["frame_height_mm"], told["filled_height_share"], tr("high")),
    )
    over = [
        tr("{size} mm too {word}", size=decimal(size - frame), word=word)
        for size, frame, share, word in sides
        if frame is not None and share is not None and share > NEARLY
    ]
    return (tr("It overflows the frame: {over}.", over=tr(" and ").join(over)),)


def depth_texts(whole: float | None, told: answers.FrameDrawingAnswer) -> tuple[str, ...]:
    """What is sharp of the subject's depth [mm], in words."""
    depth: answers.Depth = told["depth_of_field"]
    ranges: Mapping[str, answers.Range] = told.get("ranges", {})
    front, rear, total = depth["front_depth_mm"], depth["rear_depth_mm"], depth["total_mm"]
    subject = () if whole is None else (tr("The subject is {whole} mm deep.", whole=decimal(whole)),)
    if depth["rear_extent"] == "unlimited" and front is not None:
        return (tr("Sharp: from {front} mm before the focus, without end behind it.", front=decimal(front)), *subject)
    if total is None or front is None or rear is None:
        return (tr("What is sharp is not determined."), *subject)
    before, behind, in_all = (
        with_ends(value, ranges.get(f"depth_of_field.{name}"), decimal, "mm")
        for name, value in (("front_depth_mm", front), ("rear_depth_mm", rear), ("total_mm", total))
    )
    sharp = tr(
        "Sharp: {in_all} in all, {before} before the focus and {behind} behind it.",
        in_all=in_all,
        before=before,
        behind=behind,
    )
    return (sharp, *subject, tr("The depth is drawn at a scale of its own."))
