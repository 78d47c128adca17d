"""Every step shown is the sum that was done: its formula, its numbers and its result, for any request."""

from typing import Any

import pytest
from flask.testing import FlaskClient
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from asking import SET_UPS, answered
from closeup_service.gear.catalogue import SENSORS
from closeup_service.http.app import create_app
from set_ups import Document, lengths, one_lens_set_ups
from thoroughness import up_to
from worked_requests import REQUESTS
from worked_sums import WORKED, check

Request = tuple[str, dict[str, Any]]

API: FlaskClient = create_app().test_client()
KNOWN: list[Request] = [
    *((operation.path, dict(example.request)) for operation in WORKED for example in operation.examples),
    *REQUESTS,
]
KEPT = ("heads", "register_mm", "lens_register_mm")
LIGHT = ("/v1/exposure", "/v1/flash")


@st.composite
def requests(draw: st.DrawFn) -> Request:
    """A known request with every number in it changed, each by a factor of its own."""
    path, members = draw(st.sampled_from(KNOWN))
    return path, changed(members, draw)


def changed(value: Any, draw: st.DrawFn) -> Any:
    if isinstance(value, dict):
        return {name: each if name in KEPT else changed(each, draw) for name, each in value.items()}
    if isinstance(value, list):
        return [changed(each, draw) for each in value]
    if isinstance(value, bool) or not isinstance(value, int | float):
        return value
    factor = draw(lengths(0.75, 1.35))
    return max(1, round(value * factor)) if isinstance(value, int) and value > 20 else value * factor


@st.composite
def lens_requests(draw: st.DrawFn) -> Request:
    """One lens with numbers of any size that lenses have."""
    members = {
        "mounting": draw(st.sampled_from(["normal", "reversed"])),
        "f_number": draw(lengths(1.2, 32)),
        "magnification": draw(lengths(0.05, 12)),
        "pupil_magnification": draw(lengths(0.3, 5)),
    }
    more = draw(
        st.fixed_dictionaries(
            {
                "circle_of_confusion_mm": lengths(0.002, 0.1),
                "model": st.sampled_from(["geometric", "wave", "combined"]),
            },
            optional={"focal_length_mm": lengths(8, 300), "wavelength_nm": lengths(350, 900)},
        )
    )
    return draw(
        st.sampled_from(
            [
                ("/v1/effective-f-number", members),
                ("/v1/depth-of-field", members | more),
                (
                    "/v1/diffraction",
                    {**members, "pixel_pitch_um": draw(lengths(1, 12)), "circle_of_confusion_mm": 0.02},
                ),
                ("/v1/focus-stack", {**members, **more, "subject_depth_mm": draw(lengths(0.05, 20))}),
            ]
        )
    )


def check_unless_refused(path: str, members: dict[str, Any]) -> None:
    assume(API.post(path, json=members).status_code != 422)
    check_all(path, members)


def check_all(path: str, members: dict[str, Any]) -> None:
    answer = answered(API, path, {**members, "show_steps": True})
    assert answer["steps"] or members.get("estimate_unknown")  # what is estimated alone has none
    for step in answer["steps"]:
        check(step)
    check_inputs(members, answer)
    check_results(answer)
    del answer["steps"]
    answer["remarks"] = [each for each in answer["remarks"] if each["code"] != "steps-of-middle-lens"]
    assert API.post(path, json=members).get_json() == answer


def check_inputs(members: dict[str, Any], answer: dict[str, Any]) -> None:
    """What is put in for a quantity is what was sent, assumed, or found in a step before."""
    found: dict[str, set[float]] = {}
    for name, value in numbers_in({**members, "of_the_answer": answer["assumed"], **sensor_of(members)}):
        found.setdefault(name, set()).add(value)
    for step in answer["steps"]:
        for each in step["inputs"]:
            if each["quantity"] in found and not is_read_off(each["quantity"]):
                assert each["value"] in found[each["quantity"]], (each, step)
        found.setdefault(step["quantity"], set()).add(step["result"])


def is_read_off(quantity: str) -> bool:
    """Whether a row of the answer, an assumed value by its pointer, or a usual value may stand in for the quantity."""
    return quantity in (
        "contrast",
        "distance_mm",
        "length_mm",
        "focusing_extension_mm",
        "parfocal_distance_mm",
        "pupil_magnification",
        "sensor_detail_lp_per_mm",
        "distance_from_subject_mm",
        "magnification",
        "added_length_mm",
        "overlap",
        "f_number",
    )


def sensor_of(members: dict[str, Any]) -> dict[str, Any]:
    sensor = SENSORS.get(members.get("sensor", members.get("camera", {}).get("sensor", "")))
    return {} if sensor is None else {"sensor_width_mm": sensor.width_mm, "sensor_height_mm": sensor.height_mm}


def numbers_in(value: Any, name: str = "") -> list[tuple[str, float]]:
    if isinstance(value, dict):
        return [pair for own, each in value.items() for pair in numbers_in(each, own.rsplit("/", 1)[-1])]
    if isinstance(value, list):
        return [pair for each in value for pair in numbers_in(each, name)]
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    return [(name, float(value))] if is_number else []


def check_results(answer: dict[str, Any]) -> None:
    """The last step to a member of the answer ends with that member, to the last digit; a zoom's stand in its settings."""
    if answer.get("settings"):
        return
    last = {step["quantity"]: step["result"] for step in answer["steps"]}
    shared = ("effective_f_number", "total_mm", "contrast", "numerical_aperture")
    for name in last.keys() & answer.keys() - set(shared):
        if answer[name] is not None:
            assert last[name] == answer[name], name


@settings(max_examples=up_to(400))
@given(requests())
def test_every_step_of_a_changed_request_is_the_sum_that_was_done(drawn: Request) -> None:
    check_unless_refused(*drawn)


@settings(max_examples=up_to(200))
@given(lens_requests())
def test_every_step_of_one_lens_is_the_sum_that_was_done(drawn: Request) -> None:
    check_unless_refused(*drawn)


@given(one_lens_set_ups())
def test_every_step_of_a_set_up_is_the_sum_that_was_done(drawn: tuple[Document, float]) -> None:
    check_unless_refused(SET_UPS, drawn[0])


@pytest.mark.parametrize(("path", "members"), KNOWN)
def test_every_step_of_a_known_request_is_the_sum_that_was_done(path: str, members: dict[str, Any]) -> None:
    check_all(path, members)
