"""`/v1/set-ups/table`."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, cast

import numpy as np

from closeup_service.advice import cautions
from closeup_service.advice.caution_texts import Caution
from closeup_service.advice.kit_remarks import demo_kit, parts_not_at_hand, rows_beyond_part
from closeup_service.advice.remark import Remark, undetermined_results
from closeup_service.gear.errors import KitRefuses
from closeup_service.gear.kit import Kit
from closeup_service.gear.kit_parts import expand, expand_rows, missing_parts, place_faults_as_sent, uses_kit
from closeup_service.operations.asking import effort
from closeup_service.operations.asking.limits import BYTES_PER_MIB
from closeup_service.operations.asking.media_types import CSV
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.set_up.evaluate.notes import open_members
from closeup_service.operations.set_up.evaluate.operation import CAMERA, REVERSED_35
from closeup_service.operations.set_up.table.blocks import (
    Block,
    block_of,
    blocks_of,
    expected_seconds,
    full_column,
    joined,
)
from closeup_service.operations.set_up.table.columns import Evaluated, with_numpy_numbers
from closeup_service.operations.set_up.table.csv_text import written
from closeup_service.operations.set_up.table.estimated import (
    MOST_CONTRAST_ROWS,
    MOST_ESTIMATED_ROWS,
    MOST_WHITE_ROWS,
    answer_estimated,
    asks_estimates,
    refuse_more_rows,
)
from closeup_service.operations.set_up.table.rows import (
    PROBLEM,
    Cell,
    Group,
    Refusal,
    TableMembers,
    assumed_by_row,
    cells_of,
    groups_of,
    or_none,
    plain_cells,
    put_together,
)
from closeup_service.operations.set_up.table.schemas import MOST_ROWS, WHITE_ROWS, AnyColumn, TableAnswer, TableRequest
from closeup_service.optics.arithmetic import BoolArray, Real
from closeup_service.optics.errors import OpticsError, Overflow
from closeup_service.schemas.known_lens import ESTIMATE_UNKNOWN
from closeup_service.set_ups.set_up import SetUp

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

MOST_CONTENT_BYTES = 16 * BYTES_PER_MIB


def answer(asked: requests.TableRequest) -> TableMembers:
    """Evaluate every row of the table at once, parts of the kit described first; a row beyond its part is refused alone."""
    document, kit = asked["document"], asked["kit"]
    if not uses_kit(document):
        return answer_plain(asked, document)
    groups = groups_of(document, asked["columns"])
    if not groups:
        return with_kit(answer_of_the_kit(asked), document, kit)
    if document.get(ESTIMATE_UNKNOWN) is True:
        refuse_more_rows(asked["columns"])
    found = [answer_or_refusal(asked, group) for group in groups]
    return with_kit(put_together(asked, groups, found), document, kit)


def answer_or_refusal(asked: requests.TableRequest, group: Group) -> TableMembers | Refusal:
    """Evaluate the rows of one setting of each lens, or say why they are refused."""
    try:
        return answer_of_the_kit({**asked, "document": group.document, "columns": group.columns})
    except (KitRefuses, OpticsError) as refusal:
        return refusal


def answer_of_the_kit(asked: requests.TableRequest) -> TableMembers:
    """Evaluate every row of a document with parts of the kit, each lens at one setting."""
    with place_faults_as_sent(asked["document"]):
        plain, beyond = expand_rows(asked["document"], asked["kit"])
        answered = answer_plain(asked, plain, [each.rows for each in beyond])
    answered["remarks"] += [rows_beyond_part(each.pointer, each.text) for each in beyond]
    return answered


def answer_whole(asked: requests.TableRequest) -> TableMembers:
    """Evaluate every row of a table of which a row beyond its part refuses the whole, as that of a chart does."""
    document, kit = asked["document"], asked["kit"]
    if not uses_kit(document):
        return answer_plain(asked, document)
    with place_faults_as_sent(document):
        answered = answer_plain(asked, expand(document, kit))
    return with_kit(answered, document, kit)


def with_kit(answered: TableMembers, document: requests.FrameSetUp[Real], kit: Kit) -> TableMembers:
    """Say which kit was used."""
    answered["remarks"] += [*demo_kit(kit.origin), *parts_not_at_hand(missing_parts(document, kit))]
    answered["kit_revision"] = kit.revision
    return answered


def answer_plain(
    asked: requests.TableRequest, document: requests.FrameSetUp[Real], beyond: Sequence[BoolArray] = ()
) -> TableMembers:
    """Evaluate every row of a document without parts of a kit; rows `beyond` their parts are refused already."""
    if ESTIMATE_UNKNOWN in document and asks_estimates(document):
        return answer_estimated(asked, document, beyond, answer_plain)
    given, names = asked["columns"], asked["fields"]
    rows = len(next(iter(given.values())))
    whole = Block(with_numpy_numbers(document), beyond, rows)
    effort.expect(expected_seconds(document, rows))
    with np.errstate(all="ignore"):
        blocks = [block_of(part, names) for part in blocks_of(whole)]
    columns = [joined(column) for column in zip(*(columns for _, columns in blocks), strict=True)]
    problem = problems_of([table for table, _ in blocks], columns)
    impossible = None if problem is None else problem != ""
    cells = {name: cells_of(name, column, impossible) for name, column in zip(names, columns, strict=True)}
    told = {
        "rows": rows,
        "columns": cells,
        "problem": (None,) * rows if problem is None else or_none(problem),
        **notes(document, names, blocks[0][0].set_up, clearances(blocks)),
    }
    return TableMembers(given, cast("answers.TableAnswer", told))


def problems_of(tables: Sequence[Evaluated], columns: Sequence[AnyColumn]) -> AnyColumn | None:
    """Code of what makes each row impossible, results too large for a number included; None where all are possible."""
    infinite = [column for column in columns if column.dtype.kind == "f" and has_infinite(column)]
    if not infinite and not any(table.impossible.any() for table in tables):
        return None
    problem = joined([table.problem for table in tables])
    for column in infinite:
        problem = np.where(np.isinf(column) & (problem == ""), Overflow.code, problem)
    return problem


def has_infinite(column: AnyColumn) -> bool:
    """Whether a column holds an infinite number; its sum is finite in the usual case, and quicker found."""
    return not np.isfinite(column.sum()) and bool(np.isinf(column).any())


def clearances(blocks: Sequence[tuple[Evaluated, list[AnyColumn]]]) -> AnyColumn:
    """Clearance of every possible row."""
    found = [full_column(table.set_up.clearance_mm, table.rows)[~table.impossible] for table, _ in blocks]
    return joined(found)


def notes(
    document: requests.FrameSetUp[Real], fields: Sequence[str], set_up: SetUp[Real], clearance: AnyColumn
) -> answers.Answer:
    """What was assumed, and what is worth knowing of the table as a whole."""
    alike = {pointer: value for pointer, value in set_up.assumed.items() if not isinstance(value, np.ndarray)}
    varying = [pointer for pointer in set_up.assumed if pointer not in alike]
    return {
        "assumed": alike,
        "remarks": remarks_on(document, fields, set_up, varying),
        "cautions": cautions.sort_cautions(
            nearest(document, clearance) + cautions.train_cautions(longest(document["train"]))
        ),
    }


def remarks_on(
    document: requests.FrameSetUp[Real], fields: Sequence[str], set_up: SetUp[Real], varying: Sequence[str]
) -> list[Remark]:
    """What the asked fields wait for, and what is assumed row by row."""
    needs = {**set_up.needs, **open_members(cast("requests.SetUpRequest", document), set_up)}
    asked_for = {name: members for name, members in needs.items() if is_asked(name, fields)}
    return undetermined_results(asked_for) + [assumed_by_row(pointer) for pointer in varying]


def is_asked(name: str, fields: Sequence[str]) -> bool:
    """Whether a result, or one within it, was asked for."""
    return any(field == name or field.startswith(f"{name}.") for field in fields)


def longest(train: Sequence[Mapping[str, object]]) -> Sequence[requests.Element]:
    """Train whose columns are replaced by their greatest value, at which it hangs most heavily."""
    greatest = [
        {name: float(value.max()) if isinstance(value, np.ndarray) else value for name, value in element.items()}
        for element in train
    ]
    return cast("Sequence[requests.Element]", greatest)


def nearest(document: requests.FrameSetUp[Real], clearance: AnyColumn) -> list[Caution]:
    """Caution of the row that comes nearest to the subject."""
    known = clearance[~np.isnan(clearance)]
    if not known.size:
        return []
    depth = document.get("subject_depth_mm")
    return cautions.near_glass_cautions(float(known.min()), None if depth is None else float(np.max(depth)))


def as_csv(asked_with: requests.TableRequest, members: Mapping[str, object]) -> bytes:
    """Table as CSV: the columns given, those asked for, and the problems."""
    del asked_with
    assert isinstance(members, TableMembers)
    given = {pointer: column.tolist() for pointer, column in members.given.items()}
    return written({**given, **dict(asked_columns(members)), PROBLEM: members[PROBLEM]})


def asked_columns(members: TableMembers) -> Iterable[tuple[str, Sequence[Cell]]]:
    """Columns asked for, each with the ends of its range behind it where it has one."""
    ranges: Mapping[str, answers.RangeColumns] = members.get("ranges", {})
    for name, column in members["columns"].items():
        yield name, plain_cells(column)
        if name in ranges:
            yield f"{name}.low", ranges[name]["low"]
            yield f"{name}.high", ranges[name]["high"]


OPERATION = Operation(
    operation_id="tabulateSetUp",
    path="/v1/set-ups/table",
    tag="set up",
    summary="One set-up for many values of its members at once",
    description=(
        "The set-up document of /v1/set-ups/evaluate, without solve; columns, by JSON pointer into it, hold the values that "
        f"vary, in place of any given there: all as long, at most {MOST_ROWS} rows; by the contrast model in white light at "
        f"most {WHITE_ROWS}, and by the contrast model half as many with optimum_f_number. A column of settings of a lens of "
        "the kit "
        "holds their ids. fields name what is asked of every row. "
        "A row that cannot be is null, and problem has the code with which /v1/set-ups/evaluate would refuse it, "
        "invalid-fields where a value lies beyond its part of the kit. The answer is JSON by columns, or CSV where the client "
        "prefers text/csv; the CSV repeats the columns given. Where lens data are estimated a table takes at most "
        f"{MOST_ESTIMATED_ROWS} rows, {MOST_CONTRAST_ROWS} by the contrast model and {MOST_WHITE_ROWS} by that in white light; "
        "cells are medians, ranges hold both ends row by row (in CSV the columns .low and .high), "
        "and what the estimate is based on cannot stand in a column."
    ),
    answer=answer,
    answer_type=TableAnswer,
    request_type=TableRequest,
    by_query="none",
    takes_kit=True,
    renderers={CSV: as_csv},
    most_content_bytes=MOST_CONTENT_BYTES,
    examples=(
        Example(
            "three-apertures-on-a-bellows",
            "A reversed 35 mm lens at three apertures and three lengths of the bellows (invented kit)",
            {
                "camera": CAMERA,
                "train": [REVERSED_35, {"element": "spacer"}],
                "columns": {"/train/0/f_number": [4, 5.6, 8], "/train/1/length_mm": [5, 31, 60]},
                "fields": ["magnification", "effective_f_number", "depth_of_field.total_mm"],
            },
        ),
    ),
)
