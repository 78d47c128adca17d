"""Remarks read as sentences, for one thing and for several."""

import pytest

from closeup_service.advice import exposure_remarks, kit_remarks, photo_remarks, uncertainty_remarks
from closeup_service.advice.remark import Remark


def text_of(remarks: list[Remark], code: str) -> str:
    (found,) = [each["text"] for each in remarks if each["code"] == code]
    return found


@pytest.mark.parametrize(
    ("every", "spoken"),
    [((5,), "Every 5th mark"), ((2, 4, 8), "Every 2nd, 4th and 8th mark"), ((5, 10), "5th and 10th")],
)
def test_longer_marks_are_counted_in_ordinal_numbers(every: tuple[int, ...], spoken: str) -> None:
    assert spoken in text_of(photo_remarks.longer_marks(False, every, 1.0, None), "pitch-doubtful")


@pytest.mark.parametrize(
    ("failing", "said"),
    [
        (
            ("rear_depth_mm",),
            "rear_depth_mm has no uncertainty: within two standard uncertainties it becomes unlimited.",
        ),
        (
            ("rear_depth_mm", "total_mm"),
            "rear_depth_mm, total_mm have no uncertainty: within two standard uncertainties they become unlimited.",
        ),
    ],
)
def test_what_becomes_unlimited_is_one_or_several(failing: tuple[str, ...], said: str) -> None:
    assert text_of(uncertainty_remarks.uncertainty((), False, failing, None), "uncertainty-unlimited") == said


@pytest.mark.parametrize(("chains", "named"), [((2,), "chain 2."), ((1, 3), "chains 1, 3.")])
def test_chains_that_step_down_are_one_or_several(chains: tuple[int, ...], named: str) -> None:
    assert text_of(kit_remarks.steps_below(chains), "steps-below-thread").endswith(named)


@pytest.mark.parametrize(("within", "sync_time_s"), [(True, 0.005), (None, None)])
def test_a_shutter_is_called_too_short_only_where_both_times_are_known(
    within: bool | None, sync_time_s: float | None
) -> None:
    assert exposure_remarks.shutter_and_sync(within, 0.01, sync_time_s) == []
