"""A lens measured through the client, and put into a train."""

import pytest

from closeup_client import CalibrationFrame, Client, camera, lens, spacer


def frames() -> list[CalibrationFrame]:
    return [
        {"extension_mm": e, "magnification": (18 + e + 21) / 35 - 1, "magnification_uncertainty": 0.002}
        for e in (30, 45, 60)
    ]


def test_a_measured_lens_goes_straight_into_a_train(in_process: Client) -> None:
    answer = in_process.lens_calibration(mounting="reversed", camera_register_mm=18, frames=frames())
    assert answer.focal_length_mm == pytest.approx(35)
    assert answer.uncertainty.focal_length_mm is not None
    assert answer.lens is not None
    set_up = in_process.evaluate(camera=camera(register_mm=18), train=[answer.lens.part, spacer(length_mm=45)])
    assert set_up.magnification == pytest.approx(answer.residuals[1].magnification, rel=1e-9)
    assert set_up.uncertainty is not None
    assert set_up.uncertainty.magnification is not None


def test_a_lens_of_ones_own_may_state_its_uncertainty(in_process: Client) -> None:
    known = lens(
        focal_length_mm=50,
        register_mm=44,
        uncertainty={"parameters": ["focal_length_mm"], "covariance": [[0.25]]},
    )
    set_up = in_process.evaluate(camera=camera(register_mm=44), train=[known, spacer(length_mm=50)])
    assert set_up.uncertainty is not None
    assert set_up.uncertainty.magnification == pytest.approx(0.01)  # m = e/f, so u(m) = m u(f)/f


def test_a_zoom_answers_setting_by_setting(in_process: Client) -> None:
    answer = in_process.lens_calibration(
        settings=[
            {"setting": mark, "frames": [{"extension_mm": e, "magnification": e / mark} for e in (10, 20, 30)]}
            for mark in (24, 35)
        ]
    )
    assert [each.focal_length_mm for each in answer.settings] == pytest.approx([24, 35])
    assert answer.lens is None
