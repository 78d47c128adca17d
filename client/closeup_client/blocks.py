"""Tables longer than the service takes at once: cut into blocks, and their answers joined."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, Protocol, runtime_checkable

BLOCK_ROWS = 10_000
WHITE_BLOCK_ROWS = 2000
"""Rows at once by the contrast model in white light; by that model half as many where the optimum is asked too."""
ESTIMATED_BLOCK_ROWS, CONTRAST_BLOCK_ROWS, ESTIMATED_WHITE_BLOCK_ROWS = 1000, 100, 50
"""Rows at once where lens data are estimated, where that is done by the contrast model, and that in white light."""
OPTIMUM = "optimum_f_number"

Members = Mapping[str, Any]


@runtime_checkable
class DataFrame(Protocol):
    """Columns by their names, as a table of pandas or of another library has them."""

    def items(self) -> Iterable[tuple[str, Any]]:
        """Names and values."""


def blocks_of(members: Members) -> list[dict[str, Any]]:
    """Requests of at most so many rows as the service takes at once that make up this one.

    Raises
    ------
    ValueError
        Where the columns are not all as long as each other.
    """
    given = members.get("columns")
    if not isinstance(given, Mapping | DataFrame):
        return [dict(members)]
    columns = {name: plain_list(values) for name, values in given.items()}
    lengths = {len(values) for values in columns.values()}
    if len(lengths) > 1:
        told = ", ".join(f"{name} {len(values)}" for name, values in columns.items())
        raise ValueError(f"Every column takes as many values; these have: {told}.")
    most = rows_at_once(members)
    starts = range(0, max(lengths, default=0), most) or range(1)
    return [{**members, "columns": dict(cut(columns, start, most))} for start in starts]


def plain_list(values: Iterable[Any]) -> list[Any]:
    """Values of a column; those of an array or a series as plain numbers."""
    listed: list[Any] = values.tolist() if hasattr(values, "tolist") else list(values)
    return listed


def rows_at_once(members: Members) -> int:
    """Rows that the service takes at once of such a table."""
    contrast, white = members.get("depth_of_field_model") == "contrast", members.get("light") == "white"
    if members.get("estimate_unknown") is True:
        by_contrast = ESTIMATED_WHITE_BLOCK_ROWS if white else CONTRAST_BLOCK_ROWS
        return by_contrast if contrast else ESTIMATED_BLOCK_ROWS
    if not contrast:
        return BLOCK_ROWS
    most = WHITE_BLOCK_ROWS if white else BLOCK_ROWS
    return most // 2 if OPTIMUM in members.get("fields", ()) else most


def cut(columns: Mapping[str, Sequence[Any]], start: int, rows: int) -> Iterator[tuple[str, Sequence[Any]]]:
    """Yield the rows of one block of every column."""
    return ((name, values[start : start + rows]) for name, values in columns.items())


def joined(answers: Sequence[Members]) -> Members:
    """One answer of those of all blocks; of each caution the first, since its figures may differ from block to block."""
    if len(answers) == 1:
        return answers[0]
    return {
        **answers[0],
        "rows": sum(answer["rows"] for answer in answers),
        "columns": {name: in_a_row(answer["columns"][name] for answer in answers) for name in answers[0]["columns"]},
        "problem": in_a_row(answer["problem"] for answer in answers),
        **joined_ranges(answers),
        "remarks": once(in_a_row(answer["remarks"] for answer in answers), "text"),
        "cautions": once(in_a_row(answer["cautions"] for answer in answers), "code"),
    }


def joined_ranges(answers: Sequence[Members]) -> Members:
    """Ranges of all blocks, row by row; nothing where none has any. A block without a range has none in its rows."""
    names = dict.fromkeys(name for answer in answers for name in answer.get("ranges", ()))
    if not names:
        return {}
    return {
        "ranges": {
            name: {end: in_a_row(ends_of(answer, name, end) for answer in answers) for end in ("low", "high")}
            for name in names
        }
    }


def ends_of(answer: Members, name: str, end: str) -> Sequence[Any]:
    """One end of a result's range in every row of a block."""
    columns = answer.get("ranges", {}).get(name)
    return [None] * answer["rows"] if columns is None else columns[end]


def in_a_row(lists: Iterable[Sequence[Any]]) -> list[Any]:
    """Lists one after the other."""
    return [item for items in lists for item in items]


def once(notes: Sequence[Members], by: str) -> list[Members]:
    """Notes that differ, the first of each."""
    return list({note[by]: note for note in reversed(notes)}.values())[::-1]
