"""Lines drawn into a picture: without holes, ended at the border, seen on light and on dark ground."""

from typing import Any

import numpy as np
import pytest

from closeup_service.measuring.ruler.overlay import BAR, MARK, THICKNESS
from closeup_service.measuring.ruler.pen import EDGE, SHOWN_PX, draw_lines, stroke, unit_of


def canvas(width: int = 40, height: int = 30) -> Any:
    return np.zeros((height, width, 3), np.uint8)


def painted(drawn: Any, colour: tuple[int, int, int] = MARK) -> set[tuple[int, int]]:
    rows, columns = np.nonzero((drawn == colour).all(axis=2))
    return set(zip(columns.tolist(), rows.tolist(), strict=True))


def luminance(colour: tuple[float, ...]) -> float:
    """Relative luminance (WCAG 2.2, from memory)."""
    parts = [part / 255 for part in colour]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_a_stroke_is_a_pixel_wide_without_holes() -> None:
    level, slanted = canvas(), canvas()
    stroke(level, (5.0, 7.0), (11.4, 7.0), MARK)
    assert painted(level) == {(x, 7) for x in range(5, 12)}
    stroke(level, (25.0, 2.0), (25.0, 25.0), BAR)
    assert painted(level, BAR) == {(25, y) for y in range(2, 26)}
    stroke(slanted, (30.0, 2.0), (10.0, 12.0), MARK)
    points = painted(slanted)
    assert {x for x, _ in points} == set(range(10, 31))
    assert all(abs(y - (2 + (30 - x) / 2)) <= 0.75 for x, y in points)


def test_what_lies_beyond_the_border_is_left_out() -> None:
    cross = canvas()
    stroke(cross, (-9.0, 4.0), (20.0, 4.0), MARK)
    stroke(cross, (30.0, 9.0), (60.0, 9.0), MARK)
    assert painted(cross) == {(x, 4) for x in range(21)} | {(x, 9) for x in range(30, 40)}
    stroke(cross, (6.0, -9.0), (6.0, 12.0), BAR)
    stroke(cross, (9.0, 20.0), (9.0, 50.0), BAR)
    assert painted(cross, BAR) == {(6, y) for y in range(13)} | {(9, y) for y in range(20, 30)}


@pytest.mark.parametrize("ground", [0, 60, 128, 200, 255])
@pytest.mark.parametrize("width", [200, 1500])
def test_marks_show_on_light_and_dark_rulers_on_a_narrow_screen(ground: int, width: int) -> None:
    drawn = np.full((width // 2, width, 3), ground, np.uint8)
    middle = width / 2
    draw_lines(drawn, [((middle, 20.0), (middle, 60.0))], MARK, THICKNESS * unit_of(drawn))
    row = drawn[40].astype(int)
    core, edge = (row == MARK).all(axis=1), (row == EDGE).all(axis=1)
    shown = min(1.0, SHOWN_PX / width)
    assert core.sum() * shown >= 1.5
    assert edge.sum() * shown >= 1.5
    near = luminance((ground,) * 3) + 0.05
    told = [max(near, luminance(each) + 0.05) / min(near, luminance(each) + 0.05) for each in (MARK, EDGE)]
    assert max(told) >= 3
