"""Facts of the trade: common practice, no source."""

import pytest
from flask.testing import FlaskClient

from asking import LENS, SET_UPS, answered, set_up, spacer, without


@pytest.mark.parametrize(
    ("ruler_mm", "least", "greatest"),
    [(150, 0.235, 0.245), (36, 0.99, 1.01), (38, 0.94, 1.0), (24, 1.49, 1.51), (25, 1.43, 1.5), (11.2, 3.1, 3.3)],
)
def test_a_ruler_across_a_sensor_36_mm_wide_shows_the_magnification(
    api: FlaskClient, ruler_mm: float, least: float, greatest: float
) -> None:
    answer = answered(api, "/v1/magnification", {"subject_width_mm": ruler_mm, "sensor": "36x24"})
    assert least <= answer["magnification"] <= greatest


def test_a_reversed_zoom_magnifies_most_at_its_wide_end(api: FlaskClient) -> None:
    magnifications = []
    for focal_length in (18, 24, 35, 55):
        lens = LENS | {"focal_length_mm": focal_length, "front_principal_plane_mm": 50}
        magnifications.append(answered(api, SET_UPS, set_up(lens, spacer(10)))["magnification"])
    assert magnifications == sorted(magnifications, reverse=True)


def test_at_life_size_a_symmetric_lens_loses_two_stops(api: FlaskClient) -> None:
    """Printed in many handbooks; here the photography question-and-answer archive on bellows factors (seen in excerpts)."""
    answer = answered(api, "/v1/effective-f-number", {"f_number": 5.6, "magnification": 1, "pupil_magnification": 1})
    assert answer["light_loss_stops"] == pytest.approx(2)
    assert answer["exposure_factor"] == pytest.approx(4)


def test_reversing_gives_more_working_distance_than_the_register(api: FlaskClient) -> None:
    answer = answered(api, SET_UPS, set_up(LENS, spacer(200)))
    assert answer["magnification"] > 5
    assert answer["working_distance_mm"] > LENS["register_mm"]


def test_a_lens_without_its_f_number_still_has_a_magnification(api: FlaskClient) -> None:
    answer = answered(api, SET_UPS, set_up(without(LENS, "f_number"), spacer(31)))
    assert answer["magnification"] == pytest.approx(1)
    assert answer["effective_f_number"] is None
