"""A table of a set-up with lenses that are known only in part: every row for all lenses that they may be, in blocks."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, TypeAlias, cast

import numpy as np
from marshmallow import ValidationError
from msgspec import Struct

from closeup_service.advice import estimate_remarks
from closeup_service.advice.remark import Remark
from closeup_service.estimates.joint import FEW_DRAWS, Joint, draw_together
from closeup_service.estimates.known_lens import KnownLens
from closeup_service.estimates.lens_members import ESTIMABLE
from closeup_service.estimates.ranges import COVERAGE, SAME, Range
from closeup_service.language import tr
from closeup_service.operations.asking import effort
from closeup_service.operations.estimating import telling
from closeup_service.operations.estimating.figures import MOST_MISSING
from closeup_service.operations.estimating.places import FOCAL_LENGTH, Place, list_train, put
from closeup_service.operations.estimating.set_up import put_medians
from closeup_service.operations.set_up.depth_of_field.depth import UNDETERMINED, UNLIMITED
from closeup_service.operations.set_up.table.blocks import (
    BLOCK_ROWS,
    CONTRAST_BLOCK_ROWS,
    Block,
    block_of,
    expected_seconds,
)
from closeup_service.operations.set_up.table.columns import CONTRASTS, with_numpy_numbers
from closeup_service.operations.set_up.table.member_ranges import Estimated, estimate_rows
from closeup_service.operations.set_up.table.rows import (
    PROBLEM,
    WHOLE_NUMBERS,
    Cell,
    TableMembers,
    cells_of,
    plain_cells,
)
from closeup_service.optics.arithmetic import BoolArray, Real
from closeup_service.schemas.fields import declared_fields
from closeup_service.schemas.known_lens import ESTIMATE_UNKNOWN, KnownLensFields

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

    Document: TypeAlias = requests.FrameSetUp[Real]
    AnswerPlain: TypeAlias = Callable[[requests.TableRequest, Document, Sequence[BoolArray]], TableMembers]

MOST_ESTIMATED_ROWS = 1000
MOST_CONTRAST_ROWS, MOST_WHITE_ROWS = 100, 50
"""Each row is evaluated for some hundred lenses: so many rows in one table, by the contrast model, and that in white light."""

BASIS = (*ESTIMABLE, FOCAL_LENGTH, "register_mm", "rear_principal_plane_mm", *declared_fields(KnownLensFields))
"""Members of a lens on which its estimate is based."""


EXTENTS = {
    "depth_of_field.front_extent": "depth_of_field.front_depth_mm",
    "depth_of_field.rear_extent": "depth_of_field.rear_depth_mm",
}
"""Words for depths, which are as undetermined as those are."""


class Row(Struct, frozen=True):
    """Ranges of one row by name, and the names of those that are not told."""

    ranges: Mapping[str, Range]
    untold: Sequence[str]


def asks_estimates(document: Document) -> bool:
    """Whether lenses of a table without parts of a kit are to be estimated, and any lacks data."""
    return document.get(ESTIMATE_UNKNOWN) is True and any(True for _ in lacking_lenses(document))


def lacking_lenses(document: Document) -> Iterator[tuple[int, Mapping[str, object]]]:
    """Lenses of the train that lack data, with their places."""
    for index, element in enumerate(document["train"]):
        if element["element"] == "lens" and any(name not in element for name in ESTIMABLE):
            yield index, element


def answer_estimated(
    asked: requests.TableRequest, document: Document, beyond: Sequence[BoolArray], answer_plain: AnswerPlain
) -> TableMembers:
    """Evaluate every row of a table for all lenses that its own may be."""
    refuse_dear_or_varied(asked, document)
    known = cast("Document", {name: value for name, value in document.items() if name != ESTIMATE_UNKNOWN})
    dear = is_dear(document, asked["fields"])
    effort.expect(expected_seconds(known, FEW_DRAWS * len(next(iter(asked["columns"].values())))))
    places = list(list_train(cast("requests.FrameSetUp", known)))
    joint = draw_together([place.lens for place in places], FEW_DRAWS if dear else None)
    middle = put_medians(cast("requests.FrameSetUp", known), places, joint)
    central = answer_plain(asked, cast("Document", middle), beyond)
    whole = Block(with_numpy_numbers(known), beyond, central["rows"])
    names = tuple(dict.fromkeys((telling.MAGNIFICATION, *asked["fields"], *depths_behind(asked["fields"]))))
    blocks = (
        (part.rows, block_of(with_members(part, places, joint), names))
        for part in whole.parts(max(1, (CONTRAST_BLOCK_ROWS if dear else BLOCK_ROWS) // joint.size))
    )
    with np.errstate(all="ignore"):
        estimated = estimate_rows(blocks, names, joint.weights)
    return tell_table(asked, central, places, joint, estimated)


def depths_behind(names: Sequence[str]) -> list[str]:
    """Depths for which words are asked."""
    return [EXTENTS[name] for name in names if name in EXTENTS]


def refuse_dear_or_varied(asked: requests.TableRequest, document: Document) -> None:
    """Refuse more rows than are estimated at once, and columns on which the estimate itself would rest.

    Raises
    ------
    ValidationError
        Before anything is evaluated.
    """
    refuse_more_rows(asked["columns"], most_estimated_rows(document))
    text = tr(
        "The estimate of a lens is based on it, and is one for the whole table: ask for a table for each "
        "value, or give the data of the lens.",
    )
    faults = {pointer: [text] for pointer in varied_basis(document)}
    if faults:
        raise ValidationError({"columns": faults})


def most_estimated_rows(document: Document) -> int:
    """Rows that are estimated at once."""
    if document.get("depth_of_field_model") != "contrast":
        return MOST_ESTIMATED_ROWS
    return MOST_WHITE_ROWS if document.get("light") == "white" else MOST_CONTRAST_ROWS


def refuse_more_rows(columns: Mapping[str, object], most: int = MOST_ESTIMATED_ROWS) -> None:
    """Refuse more rows than are estimated at once."""
    rows = len(cast("Sequence[object]", next(iter(columns.values()))))
    if rows > most:
        text = tr(
            "With {estimate_unknown} a table takes at most {most} rows where a lens lacks data; these are {rows}.",
            estimate_unknown=ESTIMATE_UNKNOWN,
            most=most,
            rows=rows,
        )
        raise ValidationError({"columns": [text]})


def varied_basis(document: Document) -> Iterator[str]:
    """Pointers of columns on which the estimate of a lens is based."""
    for index, lens in lacking_lenses(document):
        yield from (f"/train/{index}/{name}" for name in BASIS if isinstance(lens.get(name), np.ndarray))
        states_register = "register_mm" in lens or "rear_principal_plane_mm" in lens or "lens_class" in lens
        if (
            not states_register
            and not lens.get("reversed")
            and isinstance(document["camera"]["register_mm"], np.ndarray)
        ):
            yield "/camera/register_mm"


def is_dear(document: Document, names: Sequence[str]) -> bool:
    """Whether every row costs contrast sums: fewer lenses are gone through then."""
    detail = "sensor_detail_lp_per_mm" in document or "subject_detail_lp_per_mm" in document
    return document.get("depth_of_field_model") == "contrast" or (detail and any(name in CONTRASTS for name in names))


def with_members(part: Block, places: Sequence[Place], joint: Joint) -> Block:
    """Rows of a block, each for every member in order."""
    filled = repeat_rows(part.document, joint.size)
    for place in places:
        data = {name: np.tile(column, part.rows) for name, column in place.data(joint).items()}
        filled = put(filled, place.path, {**place.lens_data, **data})
    document = with_numpy_numbers(cast("Document", filled))
    return Block(document, [np.repeat(rows, joint.size) for rows in part.beyond], part.rows * joint.size)


def repeat_rows(value: object, times: int) -> object:
    """Document with every row of its columns repeated so many times."""
    if isinstance(value, np.ndarray):
        return np.repeat(value, times)
    if isinstance(value, Mapping):
        return {name: repeat_rows(member, times) for name, member in value.items()}
    return [repeat_rows(item, times) for item in value] if isinstance(value, list) else value


def tell_table(
    asked: requests.TableRequest, central: TableMembers, places: Sequence[Place], joint: Joint, estimated: Estimated
) -> TableMembers:
    """Answer of the middle lenses with medians in place of its figures, their ranges, and what is worth knowing of them."""
    lenses = [place.lens for place in places]
    rows = rows_of(estimated, lenses)
    columns = {name: tuple(told_cells(name, central, estimated, rows)) for name in asked["fields"]}
    problem = [
        None if possible else code
        for code, possible in zip(central[PROBLEM], estimated.any_possible.tolist(), strict=True)
    ]
    assumed = {pointer: value for place in places for pointer, value in place.assumed.items()}
    told = {
        **central,
        "columns": columns,
        PROBLEM: tuple(problem),
        "coverage": COVERAGE,
        "measure_first": untold_in_some_row(asked["fields"], rows),
        "estimated": telling.tell_data(places, joint),
        "ranges": {name: found for name in asked["fields"] if (found := range_columns(name, rows)) is not None},
        "assumed": {**central["assumed"], **assumed},
        "remarks": [*notes_on(lenses, joint, asked["fields"], rows, estimated), *central["remarks"]],
    }
    return TableMembers(asked["columns"], cast("answers.TableAnswer", told))


def rows_of(estimated: Estimated, lenses: Sequence[KnownLens]) -> list[Row]:
    """Ranges of every row, and which figures are not told."""
    listed = zip(estimated.ranges, estimated.scattered, estimated.impossible_shares, strict=True)
    return [
        Row(ranges, [*telling.untold_figures(ranges, lenses, impossible=share > MOST_MISSING), *scattered])
        for ranges, scattered, share in listed
    ]


def told_cells(name: str, central: TableMembers, estimated: Estimated, rows: Sequence[Row]) -> Iterator[Cell]:
    """Cells of a result: its median, else what the middle lens has; of a row that this lens cannot have, a possible one."""
    of_middle = plain_cells(central["columns"][name])
    stand_in = plain_cells(cells_of(name, estimated.nearest[name], None))
    for place, row in enumerate(rows):
        if name in row.untold:
            yield None
        elif name in row.ranges:
            median = row.ranges[name].value
            yield round(median) if name in WHOLE_NUMBERS else median
        else:
            cell = (of_middle if central[PROBLEM][place] is None else stand_in)[place]
            yield UNDETERMINED if EXTENTS.get(name) in row.untold and cell != UNLIMITED else cell


def range_columns(name: str, rows: Sequence[Row]) -> answers.RangeColumns | None:
    """Both ends of a result's ranges, row by row; None where no row has one."""
    ends = [
        row.ranges[name].ends(whole=name in WHOLE_NUMBERS) if name in row.ranges and name not in row.untold else None
        for row in rows
    ]
    if not any(ends):
        return None
    return {
        "low": tuple(None if each is None else each["low"] for each in ends),
        "high": tuple(None if each is None else each["high"] for each in ends),
    }


def untold_in_some_row(names: Sequence[str], rows: Sequence[Row]) -> list[str]:
    """Names of results that some row does not tell."""
    return [name for name in names if any(name in row.untold for row in rows)]


def notes_on(
    lenses: Sequence[KnownLens], joint: Joint, names: Sequence[str], rows: Sequence[Row], estimated: Estimated
) -> list[Remark]:
    """What the estimates rest on, which figures are not told in how many rows, and which lenses cannot be used so."""
    untold = untold_in_some_row(names, rows)
    notes = telling.remarks_on(lenses, joint, untold)
    concerned = sum(any(name in row.untold for name in names) for row in rows)
    if concerned:
        notes.append(estimate_remarks.count_untold_rows(concerned, len(rows)))
    some = [share for share in estimated.impossible_shares if SAME < share <= MOST_MISSING]
    return [*notes, *([estimate_remarks.partial_refusal(max(some), "")] if some else [])]
