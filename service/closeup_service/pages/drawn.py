"""Drawings on pages: one address for narrow screens and one for wide, each with the size that the browser keeps free for it."""

import re

from msgspec import Struct

from closeup_service.operations.operation import Operation
from closeup_service.pages.asking import Members, Studio

WIDE_PX = 680
"""Width of a drawing for a column that is at least so wide."""
CURVE = b'class="series-'
SIZE = re.compile(rb'<svg[^>]* width="([0-9.]+)" height="([0-9.]+)"')


class Drawn(Struct, frozen=True):
    """A drawing by its address, as large as it is drawn, in px."""

    address: str
    width: int
    height: int
    is_blank: bool = False
    """Whether it is a chart without a curve."""


def requests_by_width(asked: Operation, members: Members) -> list[Members]:
    """Requests for a narrow and for a wide column; one alone where a drawing has no width to choose."""
    has_width = asked.request_schema is not None and "width_px" in asked.request_schema.fields
    return [members, {**members, "width_px": WIDE_PX}] if has_width else [members]


def draw(studio: Studio, asked: Operation, members: Members, answered: Members, address: str) -> Drawn:
    """Draw these members, given the answer to them at any width, to know how large that is."""
    drawing = studio.render_svg(asked, members, answered)
    found = SIZE.search(drawing)
    width, height = (1.0, 1.0) if found is None else map(float, found.groups())
    return Drawn(address, round(width), round(height), asked.tag == "chart" and CURVE not in drawing)
