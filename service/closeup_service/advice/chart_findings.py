"""What is to be seen in a chart, in words: its title and its main finding."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Literal

from closeup_service.advice.figures import decimal, ratio, with_ends
from closeup_service.language import mark, tr, tr_each

if TYPE_CHECKING:
    from closeup_service.records import answers

    Ranges = Mapping[str, answers.Range]

APERTURE_TITLE = mark("Contrast, depth and resolution against the marked aperture")
MAGNIFICATION_TITLE = mark("Magnification and working distance against the length")
STACK_TITLE = mark("Frames of the focus stack")
CALIBRATION_TITLE = mark("Magnifications read, and the lens fitted to them")

ROUNDING = 1e-9
"""So little off in magnification is none."""


def describe_apertures(
    rows: Sequence[answers.ApertureChartRow],
    mark: float | None,
    best_by: str | None,
    depth: float | None,
    ranges: Ranges,
) -> str:
    """Which mark is best for a subject so deep [mm], and what stopping down gains and costs."""
    return join_sentences(
        describe_best_mark(rows, mark, best_by, depth),
        describe_change(rows, "total_mm", tr("The depth of field"), "mm", ranges),
        describe_change(rows, "subject_resolution_um", tr("The least distance resolved on the subject"), "µm", ranges),
        describe_left_out(rows, tr("marks")),
        describe_bands(ranges),
    )


def ends_by_row(ranges: Ranges, name: str, rows: int) -> list[answers.Range | None]:
    """Range of one result in every row."""
    return [ranges.get(f"rows.{row}.{name}") for row in range(rows)]


def describe_bands(ranges: Ranges) -> str:
    """Sentence on the bands of estimated lens data."""
    return tr("Lens data are estimated: the bands hold 95 of 100 such lenses, the lines are medians.") if ranges else ""


def join_sentences(*said: str) -> str:
    """Those sentences that say something."""
    return " ".join(filter(None, said))


def describe_best_mark(
    rows: Sequence[answers.ApertureChartRow], mark: float | None, best_by: str | None, depth: float | None
) -> str:
    """Sentence on the best mark."""
    if depth is None:
        return tr("Without the subject's depth no mark is the best.")
    if mark is None:
        return tr("No mark is found to be the best for this depth.")
    if best_by == "closed-form":
        return tr(
            "f/{mark:g} is the mark nearest to the best aperture for a depth of {depth} mm, by the closed form.",
            mark=mark,
            depth=decimal(depth),
        )
    row = next(row for row in rows if row["nominal_f_number"] == mark)
    in_focus, at_ends = row["middle_contrast"], row["end_contrast"]
    assert in_focus is not None
    assert at_ends is not None
    return tr(
        "f/{mark:g} leaves the detail the most contrast at the ends of a depth of {depth} mm: {at_ends}, and {in_focus} in "
        "focus.",
        mark=mark,
        depth=decimal(depth),
        at_ends=decimal(at_ends, 2),
        in_focus=decimal(in_focus, 2),
    )


def describe_change(
    rows: Sequence[answers.ApertureChartRow],
    name: Literal["total_mm", "subject_resolution_um"],
    what: str,
    unit: str,
    ranges: Ranges,
) -> str:
    """Sentence on the first and the last value of a result, where it has any."""
    values, marks = [row[name] for row in rows], [row["nominal_f_number"] for row in rows]
    known = [
        tr("{value} at f/{mark:g}", value=with_ends(value, ends, decimal, unit), mark=mark)
        for value, ends, mark in zip(values, ends_by_row(ranges, name, len(rows)), marks, strict=True)
        if value is not None
    ]
    if len(known) > 1:
        return tr("{what} goes from {first} to {last}.", what=what, first=known[0], last=known[-1])
    return tr("{what} is {value}.", what=what, value=known[0]) if known else ""


def describe_left_out(rows: Sequence[answers.ApertureChartRow | answers.MagnificationChartRow], what: str) -> str:
    """Sentence on the rows that cannot be."""
    missing = sum(row["problem"] is not None for row in rows)
    return (
        tr(
            "{missing} of {rows} {what} cannot be, and the curve has a gap there.",
            missing=missing,
            rows=len(rows),
            what=what,
        )
        if missing
        else ""
    )


def describe_magnifications(rows: Sequence[answers.MagnificationChartRow], ranges: Ranges) -> str:
    """From which magnification to which, and where life size lies."""
    known = [(row["magnification"], row["length_mm"]) for row in rows]
    said = [
        tr("{value} at {length} mm", value=with_ends(m, ends, ratio), length=decimal(length))
        for (m, length), ends in zip(known, ends_by_row(ranges, "magnification", len(rows)), strict=True)
        if m is not None
    ]
    untold = sum(row["magnification"] is None and row["problem"] is None for row in rows)
    if not said and not untold:
        return tr("At none of these lengths can the set-up be focused.")
    return join_sentences(
        describe_ends(said, tr("The magnification")),
        describe_distances(rows, ranges) if said else "",
        describe_left_out(rows, tr("lengths")),
        tr(
            "At {untold} of {rows} lengths measure first: such lenses differ too much there.",
            untold=untold,
            rows=len(rows),
        )
        if untold
        else "",
        describe_bands(ranges),
    )


def describe_ends(said: Sequence[str], what: str) -> str:
    """Sentence on the first and the last value of a curve; none where it has none."""
    if len(said) > 1:
        return tr("{what} goes from {first} to {last}.", what=what, first=said[0], last=said[-1])
    return tr("{what} is {value}.", what=what, value=said[0]) if said else ""


def describe_distances(rows: Sequence[answers.MagnificationChartRow], ranges: Ranges) -> str:
    """Sentence on the working distance."""
    values = [None if row["magnification"] is None else row["working_distance_mm"] for row in rows]
    reach = ends_by_row(ranges, "working_distance_mm", len(rows))
    known = [(value, ends) for value, ends in zip(values, reach, strict=True) if value is not None]
    if not known:
        return tr("The working distance is not determined.")
    first, last = with_ends(*known[0], decimal), with_ends(*known[-1], decimal, "mm")
    return describe_ends([first, last][-len(known) :], tr("The working distance"))


def describe_stack(rows: Sequence[answers.StackChartRow], subject_depth: float, ranges: Ranges) -> str:
    """How many frames cover how deep a subject, and what neighbours share."""
    depth, estimated = decimal(subject_depth), describe_faint_bars(ranges)
    if len(rows) == 1:
        return join_sentences(tr("One frame covers the whole depth of {depth} mm.", depth=depth), estimated)
    shared = min(overlap for row in rows if (overlap := row["overlap_with_next"]) is not None)
    return join_sentences(
        tr(
            "{rows} frames cover a depth of {depth} mm without a gap; neighbours are sharp together over "
            "{shared:.0%} of their depth or more.",
            rows=len(rows),
            depth=depth,
            shared=shared,
        ),
        estimated,
    )


def describe_faint_bars(ranges: Mapping[str, answers.Range]) -> str:
    """Sentence on what is estimated of a stack."""
    if not ranges:
        return ""
    frames: answers.Range | None = ranges.get("frames")
    if frames is None:
        return tr(
            "Lens data are estimated: the faint bars show where each frame may be sharp with 95 of 100 such lenses."
        )
    return tr(
        "Lens data are estimated: the faint bars show where each frame may be sharp with 95 of 100 such lenses, which "
        "need {low:.0f} to {high:.0f} frames.",
        low=frames["low"],
        high=frames["high"],
    )


def describe_calibration(lenses: Sequence[answers.CalibrationChartLens]) -> str:
    """Which focal length fits, and how far the readings lie from it."""
    rows = [row for lens in lenses for row in lens["rows"]]
    farthest = max(abs(row["magnification_residual"]) for row in rows)
    outliers = sum(row["outlier"] for row in rows)
    said = tr(" Outliers: {outliers}.", outliers=outliers) if outliers else ""
    off = (
        tr("Every reading lies on it.")
        if farthest < ROUNDING
        else tr("The farthest reading is {farthest} off.", farthest=decimal(farthest, 2))
    )
    return f"{' '.join(map(describe_lens, lenses))} {off}{said}"


def describe_lens(lens: answers.CalibrationChartLens) -> str:
    """Sentence on one lens."""
    frames, setting, focal_length = len(lens["rows"]), lens["setting"], lens["focal_length_mm"]
    assert focal_length is not None
    counted = tr_each("{frames} frame", "{frames} frames", frames, frames=frames)
    length = decimal(focal_length, 4)
    if setting is None:
        return tr("The focal length is {length} mm, from {frames}.", length=length, frames=counted)
    return tr(
        "At the setting {setting:g} it is {length} mm, from {frames}.", setting=setting, length=length, frames=counted
    )
