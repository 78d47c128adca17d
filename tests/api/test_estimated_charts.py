"""Charts of lenses that are known only in part: medians, and bands that hold 95 of 100 such lenses."""

from typing import Any
from xml.etree import ElementTree

import pytest
from flask.testing import FlaskClient

from asking import answered, codes, without
from unknown_lenses import KNOWN, TELE, WIDE, unknown_set_up

APERTURE, MAGNIFICATION, STACK = (f"/v1/charts/{name}" for name in ("aperture", "magnification", "stack"))
EVALUATE = "/v1/set-ups/evaluate"
ALONG: dict[str, Any] = {"along": "/train/1/length_mm", "minimum": 0, "maximum": 50, "points": 3}
FRAMES: dict[str, Any] = {
    "mounting": "reversed",
    "focal_length_mm": 28,
    "lens_register_mm": 44,
    "widest_f_number": 2.8,
    "f_number": 5.6,
    "magnification": 2,
    "sensor": "36x24",
    "subject_depth_mm": 1.5,
    "estimate_unknown": True,
}
PLAIN: list[tuple[str, dict[str, Any]]] = [
    (MAGNIFICATION, {**unknown_set_up(KNOWN), **ALONG}),
    (APERTURE, unknown_set_up(KNOWN, subject_depth_mm=1)),
    (STACK, {**FRAMES, "pupil_magnification": 1.8}),
]
ESTIMATED: list[tuple[str, dict[str, Any]]] = [
    (MAGNIFICATION, {**unknown_set_up(), **ALONG}),
    (APERTURE, unknown_set_up(subject_depth_mm=1)),
    (APERTURE, unknown_set_up(subject_depth_mm=1, sensor_detail_lp_per_mm=20)),
    (STACK, FRAMES),
    (STACK, {**FRAMES, "subject_depth_mm": 30}),
]


def drawn(api: FlaskClient, path: str, asked: dict[str, Any]) -> ElementTree.Element:
    response = api.post(path, json=asked, headers={"Accept": "image/svg+xml"})
    assert response.status_code == 200, response.text
    return ElementTree.fromstring(response.data)


def bands(picture: ElementTree.Element) -> list[ElementTree.Element]:
    return [each for each in picture.iter() if "range" in each.get("class", "").split()]


@pytest.mark.parametrize(("path", "asked"), ESTIMATED)
def test_bands_are_drawn_and_said(api: FlaskClient, path: str, asked: dict[str, Any]) -> None:
    told, picture = answered(api, path, asked), drawn(api, path, asked)
    assert told["ranges"]
    assert "95 of 100 such lenses" in told["finding"]
    assert bands(picture)
    said = "".join(picture.itertext())
    assert "95 of 100 such lenses" in said
    assert told["finding"] in said


@pytest.mark.parametrize(("path", "asked"), ESTIMATED)
def test_every_range_holds_its_figure(api: FlaskClient, path: str, asked: dict[str, Any]) -> None:
    told = answered(api, path, asked)
    for name, ends in told["ranges"].items():
        figure: Any = told
        for step in name.split("."):
            figure = figure[int(step)] if step.isdecimal() else figure[step]
        assert ends["low"] <= figure <= ends["high"], name


@pytest.mark.parametrize(("path", "asked"), PLAIN)
def test_a_lens_that_is_known_is_charted_as_without_estimates(
    api: FlaskClient, path: str, asked: dict[str, Any]
) -> None:
    plain = without(asked, "estimate_unknown")
    told = answered(api, path, plain)
    assert without(answered(api, path, asked), "coverage", "estimated", "ranges") == told
    assert not {"ranges", "estimated", "coverage"} & set(told)
    assert not bands(drawn(api, path, plain))


def test_each_length_is_the_set_up_alone(api: FlaskClient) -> None:
    told = answered(api, MAGNIFICATION, {**unknown_set_up(), **ALONG})
    for place, row in enumerate(told["rows"]):
        alone = answered(api, EVALUATE, unknown_set_up(length_mm=row["length_mm"]))
        for name in ("magnification", "working_distance_mm"):
            assert row[name] == pytest.approx(alone[name], rel=1e-9)
            assert told["ranges"][f"rows.{place}.{name}"] == pytest.approx(alone["ranges"][name], rel=1e-9)


def test_lengths_at_which_it_is_to_be_measured_first_leave_a_gap_and_are_counted(api: FlaskClient) -> None:
    asked = {**unknown_set_up(TELE), **ALONG, "maximum": 200, "points": 5}
    told = answered(api, MAGNIFICATION, asked)
    untold = [row["magnification"] is None for row in told["rows"]]
    assert untold == [True, True, True, False, False]
    assert all(row["problem"] is None for row in told["rows"])
    assert "At 3 of 5 lengths measure first" in told["finding"]
    assert "measure-first" in codes(told["remarks"])
    assert "rows.0.magnification" not in told["ranges"]
    assert bands(drawn(api, MAGNIFICATION, asked))


def test_a_chart_of_which_nothing_is_told_says_measure_first(api: FlaskClient) -> None:
    asked = {**unknown_set_up(TELE), **ALONG, "maximum": 5}
    told = answered(api, MAGNIFICATION, asked)
    assert told["finding"] == "At 3 of 3 lengths measure first: such lenses differ too much there."
    assert told["ranges"] == {}
    drawn(api, MAGNIFICATION, asked)


def test_the_ring_of_an_unknown_lens_is_found(api: FlaskClient) -> None:
    asked = {**unknown_set_up(without(WIDE, "f_number"), subject_depth_mm=1)}
    told = answered(api, APERTURE, asked)
    assert told["along"] == "/train/0/f_number"
    best = told["ranges"]["optimum_f_number"]
    assert best["low"] < told["optimum_f_number"] < best["high"]
    assert not any(name.endswith(".optimum_f_number") for name in told["ranges"])


def test_a_stack_tells_how_many_frames_it_may_take(api: FlaskClient) -> None:
    told = answered(api, STACK, {**FRAMES, "subject_depth_mm": 30})
    frames = told["ranges"]["frames"]
    assert frames["low"] <= told["frames"] <= frames["high"]
    assert f"{frames['low']} to {frames['high']} frames" in told["finding"]
    assert told["frames"] == len(told["rows"])
