"""A lens's own register, given to a calibration: a reading with the play of its infinity stop, held against the frames."""

from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import SET_UPS, answered, codes, pointers, refused, text_of, without

PATH = "/v1/lens-calibration"
REGISTER, F, LEFT = 44.0, 50.3, 0.2
"""A lens that stands 0.2 mm out at its infinity stop: m = (e + 0.2)/50.3."""


def frames(sigma: float | None = 0.0002, off: float = 0.0) -> list[dict[str, float]]:
    stated = {} if sigma is None else {"magnification_uncertainty": sigma}
    return [
        {"extension_mm": e, "magnification": (e + LEFT) / F + off * s, **stated}
        for e, s in zip((10, 25, 40, 55), (1, -2, 1, 0), strict=True)
    ]


NORMAL: dict[str, Any] = {"camera_register_mm": REGISTER, "lens_register_mm": REGISTER, "frames": frames()}


def interval(answer: dict[str, Any], name: str) -> tuple[float, float]:
    return answer["lower_95"][name], answer["upper_95"][name]


@pytest.mark.parametrize("mounting", ["normal", "reversed"])
def test_frames_that_say_more_than_the_register_win(api: FlaskClient, mounting: str) -> None:
    """The true rear plane, 44 - 0.2 - 50.3 = -6.5 mm, lies in its interval; so does m at 10 mm, in the pasted lens's."""
    asked = NORMAL | {"mounting": mounting}
    if mounting == "reversed":
        taken = [
            {
                "extension_mm": e,
                "magnification": (m := (REGISTER + e + 21) / F - 1),
                "magnification_uncertainty": 0.0002,
                "working_distance_mm": REGISTER - LEFT + F / m,
                "working_distance_uncertainty_mm": 0.02,
            }
            for e in (10, 25, 40, 55)
        ]
        asked |= {"frames": taken}
    answer = answered(api, PATH, asked)
    low, high = interval(answer, "rear_principal_plane_mm")
    assert low < REGISTER - LEFT - F < high
    assert high - low < 0.15
    train = [answer["lens"], {"element": "spacer", "length_mm": 10}]
    told = answered(api, SET_UPS, {"camera": {"register_mm": REGISTER}, "train": train})
    m = asked["frames"][0]["magnification"]
    assert abs(told["magnification"] - m) < told["expanded_uncertainty"]["magnification"]


def test_the_play_is_assumed_and_said_or_given(api: FlaskClient) -> None:
    answer = answered(api, PATH, NORMAL)
    assert answer["assumed"]["infinity_stop_play_mm"] == 0.2
    assert "infinity_stop_play_mm, 0.2 mm" in text_of(answer, "register-compared")
    tight = answered(api, PATH, NORMAL | {"infinity_stop_play_mm": 0.001})
    assert "infinity_stop_play_mm" not in tight["assumed"]
    assert tight["rear_principal_plane_mm"] + tight["focal_length_mm"] == pytest.approx(REGISTER, abs=0.01)
    assert "infinity_stop_play_mm" not in answered(api, PATH, without(NORMAL, "lens_register_mm"))["assumed"]


def test_a_register_that_no_frame_can_check_is_as_good_as_its_stop(api: FlaskClient) -> None:
    """u^2 of register - f is that of f and the square of the play (JCGM 100, 5.1.2)."""
    answer = answered(api, PATH, without(NORMAL, "camera_register_mm"))
    u = answer["uncertainty"]
    assert u["rear_principal_plane_mm"] == pytest.approx((u["focal_length_mm"] ** 2 + 0.2**2) ** 0.5)
    assert answer["lens"]["register_mm"] == REGISTER
    assert "rear_principal_plane_mm" in answer["lens"]["uncertainty"]["parameters"]
    assert "register-not-compared" in codes(answer["remarks"])
    stated = answered(api, PATH, without(NORMAL, "camera_register_mm") | {"infinity_stop_play_mm": 0.5})
    assert stated["uncertainty"]["rear_principal_plane_mm"] == pytest.approx((u["focal_length_mm"] ** 2 + 0.25) ** 0.5)


def test_frames_without_uncertainty_are_not_weighed_against_a_register(api: FlaskClient) -> None:
    answer = answered(api, PATH, NORMAL | {"frames": frames(None)[:2]})
    assert answer["rear_principal_plane_mm"] == pytest.approx(REGISTER - LEFT - F)
    assert "Only the frames were taken" in text_of(answer, "register-compared")


def test_a_register_tells_of_a_lens_whose_scatter_is_large(api: FlaskClient) -> None:
    """The frames alone leave the stop open by some 15 mm; with the register it is known within its play."""
    asked = NORMAL | {"frames": frames(None, off=0.1)}
    alone, both = answered(api, PATH, without(asked, "lens_register_mm")), answered(api, PATH, asked)
    width = [high - low for low, high in (interval(each, "extension_at_infinity_mm") for each in (alone, both))]
    assert width[0] > 10
    assert 2 * 1.96 * 0.19 < width[1] < 2 * 1.96 * 0.25


def test_a_play_needs_the_register_that_it_belongs_to(api: FlaskClient) -> None:
    problem = refused(api, PATH, without(NORMAL, "lens_register_mm") | {"infinity_stop_play_mm": 0.1})
    assert pointers(problem) == {"/lens_register_mm"}
    assert "Needed with infinity_stop_play_mm" in problem["errors"][0]["detail"]


def test_a_measured_lens_goes_into_a_kit_under_its_mount(api: FlaskClient) -> None:
    """Its rear plane is not the mount's register less f, by the play; further off, or without uncertainty, it is refused."""
    kit = api.get("/v1/kit").get_json()["kit"]
    lens = next(each for each in kit["lenses"] if each.get("mount") == "M42x1")
    mounts = api.get("/v1/catalogue/mounts").get_json()["records"]
    register = next(mount["register_mm"] for mount in mounts if mount["id"] == "M42x1")
    measured = answered(api, PATH, NORMAL | {"lens_register_mm": register, "camera_register_mm": register})["lens"]
    setting = without(measured, "element") | {"id": "measured"}

    def revised(**more: Any) -> int:
        changed = kit | {"lenses": [lens | {"settings": [setting | more]}]}
        camera = {"register_mm": register}
        train = [{"element": "kit-part", "use": lens["id"], "setting": "measured", "f_number": 8}]
        train = [*train, {"element": "spacer", "length_mm": 20}]
        response = api.post(SET_UPS, json={"camera": camera, "train": train, "kit": changed})
        return int(response.status_code)

    assert abs(setting["rear_principal_plane_mm"] - (register - setting["focal_length_mm"])) > 0.1
    assert revised() == 200
    assert revised(rear_principal_plane_mm=setting["rear_principal_plane_mm"] - 3) == 422
    setting = without(setting, "uncertainty")
    assert revised() == 422
