"""What the charts of a set-up share: one member varied through values, evaluated as a table is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Required, TypedDict, cast

import numpy as np

from closeup_service.gear.kit import Kit
from closeup_service.gear.kit_parts import expand, place_faults_as_sent, uses_kit
from closeup_service.operations.set_up.table import operation as table
from closeup_service.operations.set_up.table.rows import PROBLEM, plain_cells
from closeup_service.operations.set_up.table.schemas import with_member

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
    return rows, notes


def plain(document: requests.FrameSetUp, kit: Kit) -> requests.FrameSetUp:
    """Document without parts of a kit."""
    if not uses_kit(document):
        return document
    with place_faults_as_sent(document):
        return expand(document, kit)
