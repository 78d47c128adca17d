"""Flash by guide number: `/v1/flash`."""

import math
from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import answered, codes, pointers, refused, text_of, without

PATH = "/v1/flash"
FAR: dict[str, Any] = {"guide_number_m": 40, "flash_distance_mm": 2500, "source_diameter_mm": 0}
"""GN 40 at 2.5 m: f/16 at ISO 100, by hand."""
SEED: dict[str, Any] = {
    "guide_number_m": 8,
    "flash_distance_mm": 250,
    "f_number": 8,
    "magnification": 1,
    "pupil_magnification": 1,
}
"""f/8 marked at 1:1 is an effective f/16; GN 8 at 0.25 m is right for f/32: a quarter of the power, by hand."""
WEAK = SEED | {"guide_number_m": 2}
"""GN 2 at 0.25 m is right for f/8: two stops short of f/16, by hand."""


def test_the_aperture_follows_from_guide_number_and_distance(api: FlaskClient) -> None:
    answer = answered(api, PATH, FAR)
    assert answer["effective_f_number"] == pytest.approx(16)
    assert answer["assumed"] == {"iso": 100, "flash_power_fraction": 1, "pops": 1, "transmission": 1, "heads": 1}
    assert answer["exposure_difference_stops"] == 0
    assert answer["inverse_square_error"] == answer["inverse_square_error_stops"] == 0


def test_the_marked_aperture_is_wider_by_the_light_that_magnification_costs(api: FlaskClient) -> None:
    """N = N_eff / (m + 1/p) of a reversed lens: 16 / (1.5 + 0.5) = 8, by hand; engraved the same."""
    answer = answered(api, PATH, FAR | {"magnification": 1.5, "pupil_magnification": 2, "mounting": "reversed"})
    assert answer["f_number"] == pytest.approx(8)
    assert answer["nominal_f_number"] == 8
    assert answer["light_loss_stops"] == pytest.approx(2)
    assert "reversed-rear-exposed" in codes(answer["cautions"])
    assert "shortcut-pupils-ignored" in codes(answer["remarks"])


def test_the_engraved_f_number_is_in_thirds(api: FlaskClient) -> None:
    answer = answered(api, PATH, FAR | {"magnification": 1, "pupil_magnification": 1, "iso": 125})
    assert answer["f_number"] == pytest.approx(8 * math.sqrt(1.25))
    assert answer["nominal_f_number"] == 9


def test_without_magnification_the_marked_aperture_is_null_and_the_magnification_named(api: FlaskClient) -> None:
    answer = answered(api, PATH, FAR)
    assert answer["f_number"] is answer["nominal_f_number"] is answer["light_loss_stops"] is None
    assert "without magnification" in text_of(answer, "not-determined")


@pytest.mark.parametrize(
    ("more", "effective"),
    [
        ({"iso": 400}, 32),
        ({"flash_power_fraction": 0.25}, 8),
        ({"pops": 4}, 32),
        ({"transmission": 0.25}, 8),
        ({"heads": 4}, 32),
        ({"flash_distance_mm": 5000}, 8),
    ],
)
def test_two_stops_of_anything_are_a_factor_of_two_in_the_f_number(
    api: FlaskClient, more: dict[str, Any], effective: float
) -> None:
    assert answered(api, PATH, FAR | more)["effective_f_number"] == pytest.approx(effective)


def test_unequal_heads_add_as_energies_each_at_its_distance(api: FlaskClient) -> None:
    """(30/1)^2 + (20/0.5)^2 = 50^2, by hand."""
    asked = {"guide_numbers_m": [30, 20], "flash_distances_mm": [1000, 500]}
    answer = answered(api, PATH, asked)
    assert answer["effective_f_number"] == pytest.approx(50)
    assert answer["flash_distance_mm"] is None
    assert answer["guide_number_at_iso_m"] == pytest.approx(math.hypot(30, 20))
    assert "heads" not in answer["assumed"]


def test_unequal_heads_at_one_distance_share_it(api: FlaskClient) -> None:
    """(30^2 + 40^2) = 50^2, by hand."""
    asked = {"guide_numbers_m": [30, 40], "flash_distance_mm": 2000}
    assert answered(api, PATH, asked)["effective_f_number"] == pytest.approx(25)
    found = answered(api, PATH, {"guide_numbers_m": [30, 40], "effective_f_number": 25})
    assert found["flash_distance_mm"] == pytest.approx(2000)


def test_the_distance_follows_from_the_aperture(api: FlaskClient) -> None:
    answer = answered(api, PATH, without(FAR, "flash_distance_mm") | {"effective_f_number": 32, "iso": 400})
    assert answer["flash_distance_mm"] == pytest.approx(2500)
    assert answer["guide_number_at_iso_m"] == pytest.approx(80)


def test_the_distance_of_a_disc_is_shorter_by_its_radius_squared(api: FlaskClient) -> None:
    """D^2 = (1000 x 10 / 100)^2 - 60^2 = 80^2, by hand."""
    answer = answered(api, PATH, {"guide_number_m": 10, "effective_f_number": 100, "source_diameter_mm": 120})
    assert answer["flash_distance_mm"] == pytest.approx(80)


def test_the_power_follows_from_aperture_and_distance(api: FlaskClient) -> None:
    answer = answered(api, PATH, SEED)
    assert answer["flash_power_fraction"] == pytest.approx(0.25)
    assert answer["flash_power_stops"] == pytest.approx(2)
    assert answer["exposure_difference_stops"] == 0
    assert "flash_power_fraction" not in answer["assumed"]
    assert codes(answer["remarks"]) == {"guide-number-near", "not-determined"}


def test_too_weak_a_flash_is_never_clamped_but_told_with_every_way_out(api: FlaskClient) -> None:
    answer = answered(api, PATH, WEAK)
    assert answer["flash_power_fraction"] == pytest.approx(4)
    assert answer["flash_power_stops"] == pytest.approx(-2)
    assert answer["exposure_difference_stops"] == pytest.approx(-2)
    told = text_of(answer, "flash-too-weak")
    for way in ("2 stops too weak", "4 flashes at full power", "ISO 400", "the flash at 125 mm"):
        assert way in told


def test_the_ways_out_of_too_weak_a_flash_do_what_they_say(api: FlaskClient) -> None:
    for way in ({"pops": 4}, {"iso": 400}, {"flash_distance_mm": 125}):
        assert answered(api, PATH, WEAK | way)["flash_power_fraction"] == pytest.approx(1)


def test_a_disc_too_large_to_be_brought_near_enough_is_no_way_out(api: FlaskClient) -> None:
    answer = answered(api, PATH, WEAK | {"source_diameter_mm": 400})
    assert "flashes at full power" in text_of(answer, "flash-too-weak")
    assert "the flash at" not in text_of(answer, "flash-too-weak")


def test_hopelessly_weak_a_flash_names_no_way_that_is_out_of_bounds(api: FlaskClient) -> None:
    answer = answered(api, PATH, {"guide_number_m": 0.1, "effective_f_number": 1e6, "flash_distance_mm": 1e5})
    told = text_of(answer, "flash-too-weak")
    assert "flashes at full power" not in told
    assert "ISO" not in told
    assert "open the aperture" in told


def test_several_heads_at_their_own_distances_are_not_told_one_nearer_distance(api: FlaskClient) -> None:
    asked = {"guide_numbers_m": [2, 2], "flash_distances_mm": [250, 300], "effective_f_number": 32}
    told = text_of(answered(api, PATH, asked), "flash-too-weak")
    assert "ISO" in told
    assert "the flash at" not in told


def test_power_below_what_flashes_have_is_remarked_on(api: FlaskClient) -> None:
    low = answered(api, PATH, SEED | {"guide_number_m": 80})
    assert "1/400 of full power" in text_of(low, "flash-power-very-low")
    assert "flash-power-very-low" not in codes(answered(api, PATH, SEED)["remarks"])


def test_flashes_are_rounded_up_and_the_surplus_told(api: FlaskClient) -> None:
    """f/16 wants 4 times the light of f/8; at 0.7 of the power 4 / 0.7 = 5.71 flashes, by hand."""
    answer = answered(api, PATH, WEAK | {"flash_power_fraction": 0.7})
    assert answer["pops"] == 6
    assert answer["pops_exact"] == pytest.approx(4 / 0.7)
    assert answer["exposure_difference_stops"] == pytest.approx(math.log2(6 * 0.7 / 4))
    assert "6 flashes add up" in text_of(answer, "several-flashes")
    assert "pops" not in answer["assumed"]


def test_a_whole_number_of_flashes_is_not_rounded_up_by_rounding(api: FlaskClient) -> None:
    """(8 x 1.2 / 8)^2 / (0.6 x 0.3) = 8, which binary numbers miss by a trace."""
    asked = {"guide_number_m": 8, "flash_distance_mm": 1200, "effective_f_number": 8, "transmission": 0.6}
    answer = answered(api, PATH, asked | {"flash_power_fraction": 0.3})
    assert answer["pops_exact"] > 8
    assert answer["pops"] == 8
    assert answer["exposure_difference_stops"] == 0


def test_one_flash_that_is_already_too_much_is_told(api: FlaskClient) -> None:
    answer = answered(api, PATH, SEED | {"flash_power_fraction": 1})
    assert (answer["pops"], answer["pops_exact"]) == (1, pytest.approx(0.25))
    assert answer["exposure_difference_stops"] == pytest.approx(2)
    assert "2 stops too much" in text_of(answer, "one-flash-too-strong")


@pytest.mark.parametrize(("fraction", "difference"), [(1, 2), (0.25, 0), (0.125, -1)])
def test_with_everything_known_the_difference_is_what_is_left(
    api: FlaskClient, fraction: float, difference: float
) -> None:
    answer = answered(api, PATH, SEED | {"flash_power_fraction": fraction, "pops": 1})
    assert answer["exposure_difference_stops"] == pytest.approx(difference)
    assert answer["flash_power_fraction"] == fraction
    assert not {"one-flash-too-strong", "flash-too-weak"} & codes(answer["remarks"])


@pytest.mark.parametrize(("distance", "error"), [(150, 0.04), (300, 0.01)])
def test_the_size_of_the_source_is_counted_and_its_share_told(api: FlaskClient, distance: float, error: float) -> None:
    asked = {"guide_number_m": 10, "flash_distance_mm": distance, "source_diameter_mm": 60}
    answer = answered(api, PATH, asked)
    assert answer["inverse_square_error"] == pytest.approx(error)
    assert answer["inverse_square_error_stops"] == pytest.approx(math.log2(1 + error))
    point = answered(api, PATH, without(asked, "source_diameter_mm"))
    assert (point["effective_f_number"] / answer["effective_f_number"]) ** 2 == pytest.approx(1 + error)
    told = text_of(answer, "inverse-square-off")
    assert f"{error:.0%} more light" in told
    assert "/v1/exposure" in told


def test_a_source_of_unknown_size_is_taken_as_small_and_said_so(api: FlaskClient) -> None:
    near = answered(api, PATH, without(FAR, "source_diameter_mm") | {"flash_distance_mm": 200})
    assert near["inverse_square_error"] is near["inverse_square_error_stops"] is None
    assert near["assumed"]["source_diameter_mm"] == 0
    assert "/v1/exposure" in text_of(near, "guide-number-near")
    assert "source_diameter_mm" in text_of(near, "not-determined")
    far = answered(api, PATH, without(FAR, "source_diameter_mm"))
    assert "guide-number-near" not in codes(far["remarks"])
    assert "source_diameter_mm" in text_of(far, "not-determined")


def test_metres_away_from_a_small_flash_nothing_is_said_of_the_guide_number(api: FlaskClient) -> None:
    told = codes(answered(api, PATH, FAR | {"source_diameter_mm": 50})["remarks"])
    assert not {"guide-number-near", "inverse-square-off"} & told
    near = codes(answered(api, PATH, FAR | {"source_diameter_mm": 5, "flash_distance_mm": 400})["remarks"])
    assert "guide-number-near" in near


def test_an_aperture_beyond_every_ring_is_told_and_not_rounded(api: FlaskClient) -> None:
    strong = answered(api, PATH, {"guide_number_m": 100, "flash_distance_mm": 100, "magnification": 1, "iso": 400})
    assert strong["f_number"] == pytest.approx(1000)
    assert strong["nominal_f_number"] is None
    assert "less light" in text_of(strong, "beyond-every-ring")
    weak = answered(api, PATH, {"guide_number_m": 1.05, "flash_distance_mm": 1000, "magnification": 2})
    assert weak["nominal_f_number"] is None
    assert "more light" in text_of(weak, "beyond-every-ring")


@pytest.mark.parametrize(
    ("members", "pointer", "code"),
    [
        ({"guide_number_m": 1, "flash_distance_mm": 4000}, "/guide_number_m", "aperture-impossible"),
        ({"guide_numbers_m": [1], "flash_distance_mm": 4000}, "/guide_numbers_m", "aperture-impossible"),
        (SEED | {"f_number": 0.5, "magnification": 3, "pupil_magnification": 50}, "/f_number", "aperture-impossible"),
        (
            without(SEED, "f_number") | {"effective_f_number": 1, "magnification": 3},
            "/effective_f_number",
            "aperture-impossible",
        ),
        (
            {"guide_number_m": 1, "effective_f_number": 100, "source_diameter_mm": 100},
            "/source_diameter_mm",
            "no-solution",
        ),
        (
            {
                "guide_number_m": 1,
                "effective_f_number": 256,
                "flash_distance_mm": 1e4,
                "flash_power_fraction": 0.01,
            },
            "/flash_power_fraction",
            "no-solution",
        ),
    ],
)
def test_what_no_flash_can_do_is_refused_with_what_would(
    api: FlaskClient, members: dict[str, Any], pointer: str, code: str
) -> None:
    problem = refused(api, PATH, members)
    assert problem["code"] == code
    assert pointer in pointers(problem)
    assert any(word in problem["detail"] for word in ("Use", "Bring", "Open", "Give"))


@pytest.mark.parametrize(
    ("members", "expected"),
    [
        (without(FAR, "guide_number_m"), {"/guide_number_m"}),
        (FAR | {"guide_numbers_m": [20]}, {"/guide_number_m", "/guide_numbers_m"}),
        (SEED | {"effective_f_number": 16}, {"/f_number", "/effective_f_number"}),
        (
            {"guide_numbers_m": [20], "flash_distance_mm": 300, "flash_distances_mm": [300]},
            {"/flash_distance_mm", "/flash_distances_mm"},
        ),
        ({"guide_number_m": 20}, {"/f_number", "/flash_distance_mm"}),
        (without(SEED, "magnification", "pupil_magnification"), {"/magnification"}),
        (FAR | {"pupil_magnification": 1.2}, {"/magnification"}),
        ({"guide_numbers_m": [20], "flash_distance_mm": 300, "heads": 2}, {"/guide_number_m"}),
        ({"guide_number_m": 20, "flash_distances_mm": [300]}, {"/guide_numbers_m"}),
        ({"guide_numbers_m": [20, 30], "flash_distances_mm": [300]}, {"/flash_distances_mm"}),
        ({"guide_numbers_m": [], "flash_distance_mm": 300}, {"/guide_numbers_m"}),
        ({"guide_numbers_m": [20, 0], "flash_distance_mm": 300}, {"/guide_numbers_m/1"}),
        (FAR | {"pops": 1.5}, {"/pops"}),
        (FAR | {"heads": 0}, {"/heads"}),
        (FAR | {"iso": 0}, {"/iso"}),
        (FAR | {"flash_power_fraction": 1.5}, {"/flash_power_fraction"}),
        (FAR | {"transmission": 0}, {"/transmission"}),
        (FAR | {"flash_distance_mm": 0}, {"/flash_distance_mm"}),
    ],
)
def test_what_is_missing_impossible_or_contradictory_is_refused_by_pointer(
    api: FlaskClient, members: dict[str, Any], expected: set[str]
) -> None:
    problem = refused(api, PATH, members)
    assert problem["type"] == "/problems/invalid-fields"
    assert pointers(problem) == expected


def test_all_faults_are_told_at_once(api: FlaskClient) -> None:
    problem = refused(api, PATH, {"f_number": 8, "effective_f_number": 16, "pops": 0.5, "heads": 2})
    assert {"/guide_number_m", "/f_number", "/effective_f_number", "/pops", "/magnification"} <= pointers(problem)


def test_query_and_body_give_the_same_answer(api: FlaskClient) -> None:
    members = SEED | {"source_diameter_mm": 80, "iso": 200, "pops": 3, "heads": 2}
    assert api.get(PATH, query_string=members).get_json() == answered(api, PATH, members)
    lists = {"guide_numbers_m": "20,12.5", "flash_distances_mm": "400,300"}
    same = {"guide_numbers_m": [20, 12.5], "flash_distances_mm": [400, 300]}
    assert api.get(PATH, query_string=lists).get_json() == answered(api, PATH, same)
