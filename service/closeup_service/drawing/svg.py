"""Writing SVG: elements with everything escaped, and the picture around them.

Drawings carry presentation attributes alone, so that they show under any content security policy; their classes let a page
recolour those that stand within it. A drawing that is a file of its own gains the style `IN_THE_DARK`, by those attributes.
"""

import textwrap
from base64 import b64encode
from collections.abc import Sequence
from hashlib import sha256
from xml.sax.saxutils import escape, quoteattr

Value = str | float


def element(name: str, *children: str, text: str = "", **attributes: Value) -> str:
    """Return an element; `class_` and the like lose the underscore at the end, others become hyphens."""
    written = "".join(f" {attribute(key)}={quoteattr(figure(value))}" for key, value in attributes.items())
    within = escape(text) + "".join(children)
    return f"<{name}{written}>{within}</{name}>" if within else f"<{name}{written}/>"


def attribute(key: str) -> str:
    """Name of an attribute as SVG writes it."""
    return "viewBox" if key == "view_box" else key.rstrip("_").replace("_", "-")


def figure(value: Value) -> str:
    """Length on the paper to a hundredth of a unit; text as it is."""
    return value if isinstance(value, str) else f"{round(value, 2) + 0.0:.2f}".rstrip("0").rstrip(".")


def picture(width: float, height: float, title: str, description: str, *children: str) -> str:
    """Return a whole picture, with its title and description for those who do not see it."""
    return element(
        "svg",
        element("title", text=title),
        element("desc", text=description),
        *children,
        xmlns="http://www.w3.org/2000/svg",
        width=width,
        height=height,
        view_box=f"0 0 {figure(width)} {figure(height)}",
        role="img",
        aria_label=title,
        font_family="sans-serif",
    )


GLYPH_WIDTH = 0.65
"""Width of a letter over the font's size, on the generous side, to leave room for any sans-serif font."""
USUAL_GLYPH_WIDTH = 0.58
"""The same as the mean over a sentence."""

INK, PAPER, GLASS, LIGHT, FAINT, PART = "#1d2420", "#fdfcf8", "#cfe2ec", "#a85f00", "#6f776f", "#dfe3d9"
"""Colours of the drawings by their classes `ink`, `paper`, `glass`, `light`, `faint` and `part`."""

GRID = "#d8d4c8"
"""Colour of a chart's grid."""
CURVES = ("#005f9e", "#b04a00", "#00694f", "#8a2f7d", "#4d4d4d")
"""Colours of curves: told apart by people who see colours otherwise, and dark enough on the paper."""
DARK = {
    INK: "#e2e6dd",
    PAPER: "#1a1f1b",
    GLASS: "#35586a",
    LIGHT: "#e0a458",
    FAINT: "#8f9a90",
    PART: "#3a443c",
    GRID: "#39423b",
    **dict(zip(CURVES, ("#74b9f2", "#f2a46e", "#62ccab", "#e19ad6", "#bcc4bc"), strict=True)),
}
"""What stands for each colour where people read light on dark."""
RECOLOURED = "".join(
    f'[fill="{light}"]{{fill:{dark}}}[stroke="{light}"]{{stroke:{dark}}}' for light, dark in DARK.items()
)
IN_THE_DARK = f"@media screen and (prefers-color-scheme:dark){{{RECOLOURED}}}"
STYLE_SOURCE = f"'sha256-{b64encode(sha256(IN_THE_DARK.encode()).digest()).decode()}'"
"""What a content security policy calls that style."""


def as_file(drawing: str) -> bytes:
    """Return a drawing as a file of its own, which is dark where its reader likes that."""
    opened, closed, rest = drawing.partition("</title>")
    return f"{opened}{closed}<style>{IN_THE_DARK}</style>{rest}".encode()


def text_width(text: str, size: float) -> float:
    """Width that a text takes at most, about."""
    return len(text) * GLYPH_WIDTH * size


def ground(width: float, height: float) -> str:
    """Opaque paper below a drawing, so that it reads on any page."""
    return element("rect", class_="paper", width=width, height=height, fill=PAPER)


def line(x1: float, y1: float, x2: float, y2: float, class_: str = "ink", width: float = 1.2, dash: str = "") -> str:
    """Straight line."""
    colour = {"ink": INK, "light": LIGHT, "faint": FAINT, "paper": PAPER}[class_]
    dashed = {"stroke_dasharray": dash} if dash else {}
    return element("line", class_=class_, x1=x1, y1=y1, x2=x2, y2=y2, stroke=colour, stroke_width=width, **dashed)


def shape(points: Sequence[tuple[float, float]], class_: str = "part", width: float = 1.2, fill: str = PART) -> str:
    """Closed shape with an outline in ink."""
    written = " ".join(f"{figure(x)},{figure(y)}" for x, y in points)
    return element("polygon", class_=class_, points=written, fill=fill, stroke=INK, stroke_width=width, **ROUND)


HATCH_STEP = 7.0


def hatching(left: float, top: float, right: float, bottom: float) -> str:
    """Thin slanting lines across a rectangle."""
    height, d = bottom - top, ""
    start = left - height + HATCH_STEP / 2
    while start < right:
        x1, x2 = max(start, left), min(start + height, right)
        d += f"M{figure(x1)} {figure(bottom - (x1 - start))}L{figure(x2)} {figure(bottom - (x2 - start))}"
        start += HATCH_STEP
    return element("path", class_="faint hatched", d=d, fill="none", stroke=FAINT, stroke_width=0.7)


def path(d: str, class_: str = "ink", width: float = 1.2, fill: str = "none") -> str:
    """Path with an outline in ink."""
    return element("path", class_=class_, d=d, fill=fill, stroke=INK, stroke_width=width, **ROUND)


ROUND = {"stroke_linejoin": "round", "stroke_linecap": "round"}


def words(text: str, x: float, y: float, size: float, anchor: str = "start") -> str:
    """Text in ink with a halo of paper, so that lines below it do not cross it."""
    return element(
        "text",
        text=text,
        class_="words",
        x=x,
        y=y,
        font_size=size,
        text_anchor=anchor,
        fill=INK,
        stroke=PAPER,
        stroke_width=3,
        stroke_linejoin="round",
        paint_order="stroke",
    )


def wrap_text(text: str, width: float, size: float, most_lines: int = 2) -> list[str]:
    """Text in lines of at most this width; what does not fit in so many lines is cut off, with an ellipsis."""
    most = max(4, int(width / (USUAL_GLYPH_WIDTH * size)))
    return textwrap.wrap(text, most, max_lines=most_lines, placeholder=" …") or [""]
