"""What the charts of a set-up share: one member varied through values, evaluated as a table is."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from closeup_service.gear.kit import Kit
from closeup_service.gear.kit_parts import expand, place_faults_as_sent, uses_kit
from closeup_service.operations.set_up.table import operation as table
from closeup_service.operations.set_up.table.rows import PROBLEM, plain_cells
from closeup_service.operations.set_up.table.schemas import with_member

Document = Mapping[str, Any]
Rows = list[dict[str, Any]]


def varied(asked: Document, along: str, values: Sequence[float], names: Sequence[str]) -> tuple[Rows, dict[str, Any]]:
    """Rows of results, one a value, under the last words of their names; and the notes of the table that they make."""
    column = np.array(values)
    document = with_member(asked["document"], along, column)
    told = table.answer_whole(
        {"document": document, "kit": asked.get("kit"), "columns": {along: column}, "fields": names}
    )
    columns = {name.rpartition(".")[2]: plain_cells(told["columns"][name]) for name in names} | {PROBLEM: told[PROBLEM]}
    rows = [dict(zip(columns, cells, strict=True)) for cells in zip(*columns.values(), strict=True)]
    notes = ("assumed", "remarks", "cautions", "kit_revision")
    return rows, {name: told[name] for name in notes if name in told}


def plain(document: Document, kit: Kit) -> Document:
    """Document without parts of a kit."""
    if not uses_kit(document):
        return document
    with place_faults_as_sent(document):
        return expand(document, kit)
