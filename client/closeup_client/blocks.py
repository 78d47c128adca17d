"""Tables longer than the service takes at once: cut into blocks, and their answers joined."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

BLOCK_ROWS = 10_000
Members = Mapping[str, Any]


def blocks_of(members: Members) -> list[dict[str, Any]]:
    """Requests of at most `BLOCK_ROWS` rows that make up this one.

    Raises
    ------
    ValueError
        Where the columns are not all as long as each other.
    """
    given = members.get("columns")
    if not isinstance(given, Mapping):
        return [dict(members)]
    columns = {name: list(values) for name, values in given.items()}
    lengths = {len(values) for values in columns.values()}
    if len(lengths) > 1:
        told = ", ".join(f"{name} {len(values)}" for name, values in columns.items())
        raise ValueError(f"Every column takes as many values; these have: {told}.")
    starts = range(0, max(lengths, default=0), BLOCK_ROWS) or range(1)
    return [{**members, "columns": dict(cut(columns, start))} for start in starts]


def cut(columns: Mapping[str, Sequence[Any]], start: int) -> Iterator[tuple[str, Sequence[Any]]]:
    """Yield the rows of one block of every column."""
    return ((name, values[start : start + BLOCK_ROWS]) for name, values in columns.items())


def joined(answers: Sequence[Members]) -> Members:
    """One answer of those of all blocks; of each caution the first, since its figures may differ from block to block."""
    if len(answers) == 1:
        return answers[0]
    return {
        **answers[0],
        "rows": sum(answer["rows"] for answer in answers),
        "columns": {name: in_a_row(answer["columns"][name] for answer in answers) for name in answers[0]["columns"]},
        "problem": in_a_row(answer["problem"] for answer in answers),
        "remarks": once(in_a_row(answer["remarks"] for answer in answers), "text"),
        "cautions": once(in_a_row(answer["cautions"] for answer in answers), "code"),
    }


def in_a_row(lists: Iterable[Sequence[Any]]) -> list[Any]:
    """Lists one after the other."""
    return [item for items in lists for item in items]


def once(notes: Sequence[Members], by: str) -> list[Members]:
    """Notes that differ, the first of each."""
    return list({note[by]: note for note in reversed(notes)}.values())[::-1]
