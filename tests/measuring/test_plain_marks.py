"""Even patterns that are no ruler are refused, and plain marks are read where the picture or the caller says what they are."""

from dataclasses import replace

import numpy as np
import pytest

from closeup_service.measuring.ruler.evidence import is_clear_cut
from closeup_service.measuring.ruler.lengths import Longer, is_straight, longer_order_on_side
from closeup_service.measuring.ruler.reading import read_ruler
from closeup_service.optics.errors import OpticsError, PlainMarks
from even_patterns import PATTERNS, even_pattern
from ruler_scenes import Scale, Scene, render
from thoroughness import FULL

EQUAL = Scale(lengths_mm=((1, 3.0),), numerals_every=0)
RULER = Scene(1152, 800, 30.0, angle_deg=12.0, scale=EQUAL, background="wood")
EACH = 3 if FULL else 1
ONE_ROW = [kind for kind in PATTERNS if kind not in {"zip", "list"}]
"""Kinds that are one row of even marks: not the zip's two rows, nor lines of print."""


@pytest.mark.parametrize("kind", PATTERNS)
def test_no_even_pattern_that_is_no_ruler_is_read(kind: str) -> None:
    for number in range(EACH):
        with pytest.raises(OpticsError):
            read_ruler(even_pattern(np.random.default_rng([11, number]), kind), 1.0)


def test_an_even_pattern_is_read_where_it_is_said_to_be_a_scale() -> None:
    for kind in ONE_ROW:
        picture = even_pattern(np.random.default_rng([11, 0]), kind)
        assert read_ruler(picture, 1.0, accept_plain_marks=True).marks_used >= 5


def test_the_refusal_says_what_to_send() -> None:
    with pytest.raises(PlainMarks, match="send accept_plain_marks: true") as refusal:
        read_ruler(even_pattern(np.random.default_rng([11, 0]), "comb"), 1.0)
    assert refusal.value.code == "plain-marks"


@pytest.mark.parametrize("length", [2.0, 4.0])
@pytest.mark.parametrize("width", [0.1, 0.3])
def test_thin_lines_that_end_straight_on_a_blank_ground_are_a_scale(length: float, width: float) -> None:
    scale = replace(EQUAL, lengths_mm=((1, length),), width_mm=width)
    assert read_ruler(render(replace(RULER, scale=scale)), 1.0).pixels_per_mm.value == pytest.approx(30, rel=1e-3)


def test_fewer_than_twelve_such_lines_may_have_been_drawn_by_anyone() -> None:
    eleven = replace(RULER, pixels_per_mm=60.0, middle_mm=45.0, first_mm=38.5, last_mm=49.5, across_mm=1.5)
    with pytest.raises(PlainMarks):
        read_ruler(render(eleven), 1.0)
    assert read_ruler(render(eleven), 1.0, accept_plain_marks=True).pixels_per_mm.value == pytest.approx(60, rel=1e-3)
    fourteen = replace(eleven, last_mm=52.5)
    assert read_ruler(render(fourteen), 1.0).pixels_per_mm.value == pytest.approx(60, rel=1e-3)


def test_numerals_show_a_scale_though_its_marks_start_at_the_edge() -> None:
    for numerals, read in ((10, True), (0, False)):
        scale = replace(EQUAL, numerals_every=numerals, numeral_height_mm=1.8, width_mm=0.2)
        picture = render(replace(RULER, scale=scale))
        picture[picture_edge(picture)] = 40
        if read:
            assert read_ruler(picture, 1.0).pixels_per_mm.value == pytest.approx(30, rel=1e-3)
        else:
            with pytest.raises(PlainMarks):
                read_ruler(picture, 1.0)


def picture_edge(
    picture: np.ndarray[tuple[int, ...], np.dtype[np.uint8]],
) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    """All that lies beyond the marks' common beginning, as dark as the marks."""
    y, x = np.mgrid[0 : picture.shape[0], 0 : picture.shape[1]]
    turn = np.radians(RULER.angle_deg)
    across = (y - (picture.shape[0] - 1) / 2) * np.cos(turn) - (x - (picture.shape[1] - 1) / 2) * np.sin(turn)
    return np.asarray(across < -RULER.across_mm * RULER.pixels_per_mm)


def test_ends_are_straight_by_their_scatter_about_a_line() -> None:
    numbers = np.arange(20)
    slanting = np.linspace(1, 1.38, 20)
    ragged = slanting + 0.08 * np.sin(7.0 * numbers)
    assert is_straight(numbers, slanting)
    assert not is_straight(numbers, ragged)
    assert not is_straight(numbers[:2], slanting[:2])


def test_a_longer_mark_stands_out_of_short_ones_that_end_straight() -> None:
    numbers, known = np.arange(3, 12), np.ones(9, bool)
    ends = np.where(numbers % 5 == 0, 1.6, 1.0)
    assert longer_order_on_side(numbers, ends, known) == Longer(5, 2)
    assert longer_order_on_side(numbers, np.where(numbers % 2 == 0, 1.6, 1.0), known) == Longer(2, 4)
    assert longer_order_on_side(numbers, ends - 0.06 * numbers, known) == Longer(5, 2)  # a strip that was laid aslant
    assert longer_order_on_side(numbers, np.full(9, 1.0), known) is None
    assert longer_order_on_side(numbers, ends + 0.09 * (-1.0) ** numbers, known) is None  # ragged
    assert (
        longer_order_on_side(numbers, np.where((numbers == 5) | (numbers == 7) | (numbers == 8), 1.6, 1.0), known)
        is None
    )
    few, three = np.arange(3, 7), np.ones(4, bool)
    assert longer_order_on_side(few, np.array([1.0, 1.0, 1.6, 1.0]), three) is None
    assert longer_order_on_side(few, np.array([1.0, 1.0, 1.6, 1.0]), three, 3) == Longer(5, 1)
    beyond = numbers > 8  # the picture ends at the short marks' ends: the tenth may be long
    assert longer_order_on_side(numbers, np.where(beyond, 0.95, ends), ~beyond) == Longer(5, 1)


def test_numerals_swing_at_every_tenth_and_not_between() -> None:
    numbers = np.arange(-3, 32)
    swing = np.where(np.isin(numbers % 10, (9, 0)), 0.4, 0.02)
    assert is_clear_cut(numbers, swing, 10)
    assert not is_clear_cut(numbers, np.full(35, 0.4), 10)
    assert not is_clear_cut(numbers, 0.1 * swing, 10)
    assert not is_clear_cut(numbers[:19], swing[:19], 10)
    assert not is_clear_cut(numbers, np.where(numbers == 10, 0.4, 0.02), 10)
