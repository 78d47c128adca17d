"""What is to be seen in a chart, in words: its title and its main finding."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Literal

from closeup_service.advice.figures import decimal, ratio

if TYPE_CHECKING:
    from closeup_service.records import answers

APERTURE_TITLE = "Contrast, depth and resolution against the marked aperture"
MAGNIFICATION_TITLE = "Magnification and working distance against the length"
STACK_TITLE = "Frames of the focus stack"
CALIBRATION_TITLE = "Magnifications read, and the lens fitted to them"

ROUNDING = 1e-9
"""So little off in magnification is none."""


def describe_apertures(
    rows: Sequence[answers.ApertureChartRow], mark: float | None, best_by: str | None, depth: float | None
) -> str:
    """Which mark is best for a subject so deep [mm], and what stopping down gains and costs."""
    return join_sentences(
        describe_best_mark(rows, mark, best_by, depth),
        describe_change(rows, "total_mm", "The depth of field", "mm"),
        describe_change(rows, "subject_resolution_um", "The least distance resolved on the subject", "µm"),
        describe_left_out(rows, "marks"),
    )


def join_sentences(*said: str) -> str:
    """Those sentences that say something."""
    return " ".join(filter(None, said))


def describe_best_mark(
    rows: Sequence[answers.ApertureChartRow], mark: float | None, best_by: str | None, depth: float | None
) -> str:
    """Sentence on the best mark."""
    if depth is None:
        return "Without the subject's depth no mark is the best."
    if mark is None:
        return "No mark is found to be the best for this depth."
    if best_by == "closed-form":
        return f"f/{mark:g} is the mark nearest to the best aperture for a depth of {decimal(depth)} mm, by the closed form."
    row = next(row for row in rows if row["nominal_f_number"] == mark)
    in_focus, at_ends = row["middle_contrast"], row["end_contrast"]
    assert in_focus is not None
    assert at_ends is not None
    return (
        f"f/{mark:g} leaves the detail the most contrast at the ends of a depth of {decimal(depth)} mm: "
        f"{decimal(at_ends, 2)}, and {decimal(in_focus, 2)} in focus."
    )


def describe_change(
    rows: Sequence[answers.ApertureChartRow],
    name: Literal["total_mm", "subject_resolution_um"],
    what: str,
    unit: str,
) -> str:
    """Sentence on the first and the last value of a result, where it has any."""
    values = [(row[name], row["nominal_f_number"]) for row in rows]
    known = [f"{decimal(value)} {unit} at f/{mark:g}" for value, mark in values if value is not None]
    if len(known) > 1:
        return f"{what} goes from {known[0]} to {known[-1]}."
    return f"{what} is {known[0]}." if known else ""


def describe_left_out(rows: Sequence[answers.ApertureChartRow | answers.MagnificationChartRow], what: str) -> str:
    """Sentence on the rows that cannot be."""
    missing = sum(row["problem"] is not None for row in rows)
    return f"{missing} of {len(rows)} {what} cannot be, and the curve has a gap there." if missing else ""


def describe_magnifications(rows: Sequence[answers.MagnificationChartRow]) -> str:
    """From which magnification to which, and where life size lies."""
    possible = [row for row in rows if row["magnification"] is not None]
    known = [(row["magnification"], row["length_mm"]) for row in rows]
    said = [f"{ratio(m)} at {decimal(length)} mm" for m, length in known if m is not None]
    if not said:
        return "At none of these lengths can the set-up be focused."
    start, end = said[0], said[-1]
    return join_sentences(
        f"The magnification is {start}." if len(said) == 1 else f"The magnification goes from {start} to {end}.",
        describe_distances(possible),
        describe_left_out(rows, "lengths"),
    )


def describe_distances(rows: Sequence[answers.MagnificationChartRow]) -> str:
    """Sentence on the working distance."""
    known = [row["working_distance_mm"] for row in rows if row["working_distance_mm"] is not None]
    if not known:
        return "The working distance is not determined."
    if len(known) == 1:
        return f"The working distance is {decimal(known[0])} mm."
    return f"The working distance goes from {decimal(known[0])} to {decimal(known[-1])} mm."


def describe_stack(rows: Sequence[answers.StackChartRow], subject_depth: float) -> str:
    """How many frames cover how deep a subject, and what neighbours share."""
    depth = decimal(subject_depth)
    if len(rows) == 1:
        return f"One frame covers the whole depth of {depth} mm."
    shared = min(overlap for row in rows if (overlap := row["overlap_with_next"]) is not None)
    return (
        f"{len(rows)} frames cover a depth of {depth} mm without a gap; neighbours are sharp together over "
        f"{shared:.0%} of their depth or more."
    )


def describe_calibration(lenses: Sequence[answers.CalibrationChartLens]) -> str:
    """Which focal length fits, and how far the readings lie from it."""
    rows = [row for lens in lenses for row in lens["rows"]]
    farthest = max(abs(row["magnification_residual"]) for row in rows)
    outliers = sum(row["outlier"] for row in rows)
    said = f" Outliers: {outliers}." if outliers else ""
    off = "Every reading lies on it." if farthest < ROUNDING else f"The farthest reading is {decimal(farthest, 2)} off."
    return f"{' '.join(map(describe_lens, lenses))} {off}{said}"


def describe_lens(lens: answers.CalibrationChartLens) -> str:
    """Sentence on one lens."""
    frames, setting, focal_length = len(lens["rows"]), lens["setting"], lens["focal_length_mm"]
    assert focal_length is not None
    which = "The focal length" if setting is None else f"At the setting {setting:g} it"
    return f"{which} is {decimal(focal_length, 4)} mm, from {frames} frame{'s' if frames > 1 else ''}."
