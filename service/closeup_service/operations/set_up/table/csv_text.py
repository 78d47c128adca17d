"""Columns as CSV (RFC 4180)."""

import csv
import io
from collections.abc import Iterable, Mapping


def written(columns: Mapping[str, Iterable[object]]) -> bytes:
    """Columns of equal length as CSV with a header row; None is an empty cell."""
    file = io.StringIO(newline="")
    writer = csv.writer(file)
    writer.writerow(columns)
    writer.writerows(zip(*columns.values(), strict=True))
    return file.getvalue().encode()
