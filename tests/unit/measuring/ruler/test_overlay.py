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
    crossing,
    draw_bar,
    draw_overlay,
    mark_thickness,
    reduce_picture,
    scale_length_mm,
)
from closeup_service.measuring.ruler.pen import draw_lines, unit_of
from closeup_service.measuring.ruler.records import RulerReading


def reading(pixels_per_mm: float) -> RulerReading:
    """All that a scale length asks of a reading."""
    return cast(RulerReading, SimpleNamespace(pixels_per_mm=SimpleNamespace(value=pixels_per_mm)))


def canvas(width: int = 40, height: int = 30) -> Any:
    return np.zeros((height, width, 3), np.uint8)


def painted(drawn: Any, colour: tuple[int, int, int] = MARK) -> set[tuple[int, int]]:
    rows, columns = np.nonzero((drawn == colour).all(axis=2))
    return set(zip(columns.tolist(), rows.tolist(), strict=True))


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
        assert np.abs(along[own]).max() <= 1.6
        assert (across[own].min(), across[own].max()) == pytest.approx((-6, 6), abs=1.2)
    middle = painted(drawn, CENTRE)
    assert middle >= {(x, 30) for x in range(8, 33)} | {(20, y) for y in range(18, 43)}
    assert all(abs(x - 20) <= 1 or abs(y - 30) <= 1 for x, y in middle)
    between = np.array(sorted(painted(drawn, LINE))) - [100, 80]
    assert np.abs(between @ [np.sin(turn), np.cos(turn)]).max() <= 1.6
    assert np.abs(between @ [np.cos(turn), -np.sin(turn)]).max() == pytest.approx(40, abs=4)


def test_marks_that_stand_close_are_told_apart() -> None:
    drawn = np.full((60, 1500, 3), 200, np.uint8)
    marks = [(100.0 + 8 * step, 30.0) for step in range(20)]
    draw_lines(drawn, crossing(marks, 0.0, unit_of(drawn)), MARK, mark_thickness(marks, unit_of(drawn)))
    core = (drawn[30] == MARK).all(axis=1).astype(int)
    assert (np.diff(core) == 1).sum() == 20


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
    assert {x for x, y in points if y == 95} == set(range(7, 60)), "the middles of the stops stand at 8 and 58"
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
