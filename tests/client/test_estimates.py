"""Ranges in the client's records, the same over HTTP and in this process."""

import pytest

from closeup_client import Client, EstimatedDatum, Range


def test_an_estimated_answer_carries_typed_ranges(client: Client) -> None:
    answer = client.magnification(
        focal_length_mm=28,
        mounting="reversed",
        camera_register_mm=44,
        extension_mm=7,
        lens_register_mm=45.5,
        sensor="36x24",
        estimate_unknown=True,
    )
    assert answer.ranges is not None
    assert answer.estimated is not None
    assert answer.magnification is not None
    found = answer.ranges["magnification"]
    assert isinstance(found, Range)
    assert found.low < answer.magnification < found.high
    plane = answer.estimated["/front_principal_plane_mm"]
    assert isinstance(plane, EstimatedDatum)
    assert (plane.based_on, answer.coverage) == ("lens-class", 0.95)


def test_a_set_up_is_read_by_dotted_names(client: Client) -> None:
    answer = client.evaluate(
        camera={"register_mm": 44, "sensor": "36x24"},
        train=[
            {"element": "lens", "focal_length_mm": 28, "reversed": True, "f_number": 8},
            {"element": "spacer", "length_mm": 7},
        ],
        estimate_unknown=True,
    )
    assert answer.ranges is not None
    found = answer.ranges["depth_of_field.depth_of_focus_mm"]
    assert answer.depth_of_field.depth_of_focus_mm == pytest.approx((found.low + found.high) / 2, rel=0.3)


def test_what_is_to_be_measured_first_is_none_and_named(client: Client) -> None:
    answer = client.magnification(
        focal_length_mm=135,
        mounting="reversed",
        camera_register_mm=44,
        extension_mm=7,
        estimate_unknown=True,
    )
    assert answer.magnification is None
    assert answer.measure_first is not None
    assert "magnification" in answer.measure_first


def test_nothing_of_it_comes_where_it_is_not_asked_for(client: Client) -> None:
    answer = client.magnification(subject_width_mm=18, sensor="36x24")
    assert (answer.ranges, answer.estimated, answer.coverage, answer.measure_first) == (None, None, None, None)
