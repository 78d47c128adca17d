"""What is drawn over a picture: strokes that end at the border, and the picture reduced."""

from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pytest
from numpy.typing import NDArray

from closeup_service.measuring.ruler.overlay import (
    BAR,
    CENTRE,
    LINE,
    MARK,
    draw_bar,
    draw_overlay,
    reduce_picture,
    scale_length_mm,
    stroke,
)
from closeup_service.measuring.ruler.records import RulerReading


def reading(pixels_per_mm: float) -> RulerReading:
    """All that a scale length asks of a reading."""
    return cast(RulerReading, SimpleNamespace(pixels_per_mm=SimpleNamespace(value=pixels_per_mm)))


def canvas(width: int = 40, height: int = 30) -> Any:
    return np.zeros((height, width, 3), np.uint8)


def painted(drawn: Any, colour: tuple[int, int, int] = MARK) -> set[tuple[int, int]]:
    rows, columns = np.nonzero((drawn == colour).all(axis=2))
    return set(zip(columns.tolist(), rows.tolist(), strict=True))


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


@pytest.mark.parametrize("direction", [0.0, 60.0, -30.0, 90.0])
@pytest.mark.parametrize("factor", [1, 2])
def test_every_mark_is_crossed_at_right_angles_over_twelve_pixels_and_the_middle_by_a_cross(
    direction: float, factor: int
) -> None:
    turn = np.radians(direction)
    places = [factor * (100 + step * np.cos(turn)) + (factor - 1) / 2 for step in (-40, 40)]
    rows = [factor * (80 - step * np.sin(turn)) + (factor - 1) / 2 for step in (-40, 40)]
    marks = tuple(zip(places, rows, strict=True))
    told = cast(
        RulerReading,
        SimpleNamespace(
            pixels_per_mm=SimpleNamespace(value=10.0 * factor),
            direction_deg=direction,
            marks=marks,
            line=marks,
            centre=(20.0 * factor + (factor - 1) / 2, 30.0 * factor + (factor - 1) / 2),
        ),
    )
    drawn = draw_overlay(np.zeros((160 * factor, 200 * factor), np.uint8), told, 200)
    assert drawn.shape == (160, 200, 3)
    crossed = np.array(sorted(painted(drawn, MARK)))
    for step in (-40, 40):
        from_mark = crossed - [100 + step * np.cos(turn), 80 - step * np.sin(turn)]
        along, across = from_mark @ [np.cos(turn), -np.sin(turn)], from_mark @ [np.sin(turn), np.cos(turn)]
        own = np.abs(along) < 5
        assert np.abs(along[own]).max() <= 0.8
        assert (across[own].min(), across[own].max()) == pytest.approx((-6, 6), abs=0.8)
    assert painted(drawn, CENTRE) == {(x, 30) for x in range(8, 33)} | {(20, y) for y in range(18, 43)}
    between = np.array(sorted(painted(drawn, LINE))) - [100, 80]
    assert np.abs(between @ [np.sin(turn), np.cos(turn)]).max() <= 0.8
    assert np.abs(between @ [np.cos(turn), -np.sin(turn)]).max() == pytest.approx(40, abs=2)


def test_what_lies_beyond_the_border_is_left_out() -> None:
    cross = canvas()
    stroke(cross, (-9.0, 4.0), (20.0, 4.0), MARK)
    stroke(cross, (30.0, 9.0), (60.0, 9.0), MARK)
    assert painted(cross) == {(x, 4) for x in range(21)} | {(x, 9) for x in range(30, 40)}
    stroke(cross, (6.0, -9.0), (6.0, 12.0), BAR)
    stroke(cross, (9.0, 20.0), (9.0, 50.0), BAR)
    assert painted(cross, BAR) == {(6, y) for y in range(13)} | {(9, y) for y in range(20, 30)}


@pytest.mark.parametrize(
    ("width", "pixels_per_mm", "length"),
    [
        (1000, 25.0, 10.0),
        (1000, 24.9, 10.0),
        (1000, 25.1, 5.0),
        (1000, 50.0, 5.0),
        (1000, 124.0, 2.0),
        (1000, 300.0, 0.5),
    ],
)
def test_the_scale_length_is_the_longest_round_one_in_a_quarter_of_the_width(
    width: int, pixels_per_mm: float, length: float
) -> None:
    assert scale_length_mm(reading(pixels_per_mm), width) == pytest.approx(length)


@pytest.mark.parametrize("factor", [1, 2, 4])
def test_the_bar_is_as_long_as_its_length_with_stops_below_on_the_left(factor: int) -> None:
    drawn = canvas(200, 100)
    draw_bar(drawn, reading(10.0 * factor), factor)
    points = painted(drawn, BAR)
    assert {x for x, _ in points} == set(range(8, 59))
    assert {y for x, y in points if x == 30} == {94, 95, 96}
    assert {y for x, y in points if x in {8, 58}} == set(range(89, 102)) & set(range(100))


@pytest.mark.parametrize(("kind", "most"), [(np.uint8, 255), (np.uint16, 65535)])
def test_the_picture_is_reduced_to_eight_bits_by_means(kind: type, most: int) -> None:
    grey: NDArray[Any] = np.zeros((6, 9), kind)
    grey[:3, :3] = most
    grey[3:, 3:6] = most // 5
    assert reduce_picture(grey, 3)[..., 0].tolist() == [[255, 0, 0], [0, 51, 0]]
    colour = np.stack([grey, grey[::-1], 0 * grey], axis=2)
    small = reduce_picture(colour, 3)
    assert small.shape == (2, 3, 3)
    assert small[0, 0].tolist() == [255, 0, 0]
    assert small[1, 0].tolist() == [0, 255, 0]
