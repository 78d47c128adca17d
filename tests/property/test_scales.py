"""Laws of a scale read from a ruler, and of the bar that carries it."""

import math
from collections.abc import Callable
from typing import Any

import pytest
from flask.testing import FlaskClient
from hypothesis import assume, given
from hypothesis import strategies as st

from closeup_service.measuring import scale_bar, scale_reading
from closeup_service.operations.measure.scale_bar import operation as bar_operation
from closeup_service.operations.measure.scale_reading import operation as reading_operation
from magnitudes import positive

read: Callable[[Any], Any] = reading_operation.answer
bar_for: Callable[[Any], Any] = bar_operation.answer


@given(st.floats(0, 100), positive(0.1, 500), positive(4, 60))
def test_a_ruler_read_at_both_edges_shows_width_over_length(first: float, length: float, width: float) -> None:
    last = first + length
    found = read({"first_mark_mm": first, "last_mark_mm": last, "used_width_mm": width})
    assert found["magnification"] == pytest.approx(width / (last - first), rel=1e-14)
    assert found["subject_width_mm"] == pytest.approx(last - first, rel=1e-14)


@given(positive(1, 500), positive(4, 60), st.integers(100, 10000), st.floats(0, 2 * math.pi), st.floats(0, 60))
def test_marks_at_the_edges_give_the_same_by_edges_and_by_places(
    length: float, width: float, count: int, angle: float, tilt: float
) -> None:
    """The ruler may slant in the picture: only its length there counts."""
    marks = {"first_mark_mm": 10.0, "last_mark_mm": 10 + length, "used_width_mm": width, "tilt_deg": tilt}
    picture = {"image_width_px": float(count)}
    places = {
        "first_mark_x_px": 50000.0,
        "first_mark_y_px": 50000.0,
        "last_mark_x_px": 50000 + count * math.cos(angle),
        "last_mark_y_px": 50000 + count * math.sin(angle),
    }
    by_edges, by_places = read(marks | picture), read(marks | picture | places)
    by_distance = read(marks | picture | {"distance_px": float(count)})
    for name in ("magnification", "scale_px_per_mm", "subject_width_mm"):
        assert by_places[name] == pytest.approx(by_edges[name], rel=1e-9)
        assert by_distance[name] == pytest.approx(by_edges[name], rel=1e-12)


@given(positive(0.01, 50), positive(0.05, 0.9), positive(0.5, 20))
def test_by_the_pitch_or_by_the_width_of_all_pixels_is_one(m: float, part: float, pitch: float) -> None:
    count = 6000.0
    marks = {"first_mark_mm": 0.0, "last_mark_mm": part * count * pitch / 1000 / m, "distance_px": part * count}
    by_pitch = read(marks | {"pixel_pitch_um": pitch})
    by_width = read(marks | {"used_width_mm": pitch * count / 1000, "image_width_px": count})
    assert by_pitch["magnification"] == pytest.approx(m, rel=1e-9)
    assert by_width["magnification"] == pytest.approx(m, rel=1e-9)


@given(positive(0.5, 20), st.floats(-0.0199, 0.0199), st.floats(0.1, 3))
def test_the_pitch_is_taken_where_the_nominal_width_agrees_and_the_width_where_the_picture_was_scaled(
    pitch: float, rounding: float, scaled: float
) -> None:
    agreed = scale_reading.picture_pixel(pitch, 6000 * pitch * (1 + rounding), 6000)
    assert agreed == pitch
    for resized in (1 - scaled / 4, 1 + scaled):
        assert scale_reading.picture_pixel(pitch, 6000 * pitch * resized, 6000) == pytest.approx(pitch * resized)


@given(st.lists(st.floats(0, 0.3), min_size=3, max_size=3), st.floats(0, 45), st.floats(0, 10))
def test_the_shares_of_the_variance_make_one(errors: list[float], tilt: float, tilt_error: float) -> None:
    assume(max(*errors, tilt_error) > 1e-6)
    asked = {
        "first_mark_mm": 1.0,
        "last_mark_mm": 11.0,
        "used_width_mm": 20.0,
        "reading_error_mm": errors[0],
        "scale_error": errors[1],
        "pitch_error": errors[2],
        "tilt_deg": tilt,
        "tilt_error_deg": tilt_error,
    }
    found = read(asked)
    assert sum(part["variance_share"] for part in found["contributions"]) == pytest.approx(1)
    largest = max(found["contributions"], key=lambda part: part["relative_uncertainty"])
    assert largest["source"] == found["dominant"]
    assert max(errors[1:]) <= found["relative_uncertainty"] * (1 + 1e-12)


@given(st.floats(0, 80), st.floats(0, 80))
def test_more_tilt_means_more_magnification(first: float, second: float) -> None:
    low, high = sorted((first, second))
    assert scale_reading.magnification(1, 1, low) <= scale_reading.magnification(1, 1, high)


@given(positive(1e-4, 1e8))
def test_a_round_length_is_a_one_two_or_five_within_a_factor_of_two_and_a_half(most: float) -> None:
    length = scale_bar.round_length(most)
    assert f"{length:.0e}"[0] in "125"
    assert length == float(f"{length:.0e}")
    assert most / 2.5 * (1 - 1e-9) <= length <= most * (1 + 1e-9)


@given(positive(0.01, 1e5), st.integers(16, 20000), st.floats(0.02, 0.9))
def test_the_bar_times_its_scale_is_its_length_and_fills_its_share(scale: float, width: int, share: float) -> None:
    asked = {"scale_px_per_mm": scale, "image_width_px": float(width), "share": share}
    bar = bar_for(asked)
    assert bar["bar_px"] / bar["scale_px_per_mm"] * 1000 == pytest.approx(bar["bar_length_um"], rel=1e-12)
    assert share / 2.5 * (1 - 1e-9) <= bar["bar_share"] <= share * (1 + 1e-9)
    assert bar["bar_px"] == pytest.approx(bar["bar_share"] * width)


@given(positive(0.05, 20), positive(1, 10), st.integers(200, 9000), st.floats(0.1, 1), positive(0.1, 3))
def test_every_route_through_crop_and_resizing_gives_the_same_bar(
    m: float, pitch: float, width: int, kept: float, resized: float
) -> None:
    assume(width * kept > 20)
    assume(width * kept * resized > 16)
    picture = {
        "image_width_px": float(width),
        "cropped_width_px": width * kept,
        "finished_width_px": width * kept * resized,
        "bar_length_um": 1e-5,
    }
    sensor_mm = width * pitch / 1000
    routes = [
        {"magnification": m, "pixel_pitch_um": pitch},
        {"magnification": m, "used_width_mm": sensor_mm},
        {"scale_px_per_mm": m / pitch * 1000},
        {"subject_width_mm": sensor_mm / m},
    ]
    scales = [bar_for(picture | route)["scale_px_per_mm"] for route in routes]
    assert scales == pytest.approx([m / pitch * 1000 * resized] * len(scales), rel=1e-9)
    subject = [bar_for(picture | route)["subject_width_mm"] for route in routes]
    assert subject == pytest.approx([sensor_mm / m * kept] * len(subject), rel=1e-9)


@given(positive(1, 1000), st.floats(0, 0.99))
def test_the_scale_over_the_depth_is_z_over_z_less_x(distance: float, part: float) -> None:
    depth = distance * part
    expected = distance / (distance - depth)
    assert 1 + scale_bar.depth_change(distance, depth) == pytest.approx(expected, rel=1e-12)


@given(positive(1, 60), positive(0.1, 500))
def test_query_and_body_give_the_same_bytes(width: float, length: float) -> None:
    asked = {"first_mark_mm": 2.5, "last_mark_mm": 2.5 + length, "used_width_mm": width}
    assert API.get("/v1/scale-reading", query_string=asked).data == API.post("/v1/scale-reading", json=asked).data
    bar = {"subject_width_mm": length, "image_width_px": 4000}
    assert API.get("/v1/scale-bar", query_string=bar).data == API.post("/v1/scale-bar", json=bar).data


def application() -> FlaskClient:
    from closeup_service.http.app import create_app

    return create_app().test_client()


API = application()
