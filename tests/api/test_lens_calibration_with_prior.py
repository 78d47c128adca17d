"""A lens from one frame of a ruler and its engravings: `/v1/lens-calibration` with `estimate_unknown`."""

from collections.abc import Sequence
from typing import Any

import numpy as np
import pytest
from flask.testing import FlaskClient

from asking import SET_UPS, answered, codes, pointers, refused, text_of, without
from closeup_service.estimates.ensemble import estimate_lens
from closeup_service.estimates.known_lens import KnownLens
from prescriptions import DOUBLE_GAUSS, RETROFOCUS, Prescription

PATH = "/v1/lens-calibration"
CAMERA_MM = 44.0
PLACES = np.linspace(0.04, 0.96, 9)
RIM_MM = 3.0
"""Front rim before the first glass; common practice, no source."""

WIDE: dict[str, Any] = {
    "mounting": "reversed",
    "camera_register_mm": CAMERA_MM,
    "focal_length_mm": 28,
    "widest_f_number": 2.8,
    "lens_register_mm": 45.46,
    "estimate_unknown": True,
}
DATA = ("focal_length_mm", "front_principal_plane_mm", "principal_plane_separation_mm", "pupil_magnification")


def magnification(lens: tuple[float, float], extension: float) -> float:
    """Magnification of a reversed lens of this focal length and front principal plane."""
    f, plane = lens
    return (CAMERA_MM + extension + plane) / f - 1


def frame(lens: tuple[float, float], extension: float, share: float | None = None) -> dict[str, float]:
    m = magnification(lens, extension)
    return {"extension_mm": extension, "magnification": m} | (
        {} if share is None else {"magnification_uncertainty": share * m}
    )


def calibrate(api: FlaskClient, *frames: dict[str, Any], **more: Any) -> dict[str, Any]:
    return answered(api, PATH, {**WIDE, "frames": [*frames], **more})


def in_set_up(api: FlaskClient, element: dict[str, Any], extension: float) -> dict[str, Any]:
    """The lens as a calibration gave it, before the same camera at another extension."""
    train = [element, {"element": "spacer", "length_mm": extension}]
    return answered(api, SET_UPS, {"camera": {"register_mm": CAMERA_MM}, "train": train, "estimate_unknown": True})


def half_width(answer: dict[str, Any]) -> float:
    ranged = answer["ranges"]["magnification"]
    return float((ranged["high"] - ranged["low"]) / 2 / answer["magnification"])


def holds(answer: dict[str, Any], m: float) -> bool:
    ranged = answer["ranges"]["magnification"]
    return bool(ranged["low"] <= m <= ranged["high"])


def members_of(f: float, n: float) -> list[tuple[float, float]]:
    """True focal length and front principal plane of a few lenses of the class, from the shallowest plane to the deepest."""
    ensemble = estimate_lens(KnownLens(focal_length_mm=f, widest_f_number=n))
    order = np.argsort(ensemble.front_plane)
    return [
        (float(ensemble.focal_length[i]), float(ensemble.front_plane[i]))
        for i in order[(PLACES * ensemble.size).astype(int)]
    ]


def paraxial(lens: Prescription) -> tuple[float, float]:
    """Focal length and front principal plane behind the rim [mm], by tracing a ray that leaves parallel to the axis back.

    (n' u' = n u - y (n' - n) / r; y' = y + d u'; W. J. Smith, Modern Optical Engineering, ch. 2, from memory.)
    """
    height, slope, index = 1.0, 0.0, 1.0
    for place in reversed(range(len(lens.rows))):
        before = lens.rows[place - 1].index if place else 1.0
        row = lens.rows[place]
        slope = (index * slope - height * (before - index) / -row.radius) / before
        index = before
        height += slope * (lens.rows[place - 1].gap if place else 0.0)
    f = -1.0 / slope
    return f, RIM_MM + f - (-height / slope)


def test_prescriptions_come_out_as_printed() -> None:
    for lens in (RETROFOCUS, DOUBLE_GAUSS):
        assert paraxial(lens)[0] == pytest.approx(lens.published_focal_length, rel=2e-3)


@pytest.mark.parametrize(("f", "n"), [(24, 2.8), (28, 2.8), (35, 2.8), (35, 2.0)])
def test_one_frame_leaves_at_most_five_per_cent_at_other_extensions(api: FlaskClient, f: float, n: float) -> None:
    # a frame without rings, read as usual, for more extension; a frame on rings read to half a per cent, for less too
    held = []
    for lens in members_of(f, n):
        for at, share, others in ((0.0, None, (15.0, 50.0)), (25.0, 0.005, (0.0, 50.0))):
            known = calibrate(api, frame(lens, at, share), focal_length_mm=f, widest_f_number=n)["known_lens"]
            answers = [(extension, in_set_up(api, known, extension)) for extension in others]
            assert all(half_width(answer) <= 0.05 for _, answer in answers)
            held += [holds(answer, magnification(lens, extension)) for extension, answer in answers]
    assert np.mean(held) >= 0.9


@pytest.mark.parametrize(
    ("lens", "engraved", "extensions"), [(RETROFOCUS, 30, (0, 15, 50)), (DOUBLE_GAUSS, 100, (120, 200))]
)
def test_published_prescriptions_lie_within(
    api: FlaskClient, lens: Prescription, engraved: float, extensions: Sequence[float]
) -> None:
    true = paraxial(lens)
    engravings = {"focal_length_mm": engraved, "widest_f_number": lens.published_f_number}
    known = calibrate(api, frame(true, extensions[0]), **engravings)["known_lens"]
    for extension in extensions[1:]:
        answer = in_set_up(api, known, extension)
        assert half_width(answer) <= 0.05
        assert holds(answer, magnification(true, extension))


def test_one_frame_gives_medians_with_ranges_and_marks_them(api: FlaskClient) -> None:
    answer = calibrate(api, frame((28, 37), 0))
    assert answer["coverage"] == 0.95
    assert {*answer["estimated"]} == {f"/{name}" for name in DATA}
    for name in DATA:
        datum = answer["estimated"][f"/{name}"]
        assert datum["low"] < datum["value"] < datum["high"]
        assert datum["based_on"] == "measured"
        assert answer[name] == answer["lens"][name] == datum["value"]
        assert answer["ranges"][name] == {"low": datum["low"], "high": datum["high"]}
    assert set(answer["uncertainty"].values()) == {None}
    assert answer["residuals"] == []
    assert {"lens-estimated", "data-estimated"} <= codes(answer["remarks"])


def test_its_range_comes_back_in_a_train(api: FlaskClient) -> None:
    answer = calibrate(api, frame((28, 37), 7), entrance_pupil_depth_mm=24)
    again = in_set_up(api, answer["known_lens"], 30)["estimated"]
    for name in DATA:
        assert again[f"/train/0/{name}"] == answer["estimated"][f"/{name}"]


def test_a_lens_of_medians_has_no_range(api: FlaskClient) -> None:
    lens = calibrate(api, frame((28, 37), 7))["lens"]
    answer = in_set_up(api, lens, 30)
    assert "ranges" not in answer or answer["ranges"] == {}
    assert answer["magnification"] == pytest.approx(magnification((28, 37), 30), rel=0.03)


def test_what_several_frames_tell_stays_and_the_class_fills_the_rest(api: FlaskClient) -> None:
    frames = [frame((27.6, 38), e, 0.003) for e in (0, 15, 40)]
    with_class = calibrate(api, *frames)
    plain = answered(
        api, PATH, {**without(WIDE, "estimate_unknown", "focal_length_mm", "widest_f_number"), "frames": frames}
    )
    told = ("focal_length_mm", "front_principal_plane_mm", "uncertainty", "lower_95", "residuals", "covariance")
    assert {name: with_class[name] for name in told} == {name: plain[name] for name in told}
    assert plain["pupil_magnification"] is None
    assert {*with_class["estimated"]} == {"/principal_plane_separation_mm", "/pupil_magnification"}
    assert "pupil_magnification is not determined" not in text_of(with_class, "not-determined")
    again = in_set_up(api, with_class["known_lens"], 20)
    assert again["estimated"]["/train/0/pupil_magnification"] == with_class["estimated"]["/pupil_magnification"]
    assert again["magnification"] == pytest.approx(magnification((27.6, 38), 20))
    assert again["uncertainty"]["magnification"] > 0


def test_frames_on_its_mount_tell_the_focal_length_alone(api: FlaskClient) -> None:
    frames = [
        {"extension_mm": e, "magnification": (e + 0.2) / 51.6, "magnification_uncertainty": 0.001} for e in (12, 25, 50)
    ]
    asked = {"camera_register_mm": 45.46, "focal_length_mm": 50, "estimate_unknown": True}
    answer = answered(api, PATH, {**asked, "frames": frames})
    assert answer["focal_length_mm"] == pytest.approx(51.6)
    assert {*answer["estimated"]} == {f"/{name}" for name in DATA[1:]}
    train = [answer["known_lens"], {"element": "spacer", "length_mm": 25}]
    again = answered(api, SET_UPS, {"camera": {"register_mm": 45.46}, "train": train, "estimate_unknown": True})
    found = again["estimated"]["/train/0/focal_length_mm"]
    assert found["low"] < 51.6 < found["high"]
    assert again["estimated"]["/train/0/front_principal_plane_mm"] == answer["estimated"]["/front_principal_plane_mm"]


def test_two_frames_without_uncertainties_count_as_readings(api: FlaskClient) -> None:
    answer = calibrate(api, frame((28, 37), 0), frame((28, 37), 10))
    assert "/focal_length_mm" in answer["estimated"]
    assert len(answer["known_lens"]["measured"]) == 2


def test_more_frames_narrow(api: FlaskClient) -> None:
    lens = (28, 37)
    one = calibrate(api, frame(lens, 0))["estimated"]["/front_principal_plane_mm"]
    two = calibrate(api, frame(lens, 0), frame(lens, 0))["estimated"]["/front_principal_plane_mm"]
    assert two["high"] - two["low"] < one["high"] - one["low"]


def test_pupils_narrow_and_give_the_f_number(api: FlaskClient) -> None:
    bare = calibrate(api, frame((28, 37), 0))
    read = calibrate(
        api,
        frame((28, 37), 0),
        entrance_pupil_diameter_mm=5.0,
        exit_pupil_diameter_mm=9.0,
        entrance_pupil_diameter_uncertainty_mm=0.05,
        exit_pupil_diameter_uncertainty_mm=0.09,
    )
    assert read["known_lens"]["pupil_ratio_uncertainty"] == pytest.approx(0.01 * 2**0.5)
    ranges = [answer["ranges"]["pupil_magnification"] for answer in (bare, read)]
    assert ranges[1]["high"] - ranges[1]["low"] < 0.3 * (ranges[0]["high"] - ranges[0]["low"])
    assert read["pupil_magnification"] == pytest.approx(1.8, rel=0.03)
    assert read["f_number_estimate"] == pytest.approx(read["focal_length_mm"] / 5)


def test_contradictions_point_to_what_was_sent(api: FlaskClient) -> None:
    off = [{"extension_mm": 0, "magnification": m} for m in (1.5, 2.2)]
    assert pointers(refused(api, PATH, {**WIDE, "frames": off})) == {"/frames/0", "/frames/1"}
    more = {"mounting": "reversed", "camera_register_mm": CAMERA_MM, **off[1]}
    problem = refused(api, PATH, {**WIDE, "frames": off[:1], "measured": [more]})
    assert pointers(problem) == {"/frames/0", "/measured/0"}


@pytest.mark.parametrize(
    ("more", "pointer"),
    [
        ({"focal_length_uncertainty_mm": 0.2}, "/focal_length_uncertainty_mm"),
        ({"frames": [frame((28, 37), e) for e in range(21)]}, "/frames"),
        ({"zoom_from_mm": 35, "zoom_to_mm": 70}, "/focal_length_mm"),
        ({"exit_pupil_diameter_mm": 9}, "/entrance_pupil_diameter_mm"),
    ],
)
def test_what_does_not_go_with_estimates_is_refused(api: FlaskClient, more: dict[str, Any], pointer: str) -> None:
    assert pointers(refused(api, PATH, {**WIDE, "frames": [frame((28, 37), 0)], **more})) == {pointer}


def test_settings_of_a_zoom_are_sent_one_by_one(api: FlaskClient) -> None:
    settings = [{"setting": mark, "frames": [frame((mark, 40), e) for e in (0, 9, 20)]} for mark in (28, 50)]
    asked = {**without(WIDE, "focal_length_mm"), "settings": settings}
    assert pointers(refused(api, PATH, asked)) == {"/estimate_unknown"}


def test_without_the_flag_nothing_is_estimated(api: FlaskClient) -> None:
    asked = {**without(WIDE, "estimate_unknown"), "frames": [frame((28, 37), 0, 0.01)]}
    answer = answered(api, PATH, asked)
    assert answer["focal_length_mm"] == 28
    assert answer["front_principal_plane_mm"] == pytest.approx(37)
    assert answer["pupil_magnification"] is None
    assert not {"coverage", "estimated", "ranges", "known_lens"} & {*answer}


def test_steps_are_of_what_was_measured(api: FlaskClient) -> None:
    frames = [frame((27.6, 38), e, 0.003) for e in (0, 15, 40)]
    several = calibrate(api, *frames, show_steps=True)["steps"]
    assert {"focal_length_mm", "front_principal_plane_mm"} <= {step["quantity"] for step in several}
    assert "pupil_magnification" not in {step["quantity"] for step in several}
    assert calibrate(api, frames[0], show_steps=True)["steps"] == []
