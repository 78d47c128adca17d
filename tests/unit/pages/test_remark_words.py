"""Remarks on pages say what to enter, not what is not determined."""

import pytest

from closeup_service.pages.remark_words import put_remark_in_words


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (
            "best, advice are not determined without sensor_detail_lp_per_mm.",
            "Left out of the result: best mark for the detail, advice on one frame or a stack. To calculate that, enter: "
            "detail on the sensor.",
        ),
        (
            "clearance_mm is not determined without /train/0/front_protrusion_mm. Measure it.",
            "Left out of the result: clearance. To calculate that, enter: front protrusion of the lens. Measure it.",
        ),
        ("tilt_deg is not determined from this.", "Left out of the result: tilt from this."),
        ("Light is lost.", "Light is lost."),
    ],
)
def test_what_is_left_open_says_what_to_enter(text: str, words: str) -> None:
    assert put_remark_in_words(text, ("the lens",)) == words
