"""`/v1/focus-stack`: frames, steps, what changes along the stack, and what is refused."""

from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import answered, codes, pointers, refused, text_of, without

PATH = "/v1/focus-stack"
RAIL: dict[str, Any] = {
    "magnification": 2,
    "f_number": 4,
    "pupil_magnification": 1,
    "model": "geometric",
    "circle_of_confusion_mm": 0.02,
    "subject_depth_mm": 1,
    "overlap": 0.25,
}
"""N_eff 12, depth 2 x 0.02 x 12 / 4 = 0.12 mm, step 0.09 mm, by hand."""

RING: dict[str, Any] = {
    **RAIL,
    "method": "ring",
    "focal_length_mm": 50,
    "magnification": 0.5,
    "subject_depth_mm": 10,
}


def detail(problem: dict[str, Any], pointer: str) -> str:
    return str(next(error["detail"] for error in problem["errors"] if error["pointer"] == pointer))


def test_both_counts_of_frames_are_given_and_explained(api: FlaskClient) -> None:
    """ceil((1 - 0.12) / 0.09) + 1 = 11 and ceil(1 / 0.09) + 1 = 13, by hand."""
    answer = answered(api, PATH, RAIL)
    assert (answer["frames"], answer["frames_end_to_end"], answer["frames_varying_step"]) == (11, 13, 11)
    assert answer["step_mm"] == pytest.approx(0.09)
    assert answer["travel_mm"] == pytest.approx(0.9)
    assert answer["overlap"] == pytest.approx(0.25)
    assert answer["positions_mm"][0] == pytest.approx(0.05)  # 0.02 mm to spare, 0.01 at either end
    assert answer["positions_mm"][-1] == pytest.approx(0.95)
    assert "frames (11) cover" in text_of(answer, "frames-counted")
    assert "frames_end_to_end (13)" in text_of(answer, "frames-counted")
    assert "9 frames instead of 11" in text_of(answer, "shortcut-no-overlap")  # ceil(0.88 / 0.12) + 1


def test_a_rail_is_assumed_with_a_fifth_of_overlap(api: FlaskClient) -> None:
    answer = answered(api, PATH, without(RAIL, "overlap"))
    assert answer["assumed"]["method"] == "rail"
    assert answer["assumed"]["overlap"] == 0.2
    assert "ring_moves" not in answer["assumed"]
    assert answer["step_mm"] == pytest.approx(0.096)


def test_the_depth_of_one_frame_is_that_of_the_depth_resource(api: FlaskClient) -> None:
    names = ("magnification", "f_number", "pupil_magnification", "model", "circle_of_confusion_mm")
    members = {name: RAIL[name] for name in names} | {"focal_length_mm": 60, "mounting": "reversed"}
    stack = answered(api, PATH, {**RAIL, **members})
    depth = answered(api, "/v1/depth-of-field", members)
    assert stack["depth_of_field"] == {name: depth[name] for name in stack["depth_of_field"]}
    assert stack["effective_f_number"] == depth["effective_f_number"]


def test_a_rail_keeps_the_magnification_and_changes_perspective_by_depth_over_pupil_distance(api: FlaskClient) -> None:
    """z = f (1/m + 1/p) = 50 (0.5 + 1) = 75 mm, by hand."""
    answer = answered(api, PATH, {**RAIL, "focal_length_mm": 50})
    assert answer["magnification_farthest"] == answer["magnification_nearest"] == 2
    assert answer["magnification_change"] == 0
    assert answer["perspective_change"] == pytest.approx(1 / 75)
    assert "perspective-changes" in codes(answer["remarks"])


def test_without_focal_length_the_perspective_is_open_and_says_so(api: FlaskClient) -> None:
    answer = answered(api, PATH, RAIL)
    assert answer["perspective_change"] is None
    texts = [note["text"] for note in answer["remarks"] if note["code"] == "not-determined"]
    assert any("perspective_change is not determined without focal_length_mm" in text for text in texts)
    assert "symmetric-depth" in codes(answer["remarks"])


def test_a_reversed_lens_counts_as_it_stands(api: FlaskClient) -> None:
    """N_eff = N (m + 1/p) = 4 (2 + 0.5) = 10, depth 0.1 mm, by hand."""
    answer = answered(api, PATH, {**RAIL, "mounting": "reversed", "pupil_magnification": 2})
    assert answer["effective_f_number"] == pytest.approx(10)
    assert answer["step_mm"] == pytest.approx(0.075)
    assert {"reversed-rear-exposed", "lens-change-dust"} <= codes(answer["cautions"])


def test_the_step_is_rounded_down_to_whole_steps_of_the_rail(api: FlaskClient) -> None:
    answer = answered(api, PATH, {**RAIL, "rail_step_um": 20})
    assert answer["step_mm"] == pytest.approx(0.08)
    assert answer["overlap"] == pytest.approx(1 / 3)
    assert answer["frames"] == 12  # 0.88 / 0.08 = 11 moves
    assert "4 whole steps of the rail; the overlap asked for would allow 4.5" in text_of(answer, "rail-whole-steps")


def test_a_rail_step_between_step_and_depth_costs_overlap_and_says_so(api: FlaskClient) -> None:
    answer = answered(api, PATH, {**RAIL, "rail_step_um": 110})
    assert answer["step_mm"] == pytest.approx(0.11)
    assert answer["overlap"] == pytest.approx(1 / 12)
    assert "0.083, where 0.25 was asked" in text_of(answer, "overlap-less-than-asked")


def test_a_rail_step_longer_than_the_depth_is_refused_with_both_lengths(api: FlaskClient) -> None:
    problem = refused(api, PATH, {**RAIL, "rail_step_um": 150})
    assert problem["code"] == "step-too-long"
    assert "150 um is longer than the depth of one frame, 120 um" in detail(problem, "/rail_step_um")


def test_a_coarse_rail_does_not_matter_where_one_frame_does_it(api: FlaskClient) -> None:
    answer = answered(api, PATH, {**RAIL, "subject_depth_mm": 0.1, "rail_step_um": 150})
    assert answer["frames"] == 1
    assert answer["positions_mm"] == [pytest.approx(0.05)]
    assert answer["step_mm"] is None
    assert answer["overlap"] is None
    assert "one-frame-does" in codes(answer["remarks"])
    assert "moving-rail" not in codes(answer["cautions"])


def test_a_depth_without_end_takes_one_frame(api: FlaskClient) -> None:
    members = {**RAIL, "magnification": 0.001, "focal_length_mm": 28, "subject_depth_mm": 9000}
    answer = answered(api, PATH, members)
    assert answer["depth_of_field"]["rear_extent"] == "unlimited"
    assert (answer["frames"], answer["positions_mm"]) == (1, [0.0])


def test_a_flat_subject_is_refused_because_one_frame_does_it(api: FlaskClient) -> None:
    problem = refused(api, PATH, {**RAIL, "subject_depth_mm": 0})
    assert "one frame does it" in detail(problem, "/subject_depth_mm")


def test_too_many_frames_are_refused_with_what_to_change(api: FlaskClient) -> None:
    """(9999.88 / 0.09) + 1 frames."""
    problem = refused(api, PATH, {**RAIL, "subject_depth_mm": 1e4})
    assert problem["code"] == "too-many-frames"
    text = detail(problem, "/subject_depth_mm")
    assert "111111 frames" in text
    assert "Use a larger f_number" in text
    by_ring = {**RING, "subject_depth_mm": 1e4, "magnification": 5, "ring_moves": "lens"}
    assert refused(api, PATH, by_ring)["code"] == "too-many-frames"


def test_the_rear_standard_focuses_by_the_sensor_alone(api: FlaskClient) -> None:
    """1/m2 = 1/0.5 + 10/50 = 2.2; the image travels m1 m2 T = 0.5 x 10 / 2.2 mm; by hand."""
    answer = answered(api, PATH, {**RING, "ring_moves": "rear-standard"})
    assert answer["magnification_farthest"] == pytest.approx(1 / 2.2)
    assert answer["magnification_change"] == pytest.approx(2 / 2.2 - 1)
    assert answer["image_travel_mm"] == pytest.approx(5 / 2.2)
    assert answer["perspective_change"] == 0
    assert "-9.1%" in text_of(answer, "magnification-changes")
    assert "whole-lens-taken" not in codes(answer["remarks"])
    assert "moving-rail" not in codes(answer["cautions"])


def test_the_step_of_a_ring_suits_the_smallest_effective_aperture(api: FlaskClient) -> None:
    """At the far end N_eff = 4 (1 + 1/2.2); each step of the sensor is at most (1 - o) 2 c N_eff there."""
    answer = answered(api, PATH, {**RING, "ring_moves": "rear-standard", "overlap": 0})
    longest = 2 * 0.02 * 4 * (1 + 1 / 2.2)
    assert answer["step_mm"] <= longest * 1.001
    assert answer["step_mm"] * (answer["frames"] - 1) == pytest.approx(answer["travel_mm"])
    assert answer["travel_mm"] / (answer["frames"] - 2) > longest * 0.99  # one step fewer would be too long


def test_the_focus_ring_moves_the_whole_lens_before_a_fixed_camera(api: FlaskClient) -> None:
    """m2 + 1/m2 = 2.5 + 10/50 = 2.7, m2 = (2.7 - sqrt(2.7^2 - 4)) / 2 = 0.443082; by hand."""
    answer = answered(api, PATH, RING)
    assert answer["assumed"]["ring_moves"] == "lens"
    assert answer["magnification_nearest"] == 0.5
    assert answer["magnification_farthest"] == pytest.approx(0.443082, abs=1e-6)
    assert answer["image_travel_mm"] == pytest.approx(50 * (0.5 - answer["magnification_farthest"]))
    assert answer["perspective_change"] < 0  # the lens draws back
    assert {"whole-lens-taken", "magnification-of-nearest-plane"} <= codes(answer["remarks"])


def test_above_life_size_the_ring_turns_its_direction(api: FlaskClient) -> None:
    answer = answered(api, PATH, {**RING, "magnification": 1.5, "subject_depth_mm": 2})
    assert answer["magnification_farthest"] > 1.5
    assert "ring-direction-turns" in codes(answer["remarks"])
    low = answered(api, PATH, {**RING, "magnification": 0.2})
    assert codes(low["remarks"]).isdisjoint({"ring-direction-turns", "ring-near-life-size"})
    assert "ring-near-life-size" in codes(answered(api, PATH, {**RING, "magnification": 0.9})["remarks"])


@pytest.mark.parametrize("moves", ["lens", None])
def test_a_reversed_lens_is_stacked_by_the_front_standard(api: FlaskClient, moves: str | None) -> None:
    """m2 + 1/m2 = 2 + 1/2 + 5/50 = 2.6, m2 = 1.3 + sqrt(0.69); the entrance pupil is at z = 50 (1/m2 + 2); by hand."""
    members = {**RING, "mounting": "reversed", "magnification": 2, "pupil_magnification": 2, "subject_depth_mm": 5}
    answer = answered(api, PATH, members | ({"ring_moves": moves} if moves else {}))
    farthest = 1.3 + 0.69**0.5
    assert answer["magnification_farthest"] == pytest.approx(farthest)
    assert answer["perspective_change"] == pytest.approx((farthest - 2) / (1 / farthest + 2))
    assert "front standard of a bellows" in text_of(answer, "front-standard-taken")
    assert "focus ring of a reversed lens does not focus" in text_of(answer, "front-standard-taken")
    assert "whole-lens-taken" not in codes(answer["remarks"])


def test_a_reversed_lens_is_stacked_by_the_rear_standard(api: FlaskClient) -> None:
    members = {**RING, "mounting": "reversed", "ring_moves": "rear-standard", "pupil_magnification": 2}
    answer = answered(api, PATH, members)
    assert answer["effective_f_number"] == pytest.approx(4 * (0.5 + 0.5))
    assert answer["frames"] > 1


def test_an_aperture_that_air_does_not_admit_at_the_far_end_is_refused(api: FlaskClient) -> None:
    """N/p = 0.7 / 2 reversed: N_eff is 0.7 (m + 1/2), 0.525 at 0.25 and below 0.5 farther away."""
    members = {**RING, "mounting": "reversed", "ring_moves": "rear-standard", "pupil_magnification": 2}
    problem = refused(api, PATH, {**members, "f_number": 0.7, "magnification": 0.25, "subject_depth_mm": 60})
    assert problem["code"] == "aperture-impossible"


@pytest.mark.parametrize(
    ("members", "faulty"),
    [
        (without(RAIL, "subject_depth_mm"), {"/subject_depth_mm"}),
        ({**RAIL, "subject_depth_mm": -1}, {"/subject_depth_mm"}),
        ({**RAIL, "subject_depth_mm": "1"}, {"/subject_depth_mm"}),
        ({**RAIL, "overlap": 0.95}, {"/overlap"}),
        ({**RAIL, "method": "motor"}, {"/method"}),
        ({**RAIL, "method": "motor", "ring_moves": "lens"}, {"/method"}),
        ({**RAIL, "ring_moves": "lens"}, {"/ring_moves"}),
        ({**RING, "rail_step_um": 10}, {"/rail_step_um"}),
        ({**RING, "ring_moves": "front-standard"}, {"/ring_moves"}),
        (without(RING, "focal_length_mm"), {"/focal_length_mm"}),
        ({**without(RING, "focal_length_mm"), "mounting": "reversed"}, {"/focal_length_mm"}),
        ({**RAIL, "clearance_mm": -1, "settle_s": -1}, {"/clearance_mm", "/settle_s"}),
        (without(RAIL, "circle_of_confusion_mm"), {"/circle_of_confusion_mm"}),
        ({**RAIL, "shutter_s": 1}, {"/shutter_s"}),
    ],
)
def test_bad_input_is_refused_by_pointer(api: FlaskClient, members: dict[str, Any], faulty: set[str]) -> None:
    assert pointers(refused(api, PATH, members)) == faulty


def test_the_total_time_adds_the_waits_of_every_frame(api: FlaskClient) -> None:
    times = {"settle_s": 2, "exposure_time_s": 0.5, "flash_recycle_s": 3}
    answer = answered(api, PATH, {**RAIL, **times})
    assert answer["total_time_s"] == pytest.approx(11 * 5.5)
    assert codes(answer["remarks"]) >= {"time-counted"}
    assert not set(times) & set(answer["assumed"])


def test_waits_that_are_not_given_are_left_out_and_said_to_be(api: FlaskClient) -> None:
    answer = answered(api, PATH, {**RAIL, "settle_s": 2})
    assert answer["total_time_s"] == pytest.approx(22)
    assert answer["assumed"]["exposure_time_s"] == answer["assumed"]["flash_recycle_s"] == 0
    assert "not given, so taken as 0: exposure_time_s, flash_recycle_s" in text_of(answer, "time-counted")


def test_without_any_wait_there_is_no_total_time(api: FlaskClient) -> None:
    answer = answered(api, PATH, RAIL)
    assert answer["total_time_s"] is None
    assert "total_time_s is not determined without times" in " ".join(note["text"] for note in answer["remarks"])


@pytest.mark.parametrize(("clearance", "left", "collides"), [(10, 9.05, False), (0.9, -0.05, True)])
def test_a_rail_that_meets_the_subject_is_cautioned(
    api: FlaskClient, clearance: float, left: float, collides: bool
) -> None:
    answer = answered(api, PATH, {**RAIL, "clearance_mm": clearance})
    assert answer["least_clearance_mm"] == pytest.approx(left)
    assert ("stack-collision" in codes(answer["cautions"])) == collides


def test_a_lens_on_its_ring_comes_no_nearer_than_its_nearest_frame(api: FlaskClient) -> None:
    members = {**RING, "clearance_mm": 20, "focal_length_mm": 50}
    below = answered(api, PATH, members)
    nearest_frame = below["least_clearance_mm"]
    assert 20 < nearest_frame < 20 + below["image_travel_mm"]  # the first frame is focused behind the nearest plane
    still = answered(api, PATH, {**members, "ring_moves": "rear-standard"})
    assert still["least_clearance_mm"] == 20
    above = answered(api, PATH, {**members, "magnification": 2, "subject_depth_mm": 3})
    assert above["least_clearance_mm"] < 20


def test_people_come_first_in_the_cautions_of_a_rail(api: FlaskClient) -> None:
    answer = answered(api, PATH, {**RAIL, "mounting": "reversed", "clearance_mm": 0})
    assert answer["cautions"][0]["code"] == "moving-rail"
    assert answer["cautions"][0]["concerns"] == "people"
    for caution in answer["cautions"]:
        assert "safe" not in caution["text"].lower()


def test_diffraction_is_remarked_on_as_for_the_depth_of_field(api: FlaskClient) -> None:
    answer = answered(api, PATH, {**RAIL, "f_number": 16, "model": "combined"})
    assert {"airy-disk-fills-blur", "dust-shows"} <= codes(answer["remarks"])


def test_the_contrast_model_stacks_by_its_detail(api: FlaskClient) -> None:
    members = {**without(RING, "circle_of_confusion_mm"), "model": "contrast"}
    fine = answered(api, PATH, {**members, "sensor_detail_lp_per_mm": 60})
    coarse = answered(api, PATH, {**members, "sensor_detail_lp_per_mm": 20})
    assert fine["circle_of_confusion_mm"] is None
    assert fine["frames"] > 2 * coarse["frames"]


def test_a_detail_lost_at_the_far_end_is_refused(api: FlaskClient) -> None:
    """40 lp/mm on the subject are 80 at 1:2 and 880 at the far end, where 1 / (lambda N_eff) is 417 lp/mm."""
    members = {**without(RING, "circle_of_confusion_mm"), "model": "contrast", "ring_moves": "rear-standard"}
    problem = refused(api, PATH, {**members, "subject_detail_lp_per_mm": 40, "subject_depth_mm": 1000})
    assert problem["code"] == "contrast-unattainable"


def test_the_query_answers_the_same(api: FlaskClient) -> None:
    by_query = api.get(PATH, query_string=RING)
    assert by_query.status_code == 200
    assert by_query.get_json() == answered(api, PATH, RING)
