"""Looking at a chart as it was drawn: what stands where, and what a drawing for any page may hold."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from math import isfinite
from xml.etree import ElementTree

SVG = "{http://www.w3.org/2000/svg}"
LETTER = 0.6
"""Width of a letter over the font's size, as wide sans-serif fonts have it on average."""
NUMBER = re.compile(r"[-+]?\d+(?:\.\d+)?(?:e[-+]?\d+)?")
READ_AT_PX = 320
LEAST_TEXT_PX = 11
ALLOWED = {"style", "svg", "title", "desc", "g", "rect", "path", "circle", "text"}


@dataclass(frozen=True)
class Text:
    """A text and the room that it is estimated to take."""

    words: str
    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: "Text") -> bool:
        across = self.left < other.right and other.left < self.right
        return across and self.top < other.bottom and other.top < self.bottom


def texts_of(drawing: ElementTree.Element) -> list[Text]:
    """Every text with its room: from the tops of the capitals to the descenders."""
    found = []
    for each in drawing.iter(f"{SVG}text"):
        words, size = each.text or "", float(each.attrib["font-size"])
        width = len(words) * LETTER * size
        left = float(each.attrib["x"]) - {"start": 0, "middle": 0.5, "end": 1}[each.attrib["text-anchor"]] * width
        y = float(each.attrib["y"])
        found.append(Text(words, left, y - 0.75 * size, left + width, y + 0.22 * size))
    return found


def points_of(drawing: ElementTree.Element) -> Iterator[tuple[float, float]]:
    """Every point of a path, corner of a rectangle and edge of a circle."""
    for each in drawing.iter():
        kind = each.tag.removeprefix(SVG)
        if kind == "path":
            numbers = [float(number) for number in NUMBER.findall(each.attrib["d"])]
            yield from zip(numbers[::2], numbers[1::2], strict=True)
        elif kind == "circle":
            x, y, r = (float(each.attrib[name]) for name in ("cx", "cy", "r"))
            yield from ((x - r, y - r), (x + r, y + r))
        elif kind == "rect":
            x, y = float(each.get("x", 0)), float(each.get("y", 0))
            yield from ((x, y), (x + float(each.attrib["width"]), y + float(each.attrib["height"])))


def faults_of(svg: str) -> list[str]:
    """What is wrong with a chart: anything beyond its edges, texts upon each other or too small, foreign things."""
    drawing = ElementTree.fromstring(svg)
    _, _, width, height = map(float, drawing.attrib["viewBox"].split())
    texts = texts_of(drawing)
    faults = [f"{a.words!r} upon {b.words!r}" for a, b in combinations(texts, 2) if a.meets(b)]
    faults += [
        f"{text.words!r} beyond the edge"
        for text in texts
        if not (text.left >= 0 and text.right <= width and text.top >= 0 and text.bottom <= height)
    ]
    slack = 0.01
    faults += [
        f"{point} beyond the edge"
        for point in points_of(drawing)
        if not (-slack <= point[0] <= width + slack and -slack <= point[1] <= height + slack)
        or not all(map(isfinite, point))
    ]
    if width <= 360:
        sizes = {
            float(each.attrib["font-size"]) * READ_AT_PX / max(width, READ_AT_PX) for each in drawing.iter(f"{SVG}text")
        }
        faults += [f"text of {size} px" for size in sizes if size < LEAST_TEXT_PX]
    tags = {each.tag.removeprefix(SVG) for each in drawing.iter()}
    names = {name for each in drawing.iter() for name in each.attrib}
    return [
        *faults,
        *(tags - ALLOWED),
        *(name for name in names if "href" in name or name.startswith("on") or name == "style"),
    ]
