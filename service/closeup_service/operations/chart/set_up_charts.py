"""What the charts of a set-up share: one member varied through values, evaluated as a table is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Required, TypedDict, cast

import numpy as np

from closeup_service.gear.kit import Kit
from closeup_service.gear.kit_parts import expand, place_faults_as_sent, uses_kit
from closeup_service.operations.estimating.set_up import fill_with_medians
from closeup_service.operations.set_up.table import operation as table
from closeup_service.operations.set_up.table.rows import PROBLEM, plain_cells
from closeup_service.operations.set_up.table.schemas import with_member
from closeup_service.schemas.known_lens import ESTIMATE_UNKNOWN

if TYPE_CHECKING:
    from closeup_service.records import answers, requests


class Results(TypedDict, total=False):
    """What the charts of a set-up ask of one value: those that were asked for, and why it cannot be."""

    effective_f_number: float | None
    middle_contrast: float | None
    end_contrast: float | None
    ends_resolved: float | None
    total_mm: float | None
    subject_resolution_um: float | None
    optimum_f_number: float | None
    magnification: float | None
    working_distance_mm: float | None
    problem: Required[str | None]


class Notes(TypedDict, total=False):
    """What a table says beside its columns."""

    assumed: Required[Mapping[str, float | str]]
    remarks: Required[Sequence[answers.Remark]]
    cautions: Required[Sequence[answers.Caution]]
    kit_revision: str
    coverage: float
    estimated: Mapping[str, answers.EstimatedDatum]
    ranges: Mapping[str, answers.Range]
    measure_first: Sequence[str]


def varied(
    asked: requests.SetUpChartRequest, along: str, values: Sequence[float], names: Sequence[str]
) -> tuple[list[Results], Notes]:
    """Rows of results, one a value, under the last words of their names; and the notes of the table that they make."""
    column = np.array(values)
    document = with_member(asked["document"], along, column)
    request = {"document": document, "kit": asked.get("kit"), "columns": {along: column}, "fields": names}
    told = table.answer_whole(cast("requests.TableRequest", request))
    columns = {name.rpartition(".")[2]: plain_cells(told["columns"][name]) for name in names} | {PROBLEM: told[PROBLEM]}
    rows = [cast("Results", dict(zip(columns, cells, strict=True))) for cells in zip(*columns.values(), strict=True)]
    notes: Notes = {"assumed": told["assumed"], "remarks": told["remarks"], "cautions": told["cautions"]}
    if "kit_revision" in told:
        notes["kit_revision"] = told["kit_revision"]
    if "ranges" in told:
        notes["coverage"], notes["estimated"] = told["coverage"], told["estimated"]
        notes["measure_first"] = [name.rpartition(".")[2] for name in told["measure_first"]]
        notes["ranges"] = dict(ranges_by_row(told["ranges"]))
    return rows, notes


def ranges_by_row(ranges: Mapping[str, answers.RangeColumns]) -> Iterator[tuple[str, answers.Range]]:
    """Ranges of a table as those of a chart's rows, each by its dotted name."""
    for name, columns in ranges.items():
        for row, (low, high) in enumerate(zip(columns["low"], columns["high"], strict=True)):
            if low is not None and high is not None:
                yield f"rows.{row}.{name.rpartition('.')[2]}", {"low": low, "high": high}


def middle_of(document: requests.FrameSetUp) -> requests.FrameSetUp:
    """Document without parts of a kit with the medians of the lens data that are to be estimated."""
    return fill_with_medians(document) if document.get(ESTIMATE_UNKNOWN) is True else document


def plain(document: requests.FrameSetUp, kit: Kit) -> requests.FrameSetUp:
    """Document without parts of a kit."""
    if not uses_kit(document):
        return document
    with place_faults_as_sent(document):
        return expand(document, kit)
