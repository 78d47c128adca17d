"""The frame as it lies on the subject, the subject in it to scale, and what is sharp of its depth; laid out and drawn."""

from typing import Any

from msgspec import Struct

from closeup_service.drawing.svg import (
    FAINT,
    GLASS,
    INK,
    LIGHT,
    PAPER,
    PART,
    element,
    figure,
    ground,
    line,
    picture,
    words,
    wrap_text,
)
from closeup_service.language import tr

MARGIN = 12.0
ROW = 18.0
STRIP = 56.0
"""Height of the strip that shows the depth."""
DEPTH_SHARE = 0.72
ENDLESS = 6.0
"""Depth beyond so many depths of the subject is drawn as going on."""


class FrameScene(Struct, frozen=True, kw_only=True):
    """What is drawn. Lengths on the subject in mm; None where not known, and for a depth behind that has no end."""

    frame_width_mm: float
    frame_height_mm: float
    subject_width_mm: float
    subject_height_mm: float
    subject_depth_mm: float | None
    front_depth_mm: float | None
    rear_depth_mm: float | None
    texts: tuple[str, ...]
    depth_texts: tuple[str, ...]
    frame_ends_mm: tuple[tuple[float, float], ...] = ()
    """Width and height of the least and the greatest frame, where it is estimated."""


class Rectangle(Struct, frozen=True):
    """Left, top, width and height on the paper."""

    x: float
    y: float
    width: float
    height: float


class FrameLayout(Struct, frozen=True):
    """A drawing of the frame on paper."""

    width: float
    height: float
    font: float
    scale: float
    frame: Rectangle
    subject: Rectangle
    lines: tuple[tuple[float, str], ...]
    depth_scale: float | None
    strip_y: float
    frame_ends: tuple[Rectangle, ...]


def lay_out(scene: FrameScene, width: float) -> FrameLayout:
    """Lay the drawing out on paper of this width."""
    font = 13.0 if width <= 480 else 14.0
    across = max(scene.frame_width_mm, scene.subject_width_mm, *(width for width, _ in scene.frame_ends_mm))
    high = max(scene.frame_height_mm, scene.subject_height_mm, *(height for _, height in scene.frame_ends_mm))
    scale = min((width - 2 * MARGIN) / across, (width if width <= 480 else 0.42 * width) / high)
    middle_y = MARGIN + scale * high / 2
    y = 2 * MARGIN + scale * high + font
    lines, y = lay_lines(scene.texts, y, width, font)
    strip_y = y + 4
    depth_scale = depth_scale_of(scene, width)
    if depth_scale is not None:
        y = strip_y + STRIP + 2 * font + 12
    more, y = lay_lines(scene.depth_texts, y, width, font)
    return FrameLayout(
        width=width,
        height=y,
        font=font,
        scale=scale,
        frame=centred_box(width / 2, middle_y, scale * scene.frame_width_mm, scale * scene.frame_height_mm),
        subject=centred_box(width / 2, middle_y, scale * scene.subject_width_mm, scale * scene.subject_height_mm),
        lines=(*lines, *more),
        depth_scale=depth_scale,
        strip_y=strip_y,
        frame_ends=tuple(centred_box(width / 2, middle_y, scale * w, scale * h) for w, h in scene.frame_ends_mm),
    )


def centred_box(x: float, y: float, width: float, height: float) -> Rectangle:
    """Rectangle about its middle."""
    return Rectangle(x - width / 2, y - height / 2, width, height)


def lay_lines(texts: tuple[str, ...], y: float, width: float, font: float) -> tuple[list[tuple[float, str]], float]:
    """Sentences, line by line from a height on, and where the next would stand."""
    lines = [part for text in texts for part in wrap_text(text, width - 2 * MARGIN, font, 6)]
    return [(y + ROW * index, text) for index, text in enumerate(lines)], y + ROW * len(lines)


def depth_scale_of(scene: FrameScene, width: float) -> float | None:
    """Scale of the strip; None where neither depth is known."""
    sharp = [each for each in (scene.front_depth_mm, scene.rear_depth_mm) if each is not None]
    subject = scene.subject_depth_mm or 0.0
    widest = max([subject / 2, *(sharp if not subject else [min(each, ENDLESS * subject) for each in sharp])])
    return DEPTH_SHARE * width / 2 / widest if widest > 0 else None


def frame_svg(scene: FrameScene, layout: FrameLayout, title: str, description: str) -> str:
    """Return the drawing."""
    return picture(
        layout.width,
        layout.height,
        title,
        description,
        ground(layout.width, layout.height),
        *frame_and_subject(layout),
        *(strip(scene, layout, layout.depth_scale) if layout.depth_scale is not None else []),
        *(words(text, MARGIN, y, layout.font) for y, text in layout.lines),
    )


def frame_and_subject(layout: FrameLayout) -> list[str]:
    """Frame with its middle, and the subject as a round body of its width and height, where it overflows too."""
    frame, subject = layout.frame, layout.subject
    x, y = frame.x + frame.width / 2, frame.y + frame.height / 2
    radii = {"rx": subject.width / 2, "ry": subject.height / 2}
    body: dict[str, Any] = {"cx": x, "cy": y, **radii, "stroke": INK, "stroke_width": 1.2}
    return [
        box(frame, "paper", PAPER, 0),
        element("ellipse", class_="part", fill=PART, **body),
        box(subject, "faint", "none", 1, dash="4 3"),
        *frame_band(layout),
        box(frame, "ink", "none", 3),
        line(x - 6, y, x + 6, y, width=1),
        line(x, y - 6, x, y + 6, width=1),
    ]


def frame_band(layout: FrameLayout) -> list[str]:
    """Range of an estimated frame: the least and the greatest dashed, with a faint band between them."""
    if not layout.frame_ends:
        return []
    least, greatest = layout.frame_ends
    d = f"{outline_path(greatest)}{outline_path(least)}"
    band = element("path", class_="range", d=d, fill=LIGHT, fill_opacity=0.12, fill_rule="evenodd")
    return [band, *(box(each, "faint", "none", 1.2, dash="7 3") for each in layout.frame_ends)]


def outline_path(place: Rectangle) -> str:
    """Closed path round a rectangle."""
    right, bottom = place.x + place.width, place.y + place.height
    left, top, right_end, foot = map(figure, (place.x, place.y, right, bottom))
    return f"M{left} {top}H{right_end}V{foot}H{left}Z"


def box(place: Rectangle, class_: str, fill: str, width: float, dash: str = "") -> str:
    """Rectangle, with an outline where one is asked for."""
    stroke: dict[str, Any] = {"stroke": FAINT if class_ == "faint" else INK, "stroke_width": width} if width else {}
    dashed: dict[str, Any] = {"stroke_dasharray": dash} if dash else {}
    sizes: dict[str, Any] = {"x": place.x, "y": place.y, "width": place.width, "height": place.height}
    return element("rect", class_=class_, fill=fill, **sizes, **stroke, **dashed)


def strip(scene: FrameScene, layout: FrameLayout, scale: float) -> list[str]:
    """Depth from the side, the camera to the right: what is sharp about the plane of focus, and the subject in it."""
    x, top, bottom = layout.width / 2, layout.strip_y, layout.strip_y + STRIP
    reach = 0.48 * layout.width
    drawn, edges = [], []
    if scene.front_depth_mm is not None:
        behind = reach if scene.rear_depth_mm is None else min(reach, scale * scene.rear_depth_mm)
        before = min(reach, scale * scene.front_depth_mm)
        drawn.append(box(Rectangle(x - behind, top, behind + before, STRIP), "glass", GLASS, 1))
        edges = [line(place, top, place, bottom, width=1.4) for place in (x - behind, x + before)]
    if scene.subject_depth_mm:
        half = scale * scene.subject_depth_mm / 2
        drawn.append(
            element("ellipse", class_="part", cx=x, cy=(top + bottom) / 2, rx=half, ry=STRIP / 4, fill=PART, stroke=INK)
        )
    return [*drawn, *edges, line(x, top - 4, x, bottom + 4, width=1.4, dash="6 3"), *strip_words(layout, bottom)]


def strip_words(layout: FrameLayout, bottom: float) -> list[str]:
    """Which way the camera is."""
    y = bottom + layout.font + 2
    return [
        words("behind", MARGIN, y, layout.font),
        words("focus", layout.width / 2, y, layout.font, "middle"),
        words(tr("to the camera"), layout.width - MARGIN, y, layout.font, "end"),
    ]
