"""What is to be seen in a chart, in words: its title and its main finding."""

from collections.abc import Mapping, Sequence
from typing import Any

from closeup_service.advice.figures import decimal, ratio

Result = Mapping[str, Any]
Rows = Sequence[Mapping[str, Any]]

APERTURE_TITLE = "Contrast, depth and resolution against the marked aperture"
MAGNIFICATION_TITLE = "Magnification and working distance against the length"
STACK_TITLE = "Frames of the focus stack"
CALIBRATION_TITLE = "Magnifications read, and the lens fitted to them"

ROUNDING = 1e-9
"""So little off in magnification is none."""


def describe_apertures(result: Result, document: Result) -> str:
    """Which mark is best, and what stopping down gains and costs."""
    rows = result["rows"]
    return join_sentences(
        describe_best_mark(result, document),
        describe_change(rows, "total_mm", "The depth of field", "mm"),
        describe_change(rows, "subject_resolution_um", "The least distance resolved on the subject", "µm"),
        describe_left_out(rows, "marks"),
    )


def join_sentences(*said: str) -> str:
    """Those sentences that say something."""
    return " ".join(filter(None, said))


def describe_best_mark(result: Result, document: Result) -> str:
    """Sentence on the best mark."""
    mark, depth = result["best_nominal_f_number"], document.get("subject_depth_mm")
    if depth is None:
        return "Without the subject's depth no mark is the best."
    if mark is None:
        return "No mark is found to be the best for this depth."
    if result["best_by"] == "closed-form":
        return f"f/{mark:g} is the mark nearest to the best aperture for a depth of {decimal(depth)} mm, by the closed form."
    row = next(row for row in result["rows"] if row["nominal_f_number"] == mark)
    return (
        f"f/{mark:g} leaves the detail the most contrast at the ends of a depth of {decimal(depth)} mm: "
        f"{decimal(row['end_contrast'], 2)}, and {decimal(row['middle_contrast'], 2)} in focus."
    )


def describe_change(rows: Rows, name: str, what: str, unit: str) -> str:
    """Sentence on the first and the last value of a result, where it has any."""
    known = [f"{decimal(row[name])} {unit} at f/{row['nominal_f_number']:g}" for row in rows if row[name] is not None]
    if len(known) > 1:
        return f"{what} goes from {known[0]} to {known[-1]}."
    return f"{what} is {known[0]}." if known else ""


def describe_left_out(rows: Rows, what: str) -> str:
    """Sentence on the rows that cannot be."""
    missing = sum(row["problem"] is not None for row in rows)
    return f"{missing} of {len(rows)} {what} cannot be, and the curve has a gap there." if missing else ""


def describe_magnifications(result: Result) -> str:
    """From which magnification to which, and where life size lies."""
    rows = [row for row in result["rows"] if row["magnification"] is not None]
    if not rows:
        return "At none of these lengths can the set-up be focused."
    first, last = rows[0], rows[-1]
    start, end = (f"{ratio(row['magnification'])} at {decimal(row['length_mm'])} mm" for row in (first, last))
    return join_sentences(
        f"The magnification is {start}." if len(rows) == 1 else f"The magnification goes from {start} to {end}.",
        describe_distances(rows),
        describe_left_out(result["rows"], "lengths"),
    )


def describe_distances(rows: Rows) -> str:
    """Sentence on the working distance."""
    known = [row["working_distance_mm"] for row in rows if row["working_distance_mm"] is not None]
    if not known:
        return "The working distance is not determined."
    if len(known) == 1:
        return f"The working distance is {decimal(known[0])} mm."
    return f"The working distance goes from {decimal(known[0])} to {decimal(known[-1])} mm."


def describe_stack(result: Result) -> str:
    """How many frames cover how deep a subject, and what neighbours share."""
    rows, depth = result["rows"], decimal(result["subject_depth_mm"])
    if len(rows) == 1:
        return f"One frame covers the whole depth of {depth} mm."
    shared = min(row["overlap_with_next"] for row in rows[:-1])
    return (
        f"{len(rows)} frames cover a depth of {depth} mm without a gap; neighbours are sharp together over "
        f"{shared:.0%} of their depth or more."
    )


def describe_calibration(lenses: Sequence[Result]) -> str:
    """Which focal length fits, and how far the readings lie from it."""
    rows = [row for lens in lenses for row in lens["rows"]]
    farthest = max(abs(row["magnification_residual"]) for row in rows)
    outliers = sum(row["outlier"] for row in rows)
    said = f" Outliers: {outliers}." if outliers else ""
    off = "Every reading lies on it." if farthest < ROUNDING else f"The farthest reading is {decimal(farthest, 2)} off."
    return f"{' '.join(map(describe_lens, lenses))} {off}{said}"


def describe_lens(lens: Result) -> str:
    """Sentence on one lens."""
    frames, setting = len(lens["rows"]), lens["setting"]
    which = "The focal length" if setting is None else f"At the setting {setting:g} it"
    return f"{which} is {decimal(lens['focal_length_mm'], 4)} mm, from {frames} frame{'s' if frames > 1 else ''}."
