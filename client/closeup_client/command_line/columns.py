"""Columns laid out in a width.

Where they fit, each record has one line. Else headings and texts go over several lines; and what is still too wide stands in
bands, one below the other, each beginning with what tells the records apart.
"""

import textwrap
from collections.abc import Iterator, Sequence
from itertools import zip_longest
from typing import NamedTuple

GAP = "  "
LEAST_TEXT = 14
"""Texts that are longer may go over several lines, of no less than this."""
NUMBER = "no."


class Column(NamedTuple):
    """One column: its heading, a cell for each record, and whether it holds numbers, which stand to the right."""

    heading: str
    cells: Sequence[str]
    is_number: bool = False
    is_key: bool = False
    """Whether its cells tell the records apart."""

    @property
    def whole(self) -> int:
        """Width in which no cell goes over several lines."""
        return max(map(len, self.cells), default=0)

    @property
    def least(self) -> int:
        """Width that it needs at least."""
        words = [word for text in (self.heading, *self.cells) for word in text.split()]
        texts = self.whole if self.is_number else min(self.whole, LEAST_TEXT)
        heading = max(map(len, self.heading.split()), default=0)
        return max(texts, heading) if self.is_number else max(texts, *map(len, words), 0)

    @property
    def most(self) -> int:
        """Width in which not even its heading goes over several lines."""
        return max(self.whole, len(self.heading))


def laid_out(columns: Sequence[Column], width: int) -> str:
    """Write a table that is no wider than this, one narrow column aside."""
    if total([column.most for column in columns]) <= width:
        return band_text(columns, [column.most for column in columns])
    bands = list(bands_of(columns, width))
    return "\n\n".join(band_text(band, widths_of(band, width)) for band in bands)


def bands_of(columns: Sequence[Column], width: int) -> Iterator[Sequence[Column]]:
    """Columns in as many bands as it takes; each of several begins with the key."""
    if total([column.least for column in columns]) <= width:
        yield columns
        return
    key = key_of(columns)
    band = [key]
    for column in columns:
        if column is key:
            continue
        if len(band) > 1 and total([each.least for each in (*band, column)]) > width:
            yield band
            band = [key]
        band.append(column)
    yield band


def key_of(columns: Sequence[Column]) -> Column:
    """Column that tells the records apart: their ids, or else their numbers."""
    numbers = [str(place) for place in range(1, len(columns[0].cells) + 1)]
    return next((column for column in columns if column.is_key), Column(NUMBER, numbers, is_number=True))


def total(widths: Sequence[int]) -> int:
    """Width of columns with the gaps between them."""
    return sum(widths) + len(GAP) * (len(widths) - 1)


def widths_of(columns: Sequence[Column], width: int) -> list[int]:
    """Width of each column of a band: what is to spare goes to the cells first, then to the headings."""
    widths = [column.least for column in columns]
    for wanted in ([column.whole for column in columns], [column.most for column in columns]):
        for place, most in enumerate(wanted):
            spare = width - total(widths)
            widths[place] = max(widths[place], min(most, widths[place] + spare))
    return widths


def band_text(columns: Sequence[Column], widths: Sequence[int]) -> str:
    """One band: headings, their last lines next to the records, and the records."""
    wrapped = [filled(column.heading, width) for column, width in zip(columns, widths, strict=True)]
    height = max(map(len, wrapped))
    headings = [[""] * (height - len(lines)) + lines for lines in wrapped]
    rows = zip(*(column.cells for column in columns), strict=True)
    found = list(lines_of(headings, columns, widths))
    for row in rows:
        cells = [filled(cell, width) for cell, width in zip(row, widths, strict=True)]
        found += lines_of(cells, columns, widths)
    return "\n".join(found)


def filled(text: str, width: int) -> list[str]:
    """Text in lines of a width."""
    return textwrap.wrap(text, width, break_on_hyphens=False, break_long_words=False) or [""]


def lines_of(cells: Sequence[Sequence[str]], columns: Sequence[Column], widths: Sequence[int]) -> Iterator[str]:
    """Lines of one record."""
    for line in zip_longest(*cells, fillvalue=""):
        placed = [
            text.rjust(width) if column.is_number else text.ljust(width)
            for text, column, width in zip(line, columns, widths, strict=True)
        ]
        yield GAP.join(placed).rstrip()
