"""Laws of the same picture on a sensor of another size, by the operations that know nothing of two sensors."""

from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from closeup_service.operations.plan.magnification import operation as magnification
from closeup_service.operations.set_up.depth_of_field import operation as depth_of_field
from closeup_service.operations.set_up.diffraction import operation as diffraction
from closeup_service.operations.set_up.effective_f_number import operation as effective_f_number
from closeup_service.operations.set_up.format_equivalence import operation as format_equivalence
from closeup_service.optics.errors import OpticsError
from set_ups import lengths
from thoroughness import up_to

Members = dict[str, Any]
CLOSE = 1e-12
SENSOR = ("sensor_width_mm", "sensor_height_mm")
LENS = ("mounting", "pupil_magnification", "focal_length_mm")
MOUNTINGS = st.sampled_from(["normal", "reversed"])
FRAMINGS = st.sampled_from(["width", "height", "diagonal"])


def sensors(of: str = "") -> st.SearchStrategy[Members]:
    return st.fixed_dictionaries({of + name: lengths(3, 130) for name in SENSOR})


def lenses(of: str = "") -> st.SearchStrategy[Members]:
    values = {"mounting": MOUNTINGS, "pupil_magnification": lengths(0.3, 4), "focal_length_mm": lengths(10, 200)}
    return st.fixed_dictionaries({of + name: values[name] for name in LENS})


@st.composite
def pictures(draw: st.DrawFn) -> Members:
    """A picture on one sensor, to be taken on another with another lens."""
    own = {"magnification": draw(lengths(0.01, 10)), "f_number": draw(lengths(1.4, 32)), "framing_by": draw(FRAMINGS)}
    of_both = draw(sensors()) | draw(sensors("other_")) | draw(lenses()) | draw(lenses("other_"))
    return own | of_both | {"circle_of_confusion_mm": draw(lengths(0.001, 0.2))}


def asked(operation: Any, members: Members) -> Members:
    try:
        found: Members = operation.answer(members)
    except OpticsError:
        assume(False)
        raise
    return found


def equivalent(members: Members) -> Members:
    return asked(format_equivalence, members)


def ends(members: Members) -> tuple[Members, Members, float]:
    """The picture as one lens would be asked about it, here and there; and the ratio of the sensors."""
    answer = equivalent(members)
    here = {name: members[name] for name in (*LENS, *SENSOR, "magnification", "f_number", "circle_of_confusion_mm")}
    there = {name: members["other_" + name] for name in (*LENS, *SENSOR)} | {
        "magnification": answer["other_magnification"],
        "f_number": answer["other_f_number"],
        "circle_of_confusion_mm": answer["other_circle_of_confusion_mm"],
    }
    return here, there, answer["format_ratio"]


def without_pupil(members: Members) -> Members:
    return {name: value for name, value in members.items() if name != "focal_length_mm"}


@given(pictures(), st.sampled_from(["geometric", "wave", "combined"]))
def test_the_depth_is_the_same_by_every_model(members: Members, model: str) -> None:
    here, there, _ = ends(members)
    depth, other = (asked(depth_of_field, without_pupil(each) | {"model": model}) for each in (here, there))
    assert other["total_mm"] == pytest.approx(depth["total_mm"], rel=CLOSE)


@settings(max_examples=up_to(30), deadline=None)
@given(pictures(), st.floats(0.02, 0.9), lengths(0.05, 0.8))
def test_the_depth_by_contrast_is_the_same_for_the_same_detail_of_the_subject(
    members: Members, of_cutoff: float, contrast: float
) -> None:
    here, there, k = ends(members)
    detail = of_cutoff * asked(diffraction, here)["sensor_cutoff_lp_per_mm"]
    depth, other = (
        asked(
            depth_of_field,
            without_pupil(each) | {"model": "contrast", "sensor_detail_lp_per_mm": frequency, "contrast": contrast},
        )
        for each, frequency in ((here, detail), (there, detail / k))
    )
    assert other["total_mm"] == pytest.approx(depth["total_mm"], rel=1e-6)


@given(pictures())
def test_aperture_and_resolution_on_the_subject_are_the_same(members: Members) -> None:
    here, there, _ = ends(members)
    sharp, other = (asked(diffraction, each) for each in (here, there))
    for name in ("numerical_aperture", "subject_resolution_um", "subject_cutoff_lp_per_mm"):
        assert other[name] == pytest.approx(sharp[name], rel=CLOSE)
    assert equivalent(members)["numerical_aperture"] == pytest.approx(sharp["numerical_aperture"], rel=CLOSE)


@given(pictures())
def test_the_light_on_the_sensor_falls_with_its_area(members: Members) -> None:
    here, there, _ = ends(members)
    effective, other = (asked(effective_f_number, each)["effective_f_number"] for each in (here, there))
    answer = equivalent(members)
    assert answer["other_exposure_factor"] == pytest.approx((other / effective) ** 2, rel=CLOSE)
    assert 2.0 ** answer["other_exposure_stops"] == pytest.approx(answer["other_exposure_factor"], rel=1e-9)


def back(members: Members, answer: Members, **onward: Any) -> Members:
    """The other end as this one, to be taken on a further sensor with a further lens."""
    return {
        **{name: members["other_" + name] for name in (*LENS, *SENSOR)},
        "magnification": answer["other_magnification"],
        "f_number": answer["other_f_number"],
        "circle_of_confusion_mm": answer["other_circle_of_confusion_mm"],
        "framing_by": members["framing_by"],
        **onward,
    }


@given(pictures())
def test_there_and_back_is_the_identity(members: Members) -> None:
    home = {"other_" + name: members[name] for name in (*LENS, *SENSOR)}
    returned = equivalent(back(members, equivalent(members), **home))
    for name in ("magnification", "f_number", "circle_of_confusion_mm"):
        assert returned["other_" + name] == pytest.approx(members[name], rel=CLOSE)


@given(pictures(), sensors("other_"), lenses("other_"))
def test_by_way_of_a_third_sensor_is_the_same(members: Members, further: Members, lens: Members) -> None:
    direct = equivalent(members | further | lens)
    by_way = equivalent(back(members, equivalent(members), **further, **lens))
    for name in ("other_magnification", "other_f_number", "other_circle_of_confusion_mm", "other_effective_f_number"):
        assert by_way[name] == pytest.approx(direct[name], rel=CLOSE)


@given(pictures(), sensors())
def test_the_same_sensor_changes_nothing(members: Members, sensor: Members) -> None:
    alone = {name: value for name, value in members.items() if not name.startswith("other_")}
    answer = equivalent(alone | sensor | {"other_" + name: value for name, value in sensor.items()})
    assert answer["format_ratio"] == 1
    assert answer["other_exposure_stops"] == 0
    for name in ("magnification", "circle_of_confusion_mm"):
        assert answer["other_" + name] == members[name]
    assert answer["other_f_number"] == pytest.approx(members["f_number"], rel=CLOSE)
    assert answer["same_perspective_focal_length_mm"] == pytest.approx(members["focal_length_mm"], rel=CLOSE)
    told = {note["code"] for note in answer["remarks"]}
    assert told.isdisjoint(
        {"aspect-differs", "shortcut-crop-factor", "shortcut-equivalent-focal-length", "total-depth-alone"}
    )


@given(pictures())
def test_the_focal_length_for_the_same_perspective_divides_the_depth_alike(members: Members) -> None:
    focal_length = equivalent(members)["same_perspective_focal_length_mm"]
    kept = members | {"other_focal_length_mm": focal_length}
    here, there, _ = ends(kept)
    depth, other = (asked(depth_of_field, each | {"model": "geometric"}) for each in (here, there))
    assume(depth["rear_extent"] == other["rear_extent"] == "finite")
    for name in ("front_depth_mm", "rear_depth_mm"):
        assert 1 / other[name] == pytest.approx(1 / depth[name], rel=1e-9, abs=1e-12)
    assert "total-depth-alone" not in {note["code"] for note in equivalent(kept)["remarks"]}


@given(pictures(), lengths(10, 60), lengths(10, 60), lengths(-20, 60))
def test_the_extension_gives_the_magnification_on_the_other_camera(
    members: Members, camera_register: float, lens_register: float, front_plane: float
) -> None:
    lens = {
        "camera_register_mm": camera_register,
        "lens_register_mm": lens_register,
        "front_principal_plane_mm": front_plane,
    }
    answer = equivalent(members | {"other_" + name: value for name, value in lens.items()})
    assume(answer["other_extension_mm"] is not None)
    there = {name: members["other_" + name] for name in ("mounting", "focal_length_mm")}
    found = asked(magnification, there | lens | {"extension_mm": answer["other_extension_mm"]})
    assert found["magnification"] == pytest.approx(answer["other_magnification"], rel=1e-9, abs=1e-11)
