"""Rows of a table that belong together: those of one setting of each lens are a table of their own, and put together again."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import isnan
from typing import TYPE_CHECKING, Any, TypeAlias, TypedDict, cast

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from closeup_service.advice import cautions
from closeup_service.advice.kit_remarks import refused_rows
from closeup_service.advice.remark import Remark, remark
from closeup_service.gear.errors import KitRefuses
from closeup_service.gear.kit import Lens
from closeup_service.language import tr
from closeup_service.operations.set_up.table.columns import BEYOND_PART
from closeup_service.operations.set_up.table.schemas import AnyColumn
from closeup_service.optics.arithmetic import Real
from closeup_service.optics.errors import OpticsError

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

    class Estimates(TypedDict, total=False):
        """What a table tells of its estimates."""

        coverage: float
        measure_first: Sequence[str]
        estimated: Mapping[str, answers.EstimatedDatum]
        ranges: Mapping[str, answers.RangeColumns]


PROBLEM = "problem"
WHOLE_NUMBERS = ("aperture_stop", "stack_frames")
Refusal: TypeAlias = KitRefuses | OpticsError
Cell: TypeAlias = float | str | None


class TableMembers(dict[str, Any]):
    """Answer's members, with the columns that were given, which the CSV repeats and JSON does not."""

    def __init__(self, given: Mapping[str, AnyColumn], members: answers.TableAnswer) -> None:
        super().__init__(members)
        self.given = given


class Group(Struct, frozen=True):
    """Rows in which every lens has one setting: their places, the set-up with their columns, and those columns."""

    places: npt.NDArray[np.intp]
    document: requests.FrameSetUp[Real]
    columns: Mapping[str, AnyColumn]


def groups_of(document: requests.FrameSetUp[Real], columns: Mapping[str, AnyColumn]) -> list[Group]:
    """Groups of a table whose columns hold settings; none where no column does."""
    varied = [values.tolist() for values in columns.values() if holds_settings(values)]
    places: dict[tuple[str, ...], list[int]] = {}
    for row, settings in enumerate(zip(*varied, strict=True)):
        places.setdefault(settings, []).append(row)
    return [group_at(document, columns, np.array(rows)) for rows in places.values()]


def group_at(
    document: requests.FrameSetUp[Real], columns: Mapping[str, AnyColumn], places: npt.NDArray[np.intp]
) -> Group:
    """Group of the rows at these places."""
    return Group(
        places,
        cast("requests.FrameSetUp[Real]", at(document, places)),
        {pointer: values[places] for pointer, values in columns.items()},
    )


def settings_in(columns: Mapping[str, AnyColumn]) -> list[str]:
    """Pointers of the columns that hold ids of settings."""
    return [pointer for pointer, values in columns.items() if holds_settings(values)]


def holds_settings(values: AnyColumn) -> bool:
    """Whether a column holds ids of settings."""
    return values.dtype.kind == "U"


def at(value: object, places: npt.NDArray[np.intp]) -> object:
    """Document with its columns at some rows, of which each lens has one setting."""
    if isinstance(value, np.ndarray):
        return str(value[places[0]]) if holds_settings(value) else value[places]
    if isinstance(value, Mapping):
        return {name: at(member, places) for name, member in value.items()}
    return [at(item, places) for item in value] if isinstance(value, list) else value


def put_together(
    asked: requests.TableRequest, groups: Sequence[Group], found: Sequence[TableMembers | Refusal]
) -> TableMembers:
    """One answer of those of all groups; a group that was refused is null, with its code.

    Raises
    ------
    KitRefuses, OpticsError
        Where every group was refused, the first refusal that is not for a setting alone.
    """
    told = [answer for answer in found if isinstance(answer, TableMembers)]
    refusals = [answer for answer in found if not isinstance(answer, TableMembers)]
    for_the_whole = [refusal for refusal in refusals if not is_for_a_setting(refusal, asked)]
    if for_the_whole and not told:
        raise for_the_whole[0]
    rows = sum(len(group.places) for group in groups)
    columns: dict[str, list[Cell]] = {name: [None] * rows for name in asked["fields"]}
    problem: list[str | None] = [None] * rows
    for group, answer in zip(groups, found, strict=True):
        for number, place in enumerate(group.places.tolist()):
            problem[place] = answer[PROBLEM][number] if isinstance(answer, TableMembers) else code_of(answer)
        for name, cells in cells_by_name(answer):
            for place, cell in zip(group.places.tolist(), cells, strict=True):
                columns[name][place] = cell
    whole = {name: tuple(column) for name, column in columns.items()}
    together = {
        "rows": rows,
        "columns": whole,
        PROBLEM: tuple(problem),
        **estimates_of(groups, found, rows),
        **notes_of(told, refusals),
    }
    return TableMembers(asked["columns"], cast("answers.TableAnswer", together))


def estimates_of(groups: Sequence[Group], found: Sequence[TableMembers | Refusal], rows: int) -> Estimates:
    """Ranges of all groups row by row, and the data that are estimated alike in all; nothing where none are estimated."""
    answered = [
        (group.places.tolist(), cast("answers.TableAnswer", answer))
        for group, answer in zip(groups, found, strict=True)
        if isinstance(answer, TableMembers) and "ranges" in answer
    ]
    if not answered:
        return {}
    first: answers.TableAnswer = answered[0][1]
    names = dict.fromkeys(name for _, answer in answered for name in answer["ranges"])
    others = [answer["estimated"] for _, answer in answered]
    return {
        "coverage": first["coverage"],
        "measure_first": list(dict.fromkeys(name for _, answer in answered for name in answer["measure_first"])),
        "estimated": {
            pointer: datum
            for pointer, datum in first["estimated"].items()
            if all(each.get(pointer) == datum for each in others)
        },
        "ranges": {name: ranges_together(name, answered, rows) for name in names},
    }


def ranges_together(
    name: str, answered: Sequence[tuple[Sequence[int], answers.TableAnswer]], rows: int
) -> answers.RangeColumns:
    """Both ends of a result's ranges in all rows, from those of the groups at their places."""
    low: list[float | None] = [None] * rows
    high: list[float | None] = [None] * rows
    for places, answer in answered:
        ends: answers.RangeColumns | None = answer["ranges"].get(name)
        if ends is None:
            continue
        for place, lower, upper in zip(places, ends["low"], ends["high"], strict=True):
            low[place], high[place] = lower, upper
    return {"low": tuple(low), "high": tuple(high)}


def is_for_a_setting(refusal: Refusal, asked: requests.TableRequest) -> bool:
    """Whether a lens has not the setting that a row names, and nothing else is wrong."""
    kit = asked["kit"]
    train = cast("Sequence[requests.KitPart]", asked["document"]["train"])
    varied = [(pointer, train[int(pointer.split("/")[2])]) for pointer in settings_in(asked["columns"])]
    of_lenses = [pointer for pointer, part in varied if isinstance(kit.by_id.get(part["use"]), Lens)]
    return isinstance(refusal, KitRefuses) and all(pointer in of_lenses for pointer, _ in refusal.faults)


def cells_by_name(answer: TableMembers | Refusal) -> Iterator[tuple[str, Sequence[Cell]]]:
    """Cells of every result that an answer tells."""
    if isinstance(answer, TableMembers):
        yield from ((name, plain_cells(column)) for name, column in answer["columns"].items())


def code_of(refusal: Refusal) -> str:
    """Code of a refusal, as a row tells it."""
    return refusal.code if isinstance(refusal, OpticsError) else BEYOND_PART


def notes_of(told: Sequence[TableMembers], refusals: Sequence[Refusal]) -> answers.Answer:
    """What the groups assumed alike, and what is worth knowing of any."""
    pointers = dict.fromkeys(pointer for answer in told for pointer in answer["assumed"])
    alike = {
        pointer: told[0]["assumed"][pointer]
        for pointer in pointers
        if all(answer["assumed"].get(pointer) == told[0]["assumed"].get(pointer) for answer in told)
    }
    remarks = [note for answer in told for note in answer["remarks"]]
    remarks += [assumed_by_row(pointer) for pointer in pointers if pointer not in alike]
    remarks += [refused_rows(code_of(refusal), str(refusal)) for refusal in refusals]
    return {
        "assumed": alike,
        "remarks": list({note["text"]: note for note in remarks}.values()),
        "cautions": cautions.sort_cautions(caution for answer in told for caution in answer["cautions"]),
    }


def assumed_by_row(pointer: str) -> Remark:
    """Say that an assumption follows from the columns."""
    return remark(
        "assumed-by-row",
        tr("{pointer} is not given: what is assumed follows from the columns, row by row.", pointer=pointer),
    )


def plain_cells(column: AnyColumn | Sequence[Cell]) -> Sequence[Cell]:
    """Cells of a column, None where they are empty."""
    if not isinstance(column, np.ndarray):
        return column
    cells: list[float] = column.tolist()
    return [None if isnan(cell) else cell for cell in cells] if np.isnan(column).any() else cells


def cells_of(name: str, column: AnyColumn, impossible: AnyColumn | None) -> AnyColumn | Sequence[Cell]:
    """Column as it is written: null where its row is impossible or it is not determined."""
    if column.dtype.kind == "U":
        return or_none(column if impossible is None else np.where(impossible, "", column))
    if impossible is not None:
        column = np.where(impossible, np.nan, column)
    if name in WHOLE_NUMBERS:
        return tuple(None if isnan(number) else int(number) for number in column.tolist())
    return np.ascontiguousarray(column, dtype=np.float64)


def or_none(words: AnyColumn) -> tuple[str | None, ...]:
    """Words of a column, None for empty ones."""
    return tuple(word or None for word in words.tolist())
