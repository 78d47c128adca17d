"""Shares in per cent, as texts for people write them."""

import pytest

from closeup_service.advice import equivalence_remarks, exposure_remarks, figures, motion_remarks
from closeup_service.advice.figures import percent
from closeup_service.optics.depth import Depth


@pytest.mark.parametrize(
    ("share", "told"),
    [
        (0.0, "0"),
        (1.07e-5, "less than 0.01"),
        (-1.07e-5, "less than 0.01"),
        (9.9e-5, "less than 0.01"),
        (1e-4, "0.01"),
        (-1.234e-4, "-0.012"),
        (0.0123456, "1.23"),
        (-0.123456, "-12.3"),
        (1.0, "100"),
    ],
)
def test_no_digit_is_finer_than_a_thousandth_of_a_per_cent(share: float, told: str) -> None:
    assert percent(share) == told


@pytest.mark.parametrize("name", ["distortion", "keystone", "relative_uncertainty", "contrast", "scale_error"])
def test_pages_tell_tiny_shares_in_words(name: str) -> None:
    assert figures.figure(-1.07e-5, name, "") == "less than 0.01 %"
    assert figures.figure(-0.0107, name, "") == "−1.07 %"


def test_what_was_stated_is_repeated_with_its_digits() -> None:
    assert figures.format_stated(0.00005, "scale_error", "") == "0.005 %"


def test_a_share_that_is_little_is_not_said_to_be_none() -> None:
    """Rounded to whole per cents these said 0%."""
    black = exposure_remarks.ambient_light(12.0, True, 2.4e-4)["text"]
    assert "0.024% of the light" in black
    assert "gives 0.3% of" in exposure_remarks.ambient_light(8.0, False, 0.003)["text"]
    assert motion_remarks.ambient_light(0.004, 12.0)[0]["text"].startswith("0.4% of the light")
    told = equivalence_remarks.total_error(Depth(1.0, 1.0, 0.1), Depth(1.0, 1.00001, 0.1))
    assert told == "; in all it differs by less than 0.01%"
