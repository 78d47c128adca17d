"""`/v1/scale-reading/comparison`: which of several photographs of a ruler is sharper, and what does not compare."""

import numpy as np
import pytest
from flask.testing import FlaskClient

from asking import codes, pointers, text_of
from photograph_asking import COMPARISON, RULER, compared, refusal, small, zone_named
from photograph_files import saved
from ruler_pictures import as_pixels, ruler


def test_the_sharper_photograph_is_best_everywhere(api: FlaskClient) -> None:
    frames = [small(blur_px=4.0, blur_growth_px=0.0), small(blur_px=2.0, blur_growth_px=0.0)]
    answer = compared(api, *frames)
    assert answer["best_frame"] == 2
    assert {zone["best_frame"] for zone in answer["zones"]} == {2, None}
    assert [frame["frame"] for frame in answer["frames"]] == [1, 2]
    assert answer["frames"][1]["sharpness_score"] == 1
    assert answer["frames"][0]["sharpness_score"] == pytest.approx(0.5, abs=0.12)  # edges half as wide
    assert answer["frames"][0]["scale_difference"] == 0
    assert "how-scored" in codes(answer["remarks"])


def test_each_zone_has_its_own_best(api: FlaskClient) -> None:
    soft_right, even = small(blur_px=2.0, blur_growth_px=6.0), small(blur_px=3.5, blur_growth_px=0.0)
    answer = compared(api, soft_right, even)
    assert zone_named(answer, "middle-left")["best_frame"] == 1
    assert zone_named(answer, "middle-right")["best_frame"] == 2
    assert len(zone_named(answer, "middle-left")["edge_widths_um"]) == 2


def test_photographs_that_are_alike_are_told(api: FlaskClient) -> None:
    again = saved(as_pixels(ruler(900, 600, 60.0), colour=False, seed=9), "PNG")
    answer = compared(api, small(), again, small(blur_px=6.0))
    assert "1 and 2" in text_of(answer, "too-alike")


@pytest.mark.parametrize(
    ("other", "why"),
    [
        (small(pixels_per_mm=61.2), "differs from the first's by +2.0%"),
        (small(width=800), "800 x 600 pixels"),
        (saved(as_pixels(ruler(900, 600, 60.0)), "PNG"), "8 bits in colour"),
        (saved(as_pixels(ruler(900, 600, 60.0), 16, colour=False), "PNG"), "16 bits in grey"),
    ],
    ids=["scale", "size", "colours", "depth"],
)
def test_photographs_that_do_not_compare_are_named(api: FlaskClient, other: bytes, why: str) -> None:
    problem = refusal(api, COMPARISON, [small(), small(), other], **RULER)
    assert problem["type"] == "/problems/frames-differ"
    assert pointers(problem) == {"/photo/2"}
    assert "photograph 3" in problem["detail"]
    assert why in problem["detail"]


def test_a_change_of_scale_below_a_hundredth_is_compared(api: FlaskClient) -> None:
    answer = compared(api, small(), small(pixels_per_mm=60.3))
    assert answer["frames"][1]["scale_difference"] == pytest.approx(0.005, abs=0.001)


@pytest.mark.parametrize("count", [0, 1, 7])
def test_two_to_six_photographs_are_compared(api: FlaskClient, count: int) -> None:
    assert pointers(refusal(api, COMPARISON, [small()] * count, **RULER)) == {"/photo"}


def test_the_photograph_at_fault_is_named(api: FlaskClient) -> None:
    plain = saved(np.full((600, 900), 120, np.uint8), "PNG")
    problem = refusal(api, COMPARISON, [small(), plain], **RULER)
    assert problem["type"] == "/problems/no-sure-reading"
    assert pointers(problem) == {"/photo/1"}
    assert problem["detail"].startswith("Photograph 2: ")
    assert pointers(refusal(api, COMPARISON, [b"nothing", small()], **RULER)) == {"/photo/0"}
