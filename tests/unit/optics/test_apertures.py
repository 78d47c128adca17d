"""Which stop governs, where its image stands, and what air does not admit."""

from typing import Any

import pytest

from closeup_service.optics.errors import ApertureImpossible
from closeup_service.optics.formulas import refuse_wide
from closeup_service.set_ups.set_up import evaluate
from known_lens import LENS


def document(*train: Any, register: float = 45.46) -> Any:
    return {"camera": {"register_mm": register}, "train": list(train)}


def tube(length: float, **more: float) -> Any:
    return {"element": "spacer", "length_mm": length, **more}


@pytest.mark.parametrize("before", [0, 1, 2, 3])
def test_a_narrow_tube_before_the_lens_governs_by_its_end_away_from_the_subject(before: int) -> None:
    """A cone from the subject point widens: of two equal openings the farther one cuts it first."""
    plain = [tube(2.0)] * before
    set_up = evaluate(document(*plain, tube(6.0, clear_diameter_mm=3.0), LENS, tube(50.0)))
    assert set_up.working_distance_mm == pytest.approx(100.0 - 20.0 - 6.0 - 2.0 * before)
    to_opening = 100.0 - 20.0
    assert set_up.aperture_stop == before
    assert set_up.numerical_aperture == pytest.approx(1.5 / to_opening)
    assert set_up.inverse_pupil_distance == pytest.approx(1 / to_opening)
    assert set_up.light_loss_stops is None


def test_a_wide_tube_before_or_behind_the_lens_leaves_the_lens_its_light() -> None:
    wide = tube(6.0, clear_diameter_mm=60.0)
    set_up = evaluate(document(wide, LENS, tube(44.0), wide))
    assert set_up.aperture_stop == 1
    assert set_up.effective_f_number == pytest.approx(4.0 * (1 + 1.0 / 1.25))


def test_a_narrow_tube_behind_the_lens_governs_by_its_end_towards_the_lens() -> None:
    """The cone towards the sensor narrows: f/D of an opening so far before the sensor, 100 mm of image distance at 1:1."""
    set_up = evaluate(document(LENS, tube(20.0), tube(30.0, clear_diameter_mm=5.0)))
    assert set_up.aperture_stop == 2
    assert set_up.effective_f_number == pytest.approx((30.0 + 45.46) / 5.0)


def test_a_numerical_aperture_of_one_or_more_is_refused() -> None:
    """NA = m / (2 N (1 + m/p)): with m = 16 and p = 4 that is 1.6 / N."""
    lens = LENS | {"pupil_magnification": 4.0, "front_principal_plane_mm": 10.0}
    open_lens = document(lens | {"f_number": 1.62}, tube(16 * 50.0))
    assert evaluate(open_lens).numerical_aperture == pytest.approx(1.6 / 1.62)
    with pytest.raises(ApertureImpossible, match="1 or more"):
        evaluate(document(lens | {"f_number": 1.58}, tube(16 * 50.0)))


def test_an_effective_f_number_that_the_sensor_cannot_be_lit_at_is_refused() -> None:
    """N (1 + m/p) below 1/2 is a cone of more than half a turn, here at m = 0.01."""
    lens = LENS | {"focal_length_mm": 50.0}
    assert evaluate(document(lens | {"f_number": 0.51}, tube(0.5))).effective_f_number == pytest.approx(0.51 * 1.008)
    with pytest.raises(ApertureImpossible, match=r"air admits none below 0\.5"):
        evaluate(document(lens | {"f_number": 0.49}, tube(0.5)))


@pytest.mark.parametrize(
    ("effective", "magnification"), [(0.5, None), (0.5, 0.5), (0.51, 1.0), (2.01, 4.0), (0.5, 0.99)]
)
def test_what_air_just_admits_is_not_refused(effective: float, magnification: float | None) -> None:
    refuse_wide(effective, magnification, "Mend it.", "/f_number")


@pytest.mark.parametrize(
    ("effective", "magnification"), [(0.49, None), (0.49, 0.1), (0.5, 1.0), (2.0, 4.0), (1.0, 4.0)]
)
def test_what_air_does_not_admit_is_refused(effective: float, magnification: float | None) -> None:
    with pytest.raises(ApertureImpossible, match="Mend it") as refused:
        refuse_wide(effective, magnification, "Mend it.", "/f_number")
    assert refused.value.members == ("/f_number",)


def test_the_refusal_says_by_how_many_stops() -> None:
    with pytest.raises(ApertureImpossible, match=r"air admits none below 2 here: 2 stops short"):
        refuse_wide(1.0, 4.0, "")
    with pytest.raises(ApertureImpossible, match=r"0\.5 .* 2 stops"):
        refuse_wide(0.25, None, "")
