"""The page of measured growth: what is drawn and told is what was measured."""

from xml.etree import ElementTree

import pytest

from closeup_service.pages.growth import Column, Growth, read_figures
from drawn_charts import faults_of

SUBJECTS = ("table", "search", "workers", "cores")
MARKER = "{http://www.w3.org/2000/svg}circle"


def growth_of(*ys: float) -> Growth:
    points = [{"x": 10.0**power, "y": y} for power, y in enumerate(ys)]
    return Growth("invented", Column("x", "things"), (Column("y", "time, ms", 1e3),), points)


@pytest.mark.parametrize(("ys", "slope"), [((1, 10, 100), "1.00"), ((3, 3, 3), "0.00"), ((1, 100, 10_000), "2.00")])
def test_the_slope_is_the_power(ys: tuple[float, ...], slope: str) -> None:
    assert growth_of(*ys).slope() == slope


def test_the_slope_at_the_end_looks_at_the_last_points_alone() -> None:
    assert growth_of(5, 5, 5, 50, 500).slope(3) == "1.00"


def test_the_table_holds_every_point_in_the_unit_of_its_heading() -> None:
    assert growth_of(0.002, 0.5).rows == [["1", "2"], ["10", "500"]]


@pytest.mark.parametrize("name", SUBJECTS)
def test_every_chart_is_in_order_and_marks_every_measurement(name: str) -> None:
    growth: Growth = getattr(read_figures(), name)
    assert faults_of(str(growth.chart)) == []
    assert len(list(ElementTree.fromstring(str(growth.chart)).iter(MARKER))) == len(growth.points) == len(growth.rows)


def test_what_it_was_measured_on_is_told() -> None:
    assert "cores" in read_figures().machine
    assert len(read_figures().date) == 10
